/* A setup in time (section 6): candidates, signals, and the rows they become. */
#include "naive_internal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What became of a candidate: its signal, or the bar that broke it, or nothing. */
struct outcome {
    struct candle candle;
    size_t signal; /* NAIVE_NONE: it lapsed */
    bool broken;
};

struct run {
    struct setup setup;
    struct chart *chart;
    struct side side;
};

/* --- opening and closing ---------------------------------------------------------------------*/

/* A setup can be read on the market's own bars or on longer ones, not on shorter ones. */
static bool bars_are_short_enough(const struct naive_market *market, const char *interval)
{
    if (interval[0] == '\0') {
        return true;
    }
    const char *own = market->bars.interval;
    return naive_bucket_end(0, interval) - naive_bucket_start(0, interval) >=
           naive_bucket_end(0, own) - naive_bucket_start(0, own);
}

static int run_open(struct run *run, const struct naive_market *market, const char *text,
                    char *message, size_t message_size)
{
    if (naive_setup_read(text, &run->setup, message, message_size) != 0) {
        return 1;
    }
    if (!bars_are_short_enough(market, run->setup.interval)) {
        (void)snprintf(message, message_size, "the bars are longer than the setup's interval");
        naive_setup_clear(&run->setup);
        return 1;
    }
    run->chart = naive_chart_new(market, run->setup.interval);
    enum orientation own = run->setup.short_side ? NEGATED : AS_SEEN;
    enum orientation other = run->setup.short_side ? AS_SEEN : NEGATED;
    run->side = (struct side){.chart = run->chart,
                              .setup = &run->setup,
                              .bars = &run->chart->bars[own]->view,
                              .opposite = &run->chart->bars[other]->view,
                              .finer = NULL,
                              .tick = market->tick};
    if (run->chart->finer[own] != NULL) {
        run->side.finer = &run->chart->finer[own]->view;
    }
    return 0;
}

static void run_close(struct run *run)
{
    naive_chart_free(run->chart);
    naive_setup_clear(&run->setup);
}

/* --- candidates ------------------------------------------------------------------------------*/

/* "candle_high, candle_low: of all bars of the shape" */
static void measure_candle(const struct side *side, struct candle *candle)
{
    candle->high = side->bars->high[candle->first];
    candle->low = side->bars->low[candle->first];
    for (size_t i = candle->first; i <= candle->t; i++) {
        candle->high = fmax(candle->high, side->bars->high[i]);
        candle->low = fmin(candle->low, side->bars->low[i]);
    }
}

static bool is_in_place(const struct run *run, const struct candle *candle)
{
    for (size_t i = 0; i < run->setup.place.count; i++) {
        if (naive_condition_at(run->chart, &run->setup.place.items[i], candle->first, candle->t,
                               candle->t) != YES) {
            return false;
        }
    }
    return true;
}

/* "Bar t is a candidate when the candle's shape ends at t and every place condition holds at t";
 * "every shape of any_of is tried with its place" */
static bool is_candidate(const struct run *run, size_t t, struct candle *candle)
{
    const struct naive_bars *seen = &run->chart->bars[AS_SEEN]->view;
    const struct naive_bars *negated = &run->chart->bars[NEGATED]->view;
    for (size_t i = 0; i < run->setup.candle_count; i++) {
        if (naive_shape_ends_at(seen, negated, &run->setup.candles[i], t, &candle->first)) {
            candle->t = t;
            measure_candle(&run->side, candle);
            if (is_in_place(run, candle)) {
                return true;
            }
        }
    }
    return false;
}

/* --- signals ---------------------------------------------------------------------------------*/

static bool is_confirmed(const struct run *run, const struct candle *candle, size_t s)
{
    size_t holding = 0;
    for (size_t i = 0; i < run->setup.confirm.count; i++) {
        if (naive_condition_at(run->chart, &run->setup.confirm.items[i], candle->first, candle->t,
                               s) == YES) {
            holding += 1;
        }
    }
    return holding >= run->setup.at_least;
}

/* "The signal comes at the first s in t .. t+wait at which enough confirm conditions hold"; "void
 * (broken) when a bar after t and up to s has a low below candle_low" (two prices as given) */
static struct outcome outcome_of(const struct run *run, const struct candle *candle)
{
    struct outcome outcome = {.candle = *candle, .signal = NAIVE_NONE, .broken = false};
    size_t last = candle->t + run->setup.wait;
    for (size_t s = candle->t; s <= last && s < run->side.bars->count; s++) {
        if (s > candle->t && run->side.bars->low[s] < candle->low) {
            outcome.signal = s;
            outcome.broken = true;
            return outcome;
        }
        if (is_confirmed(run, candle, s)) {
            outcome.signal = s;
            return outcome;
        }
    }
    return outcome;
}

/* "Signals are handled in order of s, those of one bar in order of candle, oldest first." */
static int by_signal_then_candle(const void *left, const void *right)
{
    const struct outcome *a = left;
    const struct outcome *b = right;
    if (a->signal != b->signal) {
        return a->signal < b->signal ? -1 : 1;
    }
    return (a->candle.t > b->candle.t) - (a->candle.t < b->candle.t);
}

static struct outcome *all_outcomes(const struct run *run, size_t *count)
{
    struct outcome *outcomes = calloc(run->side.bars->count + 1, sizeof *outcomes);
    if (outcomes == NULL) {
        abort();
    }
    *count = 0;
    for (size_t t = 0; t < run->side.bars->count; t++) {
        struct candle candle = {0, 0, NAN, NAN};
        if (is_candidate(run, t, &candle)) {
            outcomes[*count] = outcome_of(run, &candle);
            *count += 1;
        }
    }
    return outcomes;
}

/* --- rows ------------------------------------------------------------------------------------*/

static struct naive_row empty_row(const struct outcome *outcome, const char *reason)
{
    struct naive_row row = {.candle = outcome->candle.t,
                            .signal = outcome->signal,
                            .entry = NAN,
                            .stop = NAN,
                            .target = NAN,
                            .exit = NAN,
                            .r = NAN,
                            .mae_r = NAN,
                            .mfe_r = NAN};
    (void)snprintf(row.reason, sizeof row.reason, "%s", reason);
    return row;
}

/* A short setup ran on negated bars: its prices are negated back. */
static void turn_back(struct naive_row *row)
{
    row->entry = 0.0 - row->entry;
    row->stop = 0.0 - row->stop;
    row->target = 0.0 - row->target;
    row->exit = 0.0 - row->exit;
}

/* The row of a signal; `free_again` gets the bar on which the setup is free again. */
static struct naive_row trade_of(const struct run *run, const struct outcome *outcome,
                                 size_t *free_again)
{
    struct naive_row row = empty_row(outcome, "unfilled");
    struct fill fill = naive_find_fill(&run->side, &outcome->candle, outcome->signal);
    if (fill.status == FILL_DONE) {
        *free_again = naive_live_through(&run->side, &outcome->candle, outcome->signal, &fill,
                                         &row);
    } else {
        *free_again = fill.lapsed;
        if (fill.status == FILL_LATE) {
            strcpy(row.reason, "late");
        }
    }
    if (run->setup.short_side) {
        turn_back(&row);
    }
    return row;
}

/* "busy ... from a signal until its entry lapses ... or its position closes; signals on bars before
 * that bar are passed over and counted, one on that very bar is taken. all: each signal on its own." */
static size_t rows_of(const struct run *run, const struct outcome *outcomes, size_t count,
                      struct naive_row *rows)
{
    size_t free_again = 0;
    size_t row_count = 0;
    for (size_t i = 0; i < count; i++) {
        if (outcomes[i].signal == NAIVE_NONE) {
            continue;
        }
        if (outcomes[i].broken) {
            rows[row_count++] = empty_row(&outcomes[i], "broken");
        } else if (!run->setup.overlap_all && outcomes[i].signal < free_again) {
            rows[row_count++] = empty_row(&outcomes[i], "passed");
        } else {
            rows[row_count++] = trade_of(run, &outcomes[i], &free_again);
        }
    }
    return row_count;
}

int naive_trades(const struct naive_market *market, const char *setup_yaml_text,
                 struct naive_row **rows, size_t *count, char *message, size_t message_size)
{
    struct run run;
    *rows = NULL;
    *count = 0;
    if (run_open(&run, market, setup_yaml_text, message, message_size) != 0) {
        return 1;
    }
    size_t outcome_count = 0;
    struct outcome *outcomes = all_outcomes(&run, &outcome_count);
    qsort(outcomes, outcome_count, sizeof *outcomes, by_signal_then_candle);
    *rows = calloc(outcome_count + 1, sizeof **rows);
    if (*rows == NULL) {
        abort();
    }
    *count = rows_of(&run, outcomes, outcome_count, *rows);
    free(outcomes);
    run_close(&run);
    return 0;
}

/* --- indices ---------------------------------------------------------------------------------*/

int naive_candidates(const struct naive_market *market, const char *setup_yaml_text,
                     size_t **candles, size_t *count, char *message, size_t message_size)
{
    struct run run;
    *candles = NULL;
    *count = 0;
    if (run_open(&run, market, setup_yaml_text, message, message_size) != 0) {
        return 1;
    }
    *candles = calloc(run.side.bars->count + 1, sizeof **candles);
    if (*candles == NULL) {
        abort();
    }
    for (size_t t = 0; t < run.side.bars->count; t++) {
        struct candle candle = {0, 0, NAN, NAN};
        if (is_candidate(&run, t, &candle)) {
            (*candles)[(*count)++] = t;
        }
    }
    run_close(&run);
    return 0;
}

int naive_signals(const struct naive_market *market, const char *setup_yaml_text, size_t **candles,
                  size_t **signals, size_t *count, char *message, size_t message_size)
{
    struct run run;
    *candles = NULL;
    *signals = NULL;
    *count = 0;
    if (run_open(&run, market, setup_yaml_text, message, message_size) != 0) {
        return 1;
    }
    size_t outcome_count = 0;
    struct outcome *outcomes = all_outcomes(&run, &outcome_count);
    qsort(outcomes, outcome_count, sizeof *outcomes, by_signal_then_candle);
    *candles = calloc(outcome_count + 1, sizeof **candles);
    *signals = calloc(outcome_count + 1, sizeof **signals);
    if (*candles == NULL || *signals == NULL) {
        abort();
    }
    for (size_t i = 0; i < outcome_count; i++) {
        if (outcomes[i].signal != NAIVE_NONE && !outcomes[i].broken) {
            (*candles)[*count] = outcomes[i].candle.t;
            (*signals)[*count] = outcomes[i].signal;
            *count += 1;
        }
    }
    free(outcomes);
    run_close(&run);
    return 0;
}
