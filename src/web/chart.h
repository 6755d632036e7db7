/* What an address asks to see of one instrument, opened. Private to the layer. */
#ifndef RUSHLIGHT_WEB_CHART_H
#define RUSHLIGHT_WEB_CHART_H

#include "answer/drawn_lines.h"
#include "figures/chart_window.h"
#include "web/page_parts.h"
#include "work/case_plan.h"
#include "work/rules.h"

enum { CHART_STRIPS = WINDOW_STRIP_LIMIT, CHART_CURVES = WINDOW_CURVE_LIMIT, CHART_SPAN = 150 };

/* The address, read. */
struct chart_asked {
    const char *instrument; /* NULL: the first of the list, or of the book */
    const char *list;
    const char *setup;        /* NULL: none, just a chart */
    struct interval interval; /* NONE: that on which it is usually read */
    int64_t at;               /* a case of the setup, by its candle's time; INT64_MIN: none */
    int64_t held;             /* what begins later is held back, bar by bar; INT64_MAX: nothing */
    int64_t bar;              /* the bar asked about begins here; INT64_MIN: the case, the last */
    int64_t seen;             /* as the wish of that name (work.h); INT64_MAX: all */
    const char *panes;        /* as the address has them; NULL: as kept for such bars */
    const char *averages;
    const char *scale;
    bool logarithmic;
    struct window_strip strips[CHART_STRIPS];
    size_t strip_count;
    struct window_curve curves[CHART_CURVES];
    size_t curve_count;
    char curve_names[CHART_CURVES][24];
};

/* An order that stands on a person's own line and follows it. */
struct chart_bound {
    bool asked;                   /* the address binds it */
    const struct line_seen *seen; /* the line; NULL: it is not there */
    size_t index;                 /* of the prices that it marks */
    double price;                 /* on the bar that comes after the case; NaN: none */
};

/* One instrument, with its measures and perhaps a setup applied. */
struct chart {
    struct chart_asked asked;
    struct work *work;
    struct wishes wishes;
    struct notices notices;
    char name[INSTRUMENT_NAME_SIZE];
    bool has_setup;
    struct setup setup;
    struct rules_case opened;  /* its series and sheet, also without a setup */
    int64_t *clock;            /* times of the bars as read in the instrument's zone */
    struct signals signals;    /* of the setup, all of them */
    struct window_mark *marks; /* those that are signals on the bars shown, for the figure's foot */
    size_t mark_count;
    size_t bar; /* asked about; SIZE_MAX where there are no bars */
    size_t at;  /* the candle of the case; SIZE_MAX: none is asked for */
    /* What came after a case, or after a bar that is asked for, is held back: */
    bool is_cut;
    struct bars shown_bars;
    struct sheet *shown; /* what the figure may draw: the sheet, or one of the bars up to it */
    size_t shown_count;
    /* The case, for the lines that its setup saw: */
    bool is_case;
    struct case_request found;
    /* A person's own lines on the bars that are shown, and as they are drawn: */
    struct lines_seen own;
    struct drawn_lines drawn;
    /* The orders of the case, where it is one: */
    bool has_plan;
    struct planned_lines lines; /* that the request puts elsewhere */
    struct case_plan plan;
    struct chart_bound bound[3]; /* entry, stop, target */
    struct window_order orders[3];
    size_t order_count;
};

/* Reads what the request asks for; ERROR_USAGE names what cannot be read. */
int chart_read(struct chart_asked *asked, const struct exchange *exchange, struct error *error);
/* Opens it. ERROR_INPUT where there is no such instrument or setup. Free with
 * chart_close, also after an error; returns what the request has to return. */
int chart_open(struct chart *chart, const struct page *page, const struct exchange *exchange,
               struct error *error);
/* The bars of the longer interval that the request names, without setup, with
 * nothing in them that the case's own figure holds back. Likewise. */
int chart_open_beside(struct chart *chart, const struct page *page, const struct exchange *exchange,
                      struct error *error);
int chart_close(struct chart *chart, int code, struct error *error);

/* The least step of its prices; 0.01 where none is known. */
double chart_tick(const struct chart *chart);
/* The request for a window of it, borrowing from the chart. */
void chart_request(const struct chart *chart, double width, double height, double first,
                   double last, struct window_request *request);
/* The orders of the case as the candle's close has them, with the way in and the
 * lines that the request names (orders_margin.c). ERROR_USAGE where a line is no
 * price. */
int chart_orders_read(struct chart *chart, const struct exchange *exchange, struct error *error);

/* What the figure shows, as fields of a form chose it (chart_shows.c). */
int chart_shows_read(struct chart_asked *asked, struct work *work, struct interval interval,
                     struct error *error);
/* The controls that choose it, kept for bars of this length. */
void chart_shows_write(struct html *html, const struct page *page, const struct chart *chart,
                       const struct exchange *exchange);

/* What every work of the page wishes: the book, names only, the date as of. */
int page_wishes(const struct page *page, const struct exchange *exchange, struct wishes *wishes,
                struct error *error);

/* A setup by its name, never by a path: of the book, else a shipped one; the caller
 * frees it. */
int page_setup(const struct page *page, const char *name, struct setup *setup, struct error *error);
/* The same out of a book that is open already; NULL: there is none. */
int page_setup_in(const struct page *page, struct book *book, const char *name, struct setup *setup,
                  struct error *error);
/* The names of all, in order; each and the array the caller's to free. */
int page_setup_names(const struct page *page, char ***names, size_t *count, struct error *error);
int page_setup_names_in(const struct page *page, struct book *book, char ***names, size_t *count,
                        struct error *error);

#endif
