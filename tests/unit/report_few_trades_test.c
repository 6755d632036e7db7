/* No trade, one, only winners, only losers, all alike: every way out of a study
 * says so, and shows no number that is none. */
#include "answer/answer.h"
#include "document/document_write.h"
#include "evidence/study_run.h"
#include "report/report.h"

#include <ctype.h>
#include <jansson.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "sample.h"

enum { APART = 30, WARM = 120 };

/* Entry at the open after an inverted hammer, 0.60 R above the stop; out at the
 * close of the bar of the entry. */
static const char text_of_setup[] = "setup: marked\nside: long\ncandle: {shape: inverted-hammer}\n"
                                    "entry: {on: next_open}\n"
                                    "stop: {at: candle_low, buffer_ticks: 50}\n"
                                    "exit: {time_stop: 1}\n";

/* Quiet bars that are no inverted hammers, and one that is every APART bars; the
 * second bar after it closes `move(k)` above the entry at 100.10. */
static void make_market(struct bars *bars, size_t trades, double (*move)(size_t))
{
    bars_init(bars);
    for (size_t i = 0; i < WARM; i++)
        add_bar(bars, 100, 100.5, 99.5, 100);
    for (size_t k = 0; k < trades; k++) {
        double close = 100.1 + move(k);
        add_bar(bars, 100, 101.5, 100, 100.1);
        add_bar(bars, 100.1, 100.5, 99.8, 100.1);
        add_bar(bars, 100.1, fmax(100.5, close), fmin(99.8, close), close);
        for (size_t i = 3; i < APART; i++)
            add_bar(bars, 100, 100.5, 99.5, 100);
    }
}

/* A study and all that is written of it. */
struct told {
    struct study study;
    struct text plain; /* opening, tables, CSV */
    struct text json;
    struct text html;
    json_t *read;
};

/* Whether `word` stands in the text as a word of its own. */
static bool says(const struct text *text, const char *word)
{
    size_t length = strlen(word);
    for (const char *at = strstr(text->bytes, word); at != NULL; at = strstr(at + 1, word)) {
        bool before = at > text->bytes && isalpha((unsigned char)at[-1]);
        if (!before && !isalpha((unsigned char)at[length]))
            return true;
    }
    return false;
}

static void write_html(struct told *told, const struct document *document)
{
    struct error error;
    const struct report_setup written = {"marked", text_of_setup};
    struct report_target target = {.file = &told->html,
                                   .form = REPORT_HTML,
                                   .facts = {.version = "0.0",
                                             .command = "rushlight study",
                                             .data_hash = "abc",
                                             .range = "2001-01-01 to 2006-01-01",
                                             .seed = 1,
                                             .resamples = 500}};
    target.setups = &written;
    target.setup_count = 1;
    assert_int_equal(typesetter_new(&target.typesetter, &error), 0);
    assert_int_equal(report_write(&target, document, &error), 0);
    typesetter_free(target.typesetter);
}

static void tell(struct told *told, size_t trades, double (*move)(size_t))
{
    struct bars bars;
    struct setup setup;
    struct instrument instrument;
    struct document document;
    struct json json;
    struct error error;
    const struct study_options options = {.resamples = 500,
                                          .seed = 1,
                                          .threads = 1,
                                          .next_trades = 20,
                                          .risk = 0.01};
    make_market(&bars, trades, move);
    setup_from(&setup, text_of_setup);
    instrument_init(&instrument, "marked");
    const struct study_series series = {.instrument = &instrument,
                                        .bars = &bars,
                                        .terms = {.tick = {0.01, 1, 2}, .point_value = 1}};
    assert_int_equal(study_run(&told->study, &setup, &series, 1, &options, &error), 0);
    text_init(&told->plain);
    text_init(&told->json);
    text_init(&told->html);
    document_init(&document);
    answer_study(&document, &told->study, &setup, NULL);
    document_write_text(&told->plain, &document);
    study_csv(&told->plain, &told->study);
    json_init(&json, &told->json, JSON_TIGHT);
    json_begin_object(&json);
    study_json(&json, &told->study, &setup, NULL);
    json_end_object(&json);
    write_html(told, &document);
    document_clear(&document);
    told->read = json_loads(told->json.bytes, 0, NULL);
    assert_non_null(told->read);
    const struct text *texts[] = {&told->plain, &told->json, &told->html};
    for (size_t i = 0; i < 3; i++)
        assert_false(says(texts[i], "nan") || says(texts[i], "inf"));
    assert_int_equal(json_integer_value(json_object_get(told->read, "closed")), trades);
    setup_free(&setup);
    bars_free(&bars);
}

static void forget(struct told *told)
{
    json_decref(told->read);
    text_free(&told->plain);
    text_free(&told->json);
    text_free(&told->html);
    study_free(&told->study);
}

/* A number of the JSON; NaN for null. */
static double told_number(const struct told *told, const char *name, const char *member)
{
    json_t *value = json_object_get(told->read, name);
    assert_non_null(value);
    value = member != NULL ? json_object_get(value, member) : value;
    assert_non_null(value);
    return json_is_null(value) ? NAN : json_number_value(value);
}

static double rise(size_t k)
{
    (void)k;
    return 0.3;
}

static double varied_rise(size_t k)
{
    return 0.06 * (double)(1 + k * 7 % 10);
}

static double varied_fall(size_t k)
{
    return -0.06 * (double)(1 + k * 7 % 5);
}

static void test_none(void **state)
{
    (void)state;
    struct told told;
    tell(&told, 0, rise);
    assert_true(isnan(told_number(&told, "mean_r", "value")));
    assert_true(isnan(told_number(&told, "win_rate", "value")));
    assert_non_null(strstr(told.plain.bytes, "nothing happened: no candle"));
    assert_non_null(strstr(told.html.bytes, "nothing happened: no candle"));
    forget(&told);
}

/* 0.30 on 0.60 at risk is 0.5 R. One win of one: Wilson's lower limit is
 * 1 / (1 + z^2) = 0.2065 (Wilson 1927), the upper one 1; the loss that was never
 * seen counts as -1 R, so from 1.5 * 0.2065 - 1 to 0.5. */
static void test_one(void **state)
{
    (void)state;
    struct told told;
    tell(&told, 1, rise);
    assert_near(told_number(&told, "mean_r", "value"), 0.5, 1e-9);
    assert_near(told_number(&told, "win_rate", "low"), 0.206549, 1e-6);
    assert_near(told_number(&told, "mean_r", "low"), 0.206549 * 1.5 - 1, 2e-6);
    assert_near(told_number(&told, "mean_r", "high"), 0.5, 1e-9);
    assert_true(isnan(told_number(&told, "mean_r", "p")));
    assert_true(isnan(told_number(&told, "sd_r", NULL)));
    assert_true(isnan(told_number(&told, "profit_factor", NULL)));
    assert_non_null(strstr(told.plain.bytes, "with so few trades"));
    forget(&told);
}

/* The same 0.5 R on sixty dates: no spread, and so no p and no bootstrap. */
static void test_all_alike(void **state)
{
    (void)state;
    struct told told;
    tell(&told, 60, rise);
    assert_near(told_number(&told, "mean_r", "value"), 0.5, 1e-9);
    assert_near(told_number(&told, "sd_r", NULL), 0, 1e-9);
    assert_true(isnan(told_number(&told, "mean_r", "p")));
    assert_near(told_number(&told, "median_r", NULL), 0.5, 1e-9);
    assert_non_null(strstr(told.plain.bytes, "with trades so much alike"));
    assert_null(strstr(told.plain.bytes, "about 0 such trades"));
    forget(&told);
}

/* Results of 0.1 to 1.0 R, six of each: a mean of 0.55 and a standard deviation
 * of sqrt(60 * 0.0825 / 59). Nothing lost: no profit factor, no drawdown. */
static void test_winners(void **state)
{
    (void)state;
    struct told told;
    tell(&told, 60, varied_rise);
    assert_near(told_number(&told, "mean_r", "value"), 0.55, 1e-9);
    assert_near(told_number(&told, "sd_r", NULL), sqrt(60 * 0.0825 / 59), 1e-9);
    assert_near(told_number(&told, "win_rate", "value"), 1, 0);
    assert_near(told_number(&told, "win_rate", "high"), 1, 0);
    assert_true(told_number(&told, "mean_r", "low") > 0);
    assert_true(told_number(&told, "mean_r", "p") < 0.01);
    assert_near(told_number(&told, "max_drawdown_r", NULL), 0, 0);
    assert_near(told_number(&told, "longest_losing_streak", NULL), 0, 0);
    assert_true(isnan(told_number(&told, "profit_factor", NULL)));
    assert_non_null(strstr(told.plain.bytes, "Gained, and the candle has a part"));
    forget(&told);
}

/* Results of -0.1 to -0.5 R, twelve of each: everything is drawdown, 18 R. */
static void test_losers(void **state)
{
    (void)state;
    struct told told;
    tell(&told, 60, varied_fall);
    assert_near(told_number(&told, "mean_r", "value"), -0.3, 1e-9);
    assert_near(told_number(&told, "win_rate", "value"), 0, 0);
    assert_near(told_number(&told, "win_rate", "low"), 0, 0);
    assert_near(told_number(&told, "max_drawdown_r", NULL), 18, 1e-8);
    assert_near(told_number(&told, "longest_losing_streak", NULL), 60, 0);
    assert_near(told_number(&told, "expected_losing_streak", NULL), 60, 1e-9);
    assert_near(told_number(&told, "profit_factor", NULL), 0, 0);
    assert_true(told_number(&told, "mean_r", "p") > 0.99);
    assert_non_null(strstr(told.plain.bytes, "Lost, more than luck"));
    forget(&told);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_none),      cmocka_unit_test(test_one),
        cmocka_unit_test(test_all_alike), cmocka_unit_test(test_winners),
        cmocka_unit_test(test_losers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
