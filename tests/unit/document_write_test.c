/* A document as text and as the body of a page. */
#include "document/document_write.h"

#include "document/cautions.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static void draw_nothing(const struct chart *chart, const void *data)
{
    (void)chart;
    (void)data;
}

static void fill(struct document *document)
{
    static const char *const headings[] = {"figure", "95% interval"};
    struct text opening;
    document_init(document);
    document_title(document, "Lamps & <oil>");
    text_init(&opening);
    text_append(&opening, "What can be said.\nOn so many dates.\n");
    document_lines(document, BLOCK_OPENING, &opening);
    document_words(document, BLOCK_CAUTION, "Not <advice>.");
    document_figure(document, &(struct document_figure){"Lines", "Two lines.", "What they show.",
                                                        100, draw_nothing, NULL});
    struct table *table = document_results(document, "results", "Results", "How to read it.",
                                           headings, 2);
    document_words(document, BLOCK_PARAGRAPH, "Seed 1.");
    document_meaning(document, "R", "the risk taken");
    document_words(document, BLOCK_VERBATIM, "setup: a\n  side: long");
    document_words(document, BLOCK_CAUTION, "Not <advice>.");
    /* It stays where it is while the document grows. */
    table_text(table, "mean");
    table_signed_range(table, 1, -1, 2);
    table_text(table, "none");
    table_decimals(table, 1, NAN);
}

static void a_text_has_its_cautions_last_and_once(void **state)
{
    (void)state;
    struct document document;
    struct text text;
    text_init(&text);
    fill(&document);
    document_write_text(&text, &document);
    assert_string_equal(text.bytes, "What can be said.\nOn so many dates.\n\n"
                                    "Results\n"
                                    "  figure  95% interval\n"
                                    "  mean    -1.0 to +2.0\n"
                                    "  none               \xe2\x80\x93\n"
                                    "  How to read it.\n\n"
                                    "Seed 1.\nNot <advice>.\n");
    assert_string_equal(document.blocks[4]->table.columns[1].name, "95_interval");
    text_free(&text);
    document_clear(&document);
}

static int put_mark(void *context, const struct document_figure *figure, size_t number,
                    struct text *markup, struct error *error)
{
    int *code = context;
    (void)error;
    text_append_format(markup, "<svg id=\"%s-%zu\"/>", figure->title, number);
    return *code;
}

static void a_page_has_everything(void **state)
{
    (void)state;
    struct document document;
    struct text text;
    struct html html;
    struct error error = {0};
    int code = ERROR_NONE;
    text_init(&text);
    html_init(&html, &text);
    fill(&document);
    assert_int_equal(document_write_html(&html, &document, put_mark, &code, &error), ERROR_NONE);
    assert_int_equal(html.depth, 0);
    assert_string_equal(
        text.bytes,
        "<h1>Lamps &amp; &lt;oil&gt;</h1>\n<p class=\"opening\">What can be said.</p>\n"
        "<p class=\"opening\">On so many dates.</p>\n<p class=\"small\">Not &lt;advice&gt;.</p>\n"
        "<h2>Figures</h2>\n<figure>\n<svg id=\"Lines-1\"/><figcaption><b>Figure 1.</b> What they "
        "show.</figcaption>\n</figure>\n<h2>Results</h2>\n<div class=\"wide\"><table><thead><tr>"
        "<th scope=\"col\">figure</th><th scope=\"col\">95% interval</th></tr></thead>\n<tbody>"
        "<tr><th scope=\"row\">mean</th><td>\xe2\x88\x92"
        "1.0 to +2.0</td></tr>\n<tr><th scope=\"row\">none</th>"
        "<td>\xe2\x80\x93</td></tr>\n</tbody></table></div>\n<p class=\"note\">How to read it.</p>\n"
        "<p>Seed 1.</p>\n<dl class=\"small\"><dt>R</dt>\n<dd>the risk taken</dd>\n</dl>"
        "<pre>setup: a\n  side: long</pre>\n<p class=\"small\">Not &lt;advice&gt;.</p>\n");
    code = error_set(&error, ERROR_MACHINE, "no ink");
    assert_int_equal(document_write_html(&html, &document, put_mark, &code, &error), ERROR_MACHINE);
    text_free(&text);
    document_clear(&document);
}

static int freed;

static void note_freed(void *kept)
{
    free(kept);
    freed++;
}

static void what_is_kept_is_let_go_once(void **state)
{
    (void)state;
    struct document document;
    document_init(&document);
    document_keep(&document, malloc(10), note_freed);
    document_clear(&document);
    document_clear(&document);
    assert_int_equal(freed, 1);
}

static void a_failed_text_fails_the_document(void **state)
{
    (void)state;
    struct document document;
    struct text text;
    struct error error = {0};
    struct html html;
    text_init(&text);
    document_init(&document);
    text.failed = true;
    document_lines(&document, BLOCK_OPENING, &text);
    assert_true(document_failed(&document));
    document_write_text(&text, &document);
    assert_true(text_failed(&text));
    text_free(&text);
    html_init(&html, &text);
    assert_int_equal(document_write_html(&html, &document, NULL, NULL, &error), ERROR_MACHINE);
    document_clear(&document);
}

/* Places are where a candle sits (docs/words.md): cautions name countries. */
static void cautions_name_countries(void **state)
{
    (void)state;
    const char *const long_ones[] = {caution_results, caution_plan};
    for (size_t i = 0; i < 2; i++) {
        assert_non_null(strstr(long_ones[i], "from country to country"));
        assert_non_null(strstr(long_ones[i], "dvice"));
        assert_non_null(strstr(long_ones[i], "licensed adviser"));
        assert_null(strstr(long_ones[i], "place"));
    }
    struct text text;
    text_init(&text);
    text_append_caution(&text, caution_plan);
    assert_true(text.length > 0 && text.bytes[text.length - 1] == '.');
    assert_int_equal(strcspn(text.bytes, "\n") <= 96, 1);
    text_free(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_text_has_its_cautions_last_and_once),
        cmocka_unit_test(a_page_has_everything),
        cmocka_unit_test(what_is_kept_is_let_go_once),
        cmocka_unit_test(a_failed_text_fails_the_document),
        cmocka_unit_test(cautions_name_countries),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
