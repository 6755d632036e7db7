/* The null test: studies of markets in which nothing can be known must find
 * nothing, as often as their p and intervals promise (docs/method.md 10).
 *
 *     null_program [SEEDS]
 *
 * Runs seeds 1 to SEEDS (240 by default) of each case and prints one line for
 * each. Exit status 1 where a case breaks its promise. */
#include "null_market.h"

#include "evidence/study.h"
#include "evidence/summary.h"
#include "evidence/uniform.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char at_the_open[] = "setup: null-a\nside: long\ncandle: {shape: inverted-hammer}\n"
                                  "place: [{close_below_mean: {bars: 20}}]\n"
                                  "entry: {on: next_open}\nstop: {at: atr, times: 3}\n"
                                  "exit: {targets: [{r: 1, share: 1}], time_limit: 60}\n";

/* As shipped, but at any place: in its own, one instrument makes four trades in
 * 16,000 dates. */
static const char
    break_of_high[] = "setup: null-b\nside: long\ncandle: {shape: inverted-hammer}\n"
                      "entry: {on: break_of_high, valid: 3, buffer_ticks: 1}\n"
                      "stop: {at: candle_low, buffer_ticks: 1}\n"
                      "exit: {targets: [{r: 2.5, share: 1}], time_limit: 40}\nsame_bar: finer\n";

static const struct null_case {
    const char *name;
    const char *setup;
    struct null_kind kind;
    bool finer;
} cases[] = {
    {"a, one instrument", at_the_open, {1, 4000, false}, false},
    {"a, one, clustered", at_the_open, {1, 4000, true}, false},
    {"a, 60 together", at_the_open, {60, 4000, false}, false},
    {"a, 60, clustered", at_the_open, {60, 4000, true}, false},
    {"b, one instrument", break_of_high, {1, 16000, false}, true},
    {"b, one, clustered", break_of_high, {1, 16000, true}, true},
    {"b, 60 together", break_of_high, {60, 1000, false}, true},
    {"b, 60, clustered", break_of_high, {60, 1000, true}, true},
};

/* What the studies of one case gave. */
struct tally {
    size_t seeds;
    double *p; /* of the control */
    size_t with_p;
    double *mean_p;
    size_t with_mean;
    size_t covered;
    size_t covered_alone; /* by the interval that takes trades as independent */
    size_t alone;
    double trades;
    double mean;
    double worst;
    double best;
};

static void add_study(struct tally *tally, const struct study *study)
{
    const struct estimate *mean = &study->mean_r;
    double alone = 1.96 * study->sd_r / sqrt((double)study->closed);
    tally->trades += (double)study->closed;
    if (estimate_has_p(&study->candle.control.difference))
        tally->p[tally->with_p++] = study->candle.control.difference.p;
    if (estimate_has_p(mean)) {
        tally->mean_p[tally->with_mean++] = mean->p;
        tally->covered += mean->low <= 0 && mean->high >= 0;
    }
    if (study->closed > 1) {
        tally->alone++;
        tally->covered_alone += fabs(mean->value) <= alone;
        tally->mean += mean->value;
        tally->worst += study->same_bar_means[SAME_BAR_WORST].mean;
        tally->best += study->same_bar_means[SAME_BAR_BEST].mean;
    }
}

static int run_seed(struct tally *tally, const struct null_case *which, uint64_t seed)
{
    struct error error = {0};
    struct setup setup;
    struct null_market market;
    struct instrument instrument;
    struct study study;
    const struct study_options options = {.resamples = 1000, .seed = seed, .threads = 2};
    int code = setup_read(&setup, "null", which->setup, strlen(which->setup), &error);
    instrument_init(&instrument, "walk");
    struct study_series *series = calloc(which->kind.instruments, sizeof *series);
    if (code != ERROR_NONE || series == NULL ||
        !null_market_init(&market, &which->kind, seed, which->finer))
        return 4;
    for (size_t i = 0; i < market.count; i++)
        series[i] = (struct study_series){.instrument = &instrument,
                                          .bars = &market.daily[i],
                                          .terms = {.tick = {1, 1, 0},
                                                    .point_value = 1,
                                                    .finer = which->finer ? &market.steps[i]
                                                                          : NULL}};
    code = study_run(&study, &setup, series, market.count, &options, &error);
    if (code == ERROR_NONE)
        add_study(tally, &study);
    else
        fprintf(stderr, "null: %s\n", error.text);
    study_free(&study);
    null_market_free(&market);
    free(series);
    setup_free(&setup);
    return code;
}

static double uniform_p(double *p, size_t count)
{
    double below = 0;
    struct error error;
    if (count == 0)
        return NAN;
    sort_numbers(p, count);
    uniform_distance_below(&below, uniform_distance(p, count), count, &error);
    return 1 - below;
}

static double share_below(const double *p, size_t count, double level)
{
    size_t found = 0;
    for (size_t i = 0; i < count; i++)
        found += p[i] < level;
    return (double)found / (double)count;
}

/* Whether so many of `count` may fall under a share without being a sign that
 * the true share is larger: three standard errors of the binomial law. */
static double slack(double share, size_t count)
{
    return 3 * sqrt(share * (1 - share) / (double)count);
}

static bool report(const struct null_case *which, struct tally *tally)
{
    double n = (double)tally->alone;
    double small = share_below(tally->p, tally->with_p, 0.05);
    double ks = uniform_p(tally->p, tally->with_p);
    double covered = (double)tally->covered / (double)tally->with_mean;
    double trades = tally->trades / (double)tally->seeds;
    bool few = tally->with_p < 10 || tally->with_mean < 10;
    /* A full run must keep the bounds as they are; a short one gets the slack
     * of its number of seeds about the promised 5% and 95%. */
    bool full = tally->with_p >= 200;
    double most_small = full ? 0.09 : 0.05 + slack(0.05, tally->with_p);
    double least_covered = full ? 0.91 : 0.95 - slack(0.05, tally->with_mean);
    double most_covered = full ? 0.99 : 1;
    bool kept = few || (ks >= 0.01 && small <= most_small && covered >= least_covered &&
                        covered <= most_covered && (!full || trades < 200 || small >= 0.02));
    printf("%-20s %4zu seeds %7.0f trades | control p: %3zu, KS %.3f, below 0.05 %5.1f%% | "
           "mean covers 0: %3zu, %5.1f%%, single trades %5.1f%% | mean %+.3f worst %+.3f best "
           "%+.3f | %s\n",
           which->name, tally->seeds, trades, tally->with_p, ks, 100 * small, tally->with_mean,
           100 * covered, 100 * (double)tally->covered_alone / n, tally->mean / n, tally->worst / n,
           tally->best / n,
           few    ? "too few"
           : kept ? "kept"
                  : "BROKEN");
    fflush(stdout);
    return kept;
}

int main(int argc, char **argv)
{
    size_t seeds = argc > 1 ? strtoul(argv[1], NULL, 10) : 240;
    size_t first = argc > 2 ? strtoul(argv[2], NULL, 10) : 0;
    size_t last = argc > 3 ? strtoul(argv[3], NULL, 10) : sizeof cases / sizeof cases[0];
    bool kept = true;
    if (seeds == 0)
        return 2;
    for (size_t c = first; c < last; c++) {
        struct tally tally = {.seeds = seeds};
        tally.p = calloc(seeds, sizeof *tally.p);
        tally.mean_p = calloc(seeds, sizeof *tally.mean_p);
        for (uint64_t seed = 1; seed <= seeds; seed++)
            if (tally.p == NULL || tally.mean_p == NULL || run_seed(&tally, &cases[c], seed) != 0)
                return 4;
        kept = report(&cases[c], &tally) && kept;
        free(tally.p);
        free(tally.mean_p);
    }
    return kept ? 0 : 1;
}
