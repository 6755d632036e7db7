/* A window of any series: the chart of a page, and the same as one picture.
 *
 * It is made in two parts, so that a page can move it at once and have the
 * exact frame a moment later. What moves (candles, measures, lines, dates) is
 * drawn somewhat beyond both sides of the window, on paper of its own; what
 * stays (axes, names, prices in the margin) lies over it and is transparent.
 * Both have the coordinates of the whole window, in CSS pixels from its upper
 * left corner, so that a pointer is read by arithmetic from `places`.
 *
 * Ranges of values are fitted to the bars in view, not to those beyond. There
 * is one path an ink and pane, whatever the number of bars; where bars are
 * closer than 1.5 pixels several are drawn as one, from absolute multiples of
 * the bar's number. No style element or attribute is written but in
 * chart_window_write: the page serves theme_stylesheet once. */
#ifndef RUSHLIGHT_FIGURES_CHART_WINDOW_H
#define RUSHLIGHT_FIGURES_CHART_WINDOW_H

#include "base/text.h"
#include "document/table.h"
#include "figures/window_request.h"

#include <stdint.h>

/* Makes the window; free it with chart_window_free, also after an error.
 * `prefix` begins its ids. Only ERROR_MACHINE, for want of memory. */
int chart_window_make(struct chart_window *window, struct typesetter *typesetter,
                      const struct window_request *request, const char *prefix,
                      struct error *error);
void chart_window_free(struct chart_window *window);

/* The two parts, each one SVG element without style. The moving one stands at
 * plot.left - over; the still one carries title and description. */
int chart_window_write_moving(struct chart_window *window, enum theme theme, struct text *svg,
                              struct error *error);
int chart_window_write_still(struct chart_window *window, enum theme theme, struct text *svg,
                             struct error *error);
/* Both as one element without style: for print and where nothing moves. */
int chart_window_write_whole(struct chart_window *window, enum theme theme, struct text *svg,
                             struct error *error);
/* Numbers a page needs to read a pointer, as a JSON object: width, height,
 * plot, over, first, last, and for each pane kind, top, bottom, low, high,
 * logarithmic. */
void chart_window_append_json(const struct chart_window *window, struct text *json);

/* "price", "volume", "rsi", "macd", "stochastic", "adx". */
const char *window_kind_name(enum window_kind kind);
bool window_kind_from_name(enum window_kind *kind, const char *name);

/* The table behind a window: the last `most` of its bars, with their dates,
 * prices, volume and measures. Initialised here, the caller's to free, also after
 * an error. */
int chart_window_table(struct table *table, const struct window_request *request, size_t most,
                       struct error *error);

/* The bars' times as a clock in the zone shows them, rising also where it goes
 * back; the caller frees them. */
int window_clock(const struct bars *bars, const char *zone, int64_t **clock, struct error *error);

#endif
