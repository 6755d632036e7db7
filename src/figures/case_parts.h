/* The parts of a case sheet, each drawn into its place. Private to the layer. */
#ifndef RUSHLIGHT_FIGURES_CASE_PARTS_H
#define RUSHLIGHT_FIGURES_CASE_PARTS_H

#include "draw/candles.h"
#include "figures/case_facts.h"

/* Sizes of letters, and where things stand on the sheet, in picture units. */
enum {
    NOTE_SIZE = 11,
    TEXT_SIZE = 12,
    PAGE_WIDTH = 1120,
    PLOT_LEFT = 70,
    PLOT_RIGHT = 640,
    MARGIN_GAP = 34, /* from a pane to the prices beside it */
    MARGIN_ROOM = 156,
    FOOT_RIGHT = 796,
    SIDE_LEFT = 834,
    SIDE_RIGHT = 1092
};

/* The price pane fitted to what it has to show, and drawn. */
struct pane case_draw_price(const struct case_facts *facts, struct picture *picture,
                            struct box box);
void case_draw_structure(const struct case_facts *facts, struct picture *picture,
                         const struct pane *pane);
/* Ruled lines, the bracket that measures R, the prices in the margin. */
void case_draw_orders(const struct case_facts *facts, struct picture *picture,
                      const struct pane *pane, bool retracements);
void case_draw_outcome(const struct case_facts *facts, struct picture *picture,
                       const struct pane *pane);
/* Volume, momentum and MACD under the price pane from y on, with the dates
 * below the last; returns the y below. */
double case_draw_strips(const struct case_facts *facts, struct picture *picture,
                        const struct pane *above, double y);
/* RSI and MACD of longer bars, where the setup has rules about them on those, under
 * their own bars first..at; returns the foot of the last. */
double case_draw_longer_strips(const struct case_momentum *momentum, struct picture *picture,
                               const struct pane *above, size_t first, size_t at);
/* What stands beside the figure, each from the top of its column on; returns the
 * y below it. */
double case_draw_anatomy(const struct case_facts *facts, struct picture *picture, struct box side);
double case_draw_context(const struct case_facts *facts, struct picture *picture, struct box side);
/* With `next` > 0 it goes on in a second column, so far to the right, below the
 * bottom of the first. */
double case_draw_checklist(const struct case_facts *facts, struct picture *picture, struct box side,
                           double next);
/* The plan, what followed and the rank, in so many columns. */
double case_draw_words(const struct case_facts *facts, struct picture *picture, struct box box,
                       size_t columns);
/* Caption and cautions, from the top of the box on; returns the y below. */
double case_draw_foot(const struct case_facts *facts, struct picture *picture, bool structure,
                      struct box box);
/* Whether there is volume or a measure to draw below the prices. */
bool case_has_strips(const struct case_facts *facts);
/* What a screen reader is told: the subtitle, the plan, what followed. */
void case_describe(const struct case_facts *facts, struct picture *picture);

/* A note beside a mark, inside the pane, where there is room for it. */
void case_note(struct picture *picture, const struct pane *pane, const char *text, enum ink ink,
               double x, double y, bool above);

/* The mark of a line that is broken. */
void case_draw_cross(struct picture *picture, double x, double y);

/* How a trade ended, in words after "out": "at the target". */
const char *case_reason(enum trade_reason reason);

/* The sentences of the sheet. */
void case_title(const struct case_facts *facts, struct text *text);
void case_subtitle(const struct case_facts *facts, struct text *text);
void case_plan(const struct case_facts *facts, struct text *text);
void case_followed(const struct case_facts *facts, struct text *text);
void case_rank(const struct case_facts *facts, struct text *text);
/* `structure`: swings and zones are drawn, too. */
void case_caption(const struct case_facts *facts, bool structure, struct text *text);

#endif
