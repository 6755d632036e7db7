/* A study: a setup tried over the history of any number of instruments, with
 * its controls (docs/method.md 10). */
#ifndef RUSHLIGHT_EVIDENCE_STUDY_H
#define RUSHLIGHT_EVIDENCE_STUDY_H

#include "base/error.h"
#include "evidence/control.h"
#include "evidence/estimate.h"
#include "evidence/grid.h"
#include "evidence/proportion.h"
#include "evidence/ruin.h"
#include "market/instrument.h"
#include "trade/trade.h"

#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* One instrument as the study is given it. All is borrowed. */
struct study_series {
    const struct instrument *instrument;
    const struct bars *bars;
    const struct surroundings *around; /* may be NULL */
    struct trade_terms terms;
    size_t first; /* candles before this bar are not looked at: those bars only warm up */
};

struct study_options {
    size_t resamples;         /* of dates, RESAMPLES by default */
    size_t resampled_markets; /* resampled markets, 0: none */
    /* The next trades (ruin.h): how many (0: not asked), what share of the
     * account is at risk on each, and the limits of the account, 0: none. */
    size_t next_trades;
    double risk;
    double daily_limit;
    double total_limit;
    double trailing_limit;
    uint64_t seed;
    int threads;
    /* Called now and then with the share of the work done, 0 to 1, from one
     * thread at a time; NULL: not called. */
    void (*progress)(void *context, double done);
    void *context;
    /* Where this is set the study ends soon, with ERROR_STOPPED; NULL: nobody
     * stops it. */
    const atomic_bool *stop;
};

/* ERROR_STOPPED where the options' flag is set. */
int study_stopped(const struct study_options *options, struct error *error);

/* One filled trade of the setup. */
struct study_trade {
    size_t instrument;
    size_t signal; /* bars of its instrument */
    size_t entry;
    size_t exit;
    int64_t exit_time;
    size_t date; /* of entry, on the study's grid */
    double r;    /* after costs; NaN while open */
    double r_before_costs;
    double mae_r;
    double mfe_r;
    double reach_r; /* best excursion before the first stop, whatever the target; NaN: not known */
    double stop_excess_r; /* of a stop: how much worse than -1 R it filled, >= 0; NaN: no stop */
    double volatility;    /* ATR(14) over ATR(100) at the signal; NaN: not known */
    double trend;         /* slope(100) times 99 over ATR(14), in the setup's direction */
    size_t bars;
    enum trade_reason reason;
    bool same_bar;
};

enum {
    REACH_COUNT = 6,
    FOLLOWED_COUNT = 6,
    NEEDED_COUNT = 5,
    SAME_BAR_COUNT = 3,
    EXCURSION_LEVELS = 5
};

/* 1, 1.5, 2, 2.5, 4, 6.5 R; 1, 2, 3, 5, 10, 20 bars; 5, 25, 50, 75, 95%. */
extern const double reach_levels[REACH_COUNT];
extern const size_t followed_bars[FOLLOWED_COUNT];
extern const double excursion_levels[EXCURSION_LEVELS];

/* A control with the share of fills in each arm. */
struct study_control {
    const char *name; /* what is under test: "candle", "place", or the confirmation's name */
    struct control control;
    size_t signals[2]; /* of the setup, of the others */
    size_t filled[2];
};

struct study_share {
    double level;
    double share; /* NaN where there is nothing to share */
    struct limits limits;
};

struct study_followed {
    size_t bars;
    struct estimate difference; /* in ATR */
};

enum split_kind { SPLIT_YEAR, SPLIT_INSTRUMENT, SPLIT_VOLATILITY, SPLIT_TREND, SPLIT_KINDS };

struct study_split_cell {
    char label[INSTRUMENT_NAME_SIZE];
    double mean;
    double deviation; /* standard error; NaN: too few dates */
    size_t trades;
    size_t dates; /* under 20: takes no part */
};

struct study_split {
    enum split_kind kind;
    struct study_split_cell *cells;
    size_t count;
    double p; /* NaN: fewer than two cells of 20 dates */
};

struct study {
    size_t instruments;
    size_t ended; /* instruments that have ended inside the range */
    size_t bars;
    double instrument_years;
    int64_t first_time;
    int64_t last_time;
    struct date_grid grid;

    size_t candidates;
    size_t shapes; /* candles of the shape, wherever they sit */
    size_t signals;
    size_t shape_signals; /* signals the shape would give without the place */
    size_t filled;
    size_t closed;
    size_t open_at_end;
    size_t passed_over;
    size_t unfilled;
    size_t untold; /* candles that nothing told against, some criterion of which cannot be told */
    size_t dated_back; /* filled trades by a level that was brought in with an older date */
    size_t same_bar;   /* trades that hung on the order of prices within one bar: of those that
                      * `worst` makes, whatever the setup's own rule is */

    struct study_trade *trades; /* filled, by instrument and signal */
    struct estimate mean_r;     /* after costs */
    struct estimate mean_r_before;
    bool costs_matter; /* the two differ */
    bool flows;        /* dividends or funding are among the costs of some instrument */
    double win_rate;
    struct limits win_limits; /* at the effective number of trades */
    double median_r;
    double sd_r;
    double profit_factor;
    double payoff; /* mean win over mean loss; NaN */
    double mean_bars;
    double max_drawdown_r;
    size_t longest_losing_streak;
    double expected_longest_streak; /* of as many independent trades at this win rate */
    double mae_r[EXCURSION_LEVELS];
    double mfe_r[EXCURSION_LEVELS];
    double least_mean_r;
    struct {
        double mean_r;
        double trades;
    } needed[NEEDED_COUNT];
    struct {
        enum same_bar_rule rule;
        double mean;
        size_t closed;
    } same_bar_means[SAME_BAR_COUNT];
    bool bars_cannot_tell; /* worst and best differ in sign */

    struct study_control candle;
    struct study_control place; /* name NULL where the setup has no place */
    struct study_control confirmations[CONFIRM_LIMIT];
    size_t confirmation_count;

    struct study_share reach[REACH_COUNT];
    struct study_followed followed[FOLLOWED_COUNT];
    size_t stops;
    size_t stops_beyond;  /* filled worse than -1 R */
    double beyond_mean_r; /* how much worse, mean over those; NaN */
    double beyond_worst_r;
    struct study_split splits[SPLIT_KINDS];

    struct ruin next; /* the next trades; all NaN where not asked */
    size_t next_trades;
    double risk;

    size_t resampled_markets; /* resampled markets */
    double *resampled;        /* the mean R of each that has one, ascending */
    size_t resampled_count;
    double resampled_mean; /* mean over them of the mean R; NaN without */
    double resampled_low;  /* 2.5 and 97.5% of it */
    double resampled_high;
    double resampled_p; /* (1 + #{mean* >= mean}) / (1 + resampled_markets) */
};

/* Of one that study_run filled. */
void study_free(struct study *study);

/* Closed trades as plain arrays: date of entry on a grid, and R after costs. */
struct closed_trades {
    size_t count;
    size_t *date;
    double *r;
};

/* Those of a study; the caller's to free, also after an error. */
int closed_trades_of(struct closed_trades *closed, const struct study *study, struct error *error);
void closed_trades_free(struct closed_trades *closed);

/* The dates of all the series; the caller's to free, also after an error. */
int study_grid(struct date_grid *grid, const struct study_series *series, size_t count,
               struct error *error);

const char *split_name(enum split_kind kind);

#endif
