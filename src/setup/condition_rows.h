/* What the functions behind the table of conditions share. Private to the
 * setup layer. */
#ifndef RUSHLIGHT_SETUP_CONDITION_ROWS_H
#define RUSHLIGHT_SETUP_CONDITION_ROWS_H

#include "setup/condition_view.h"

/* The reading where an input is undefined. */
extern const struct reading undefined_reading;

/* The reading where nothing was given to tell it by; the name says what. */
struct reading untold_reading(const char *name);

/* A number that is a length. */
size_t whole_of(double value);
const struct bars *bars_of(const struct condition_view *view);
/* A column's value at a bar, NaN where there is none. */
double value_at(const double *column, size_t at);
/* Values from 0 to 100 are equal within this (docs/method.md 2.3). */
extern const double hundred_tolerance;
/* MACD, its signal and its histogram on a bar of these are equal within this
 * share of its close (2.3). */
double macd_tolerance(const struct bars *bars, size_t at);
/* A criterion without a number. */
struct reading fact_reading(const char *name, bool holds);

struct reading read_downtrend(const struct condition_view *view);
struct reading read_fall(const struct condition_view *view);
struct reading read_lowest_low(const struct condition_view *view);
struct reading read_lower_swings(const struct condition_view *view);
struct reading read_falling_trend_line(const struct condition_view *view);
struct reading read_at_support(const struct condition_view *view);
struct reading read_at_own_level(const struct condition_view *view);
struct reading read_rsi_below(const struct condition_view *view);
struct reading read_rsi_crosses_above_average(const struct condition_view *view);
struct reading read_stochastic_below(const struct condition_view *view);
struct reading read_below_lower_band(const struct condition_view *view);
struct reading read_macd_turns_up(const struct condition_view *view);
struct reading read_macd_crosses_signal_up(const struct condition_view *view);
struct reading read_macd_above_zero(const struct condition_view *view);
struct reading read_bullish_divergence(const struct condition_view *view);
struct reading read_adx_below(const struct condition_view *view);
struct reading read_close_above_average(const struct condition_view *view);
struct reading read_average_rising(const struct condition_view *view);
struct reading read_volume_above_average(const struct condition_view *view);
struct reading read_weekday(const struct condition_view *view);
struct reading read_time_of_day(const struct condition_view *view);
struct reading read_no_event(const struct condition_view *view);
struct reading read_comparison(const struct condition_view *view);

#endif
