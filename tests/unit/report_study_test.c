/* The report of a study holds all it needs and shows no number that is none. */
#define _POSIX_C_SOURCE 200809L /* strdup */
#include "demo/market.h"
#include "report/study_report.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { MOST = 8 };

static size_t count_of(const char *text, const char *what)
{
    size_t count = 0;
    for (const char *at = strstr(text, what); at != NULL; at = strstr(at + 1, what))
        count++;
    return count;
}

/* A report over the first instruments of the demo market. */
static void write_report(struct text *html, const char *setup_text, const char *title, bool pages)
{
    struct demo_market market;
    struct demo_series demo[MOST];
    struct study_series series[MOST];
    struct setup setup;
    struct study study;
    struct typesetter *typesetter = NULL;
    struct error error = {0};
    const struct study_options options = {.resamples = 500,
                                          .seed = 1,
                                          .threads = 2,
                                          .next_trades = 50,
                                          .risk = 0.01};
    const struct report_facts facts = {"0.0", "setup: <x>", "rushlight study 'a b'", "abc", 1, 500};
    assert_int_equal(setup_read(&setup, "test", setup_text, strlen(setup_text), &error), 0);
    free(setup.title);
    setup.title = strdup(title);
    assert_int_equal(demo_market_init(&market, DEMO_SEED, &error), 0);
    for (size_t i = 0; i < MOST; i++) {
        assert_int_equal(demo_series_make(&market, i, &demo[i], &error), 0);
        series[i] = (struct study_series){.instrument = &demo[i].instrument,
                                          .bars = &demo[i].daily,
                                          .terms = {.tick = demo[i].instrument.tick,
                                                    .point_value = 1}};
    }
    assert_int_equal(study_run(&study, &setup, series, MOST, &options, &error), 0);
    assert_int_equal(typesetter_new(&typesetter, &error), 0);
    text_init(html);
    assert_int_equal((pages ? study_report_pdf : study_report_html)(html, &study, &setup, NULL,
                                                                    &facts, typesetter, &error),
                     0);
    typesetter_free(typesetter);
    study_free(&study);
    setup_free(&setup);
    for (size_t i = 0; i < MOST; i++)
        demo_series_free(&demo[i]);
    demo_market_free(&market);
}

static void test_report(void **state)
{
    (void)state;
    struct text html;
    write_report(&html,
                 "setup: hammers\nside: long\ncandle: {shape: inverted-hammer}\n"
                 "place: [{lowest_low: {bars: 5}}]\nentry: {on: next_open}\n"
                 "stop: {at: candle_low}\nexit: {targets: [{r: 1}], time_limit: 20}\n",
                 "Hammers <script>alert(1)</script> & co", false);
    assert_int_equal(count_of(html.bytes, "<svg"), 6);
    assert_int_equal(count_of(html.bytes, "<figcaption>"), 6);
    assert_int_equal(count_of(html.bytes, "<script"), 0);
    assert_int_equal(count_of(html.bytes, "&lt;script&gt;"), 3);
    assert_int_equal(count_of(html.bytes, "nan"), 0);
    assert_int_equal(count_of(html.bytes, " src="), 0);
    assert_int_equal(count_of(html.bytes, "href=\"http"), 0);
    assert_non_null(strstr(html.bytes, "rushlight study "));
    assert_non_null(strstr(html.bytes, study_caution));
    assert_int_equal(count_of(html.bytes, "<table>"), count_of(html.bytes, "</table>"));
    text_free(&html);
}

static void test_report_without_trades(void **state)
{
    (void)state;
    struct text html;
    write_report(&html,
                 "setup: never\nside: long\ncandle: {shape: any}\n"
                 "place: [{fall: {bars: 5, atr: 99}}]\nentry: {on: next_open}\n"
                 "stop: {at: candle_low}\nexit: {time_limit: 5}\n",
                 "Never", false);
    assert_non_null(strstr(html.bytes, "Nothing can be said"));
    assert_int_equal(count_of(html.bytes, "<svg"), 0);
    assert_int_equal(count_of(html.bytes, "nan"), 0);
    text_free(&html);
}

/* Pages: a PDF (ISO 32000-1, 7.5.2: begins with %PDF-), of more than one page
 * where there is something to say; the same study gives the same bytes. */
static void test_pages(void **state)
{
    (void)state;
    static const char setup[] = "setup: hammers\nside: long\ncandle: {shape: hammer}\n"
                                "entry: {on: next_open}\nstop: {at: candle_low}\n"
                                "exit: {targets: [{r: 1}], time_limit: 20}\n";
    struct text first;
    struct text again;
    write_report(&first, setup, "Hammers", true);
    write_report(&again, setup, "Hammers", true);
    assert_memory_equal(first.bytes, "%PDF-", 5);
    assert_true(first.length > 10000);
    assert_int_equal(first.length, again.length);
    assert_memory_equal(first.bytes, again.bytes, first.length);
    text_free(&first);
    text_free(&again);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_report),
        cmocka_unit_test(test_report_without_trades),
        cmocka_unit_test(test_pages),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
