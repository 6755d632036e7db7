/* What a table of results becomes in each of its forms. */
#include "document/table_write.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

static const struct column columns[] = {
    {"figure", "figure", COLUMN_TEXT, 0, ""},
    {"value", "value", COLUMN_FIGURE, 0, "R"},
    {"interval", "95% interval", COLUMN_FIGURE, 0, "R"},
    {"note", "note", COLUMN_TEXT, 0, ""},
};

static void fill(struct table *table)
{
    table_init(table, "results", columns, 4);
    table_set_words(table, "Results in R", "How to read it.");
    table->missing = "\xe2\x80\x93";
    table_text(table, "mean <of all>");
    table_signed(table, 3, 0.25);
    table_signed_range(table, 2, -0.5, 1);
    table_blank(table, 1);
    table_text(table, "trades");
    table_integer(table, 40);
    table_range(table, 1, NAN, 2);
    table_format(table, "%d of %d", 3, 4);
    table_text(table, "profit factor");
    table_decimals(table, 2, INFINITY);
    table_blank(table, 2);
}

static void results_in_text(void **state)
{
    (void)state;
    struct table table;
    struct outlet outlet = {.pass = NULL};
    text_init(&outlet.text);
    fill(&table);
    table_write_text(&outlet, &table, 2);
    assert_string_equal(outlet.text.bytes,
                        "  figure          value    95% interval  note\n"
                        "  mean <of all>  +0.250  -0.50 to +1.00\n"
                        "  trades             40               \xe2\x80\x93  3 of 4\n"
                        "  profit factor       \xe2\x80\x93\n");
    text_free(&outlet.text);
    table_free(&table);
}

static void results_as_data(void **state)
{
    (void)state;
    struct table table;
    struct outlet outlet = {.pass = NULL};
    struct json json;
    text_init(&outlet.text);
    fill(&table);
    table_write_csv_head(&outlet, &table, true);
    table_write_csv_rows(&outlet, &table, true);
    assert_string_equal(outlet.text.bytes, "figure,value,interval,note\n"
                                           "mean <of all>,0.25,-0.5 to 1,\n"
                                           "trades,40,,3 of 4\n"
                                           "profit factor,inf,,\n");
    text_clear(&outlet.text);
    json_init(&json, &outlet.text, JSON_TIGHT);
    json_begin_array(&json);
    table_write_json_rows(&json, &table);
    json_end_array(&json);
    assert_string_equal(
        outlet.text.bytes,
        "[{\"figure\":\"mean <of all>\",\"value\":0.25,\"interval\":[-0.5,1],\"note\":null},"
        "{\"figure\":\"trades\",\"value\":40,\"interval\":[null,2],\"note\":\"3 of 4\"},"
        "{\"figure\":\"profit factor\",\"value\":null,\"interval\":null,\"note\":null}]");
    text_free(&outlet.text);
    table_free(&table);
}

static void results_in_html(void **state)
{
    (void)state;
    struct table table;
    struct text text;
    struct html html;
    text_init(&text);
    html_init(&html, &text);
    fill(&table);
    table_write_html(&html, &table);
    assert_int_equal(html.depth, 0);
    assert_string_equal(
        text.bytes,
        "<div class=\"wide\"><table><thead><tr><th scope=\"col\">figure</th><th scope=\"col\">value"
        "</th><th scope=\"col\">95% interval</th><th scope=\"col\" class=\"word\">note</th></tr>"
        "</thead>\n<tbody><tr><th scope=\"row\">mean &lt;of all&gt;</th><td>+0.250</td>"
        "<td>−0.50 to +1.00</td><td class=\"word\"></td></tr>\n"
        "<tr><th scope=\"row\">trades</th><td>40</td><td>\xe2\x80\x93</td>"
        "<td class=\"word\">3 of 4</td></tr>\n"
        "<tr><th scope=\"row\">profit factor</th><td>\xe2\x80\x93</td><td></td>"
        "<td class=\"word\"></td></tr>\n</tbody></table></div>\n");
    text_free(&text);
    table_free(&table);
}

/* A million rows on their way out are never held. */
static void count_bytes(void *context, const char *bytes, size_t length)
{
    (void)bytes;
    *(size_t *)context += length;
}

static void long_answers_are_not_held(void **state)
{
    (void)state;
    size_t passed = 0;
    size_t most = 0;
    struct table table;
    struct table_stream stream;
    table_init(&table, "rows", columns, 4);
    table_stream_init(&stream, TABLE_CSV, "0", count_bytes, &passed);
    table.stream = &stream;
    for (size_t i = 0; i < 200000; i++) {
        table_text(&table, "a");
        table_number(&table, 1);
        table_integer(&table, 2);
        table_blank(&table, 1);
        if (i % 100 == 99)
            table_flush(&table);
        most = table.cells.capacity > most ? table.cells.capacity : most;
    }
    assert_true(table_stream_end(&stream, &table, NULL));
    assert_int_equal(table.row_count, 200000);
    assert_int_equal(passed, strlen("figure,value,interval,note\n") + 200000 * strlen("a,1,2,\n"));
    assert_true(most < 10000);
    table_stream_free(&stream);
    table_free(&table);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(results_in_text),
        cmocka_unit_test(results_as_data),
        cmocka_unit_test(results_in_html),
        cmocka_unit_test(long_answers_are_not_held),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
