/* The functions behind the table of measures. Private to the measures layer. */
#ifndef RUSHLIGHT_MEASURES_MEASURE_ROWS_H
#define RUSHLIGHT_MEASURES_MEASURE_ROWS_H

#include "measures/sheet.h"

/* A number that is a length. */
size_t length_of(double value);
/* out = a - b, from `first` on. */
void subtract(const double *restrict a, const double *restrict b, size_t first, size_t count,
              double *restrict out);

bool compute_range(struct sheet *sheet, const double *values, struct filling *column);
bool compute_body(struct sheet *sheet, const double *values, struct filling *column);
bool compute_upper_shadow(struct sheet *sheet, const double *values, struct filling *column);
bool compute_lower_shadow(struct sheet *sheet, const double *values, struct filling *column);
bool compute_average(struct sheet *sheet, const double *values, struct filling *column);
bool compute_exponential_average(struct sheet *sheet, const double *values, struct filling *column);
bool exponential_mean_together(struct sheet *const *sheets, const double *values,
                               struct filling *const *columns);
bool compute_wilder_average(struct sheet *sheet, const double *values, struct filling *column);
bool compute_true_range(struct sheet *sheet, const double *values, struct filling *column);
bool compute_atr(struct sheet *sheet, const double *values, struct filling *column);
bool atr_together(struct sheet *const *sheets, const double *values,
                  struct filling *const *columns);
bool compute_rsi(struct sheet *sheet, const double *values, struct filling *column);
bool rsi_together(struct sheet *const *sheets, const double *values,
                  struct filling *const *columns);
bool compute_rsi_average(struct sheet *sheet, const double *values, struct filling *column);
bool rsi_average_together(struct sheet *const *sheets, const double *values,
                          struct filling *const *columns);
bool compute_macd(struct sheet *sheet, const double *values, struct filling *column);
bool macd_together(struct sheet *const *sheets, const double *values,
                   struct filling *const *columns);
bool compute_macd_signal(struct sheet *sheet, const double *values, struct filling *column);
bool macd_signal_together(struct sheet *const *sheets, const double *values,
                          struct filling *const *columns);
bool compute_macd_histogram(struct sheet *sheet, const double *values, struct filling *column);
bool macd_histogram_together(struct sheet *const *sheets, const double *values,
                             struct filling *const *columns);
bool compute_stochastic_raw(struct sheet *sheet, const double *values, struct filling *column);
bool compute_stochastic_smooth(struct sheet *sheet, const double *values, struct filling *column);
bool compute_stochastic(struct sheet *sheet, const double *values, struct filling *column);
bool compute_deviation(struct sheet *sheet, const double *values, struct filling *column);
bool compute_upper_band(struct sheet *sheet, const double *values, struct filling *column);
bool compute_lower_band(struct sheet *sheet, const double *values, struct filling *column);
bool compute_directional_up(struct sheet *sheet, const double *values, struct filling *column);
bool compute_directional_down(struct sheet *sheet, const double *values, struct filling *column);
bool compute_adx(struct sheet *sheet, const double *values, struct filling *column);
bool compute_slope(struct sheet *sheet, const double *values, struct filling *column);
bool compute_slope_t(struct sheet *sheet, const double *values, struct filling *column);
bool compute_highest(struct sheet *sheet, const double *values, struct filling *column);
bool compute_lowest(struct sheet *sheet, const double *values, struct filling *column);
bool compute_average_volume(struct sheet *sheet, const double *values, struct filling *column);

#endif
