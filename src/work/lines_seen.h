/* A person's own lines as they stand on the bars that are looked at. */
#ifndef RUSHLIGHT_WORK_LINES_SEEN_H
#define RUSHLIGHT_WORK_LINES_SEEN_H

#include "work/own_lines.h"
#include "work/series.h"

struct line_seen {
    struct own_line line;
    struct laid_line laid;
    double here;    /* the nearest to the close of the prices that it marks on the last bar shown;
                     * NaN where it marks none */
    size_t touches; /* up to that bar */
    int64_t counts_after; /* counts for candles whose first bar has a later time than this */
};

struct lines_seen {
    struct line_seen *list; /* in the order of their entry */
    size_t count;
    size_t held_back; /* lines with a point behind the last bar shown */
};

/* Those of the book for the instrument that stand, or stood on the day wished for, on
 * the bars of a sheet, which may end earlier than those of the series: a line with a
 * point behind its last bar is not among them. Free with lines_seen_free, also after
 * an error. */
int lines_seen_find(struct work *work, const struct series *series, struct sheet *shown,
                    struct lines_seen *seen, struct error *error);
void lines_seen_free(struct lines_seen *seen);
/* The one of that number; NULL where it is not among them. */
const struct line_seen *lines_seen_of(const struct lines_seen *seen, int64_t id);

/* The price of that index which it marks at a bar (own_line_prices); NaN where it marks
 * fewer. */
double line_seen_price(const struct line_seen *seen, size_t index, double bar);

/* A point of the chart, as the book keeps it: on the bar that holds the moment, at the
 * price as traded then; behind the last bar it keeps its time. ERROR_INPUT before the
 * first. */
int line_point_at(const struct series *series, int64_t time, double price, struct line_point *point,
                  struct error *error);
/* A width in the prices of the bars as traded at the point. */
double line_width_at(const struct bars *bars, const struct line_point *point, double width);
/* The width of a channel that holds all bars from its first point to its second, on
 * the side on which they lie, in the prices of the bars; 0 where they lie on its
 * line. */
double line_width_around(const struct bars *bars, const struct laid_line *laid);

#endif
