/* A person's own levels and lines: entered into the book, laid onto bars, and
 * given to the rules of a setup. */
#ifndef RUSHLIGHT_WORK_OWN_LINES_H
#define RUSHLIGHT_WORK_OWN_LINES_H

#include "book/level_store.h"
#include "market/session.h"
#include "work/rules.h"

/* Says when a line that is entered now counts. Instrument, kind, points, width and
 * note are the caller's; a point of time INT64_MIN stands on the newest bar. `since`
 * INT64_MIN: drawn now, so it counts from the first bar that begins after the newest
 * one of the book is over, or after `known`, the last second of what was looked at
 * (INT64_MAX: everything); else it is said to have been drawn then. What counts from
 * a moment before the end of the newest bar is flagged as dated back. ERROR_INPUT for
 * an instrument that is not in the book, and for a `since` that has not come yet; a
 * date has come once the instrument's own day has begun. */
int own_line_settle(struct book *book, int64_t now, int64_t known, struct own_line *line,
                    struct error *error);
/* Settles a line and keeps it, inside a transaction of the caller's. ERROR_INPUT also
 * as level_store_add. */
int own_line_enter(struct book *book, int64_t now, int64_t known, struct own_line *line,
                   struct error *error);

/* A moment as a time to hold the times of bars of this length against: those later
 * than it are of bars that begin after the moment. Of bars whose time is a date, that
 * of the newest day that has begun. */
int64_t own_line_bar(struct session *session, struct interval interval, int64_t moment);

/* A line on bars, in their prices. Positions count bars from 0, with parts of a bar
 * where a point lies inside one; between two points it is straight from bar to
 * bar, and goes on so beyond them. */
struct laid_line {
    double bar; /* position of the first point */
    double price;
    double slope;     /* price for each bar; 0 of a level, a note, a retracement */
    double other_bar; /* position of the second point; `bar` where there is one only */
    double other_price;
    double width; /* of a channel, in the prices of the bars at its first point */
};

/* Lays a line onto bars; false where a point of one that has a slope lies before the
 * first of them, or both within one bar so that there is none. What is flat lies from
 * the first bar on then. No later bar changes how a line lies. */
bool own_line_lay(const struct own_line *line, const struct bars *bars, struct laid_line *laid);

/* The prices that a line marks at a bar, at most OWN_LINE_PRICES: of a level, a trend
 * line, the two of a channel, 38.2, 50 and 61.8 % of a retracement; none of a note
 * or ruler. Returns their count. */
enum { OWN_LINE_PRICES = 3 };
size_t own_line_prices(enum line_kind kind, const struct laid_line *laid, double bar,
                       double prices[OWN_LINE_PRICES]);
extern const double own_line_parts[OWN_LINE_PRICES]; /* of a retracement, 0 to 1 */

/* How often bars came to it: runs of bars from its first point up to bar `last` whose
 * range comes within a tenth of an ATR (14) of a price that it marks, with a bar that
 * does not between them. 0 where it marks none. */
size_t own_line_touches(enum line_kind kind, const struct laid_line *laid, struct sheet *sheet,
                        size_t last);

/* Whether it is there for whoever knows what was entered up to this second. */
bool own_line_stands(const struct own_line *line, int64_t known);

/* The marks of one line, appended to the case's, as it was known at a second. */
int own_line_mark(struct rules_case *opened, struct session *session, size_t *room,
                  const struct own_line *line, int64_t known, struct error *error);

/* The marks of a setup's rules out of the book's lines for an instrument: what
 * stood, each for the candles for which it did. Appended to the case's. */
int own_lines_mark(struct work *work, struct rules_case *opened, size_t *room, struct error *error);

#endif
