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
#include "draw/pane.h"
#include "figures/case_sheet.h"
#include "measures/sheet.h"

#include <stdint.h>

enum window_kind {
    WINDOW_PRICE,
    WINDOW_VOLUME,
    WINDOW_RSI,        /* a: length, b: values in its average */
    WINDOW_MACD,       /* a: fast, b: slow, c: signal */
    WINDOW_STOCHASTIC, /* a: length, b: first mean, c: last mean */
    WINDOW_ADX         /* a: length */
};

enum { WINDOW_STRIP_LIMIT = 5, WINDOW_CURVE_LIMIT = 8, WINDOW_LIMIT_LIMIT = 4 };

/* A strip under the prices. Numbers that are 0 are the measure's usual ones. */
struct window_strip {
    enum window_kind kind; /* not WINDOW_PRICE */
    double a, b, c;
    /* Ruled and named: the limits of the setup. */
    double limits[WINDOW_LIMIT_LIMIT];
    size_t limit_count;
};

/* A measure in units of price drawn over the prices, such as an average or the
 * edge of a band. */
struct window_curve {
    enum measure_id measure;
    double a, b, c; /* 0: the usual ones */
    enum dash dash;
    const char *name; /* in the margin, where it leaves the window; NULL: none */
};

/* A straight line through two points. A level has two equal prices. Bars may
 * lie before, between and after those there are. */
struct window_line {
    double from_bar, from_price;
    double to_bar, to_price;
    bool left, right; /* extended beyond its points */
    enum ink ink;     /* INK_BLUE: found by the rule; INK_MAIN: a person's own */
    enum dash dash;
    bool rings;       /* open rings at both points, where it is taken hold of */
    const char *name; /* NULL: none */
};

struct window_note {
    double bar, price;
    const char *text;
    enum ink ink;
    bool above; /* rather than below */
};

/* A candidate or signal: a stroke at the foot of the prices below its bar. */
struct window_mark {
    size_t bar;
    bool full; /* a signal: the longer and heavier stroke */
};

enum window_order_kind { WINDOW_ENTRY, WINDOW_STOP, WINDOW_TARGET };

/* A ruled line from a bar to the right edge, with a ring and its price there;
 * entry, stop and targets together get the bracket that measures R. */
struct window_order {
    enum window_order_kind kind;
    double price;
    size_t from;
};

/* What a window is made of; all of it stays the caller's. */
struct window_request {
    struct sheet *sheet;  /* all bars that were known; a partial last one is drawn softly */
    const int64_t *clock; /* of all bars, window_clock; NULL: their times as they are */
    const char *name;     /* of the instrument */
    double tick;          /* least step of prices, > 0 */
    double width, height; /* from 240 by 160 on */
    double first, last;   /* bars at the left and right edge, first < last; may lie beyond */
    double over;          /* drawn beyond each side, as a share of the plot: 0 to 0.5 */
    bool logarithmic;     /* if all prices in view are above 0 */
    double low, high;     /* range of prices where low < high; else fitted */
    size_t asked_first;   /* the candle asked about; SIZE_MAX: none */
    size_t asked;         /* its last bar */
    const struct window_strip *strips;
    size_t strip_count; /* at most WINDOW_STRIP_LIMIT */
    const struct window_curve *curves;
    size_t curve_count; /* at most WINDOW_CURVE_LIMIT */
    const struct window_line *lines;
    size_t line_count;
    const struct window_note *notes;
    size_t note_count;
    const struct window_mark *marks;
    size_t mark_count;
    const struct window_order *orders;
    size_t order_count;
};

/* Where a pane stands, for whoever reads a pointer: pane_x_value and
 * pane_y_value turn it into bar and value. */
struct window_place {
    enum window_kind kind;
    struct pane pane;
};

struct chart_window {
    struct picture *moving;
    struct picture *still;
    double over;     /* pixels drawn beyond each side */
    struct box plot; /* of all panes; what moves is shown within its sides */
    struct window_place places[WINDOW_STRIP_LIMIT + 1]; /* from the top down, prices first */
    size_t place_count;
};

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
