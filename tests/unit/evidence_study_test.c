/* The study as a whole, on the demo market, where what is there is known. */
#include "answer/answer_parts.h"
#include "base/random.h"
#include "document/document_write.h"
#include "evidence/compare.h"
#include "evidence/sensitivity.h"
#include "evidence/study_run.h"
#include "evidence/summary.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "demo_sample.h"

static const char low_inverted_hammer[] = "setup: low-inverted-hammer\n"
                                          "title: Inverted hammer at the bottom of a fall\n"
                                          "side: long\n"
                                          "candle: {shape: inverted-hammer}\n"
                                          "place:\n"
                                          "  - downtrend: {bars: 10, fall_atr: 1}\n"
                                          "  - lowest_low: {bars: 10}\n"
                                          "entry: {on: break_of_high, valid: 3, buffer_ticks: 1}\n"
                                          "stop: {at: candle_low, buffer_ticks: 1}\n"
                                          "exit: {targets: [{r: 2.5, share: 1}], time_stop: 40}\n";

static struct setup read_setup(const char *text)
{
    struct setup setup;
    struct error error = {0};
    if (setup_read(&setup, "test", text, strlen(text), &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    return setup;
}

/* The planted instruments, or the others. */
static size_t choose(struct study_series *series, bool planted)
{
    size_t count = 0;
    for (size_t i = 0; i < demo_roster_count; i++) {
        if (demo_roster[i].planted != planted)
            continue;
        series[count++] = (struct study_series){
            .instrument = &all[i].instrument,
            .bars = &all[i].daily,
            .terms = {.tick = all[i].instrument.tick,
                      .point_value = all[i].instrument.point_value,
                      .ended = all[i].daily.count < 3000},
        };
    }
    return count;
}

static const struct study_options options = {.resamples = 2000,
                                             .resampled_markets = 0,
                                             .seed = 1,
                                             .threads = 2};

static struct study run(const char *text, bool planted, const struct study_options *how,
                        struct setup *setup)
{
    struct study_series series[MOST];
    struct study study;
    struct error error = {0};
    size_t count = choose(series, planted);
    *setup = read_setup(text);
    if (study_run(&study, setup, series, count, how, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    return study;
}

static void print_opening(const struct study *study, const struct setup *setup)
{
    struct text text;
    text_init(&text);
    study_answer(&text, setup->title, study, NULL);
    study_opening(&text, study, NULL);
    print_message("%s", text.bytes);
    text_free(&text);
}

/* The planted effect is found: in the mean, against the place, and in what
 * followed (docs/method.md 10.10, 10.24, 10.25). */
static void test_finds_what_is_there(void **state)
{
    (void)state;
    struct setup setup;
    struct study study = run(low_inverted_hammer, true, &options, &setup);
    print_opening(&study, &setup);
    assert_true(study.closed > 40);
    assert_true(study.mean_r.low > 0 && study.mean_r.p < 0.01);
    assert_true(study.candle.control.difference.low > 0);
    assert_true(study.followed[4].difference.low > 0);
    assert_true(study.place.control.difference.value > 0);
    study_free(&study);
    setup_free(&setup);
}

/* And where there is nothing, nothing is said. */
static void test_finds_nothing_elsewhere(void **state)
{
    (void)state;
    struct setup setup;
    struct study study = run(low_inverted_hammer, false, &options, &setup);
    print_opening(&study, &setup);
    assert_true(study.closed > 40);
    assert_true(study.candle.control.difference.low < 0 &&
                study.candle.control.difference.high > 0);
    assert_int_equal(study.ended, 2);
    study_free(&study);
    setup_free(&setup);
}

/* The sums agree with the list of trades that they are of. */
static void test_sums_agree(void **state)
{
    (void)state;
    struct setup setup;
    struct study study = run(low_inverted_hammer, false, &options, &setup);
    double sum = 0;
    size_t closed = 0;
    size_t wins = 0;
    size_t reached = 0;
    for (size_t i = 0; i < study.filled; i++) {
        const struct study_trade *trade = &study.trades[i];
        reached += trade->reach_r >= 2.5 - 1e-9;
        if (isnan(trade->r))
            continue;
        closed++;
        sum += trade->r;
        wins += trade->r > 0;
        assert_true(trade->reason != TRADE_TARGET || trade->reach_r >= 2.5 - 1e-9);
    }
    assert_int_equal(closed, study.closed);
    assert_true(fabs(sum / (double)closed - study.mean_r.value) < 1e-12);
    assert_true(fabs((double)wins / (double)closed - study.win_rate) < 1e-12);
    assert_true(fabs((double)reached / (double)study.filled - study.reach[3].share) < 1e-12);
    size_t in_years = 0;
    for (size_t c = 0; c < study.splits[SPLIT_YEAR].count; c++)
        in_years += study.splits[SPLIT_YEAR].cells[c].trades;
    assert_int_equal(in_years, closed);
    assert_true(study.same_bar_means[SAME_BAR_WORST].mean <=
                study.same_bar_means[SAME_BAR_BEST].mean);
    assert_true(fabs(study.same_bar_means[SAME_BAR_NEAREST].mean - study.mean_r.value) < 1e-12);
    study_free(&study);
    setup_free(&setup);
}

/* How many trades hung on the order within a bar is a fact of the bars, not of
 * what the setup assumes of it: counted from the trades that `worst` makes. */
static void test_counts_what_hung_alike(void **state)
{
    (void)state;
    size_t first = 0;
    for (int rule = SAME_BAR_NEAREST; rule <= SAME_BAR_FINER; rule++) {
        char text[sizeof low_inverted_hammer + 32];
        struct setup setup;
        size_t hung = 0;
        snprintf(text, sizeof text, "%ssame_bar: %s\n", low_inverted_hammer,
                 same_bar_name((enum same_bar_rule)rule));
        struct study study = run(text, false, &options, &setup);
        for (size_t i = 0; rule == SAME_BAR_WORST && i < study.filled; i++)
            hung += study.trades[i].same_bar;
        assert_true(rule != SAME_BAR_WORST || study.same_bar == hung);
        assert_true(study.same_bar > 0);
        first = rule == SAME_BAR_NEAREST ? study.same_bar : first;
        assert_int_equal(study.same_bar, first);
        study_free(&study);
        setup_free(&setup);
    }
}

/* The mean of one rebuilt market: the first instrument under a setup that compares its
 * close with that of another, which is the same bars. */
static double resampled_beside(const char *rule)
{
    char text[512];
    struct error error = {0};
    struct study study;
    struct study_options how = options;
    const struct other_bars other = {&all[0].daily, &all[0].instrument};
    const struct surroundings around = {.others = &other, .other_count = 1};
    const struct study_series series = {.instrument = &all[0].instrument,
                                        .bars = &all[0].daily,
                                        .around = &around,
                                        .terms = {.tick = all[0].instrument.tick,
                                                  .point_value = 1}};
    snprintf(text, sizeof text,
             "setup: beside\nside: long\ncandle: {shape: any}\n"
             "place: [{lowest_low: {bars: 10}}, {%s {value: close, above: {close: {of: %s}}}}%s]\n"
             "entry: {on: next_open}\nstop: {at: candle_low}\n"
             "exit: {targets: [{r: 2, share: 1}]}\n",
             rule, all[0].instrument.name, rule[0] == 'n' ? "}" : "");
    struct setup setup = read_setup(text);
    how.resampled_markets = 2;
    how.resamples = 99;
    if (study_run(&study, &setup, &series, 1, &how, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    double mean = study.resampled_mean;
    study_free(&study);
    setup_free(&setup);
    return mean;
}

/* Another instrument that the setup reads is drawn by the same dates: one with the
 * same bars has the same closes in every rebuilt market. */
static void test_others_are_drawn_alike(void **state)
{
    (void)state;
    assert_true(isnan(resampled_beside("compare:")));
    assert_true(!isnan(resampled_beside("not: {compare:")));
}

static void write_json(struct text *text, int threads)
{
    struct setup setup;
    struct study_options how = options;
    how.threads = threads;
    how.resampled_markets = 3;
    how.resamples = 500;
    struct study study = run(low_inverted_hammer, true, &how, &setup);
    struct json json;
    text_init(text);
    json_init(&json, text, JSON_TIGHT);
    json_begin_object(&json);
    study_json(&json, &study, &setup, NULL);
    json_end_object(&json);
    study_free(&study);
    setup_free(&setup);
}

static void test_threads_change_nothing(void **state)
{
    (void)state;
    struct text first;
    write_json(&first, 1);
    for (int threads = 2; threads <= 7; threads += 5) {
        struct text again;
        write_json(&again, threads);
        assert_string_equal(first.bytes, again.bytes);
        text_free(&again);
    }
    text_free(&first);
}

/* Without a trade there is a true sentence and no number that is none. */
static void test_no_trades(void **state)
{
    (void)state;
    struct setup setup;
    struct text text;
    struct document document;
    struct json json;
    struct study study = run("setup: never\nside: long\n"
                             "candle: {shape: any}\n"
                             "place: [{fall: {bars: 5, atr: 99}}]\n"
                             "entry: {on: next_open}\nstop: {at: candle_low}\n"
                             "exit: {time_stop: 5}\n",
                             false, &options, &setup);
    assert_int_equal(study.closed, 0);
    text_init(&text);
    document_init(&document);
    answer_study(&document, &study, &setup, NULL);
    document_write_text(&text, &document);
    assert_non_null(strstr(text.bytes, "No trade to judge it by."));
    assert_non_null(strstr(text.bytes, "95% interval"));
    json_init(&json, &text, JSON_TIGHT);
    json_begin_object(&json);
    study_json(&json, &study, &setup, NULL);
    json_end_object(&json);
    study_csv(&text, &study);
    for (size_t i = 0; i + 3 < text.length; i++)
        assert_true(strncmp(text.bytes + i, "nan", 3) != 0 &&
                    strncmp(text.bytes + i, "inf", 3) != 0);
    document_clear(&document);
    text_free(&text);
    study_free(&study);
    setup_free(&setup);
}

/* A confirmation that holds on every bar has nobody to be compared with; the
 * arms of each confirmation part the same candidates (docs/method.md 10.23). */
static void test_confirmations(void **state)
{
    (void)state;
    struct setup setup;
    struct study study = run("setup: confirmed\nside: long\n"
                             "candle: {shape: inverted-hammer}\n"
                             "place: [{lowest_low: {bars: 10}}]\n"
                             "confirm: {at_least: 1, of: [{rsi_below: {length: 14, level: 35}},\n"
                             "  {volume_above_average: {bars: 20, times: 1}}]}\n"
                             "entry: {on: next_open}\nstop: {at: candle_low}\n"
                             "exit: {targets: [{r: 1, share: 1}], time_stop: 20}\n",
                             false, &options, &setup);
    assert_int_equal(study.confirmation_count, 2);
    assert_string_equal(study.confirmations[0].name, "rsi_below");
    for (size_t k = 0; k < 2; k++)
        assert_int_equal(study.confirmations[k].signals[0] + study.confirmations[k].signals[1],
                         study.candidates);
    study_free(&study);
    setup_free(&setup);
}

/* A setup against itself differs in nothing; against the one that waits for a
 * close it agrees with the trades that each makes alone. */
static void test_comparison(void **state)
{
    (void)state;
    struct study_series series[MOST];
    struct setup_comparison comparison;
    struct error error = {0};
    size_t count = choose(series, false);
    struct setup first = read_setup(low_inverted_hammer);
    struct setup later = read_setup("setup: later\nside: long\n"
                                    "candle: {shape: inverted-hammer}\n"
                                    "place:\n  - downtrend: {bars: 10, fall_atr: 1}\n"
                                    "  - lowest_low: {bars: 10}\n"
                                    "entry: {on: close_above_high, valid: 3}\n"
                                    "stop: {at: candle_low, buffer_ticks: 1}\n"
                                    "exit: {targets: [{r: 2.5, share: 1}], time_stop: 40}\n");
    const struct setup *const same[2] = {&first, &first};
    assert_int_equal(comparison_run(&comparison, same, series, count, &options, &error), 0);
    assert_true(comparison.all.value == 0 && comparison.common.value == 0);
    /* No pair differs, and at least 20 have to (method.md 10.31). */
    assert_int_equal(comparison.all.method, ESTIMATE_NONE);
    assert_int_equal(comparison.missed[0] + comparison.missed[1], 0);
    assert_int_equal(comparison.both, comparison.filled[0]);
    comparison_free(&comparison);
    const struct setup *const two[2] = {&first, &later};
    assert_int_equal(comparison_run(&comparison, two, series, count, &options, &error), 0);
    assert_int_equal(comparison.own[0], comparison.candidates);
    assert_int_equal(comparison.filled[0], comparison.both + comparison.missed[1]);
    assert_int_equal(comparison.filled[1], comparison.both + comparison.missed[0]);
    assert_true(fabs(comparison.all.value - (comparison.mean[0] - comparison.mean[1])) < 1e-12);
    assert_true(comparison.filled[0] > comparison.filled[1]);
    assert_true(estimate_has_p(&comparison.all));
    comparison_free(&comparison);
    setup_free(&first);
    setup_free(&later);
}

/* The numbers of a setup by name; moving one moves that one alone, and the
 * setup as it is has the study's own mean. */
static void test_sensitivity(void **state)
{
    (void)state;
    struct study_series series[MOST];
    struct named_number numbers[NUMBER_LIMIT];
    double values[SWEEP_LIMIT];
    struct sensitivity strip;
    struct error error = {0};
    size_t count = choose(series, true);
    struct setup setup = read_setup(low_inverted_hammer);
    size_t found = setup_numbers(&setup, numbers);
    const struct named_number *target = NULL;
    const struct named_number *fall = NULL;
    for (size_t i = 0; i < found; i++) {
        target = strcmp(numbers[i].name, "exit.targets.1.r") == 0 ? &numbers[i] : target;
        fall = strcmp(numbers[i].name, "place.downtrend.bars") == 0 ? &numbers[i] : fall;
    }
    assert_non_null(target);
    assert_non_null(fall);
    assert_int_equal(sweep_values(fall, values), 7);
    const double expected[] = {5, 7, 9, 10, 12, 15, 20};
    assert_memory_equal(values, expected, sizeof expected);
    const double four = 4;
    struct setup moved;
    assert_int_equal(setup_with(&moved, &setup, &target, &four, 1, &error), 0);
    assert_true(moved.exit.targets[0].value == 4 && setup.exit.targets[0].value == 2.5);
    assert_int_equal(moved.exit.time_stop, setup.exit.time_stop);
    setup_free(&moved);
    struct swept swept;
    assert_int_equal(swept_init(&swept, series, count, &error), 0);
    assert_int_equal(sensitivity_run(&strip, &setup, &target, 1, series, &swept, &options, NULL,
                                     &error),
                     0);
    swept_free(&swept);
    struct setup again;
    struct study study = run(low_inverted_hammer, true, &options, &again);
    size_t own = 0;
    for (size_t i = 0; i < strip.cell_count; i++)
        own = strip.cells[i].own ? i : own;
    assert_true(strip.cells[own].mean.value == study.mean_r.value);
    assert_true(strip.cells[own].mean.low == study.mean_r.low);
    assert_int_equal(strip.cells[own].closed, study.closed);
    sensitivity_free(&strip);
    study_free(&study);
    setup_free(&again);
    setup_free(&setup);
}

static size_t filled_on(struct sheet *sheet, const struct setup *setup,
                        const struct trade_terms *terms)
{
    struct setup_view view;
    struct trades trades;
    struct error error;
    size_t filled = 0;
    assert_int_equal(setup_view_init(&view, setup, sheet, NULL, &error), 0);
    assert_int_equal(trades_find(&view, terms, 0, SIZE_MAX, true, &trades, &error), 0);
    for (size_t i = 0; i < trades.count; i++)
        filled += trade_filled(trades.list[i].reason);
    trades_free(&trades);
    sheet_free(sheet);
    return filled;
}

/* Days that end at 17:00 make other daily bars than those that end at midnight,
 * and a study reads the instrument's own, as trades does. */
static void test_session(void **state)
{
    (void)state;
    enum { HOURS = 3000 };
    struct bars bars;
    struct instrument instrument;
    struct error error = {0};
    struct random_stream stream;
    struct study study;
    double close = 500;
    struct setup setup = read_setup("setup: days\nside: long\ncandle: {shape: any}\n"
                                    "place: [{close_above_average: {bars: 3, interval: 1d}}]\n"
                                    "entry: {on: next_open}\nstop: {at: candle_low}\n"
                                    "exit: {targets: [{r: 1}], time_stop: 5}\n");
    bars_init(&bars);
    bars.interval = (struct interval){INTERVAL_HOUR, 1};
    random_start(&stream, 17, 0);
    for (int64_t i = 0; i < HOURS; i++) {
        double open = close;
        close += random_normal(&stream);
        assert_int_equal(bars_append(&bars,
                                     &(struct bar){i * 3600, open, fmax(open, close) + 1,
                                                   fmin(open, close) - 1, close, NAN},
                                     &error),
                         0);
    }
    assert_true(instrument_init(&instrument, "hours"));
    instrument.session_start = 17 * 60 - 24 * 60;
    const struct study_series series = {.instrument = &instrument,
                                        .bars = &bars,
                                        .terms = {.tick = {0.01, 1, 2}, .point_value = 1}};
    assert_int_equal(study_run(&study, &setup, &series, 1, &options, &error), 0);
    size_t by_session = filled_on(sheet_of_instrument(&bars, &instrument), &setup, &series.terms);
    size_t by_midnight = filled_on(sheet_new(&bars, NULL), &setup, &series.terms);
    assert_true(by_session != by_midnight);
    assert_int_equal(study.filled, by_session);
    study_free(&study);
    setup_free(&setup);
    bars_free(&bars);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_finds_what_is_there),
        cmocka_unit_test(test_finds_nothing_elsewhere),
        cmocka_unit_test(test_sums_agree),
        cmocka_unit_test(test_counts_what_hung_alike),
        cmocka_unit_test(test_threads_change_nothing),
        cmocka_unit_test(test_no_trades),
        cmocka_unit_test(test_confirmations),
        cmocka_unit_test(test_session),
        cmocka_unit_test(test_comparison),
        cmocka_unit_test(test_sensitivity),
        cmocka_unit_test(test_others_are_drawn_alike),
    };
    return cmocka_run_group_tests(tests, make_all, free_all);
}
