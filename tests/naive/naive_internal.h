/* What the files of the naive implementation know of each other. */
#ifndef NAIVE_INTERNAL_H
#define NAIVE_INTERNAL_H

#include "naive.h"

#include <math.h>

#define NAIVE_NONE SIZE_MAX /* an index that is not there */
#define NAIVE_WORD 40       /* room for any word of a setup */
#define NAIVE_MOST 16       /* parameters, targets, shapes, members of one list */

/* --- the tolerance of section 2 -------------------------------------------------------------
 * "every compared length or computed price in sections 2 to 5 and 7 has a tolerance of
 * 1e-10 * max(|H|,|L|) ... in favour of equality: a >= b and a <= b hold within it, a > b and
 * a < b must exceed it".  All four are false where an input is NaN. */
static inline bool at_least(double a, double b, double tolerance)
{
    return a >= b - tolerance;
}
static inline bool at_most(double a, double b, double tolerance)
{
    return a <= b + tolerance;
}
static inline bool exceeds(double a, double b, double tolerance)
{
    return a > b + tolerance;
}
static inline bool falls_short(double a, double b, double tolerance)
{
    return a < b - tolerance;
}

/* The tolerance over the bars first..last. */
double naive_tolerance_over(const struct naive_bars *bars, size_t first, size_t last);
/* The tolerance of one bar. */
double naive_tolerance_of_bar(const struct naive_bars *bars, size_t bar);

/* --- bars that are owned ---------------------------------------------------------------------*/
struct owned_bars {
    struct naive_bars view; /* points into the arrays below */
    int64_t *time;
    double *open, *high, *low, *close, *volume;
    char interval[NAIVE_WORD];
};

struct owned_bars *naive_bars_new(size_t count, const char *interval);
struct owned_bars *naive_bars_copied(const struct naive_bars *bars);
struct owned_bars *naive_bars_negated(const struct naive_bars *bars);
void naive_bars_free(struct owned_bars *bars);

/* --- calendar ---------------------------------------------------------------------------------*/
bool naive_interval_is_known(const char *interval);
int64_t naive_bucket_start(int64_t time, const char *interval);
int64_t naive_bucket_end(int64_t time, const char *interval);
int64_t naive_calendar_day(int64_t time); /* days since 1970-01-01 */
int naive_weekday_of(int64_t time);       /* 0 = Monday .. 6 = Sunday */
/* The buckets of `interval` that have ended at `known_at`, from the bars known by then. */
struct owned_bars *naive_longer_bars(const struct naive_bars *shorter, const char *interval,
                                     int64_t known_at);

/* --- measures (section 3) ---------------------------------------------------------------------*/
double naive_mean_of_closes(const struct naive_bars *bars, size_t n, size_t t);
double naive_mean_of_volume(const struct naive_bars *bars, size_t n, size_t t);
double naive_true_range(const struct naive_bars *bars, size_t t);
double naive_average_true_range(const struct naive_bars *bars, size_t n, size_t t);
double naive_atr14(const struct naive_bars *bars, size_t t);
double naive_relative_strength(const struct naive_bars *bars, size_t n, size_t t);
double naive_relative_strength_average(const struct naive_bars *bars, size_t n, size_t m, size_t t);

struct macd_value {
    double line, signal, histogram;
};
struct macd_value naive_macd_at(const struct naive_bars *bars, size_t fast, size_t slow,
                                size_t signal, size_t t);
double naive_stochastic_at(const struct naive_bars *bars, size_t length, size_t smooth,
                           size_t average, size_t t);
double naive_lower_band(const struct naive_bars *bars, size_t n, double width, size_t t);
double naive_upper_band(const struct naive_bars *bars, size_t n, double width, size_t t);
double naive_adx_at(const struct naive_bars *bars, size_t n, size_t t);
double naive_slope_of_closes(const struct naive_bars *bars, size_t n, size_t t);

/* --- structure (section 4) --------------------------------------------------------------------*/
bool naive_is_swing_high(const struct naive_bars *bars, size_t k, size_t i);
bool naive_is_swing_low(const struct naive_bars *bars, size_t k, size_t i);
size_t naive_newest_swing_high(const struct naive_bars *bars, size_t k, size_t known_at);
size_t naive_newest_swing_low(const struct naive_bars *bars, size_t k, size_t known_at);

struct trend_line {
    bool exists;
    size_t older, newer;
    double older_price, newer_price;
};
struct trend_line naive_falling_trend_line_at(const struct naive_bars *bars, size_t window,
                                              size_t k, size_t t);
double naive_trend_line_price(const struct trend_line *line, size_t bar);

struct level {
    double lower, upper;
    size_t members;
};
/* Levels at t, ascending; the caller frees them.  NULL and NAIVE_NONE where ATR[t] is undefined. */
struct level *naive_levels_at(const struct naive_bars *bars, size_t window, size_t k,
                              double width_atr, size_t touches, size_t t, size_t *count);

struct measured_fall {
    bool defined;
    double high, low;
};
struct measured_fall naive_fall_before(const struct naive_bars *bars, size_t window, size_t t);
double naive_fall_level(const struct measured_fall *fall, double ratio);

/* --- shapes (section 5) -----------------------------------------------------------------------*/
struct shape_use {
    char shape[NAIVE_WORD];
    char limit_name[NAIVE_MOST][NAIVE_WORD];
    double limit_value[NAIVE_MOST];
    size_t limit_count;
};

enum shape_side { SHAPE_UNKNOWN, SHAPE_LONG, SHAPE_SHORT, SHAPE_BOTH };
enum shape_side naive_shape_side_of(const char *shape);
bool naive_shape_has_limit(const char *shape, const char *limit);
/* Whether the shape ends at t; if so its first bar is written to `first`. */
bool naive_shape_ends_at(const struct naive_bars *seen, const struct naive_bars *negated,
                         const struct shape_use *use, size_t t, size_t *first);

/* --- the chart: one market, as seen and negated -----------------------------------------------*/
enum orientation { AS_SEEN = 0, NEGATED = 1 };

struct chart {
    const struct naive_market *market;
    struct owned_bars *base[2];  /* the market's own bars */
    struct owned_bars *bars[2];  /* the bars the setup is read on */
    struct owned_bars *finer[2]; /* or NULL */
};

struct chart *naive_chart_new(const struct naive_market *market, const char *interval);
void naive_chart_free(struct chart *chart);

/* --- conditions -------------------------------------------------------------------------------*/
struct parameter {
    char name[NAIVE_WORD];
    char text[NAIVE_WORD];
    double number; /* NaN where the text is no number */
};

/* One side of `compare`. */
struct compared_value {
    char word[NAIVE_WORD]; /* empty: the number */
    double number;
    struct parameter parameters[4];
    size_t parameter_count;
    size_t bars_ago;
    char of[NAIVE_WORD];       /* empty: the market itself */
    char interval[NAIVE_WORD]; /* empty: that of the condition */
};

struct comparison {
    struct compared_value value, other;
    char way[NAIVE_WORD];
    size_t run; /* rises_for, falls_for; else 0 */
    char by_unit[NAIVE_WORD];
    double by;
};

struct condition {
    char word[NAIVE_WORD];         /* a row of the table, or any, or not */
    struct comparison *comparison; /* of compare */
    struct parameter parameters[NAIVE_MOST];
    size_t parameter_count;
    char words[NAIVE_MOST][NAIVE_WORD]; /* weekday: of */
    size_t word_count;
    char interval[NAIVE_WORD]; /* empty: the setup's own */
    size_t within;
    struct condition *inner; /* any, not */
    size_t inner_count;
};

enum verdict { NO, YES, UNDEFINED };

/* The row's parameters as one string of words, or NULL where there is no such row. */
const char *naive_condition_parameters(const char *word);
void naive_condition_clear(struct condition *condition);
bool naive_comparison_knows(const char *word);
/* Whether it is read on negated prices. */
bool naive_comparison_is_negated(const struct comparison *comparison);
/* `bars` are those of the condition, negated where it is read so. */
enum verdict naive_comparison_at(const struct chart *chart, const struct comparison *comparison,
                                 const struct naive_bars *bars, size_t bar);
/* The condition at `bar` for a candle of the bars first..candle. */
enum verdict naive_condition_at(const struct chart *chart, const struct condition *condition,
                                size_t first, size_t candle, size_t bar);

/* --- the setup ---------------------------------------------------------------------------------*/
struct condition_list {
    struct condition *items;
    size_t count;
};

struct entry_rule {
    char on[NAIVE_WORD]; /* always the long row */
    size_t valid;
    double buffer_ticks, buffer_atr;
    bool at_close;
    bool take_late;
    double largest_gap_atr, least_room_r; /* NaN: not asked */
    size_t bars, swing;
    double share; /* limit_below_close */
    char retest_of[NAIVE_WORD];
    double level, tolerance_atr;
    size_t break_within, retest_within;
};

struct stop_rule {
    char at[NAIVE_WORD]; /* always the long row */
    size_t bars, swing;
    double times, level;
    double buffer_ticks, buffer_atr;
    struct stop_rule *members; /* lower_of */
    size_t member_count;
};

enum target_kind { TARGET_R, TARGET_LEVEL, TARGET_EXTENSION, TARGET_SWING, TARGET_OWN_LEVEL };
struct target_rule {
    enum target_kind kind;
    double number, share;
};

enum trail_kind { TRAIL_NONE, TRAIL_SWING_LOW, TRAIL_ATR, TRAIL_LOWEST_LOW, TRAIL_AVERAGE };
enum same_bar_rule { SAME_NEAREST, SAME_WORST, SAME_BEST, SAME_FINER };

struct cost_rule {
    double spread, slippage, commission_per_unit, commission_percent, financing_percent_year;
};

struct setup {
    bool short_side;
    char interval[NAIVE_WORD]; /* empty: the market's own */
    struct shape_use candles[NAIVE_MOST];
    size_t candle_count;
    struct condition_list place, confirm, when;
    size_t at_least, wait;
    struct entry_rule entry;
    struct stop_rule stop;
    struct target_rule targets[NAIVE_MOST];
    size_t target_count;
    size_t time_stop;       /* 0: none */
    double break_even_at_r; /* NaN: none */
    enum trail_kind trail;
    size_t trail_swing, trail_bars;
    double trail_times;
    struct cost_rule costs;
    enum same_bar_rule same_bar;
    bool overlap_all;
};

int naive_setup_read(const char *text, struct setup *setup, char *message, size_t message_size);
int naive_condition_read(const char *text, struct condition *condition, char *message,
                         size_t message_size);
void naive_setup_clear(struct setup *setup);

/* --- orders (section 7) and the life of a trade -----------------------------------------------*/
/* `bars` are the bars of the setup's own side: for a short setup the negated ones. */
struct side {
    const struct chart *chart;
    const struct setup *setup;
    const struct naive_bars *bars;
    const struct naive_bars *opposite;
    const struct naive_bars *finer; /* or NULL */
    double tick;
};

struct candle {
    size_t first, t;
    double high, low; /* of all bars of the shape */
};

enum fill_status { FILL_DONE, FILL_LAPSED, FILL_LATE };
struct fill {
    enum fill_status status;
    size_t bar;    /* of the fill */
    size_t lapsed; /* the bar on which the entry lapsed */
    double price, stop;
    bool came_down; /* a limit order filled inside the bar, not at its open */
    bool inside;    /* a buy stop filled inside the bar, not at its open */
    bool at_close;
};

double naive_round_up_to_tick(double price, double tick);
double naive_round_down_to_tick(double price, double tick);
struct fill naive_find_fill(const struct side *side, const struct candle *candle, size_t s);

/* The stop as far as it is known.  `fill` is NaN until there is one; `order_price` is NaN but for a
 * buy stop; leg_first..k are the bars of the leg, NAIVE_NONE until known. */
struct stop_question {
    size_t s;
    const struct candle *candle;
    double order_price;
    double fill;
    size_t bar_before_fill;
    size_t leg_first, leg_last;
};
enum stop_answer { STOP_KNOWN, STOP_NOT_YET, STOP_UNDEFINED };
enum stop_answer naive_stop_price(const struct side *side, const struct stop_question *question,
                                  double *price);

/* Lives the trade through and fills the row in.  Returns the bar on which the setup is free again,
 * NAIVE_NONE where that never comes. */
size_t naive_live_through(const struct side *side, const struct candle *candle, size_t s,
                          const struct fill *fill, struct naive_row *row);

#endif
