/* Markup that was kept: what the writers make is shown again, nothing else.
 *
 * What must not get in is from the HTML Living Standard: scripts (4.12.1),
 * handlers (8.1.8.1), addresses that run (7.4.2), styles (4.2.6), forms (4.10),
 * embedded content (4.8), and what ends or opens another reading of the text
 * (13.1.6 comments, 13.1.3 elements). */
#include "document/document_write.h"
#include "document/markup.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static void what_documents_are_written_as(void **state)
{
    (void)state;
    struct document document;
    struct text text;
    struct html html;
    struct error error = {0};
    static const char *const headings[] = {"figure", "value"};
    document_init(&document);
    text_init(&text);
    html_init(&html, &text);
    document_words(&document, BLOCK_ANSWER, "<b>\"R\" & 'R'</b>");
    document_words(&document, BLOCK_HEADING, "Heads");
    document_words(&document, BLOCK_CAUTION, "Take care.");
    document_words(&document, BLOCK_VERBATIM, "shape: any\n");
    document_meaning(&document, "R", "the risk");
    struct table *table = document_results(&document, "r", "Results", "A note.", headings, 2);
    table_text(table, "<mean>");
    table_decimals(table, 2, 1.5);
    assert_int_equal(document_write_html(&html, &document, NULL, NULL, &error), ERROR_NONE);
    assert_true(strstr(text.bytes, "&lt;b&gt;") != NULL);
    assert_true(markup_is_drawn(text.bytes));
    text_free(&text);
    document_clear(&document);
}

static void what_figures_are_written_as(void **state)
{
    (void)state;
    assert_true(markup_is_drawn(""));
    assert_true(markup_is_drawn("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\">"
                                "<g class=\"rl-line-main\"><path d=\"M1 1h2z\"/></g></svg>"));
    assert_true(markup_is_drawn("<p>a &amp; b &#39;c&#x27;</p>"));
}

static void nothing_else(void **state)
{
    (void)state;
    static const char *const refused[] = {
        "<script>alert(1)</script>",
        "<p onclick=\"alert(1)\">a</p>",
        "<p style=\"position:fixed\">a</p>",
        "<a href=\"javascript:alert(1)\">a</a>",
        "<svg><a xlink:href=\"javascript:alert(1)\"/></svg>",
        "<svg><use href=\"#a\"/></svg>",
        "<svg><foreignObject></foreignObject></svg>",
        "<svg><animate attributeName=\"d\"/></svg>",
        "<img src=\"/data\">",
        "<form action=\"/data/import\"></form>",
        "<iframe></iframe>",
        "<style>p{}</style>",
        "<meta http-equiv=\"refresh\">",
        "<base href=\"/\">",
        "<!-- --><p></p>",
        "<![CDATA[ ]]>",
        "<?xml?>",
        "<p class='a'>a</p>",
        "<p class=a>a</p>",
        "<p class>a</p>",
        "<p\nclass=\"a\">a</p>",
        "<p class=\"a\"onclick=\"b\">a</p>",
        "<path fill=\"url(http://a.example)\"/>",
        "<P>a</P>",
        "<p>a",
        "a</p>",
        "</main>",
        "<p><b>a</p></b>",
        "<p>a > b</p>",
        "a & b",
        "a &b",
        "<",
        "<p",
        "<p class=\"a",
        "</",
    };
    for (size_t i = 0; i < sizeof refused / sizeof refused[0]; i++)
        if (markup_is_drawn(refused[i]))
            fail_msg("'%s' would be shown", refused[i]);
}

/* An element in an element, too many of them. */
static void a_bounded_depth(void **state)
{
    (void)state;
    struct text text;
    text_init(&text);
    for (int i = 0; i < 100000; i++)
        text_append(&text, "<g>");
    assert_false(markup_is_drawn(text.bytes));
    text_free(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_documents_are_written_as),
        cmocka_unit_test(what_figures_are_written_as),
        cmocka_unit_test(nothing_else),
        cmocka_unit_test(a_bounded_depth),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
