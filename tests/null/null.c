/* The null test: studies of markets in which nothing can be known must find
 * nothing, as often as their p and intervals promise (docs/method.md 10).
 *
 *     null_program [SEEDS [FIRST LAST [REPORT]]]
 *
 * Runs seeds 1 to SEEDS (240 by default) of the cases FIRST to LAST less one,
 * prints one line for each, and writes an HTML report with figures, which also
 * shows how common but wrong ways to a p fare. Exit status 1 where a case
 * breaks its promise. */
#include "null_tally.h"

#include "evidence/study_run.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char at_the_open[] = "setup: null-a\nside: long\ncandle: {shape: inverted-hammer}\n"
                                  "place: [{close_below_average: {bars: 20}}]\n"
                                  "entry: {on: next_open}\nstop: {at: atr, times: 3}\n"
                                  "exit: {targets: [{r: 1, share: 1}], time_stop: 60}\n";

/* As shipped, but at any place: in its own, one instrument makes four trades in
 * 16,000 dates. */
static const char
    break_of_high[] = "setup: null-b\nside: long\ncandle: {shape: inverted-hammer}\n"
                      "entry: {on: break_of_high, valid: 3, buffer_ticks: 1}\n"
                      "stop: {at: candle_low, buffer_ticks: 1}\n"
                      "exit: {targets: [{r: 2.5, share: 1}], time_stop: 40}\nsame_bar: finer\n";

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
    {"b, 60 together", break_of_high, {60, 4000, false}, true},
    {"b, 60, clustered", break_of_high, {60, 4000, true}, true},
};

static void add_study(struct tally *tally, const struct study *study)
{
    const struct estimate *mean = &study->mean_r;
    double alone = 1.96 * study->sd_r / sqrt((double)study->closed);
    tally->trades += (double)study->closed;
    if (estimate_has_p(&study->candle.control.difference))
        tally->p[tally->with_p++] = study->candle.control.difference.p;
    if (estimate_has_p(mean)) {
        tally->with_mean++;
        tally->covered += mean->low <= 0 && mean->high >= 0;
    }
    if (study->closed > 1) {
        for (size_t i = 0; i < SAME_BAR_COUNT; i++)
            tally->assumed[i][tally->alone] = study->same_bar_means[i].mean;
        tally->mean[tally->alone++] = mean->value;
        tally->covered_alone += fabs(mean->value) <= alone;
    }
}

static bool add_wrong_ways(struct tally *tally, const struct setup *setup,
                           const struct study_series *series, const struct study *study,
                           uint64_t seed)
{
    double p[WAY_COUNT];
    if (!wrong_ways(p, setup, series, study->instruments, &study->grid, seed))
        return false;
    for (size_t w = 0; w < WAY_COUNT; w++)
        if (!isnan(p[w]))
            tally->way_p[w][tally->with_way[w]++] = p[w];
    return true;
}

static int run_seed(struct tally *tally, const struct null_case *which, uint64_t seed,
                    bool with_wrong_ways)
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
    if (code == ERROR_NONE && with_wrong_ways &&
        !add_wrong_ways(tally, &setup, series, &study, seed))
        code = ERROR_MACHINE;
    study_free(&study);
    null_market_free(&market);
    free(series);
    setup_free(&setup);
    return code;
}

static bool report_line(const struct tally *tally)
{
    struct promise promise = tally_promise(tally);
    double worst = mean_of(tally->assumed[SAME_BAR_WORST], tally->alone);
    double best = mean_of(tally->assumed[SAME_BAR_BEST], tally->alone);
    printf("%-20s %4zu seeds %7.0f trades | control p: %3zu, KS %.3f, below 0.05 %5.1f%% | "
           "mean covers 0: %3zu, %5.1f%%, single trades %5.1f%% | mean %+.3f worst %+.3f best "
           "%+.3f | %s\n",
           tally->name, tally->seeds, promise.trades, tally->with_p, promise.ks,
           100 * promise.small, tally->with_mean, 100 * promise.covered,
           100 * promise.covered_alone, mean_of(tally->mean, tally->alone), worst, best,
           promise.words);
    fflush(stdout);
    return promise.kept;
}

static bool run_case(struct tally *tally, const struct null_case *which, size_t seeds,
                     bool with_wrong_ways)
{
    bool whole = tally_init(tally, which->name, seeds, which->finer);
    for (uint64_t seed = 1; seed <= seeds && whole; seed++)
        whole = run_seed(tally, which, seed, with_wrong_ways) == 0;
    return whole;
}

int main(int argc, char **argv)
{
    enum { CASES = sizeof cases / sizeof cases[0] };
    static struct tally tallies[CASES];
    size_t seeds = argc > 1 ? strtoul(argv[1], NULL, 10) : 240;
    size_t first = argc > 3 ? strtoul(argv[2], NULL, 10) : 0;
    size_t last = argc > 3 ? strtoul(argv[3], NULL, 10) : CASES;
    const char *path = argc > 4 ? argv[4] : NULL;
    bool kept = true;
    if (seeds == 0 || last > CASES || first >= last)
        return 2;
    for (size_t c = first; c < last; c++) {
        if (!run_case(&tallies[c], &cases[c], seeds, path != NULL))
            return 4;
        kept = report_line(&tallies[c]) && kept;
    }
    if (path != NULL && !null_report(path, &tallies[first], last - first))
        return 4;
    for (size_t c = first; c < last; c++)
        tally_free(&tallies[c]);
    return kept ? 0 : 1;
}
