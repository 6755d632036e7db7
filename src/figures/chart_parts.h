/* The parts of a chart window. Private to the layer. */
#ifndef RUSHLIGHT_FIGURES_CHART_PARTS_H
#define RUSHLIGHT_FIGURES_CHART_PARTS_H

#include "draw/candles.h"
#include "draw/margin.h"
#include "draw/ticks.h"
#include "figures/case_facts.h"
#include "figures/window_request.h"

/* What is drawn on: the window under way and what is read again and again. */
struct draft {
    const struct window_request *request;
    struct chart_window *window;
    const struct bars *bars;
    size_t from, to;           /* bars drawn, those beyond the sides included */
    size_t seen_from, seen_to; /* bars in view */
    size_t complete;           /* bars that measures know: up to here */
    int places;                /* decimals of prices */
    bool narrow;               /* a phone: letters in the margin stand closer */
    double size;               /* of letters beside marks */
    struct case_facts *found;  /* of the case that is asked for; NULL: none is */
};

/* The columns of a strip: its main curve, the broken one, the columns; NULL
 * where it has none. */
struct window_columns {
    const double *main, *other, *third, *differences;
    char name[160];
};

/* `strip` with its usual numbers filled in; the columns of its measures. */
struct window_columns window_columns_of(struct sheet *sheet, const struct window_strip *strip);
/* The column of a curve. */
const double *window_curve_column(struct sheet *sheet, const struct window_curve *curve);

void window_draw_prices(struct draft *draft, struct pane *pane);
void window_draw_strip(struct draft *draft, const struct window_strip *strip, struct pane *pane);
void window_draw_dates(struct draft *draft, const struct pane *price, const struct pane *last);
/* The box in which marks of a pane may be seen, those beyond its sides too. */
struct box window_clip(const struct draft *draft, const struct pane *pane);
const int64_t *window_times(const struct window_request *request);
/* "14 Mar 2019", with the time of day for shorter bars. */
void window_time(const struct window_request *request, size_t bar, char text[TICK_TEXT_SIZE]);
void window_describe(struct draft *draft);

#endif
