/* The demo market as price files, with lines that are wrong on purpose. */
#ifndef RUSHLIGHT_DEMO_FILES_H
#define RUSHLIGHT_DEMO_FILES_H

#include "base/text.h"
#include "demo/market.h"

/* Appends the daily bars as CSV: `date,open,high,low,close,volume`, without
 * the volume where the instrument has none. Between the good lines stand the
 * bad ones of this instrument, each in addition to the good ones: who reads
 * the file rightly gets series->daily and sets demo_bad_lines() lines aside. */
void demo_daily_csv(struct text *text, const struct demo_series *series);
size_t demo_bad_lines(const struct demo_series *series);

/* The hourly bars: `time,…` in UTC; no bad lines. */
void demo_hourly_csv(struct text *text, const struct demo_series *series);

#endif
