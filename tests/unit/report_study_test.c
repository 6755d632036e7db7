/* The report of a study holds all it needs and shows no number that is none. */
#define _POSIX_C_SOURCE 200809L /* strdup */
#include "answer/answer.h"
#include "demo/market.h"
#include "document/cautions.h"
#include "evidence/study_run.h"
#include "report/report.h"

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

/* The first instruments of the demo market. */
struct some_market {
    struct demo_market market;
    struct demo_series demo[MOST];
    struct study_series series[MOST];
};

static void open_market(struct some_market *some)
{
    struct error error;
    assert_int_equal(demo_market_init(&some->market, DEMO_SEED, &error), 0);
    for (size_t i = 0; i < MOST; i++) {
        struct demo_series *demo = &some->demo[i];
        assert_int_equal(demo_series_make(&some->market, i, demo, &error), 0);
        some->series[i] = (struct study_series){.instrument = &demo->instrument,
                                                .bars = &demo->daily,
                                                .terms = {.tick = demo->instrument.tick,
                                                          .point_value = 1}};
    }
}

static void close_market(struct some_market *some)
{
    for (size_t i = 0; i < MOST; i++)
        demo_series_free(&some->demo[i]);
    demo_market_free(&some->market);
}

static const struct study_options options = {.resamples = 500,
                                             .seed = 1,
                                             .threads = 2,
                                             .next_trades = 50,
                                             .risk = 0.01,
                                             .resampled_markets = 20};

static const char hammers[] = "setup: hammers\nside: long\ncandle: {shape: hammer}\n"
                              "entry: {on: next_open}\nstop: {at: candle_low}\n"
                              "exit: {targets: [{r: 1}], time_stop: 20}\n";

static const struct report_setup written[] = {{"hammers", "setup: <x>"}, {"others", "setup: y"}};

/* Where a report goes; to be freed with close_target. */
static struct report_target open_target(struct text *file, enum report_form form)
{
    struct error error;
    struct report_target target = {.file = file,
                                   .form = form,
                                   .setups = written,
                                   .setup_count = 1,
                                   .facts = {"0.0", "rushlight study 'a b'", "abc",
                                             "1990-01-01 to 2020-12-31", 1, 500}};
    assert_int_equal(typesetter_new(&target.typesetter, &error), 0);
    text_init(file);
    return target;
}

/* Writes the document and lets go of it. */
static void write_document(const struct report_target *target, struct document *document)
{
    struct error error = {0};
    assert_int_equal(report_write(target, document, &error), 0);
    document_clear(document);
}

static struct setup read_setup(const char *text)
{
    struct setup setup;
    struct error error;
    assert_int_equal(setup_read(&setup, "test", text, strlen(text), &error), 0);
    return setup;
}

static void write_report(struct text *html, const char *setup_text, const char *title,
                         enum report_form form)
{
    struct some_market some;
    struct study study;
    struct error error = {0};
    struct report_target target = open_target(html, form);
    struct setup setup = read_setup(setup_text);
    free(setup.title);
    setup.title = strdup(title);
    open_market(&some);
    assert_int_equal(study_run(&study, &setup, some.series, MOST, &options, &error), 0);
    struct document document;
    document_init(&document);
    answer_study(&document, &study, &setup, NULL);
    write_document(&target, &document);
    typesetter_free(target.typesetter);
    study_free(&study);
    setup_free(&setup);
    close_market(&some);
}

static void test_report(void **state)
{
    (void)state;
    struct text html;
    write_report(&html,
                 "setup: hammers\nside: long\ncandle: {shape: inverted-hammer}\n"
                 "place: [{lowest_low: {bars: 5}}]\nentry: {on: next_open}\n"
                 "stop: {at: candle_low}\nexit: {targets: [{r: 1}], time_stop: 20}\n",
                 "Hammers <script>alert(1)</script> & co", REPORT_HTML);
    assert_int_equal(count_of(html.bytes, "<svg"), 12);
    assert_int_equal(count_of(html.bytes, "<figcaption>"), 12);
    assert_int_equal(count_of(html.bytes, "<script"), 0);
    assert_int_equal(count_of(html.bytes, "&lt;script&gt;"), 3);
    assert_int_equal(count_of(html.bytes, "nan"), 0);
    assert_int_equal(count_of(html.bytes, " src="), 0);
    assert_int_equal(count_of(html.bytes, "href=\"http"), 0);
    assert_non_null(strstr(html.bytes, "rushlight study "));
    assert_non_null(strstr(html.bytes, caution_results));
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
                 "stop: {at: candle_low}\nexit: {time_stop: 5}\n",
                 "Never", REPORT_HTML);
    assert_non_null(strstr(html.bytes, "No trade to judge it by."));
    assert_int_equal(count_of(html.bytes, "<svg"), 0);
    assert_int_equal(count_of(html.bytes, "nan"), 0);
    text_free(&html);
}

/* Pages: a PDF (ISO 32000-1, 7.5.2: begins with %PDF-), of more than one page
 * where there is something to say; the same study gives the same bytes. */
static void test_pages(void **state)
{
    (void)state;
    struct text first;
    struct text again;
    write_report(&first, hammers, "Hammers", REPORT_PDF);
    write_report(&again, hammers, "Hammers", REPORT_PDF);
    assert_memory_equal(first.bytes, "%PDF-", 5);
    assert_true(first.length > 10000);
    assert_int_equal(first.length, again.length);
    assert_memory_equal(first.bytes, again.bytes, first.length);
    text_free(&first);
    text_free(&again);
}

/* What both forms must hold of any report. */
static void check_written(const struct text *file, enum report_form form, size_t figures)
{
    if (form == REPORT_PDF) {
        assert_memory_equal(file->bytes, "%PDF-", 5);
        return;
    }
    assert_int_equal(count_of(file->bytes, "<svg"), figures);
    assert_int_equal(count_of(file->bytes, "nan"), 0);
    assert_int_equal(count_of(file->bytes, "nothing to show"), 0);
    assert_non_null(strstr(file->bytes, "@font-face"));
    assert_non_null(strstr(file->bytes, caution_results));
}

/* Two setups: four figures, both setups written out, two tables. */
static void test_comparison(void **state)
{
    (void)state;
    struct some_market some;
    struct setup first = read_setup(hammers);
    struct setup second = read_setup("setup: others\nside: long\ncandle: {shape: hammer}\n"
                                     "entry: {on: break_of_high}\nstop: {at: candle_low}\n"
                                     "exit: {targets: [{r: 1}], time_stop: 20}\n");
    const struct setup *const both[] = {&first, &second};
    struct setup_comparison comparison;
    struct error error = {0};
    open_market(&some);
    assert_int_equal(comparison_run(&comparison, both, some.series, MOST, &options, &error), 0);
    assert_true(comparison.both > 20);
    for (enum report_form form = REPORT_HTML; form <= REPORT_PDF; form++) {
        struct text file;
        struct report_target target = open_target(&file, form);
        target.setup_count = 2;
        struct document document;
        document_init(&document);
        answer_comparison(&document, &comparison);
        write_document(&target, &document);
        check_written(&file, form, 4);
        if (form == REPORT_HTML) {
            assert_non_null(strstr(file.bytes, "hammers against others"));
            assert_int_equal(count_of(file.bytes, "<table>"), 2);
            assert_int_equal(count_of(file.bytes, "<pre>"), 3);
        }
        typesetter_free(target.typesetter);
        text_free(&file);
    }
    comparison_free(&comparison);
    close_market(&some);
    setup_free(&first);
    setup_free(&second);
}

/* A strip and a map: a figure each, the setup's own value marked in both. */
static void test_sensitivity(void **state)
{
    (void)state;
    struct some_market some;
    struct setup setup = read_setup(hammers);
    struct named_number numbers[NUMBER_LIMIT];
    struct sensitivity found[2];
    struct error error = {0};
    open_market(&some);
    assert_true(setup_numbers(&setup, numbers) >= 2);
    const struct named_number *const moved[] = {&numbers[0], &numbers[1]};
    struct swept swept;
    assert_int_equal(swept_init(&swept, some.series, MOST, &error), 0);
    for (size_t i = 0; i < 2; i++)
        assert_int_equal(sensitivity_run(&found[i], &setup, moved, i + 1, some.series, &swept,
                                         &options, NULL, &error),
                         0);
    swept_free(&swept);
    for (enum report_form form = REPORT_HTML; form <= REPORT_PDF; form++) {
        struct text file;
        struct report_target target = open_target(&file, form);
        struct document document;
        document_init(&document);
        answer_sensitivity(&document, "hammers", found, 2);
        write_document(&target, &document);
        check_written(&file, form, 2);
        if (form == REPORT_HTML) {
            assert_non_null(strstr(file.bytes, ", as it is ("));
            assert_int_equal(count_of(file.bytes, ", as is<"), 2);
            assert_int_equal(count_of(file.bytes, "<table>"), 3);
        }
        typesetter_free(target.typesetter);
        text_free(&file);
    }
    for (size_t i = 0; i < 2; i++)
        sensitivity_free(&found[i]);
    close_market(&some);
    setup_free(&setup);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_report),      cmocka_unit_test(test_report_without_trades),
        cmocka_unit_test(test_pages),       cmocka_unit_test(test_comparison),
        cmocka_unit_test(test_sensitivity),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
