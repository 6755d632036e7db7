/* Small figures of many cases on one sheet: candle under candle, the candle's
 * extreme on one line, all on one scale in ATR, or they could not be compared. */
#ifndef RUSHLIGHT_FIGURES_CONTACT_SHEET_H
#define RUSHLIGHT_FIGURES_CONTACT_SHEET_H

#include "draw/picture.h"
#include "market/bars.h"

#include <stdbool.h>
#include <stddef.h>

enum {
    SMALL_BARS = 33,   /* in a small figure */
    SMALL_BEFORE = 22, /* of them before the candle's last bar */
    SMALL_STEP = 7,    /* pixels a bar; at 4 hollow and filled could just be told apart */
    SMALL_WIDTH = SMALL_BARS * SMALL_STEP,
    SMALL_HEIGHT = 108
};

/* One case; all of it stays the caller's. */
struct small_case {
    const struct bars *bars;
    bool is_short;
    size_t candle_first, candle;
    size_t end;      /* bars before this one may be drawn: the signal's next, or what followed */
    double atr;      /* at the candle, > 0 */
    double entry;    /* ruled from the candle on; NaN: none */
    double stop;     /* likewise */
    size_t exit_bar; /* an open dot where the trade ended; SIZE_MAX: none */
    double exit_price;
    const char *name;   /* the instrument */
    const char *when;   /* date of the candle */
    const char *result; /* in bold at the right: "+2.7 R"; NULL: none */
    bool closed;        /* the result is a number, not a word such as "not filled" */
};

/* The scale that small figures share. */
struct small_scale {
    double pixels; /* an ATR */
    double line;   /* y of the candle's extreme, from the top of the figure */
};

/* The scale on which nine in ten of the cases have room in height. Cases may be
 * none. */
struct small_scale small_scale_of(const struct small_case *cases, size_t count);

/* Draws one small figure without letters with its upper left corner there. */
void small_case_draw(struct picture *picture, const struct small_case *one,
                     const struct small_scale *scale, double left, double top);

/* The picture of one small figure alone, SMALL_WIDTH by SMALL_HEIGHT, for a
 * page that sets the words itself (picture_write_bare). Its description says
 * name, date and result. ERROR_MACHINE without memory. */
int small_case_make(struct picture **picture, struct typesetter *typesetter,
                    const struct small_case *one, const struct small_scale *scale,
                    const char *prefix, struct error *error);

struct contact_sheet {
    const struct small_case *cases;
    size_t count;
    double width; /* as many beside one another as fit */
    const char *title;
    const char *subtitle; /* which cases, in which order, and that none is left out */
    const char *caption;  /* what is shown of what followed, and the usual cautions */
};

/* A whole sheet with its words; the caller frees it. ERROR_MACHINE without
 * memory. */
int contact_sheet_make(struct picture **picture, struct typesetter *typesetter,
                       const struct contact_sheet *sheet, const char *prefix, struct error *error);

#endif
