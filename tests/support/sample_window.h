/* Chart windows onto invented markets, for tests and for the eye. */
#ifndef RUSHLIGHT_TESTS_SAMPLE_WINDOW_H
#define RUSHLIGHT_TESTS_SAMPLE_WINDOW_H

#include "base/random.h"
#include "figures/chart_window.h"

struct sample_window {
    const char *name;
    double width, height;
    size_t bars;        /* in the market */
    double first, last; /* in view */
    double level, tick; /* where prices begin, their step */
    double drift;       /* of each bar, in ticks */
    bool logarithmic;
    bool plain; /* candles alone */
};

/* Ended by a row without a name. */
extern const struct sample_window sample_windows[];

/* A market and the request for a window onto it. */
struct window_case {
    struct bars bars;
    struct sheet *sheet;
    struct window_request request; /* points into this struct: do not copy it */
    struct window_strip strips[WINDOW_STRIP_LIMIT];
    struct window_curve curves[3];
    struct window_line lines[3];
    struct window_note notes[2];
    struct window_mark marks[40];
    struct window_order orders[4];
};

/* False without memory. Free it with window_case_free. */
bool window_case_init(struct window_case *made, const struct sample_window *sample, uint64_t seed);
void window_case_free(struct window_case *made);

#endif
