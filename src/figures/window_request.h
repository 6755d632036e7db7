/* What a chart window is asked for, and what it then is. */
#ifndef RUSHLIGHT_FIGURES_WINDOW_REQUEST_H
#define RUSHLIGHT_FIGURES_WINDOW_REQUEST_H

#include "draw/pane.h"
#include "draw/picture.h"
#include "figures/case_request.h"
#include "measures/sheet.h"

#include <stdbool.h>
#include <stddef.h>
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
    int rings;        /* open rings at its first so many points, where it is taken hold of */
    const char *name; /* NULL: none */
};

/* A short rule at the right edge, with its name in the margin: a part of a way back. */
struct window_rule {
    double price;
    const char *name;
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
    const struct window_rule *rules;
    size_t rule_count;
    const struct window_note *notes;
    size_t note_count;
    const struct window_mark *marks;
    size_t mark_count;
    const struct window_order *orders;
    size_t order_count;
    /* A case: what its setup saw in the bars up to its signal is drawn as on a case
     * sheet, where each bar has a place of its own; NULL: none. */
    const struct case_request *found;
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

#endif
