/* The three sentences of a study, over results made by hand: what is said follows
 * from the intervals alone, by definition, and never says more than they do. */
#include "answer/answer_parts.h"
#include "base/text.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

enum { DAY = 86400 };

static struct estimate estimate_of(double value, double low, double high)
{
    return (struct estimate){.method = ESTIMATE_STUDENT,
                             .value = value,
                             .low = low,
                             .high = high,
                             .p = 0.01,
                             .count = 200,
                             .dates = 180,
                             .freedom = 40};
}

static struct study made(double value, double low, double high)
{
    struct study study = {.bars = 4000,
                          .candidates = 900,
                          .signals = 400,
                          .filled = 200,
                          .closed = 200,
                          .last_time = (int64_t)(10 * 365.25) * DAY,
                          .mean_r = estimate_of(value, low, high),
                          .win_rate = 0.4,
                          .win_limits = {0.33, 0.47},
                          .longest_losing_streak = 1,
                          .max_drawdown_r = 12.34,
                          .least_mean_r = 0.2,
                          .candle = {.name = "candle"},
                          .place = {.name = "place"}};
    study.needed[NEEDED_COUNT - 1].mean_r = 0.2;
    study.needed[NEEDED_COUNT - 1].trades = 600;
    study.candle.control.difference = estimate_of(0.1, -0.2, 0.4);
    study.place.control.difference = estimate_of(0.1, -0.2, 0.4);
    return study;
}

/* Sentence `which`, from 0, holds `words`. */
static void says(const struct study *study, const struct study_trials *trials, int which,
                 const char *words)
{
    struct text text;
    text_init(&text);
    study_answer(&text, "T", study, trials);
    char *line = text.bytes;
    int lines = 0;
    for (const char *c = text.bytes; *c != '\0'; c++)
        lines += *c == '\n';
    assert_int_equal(lines, 3);
    for (int i = 0; i < which; i++)
        line = strchr(line, '\n') + 1;
    *strchr(line, '\n') = '\0';
    if (strstr(line, words) == NULL)
        fail_msg("'%s' is not in '%s'", words, line);
    text_free(&text);
}

static void what_happened(void **state)
{
    (void)state;
    struct study study = made(0.25, 0.05, 0.45);
    says(&study, NULL, 0,
         "T: it gained 0.25 R a trade on average over 200 trades, before costs, more "
         "than luck alone would explain (95% interval +0.05 to +0.45 R).");
    const struct study_trials many = {.family = 12, .all = 30, .p_adjusted = 0.3};
    says(&study, &many, 0,
         "(95% interval +0.05 to +0.45 R), which would be more than luck by itself, but is not "
         "among the 12 trials of its family.");
    study.costs_matter = true;
    says(&study, NULL, 0, ", after costs, more");
    study = made(-0.25, -0.45, -0.05);
    says(&study, &many, 0,
         "it lost 0.25 R a trade on average over 200 trades, before costs, more than "
         "luck alone would explain");
    study = made(0.1, -0.1, 0.3);
    says(&study, NULL, 0, "which may well be luck");
    study.mean_r.method = ESTIMATE_NONE;
    says(&study, NULL, 0, "too few, or too much alike, to say whether that was luck");
    study.bars_cannot_tell = true;
    study.same_bar = 61;
    says(&study, NULL, 0, "of 200 trades 61 hung on what came first within one bar");
    says(&study, NULL, 2, "It would take finer bars");
    study = made(NAN, NAN, NAN);
    study.closed = study.signals = 0;
    says(&study, NULL, 0, "nothing happened: no candidate was confirmed.");
    says(&study, NULL, 1, "nothing is known");
}

static void what_it_may_be_due_to(void **state)
{
    (void)state;
    struct study study = made(0.25, 0.05, 0.45);
    says(&study, NULL, 1,
         "Whether the candle, its place or neither has a part in that is not known.");
    study.place.control.difference = estimate_of(0.5, 0.2, 0.8);
    says(&study, NULL, 1,
         "It may be due to the place: the same candle made 0.50 R more there than elsewhere "
         "(95% interval +0.20 to +0.80 R); that the candle adds");
    study.candle.control.difference = estimate_of(0.3, 0.1, 0.5);
    says(&study, NULL, 1,
         "it made 0.30 R more than other bars of its place (95% interval +0.10 to +0.50 R), and "
         "the place has one too.");
    study.candle.control.difference = estimate_of(-0.3, -0.5, -0.1);
    says(&study, NULL, 1,
         "It is not due to the candle: traded by the same rules it made 0.30 R less than other "
         "bars of its place (95% interval -0.50 to -0.10 R).");
    /* Without a p there is nothing to go by, wherever the interval lies. */
    study = made(0.25, 0.05, 0.45);
    study.candle.control.difference = estimate_of(0.3, 0.1, 0.5);
    study.candle.control.difference.p = NAN;
    study.candle.control.difference.method = ESTIMATE_NONE;
    says(&study, NULL, 1, "is not known");
    study.place = (struct study_control){0};
    says(&study, NULL, 1, "Whether the candle has a part in that is not known.");
}

/* 600 trades for 200 in ten years: 400 more, at 20 a year 20 more years. */
static void what_it_would_take(void **state)
{
    (void)state;
    struct study study = made(0.25, 0.05, 0.45);
    says(&study, NULL, 2,
         "To tell a true mean of only 0.20 R, the least worth trading, from nothing takes about "
         "600 such trades, 400 more than there are, or about 20 more years of these instruments; "
         "one as large as the 0.25 R seen takes fewer.");
    /* What was seen is said only where it is larger, and not luck. */
    study.mean_r = estimate_of(0.25, -0.05, 0.55);
    says(&study, NULL, 2, "20 more years of these instruments.");
    study.mean_r = estimate_of(0.15, 0.05, 0.25);
    says(&study, NULL, 2, "20 more years of these instruments.");
    study.needed[NEEDED_COUNT - 1].trades = 90000;
    says(&study, NULL, 2, "which no history of these instruments will have");
    study.needed[NEEDED_COUNT - 1].trades = 150;
    says(&study, NULL, 2, "There are trades enough");
    study.needed[NEEDED_COUNT - 1].trades = NAN;
    says(&study, NULL, 2, "To know more takes more trades");
}

static void comes_to(const struct study *study, const struct study_trials *trials,
                     const char *words)
{
    struct text text;
    text_init(&text);
    study_headline(&text, study, trials);
    assert_string_equal(text.bytes, words);
    text_free(&text);
}

static void what_it_comes_to(void **state)
{
    (void)state;
    struct study study = made(0.25, 0.05, 0.45);
    const struct study_trials many = {.family = 12, .all = 30, .p_adjusted = 0.3};
    comes_to(&study, NULL, "Gained, but not shown to be the candle's doing. No costs are in it.\n");
    comes_to(&study, &many, "May be luck, among so many trials. No costs are in it.\n");
    study.costs_matter = true;
    study.candle.control.difference = estimate_of(0.3, 0.1, 0.5);
    comes_to(&study, NULL, "Gained, and the candle has a part in it.\n");
    study.candle.control.difference = estimate_of(-0.3, -0.5, -0.1);
    comes_to(&study, NULL, "Gained, but not by the candle.\n");
    study.mean_r = estimate_of(0.1, -0.1, 0.3);
    comes_to(&study, NULL, "May be luck.\n");
    study.mean_r = estimate_of(-0.25, -0.45, -0.05);
    comes_to(&study, NULL, "Lost, more than luck alone would explain.\n");
    study.mean_r.method = ESTIMATE_WINS;
    comes_to(&study, NULL, "Too few trades to judge it by, or too much alike.\n");
    study.bars_cannot_tell = true;
    comes_to(&study, NULL, "These bars cannot tell.\n");
    study.closed = 0;
    comes_to(&study, NULL, "No trade to judge it by.\n");
}

static void beside_it(void **state)
{
    (void)state;
    struct study study = made(0.25, 0.05, 0.45);
    struct text text;
    text_init(&text);
    study_beside(&text, &study);
    assert_string_equal(text.bytes,
                        "Win rate 40% (95% interval 33 to 47%), longest losing streak 1 "
                        "trade, deepest drawdown 12.3 R.\n");
    text_clear(&text);
    study.closed = 0;
    study_beside(&text, &study);
    assert_int_equal(text.length, 0);
    text_free(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_happened),      cmocka_unit_test(what_it_may_be_due_to),
        cmocka_unit_test(what_it_would_take), cmocka_unit_test(what_it_comes_to),
        cmocka_unit_test(beside_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
