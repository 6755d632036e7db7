/*
 * The second, naive implementation of the method page (sections 1 to 8).
 *
 * It exists to be compared with: every number is recomputed, for every bar, from the sentence that
 * defines it.  It shares no line with the program it checks, and it is slow on purpose.
 */
#ifndef NAIVE_H
#define NAIVE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Bars of one interval.  `time` is the bar's start in UTC seconds; for daily and longer bars it is
 * midnight UTC of the date.  `volume` may hold NaN, or be NULL where there is none. */
struct naive_bars {
    size_t count;
    const int64_t *time;
    const double *open;
    const double *high;
    const double *low;
    const double *close;
    const double *volume;
    const char *interval; /* 1m .. 59m, 1h .. 24h, 1d, 1w, 1M (a month) */
};

/* An entry of a calendar of events (for no_event). */
struct naive_event {
    int64_t time;
    const char *kind;
    bool known_later; /* only the bar that holds the moment `known` and later ones know of it */
    int64_t known;
};

/* A price a person has marked, with the time at which it was made (for at_own_level): a level, or
 * a straight line that is at `price` at position `bar` and rises by `slope` from bar to bar. */
struct naive_mark {
    int64_t made;
    double price;
    double slope;
    double bar;
    bool withdrawn;
    int64_t until; /* withdrawn: time of the newest bar then */
};

/* The bars of another instrument, by its name (for compare). */
struct naive_other {
    const char *name;
    struct naive_bars bars;
};

/* Everything known about one instrument.  The zone is UTC and sessions start at 00:00. */
struct naive_market {
    struct naive_bars bars;
    const struct naive_bars *finer; /* shorter bars of the same instrument, or NULL */
    double tick;                    /* 0: prices are not rounded */
    const struct naive_event *events;
    size_t event_count;
    const struct naive_mark *marks;
    size_t mark_count;
    const struct naive_other *others;
    size_t other_count;
    bool ended; /* the instrument itself has ended at its last bar */
};

/* One row for every signal and every broken candidate; NaN where a column has no value.
 *
 * reason: stop target time trail break_even condition ended open  (a trade)
 *         unfilled  the entry lapsed or was cancelled, or the fill was not taken
 *         late      the close of the signal was already beyond the entry
 *         broken    the candidate was voided before its signal; `signal` is the bar that broke it
 *         passed    the setup was busy
 */
struct naive_row {
    size_t candle, signal;
    bool entered;
    size_t entry_bar;
    double entry, stop, target;
    bool exited;
    size_t exit_bar;
    double exit;
    char reason[12];
    double r, mae_r, mfe_r;
    size_t bars_held;
    int same_bar;
};

/* A named number of a shape that replaces its default. */
struct naive_limit {
    const char *name;
    double value;
};

/* All functions that return int: 0 done, anything else failed and `message` says why.  Arrays that
 * are handed back belong to the caller, who frees them with free().
 *
 * Where the setup names a longer interval than the market's bars, all indices are those of the
 * longer bars that have been closed. */
int naive_trades(const struct naive_market *market, const char *setup_yaml_text,
                 struct naive_row **rows, size_t *count, char *message, size_t message_size);

int naive_candidates(const struct naive_market *market, const char *setup_yaml_text,
                     size_t **candles, size_t *count, char *message, size_t message_size);

int naive_signals(const struct naive_market *market, const char *setup_yaml_text, size_t **candles,
                  size_t **signals, size_t *count, char *message, size_t message_size);

/* Whether the shape ends at bar t.  An unknown shape or limit is false. */
bool naive_shape(const struct naive_bars *bars, const char *shape, const struct naive_limit *limits,
                 size_t limit_count, size_t t);

/* Whether one condition, as the YAML text of one list item, holds at bar t.  The candle is the bar
 * t alone, or (the second function) the bars first..t.  Anything unreadable is false. */
bool naive_condition(const struct naive_market *market, const char *condition_yaml_text, size_t t);
bool naive_condition_of_candle(const struct naive_market *market, const char *condition_yaml_text,
                               size_t first, size_t t);

/* A measure of section 3 at bar t; NaN where undefined or unknown.  Names and parameters in order:
 *   average n                     exponential_average n             wilder_average n
 *   true_range                    atr n                          rsi n
 *   rsi_average n m               macd f s g                     macd_signal f s g
 *   macd_histogram f s g          stochastic_raw n               stochastic_smooth n k
 *   stochastic n k d              band_middle n w                band_upper n w
 *   band_lower n w                plus_direction n               minus_direction n
 *   adx n                         slope n                        slope_t n
 *   highest n                     lowest n                       average_volume n
 *   mean_body n (of bars t-n+1 .. t)
 */
double naive_measure(const struct naive_bars *bars, const char *name, const double *parameters,
                     size_t parameter_count, size_t t);

/* Levels of section 4 at bar t.  Returns the number of levels, written as pairs lower, upper into
 * `edges` (room for `room` pairs), or 0.  `mirrored`: the zones of at_resistance. */
size_t naive_levels(const struct naive_bars *bars, bool mirrored, size_t window, size_t swing,
                    double width_atr, size_t touches, size_t t, double *edges, size_t room);

#endif
