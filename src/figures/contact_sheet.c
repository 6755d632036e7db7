#include "figures/contact_sheet.h"

#include "base/array.h"
#include "draw/candles.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

enum { FOOT = 4 }; /* below the bars, where a stroke names the candle's column */

static size_t first_bar(const struct small_case *one)
{
    return one->candle > SMALL_BEFORE ? one->candle - SMALL_BEFORE : 0;
}

static size_t last_bar(const struct small_case *one)
{
    size_t most = one->candle + SMALL_BARS - SMALL_BEFORE;
    size_t last = one->end < most ? one->end : most;
    return last < one->bars->count ? last : one->bars->count;
}

/* --- scale -------------------------------------------------------------------------- */

/* The candle's extreme: where a long case has its low, a short one its high. */
static double extreme_of(const struct small_case *one)
{
    double low = INFINITY;
    double high = -INFINITY;
    widen_range(one->bars->low, one->candle_first, one->candle + 1, &low, &high);
    if (one->is_short) {
        low = INFINITY;
        widen_range(one->bars->high, one->candle_first, one->candle + 1, &low, &high);
        return high;
    }
    return low;
}

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a;
    double y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The least room that is enough for nine in ten. */
static double most_of(double *values, size_t count)
{
    qsort(values, count, sizeof *values, ascending);
    return values[(count * 9 - 1) / 10];
}

struct small_scale small_scale_of(const struct small_case *cases, size_t count)
{
    /* Without cases, or without memory, the fall of a usual one fits. */
    struct small_scale scale = {(SMALL_HEIGHT - FOOT) / 10.0, (SMALL_HEIGHT - FOOT) * 0.7};
    double *above = array_new(count + 1, sizeof *above);
    double *below = array_new(count + 1, sizeof *below);
    for (size_t i = 0; above != NULL && below != NULL && i < count; i++) {
        double low = INFINITY;
        double high = -INFINITY;
        widen_range(cases[i].bars->low, first_bar(&cases[i]), last_bar(&cases[i]), &low, &high);
        widen_range(cases[i].bars->high, first_bar(&cases[i]), last_bar(&cases[i]), &low, &high);
        above[i] = (high - extreme_of(&cases[i])) / cases[i].atr;
        below[i] = (extreme_of(&cases[i]) - low) / cases[i].atr;
    }
    if (above != NULL && below != NULL && count > 0) {
        double up = most_of(above, count) + 0.2;
        double down = most_of(below, count) + 0.2;
        scale.pixels = (SMALL_HEIGHT - FOOT) / (up + down);
        scale.line = up * scale.pixels;
    }
    free(above);
    free(below);
    return scale;
}

/* --- one ---------------------------------------------------------------------------- */

static void draw_order(struct picture *picture, const struct pane *pane, size_t candle,
                       double price, enum dash dash)
{
    if (!isnan(price))
        pane_rule(picture, pane, LAYER_MARKS, (struct pen){INK_MAIN, 1, dash}, price,
                  pane_x(pane, (double)candle + 1), pane->box.right);
}

void small_case_draw(struct picture *picture, const struct small_case *one,
                     const struct small_scale *scale, double left, double top)
{
    const struct candle_columns columns = {one->bars->open, one->bars->high, one->bars->low,
                                           one->bars->close};
    const struct box box = {left, top, left + SMALL_WIDTH, top + SMALL_HEIGHT - FOOT};
    double extreme = extreme_of(one);
    struct pane pane = {.box = box,
                        .first = (double)one->candle - SMALL_BEFORE,
                        .last = (double)one->candle + SMALL_BARS - SMALL_BEFORE,
                        .high = extreme + scale->line / scale->pixels * one->atr};
    pane.low = pane.high - (box.bottom - box.top) / scale->pixels * one->atr;
    size_t last = last_bar(one);
    picture_clip(picture, &box);
    if (first_bar(one) < one->candle_first)
        pane_candles(picture, &pane, &columns, first_bar(one), one->candle_first);
    pane_candles_marked(picture, &pane, &columns, one->candle_first, one->candle + 1, INK_ACCENT);
    if (one->candle + 1 < last)
        pane_candles_marked(picture, &pane, &columns, one->candle + 1, last, INK_SOFT);
    draw_order(picture, &pane, one->candle, one->entry, DASH_NONE);
    draw_order(picture, &pane, one->candle, one->stop, DASH_SHORT);
    if (one->exit_bar < last)
        picture_circle(picture, LAYER_OVER, INK_PAPER, (struct pen){INK_BLUE, 1.5, DASH_NONE},
                       pane_bar_x(&pane, one->exit_bar), pane_y(&pane, one->exit_price), 2.5);
    picture_clip(picture, NULL);
    double x = pane_x(&pane, (double)one->candle);
    double foot = top + SMALL_HEIGHT - 0.5;
    picture_line(picture, LAYER_BARS, (struct pen){INK_SOFT, 1, DASH_NONE}, x + 1, foot,
                 x + SMALL_STEP - 1, foot);
}

int small_case_make(struct picture **picture, struct typesetter *typesetter,
                    const struct small_case *one, const struct small_scale *scale,
                    const char *prefix, struct error *error)
{
    struct text text;
    *picture = picture_new(typesetter, SMALL_WIDTH, SMALL_HEIGHT, prefix);
    if (*picture == NULL)
        return error_memory(error);
    text_init(&text);
    text_append_format(&text, "%s, %s", one->name, one->when);
    small_case_draw(*picture, one, scale, 0, 0);
    picture_describe(*picture, text.bytes, one->result != NULL ? one->result : "");
    text_free(&text);
    return ERROR_NONE;
}

/* --- a sheet ------------------------------------------------------------------------ */

enum { EDGE = 28, GAP = 26, CELL = SMALL_HEIGHT + 48, HEAD = 96, NAME_SIZE = 12 };

static void name_case(struct picture *picture, const struct small_case *one, double left, double y)
{
    struct type type = {FACE_REGULAR, NAME_SIZE};
    const double half = SMALL_WIDTH * 0.5;
    picture_word(picture, one->name, type, INK_MAIN, PRIORITY_TABLE,
                 (struct spot){left, y + 14, ALIGN_START}, SMALL_WIDTH);
    picture_word(picture, one->when, type, INK_SOFT, PRIORITY_TABLE,
                 (struct spot){left, y + 29, ALIGN_START}, half);
    if (one->result != NULL)
        picture_word(picture, one->result,
                     (struct type){one->closed ? FACE_BOLD : FACE_REGULAR, NAME_SIZE},
                     one->closed ? INK_MAIN : INK_SOFT, PRIORITY_TABLE,
                     (struct spot){left + SMALL_WIDTH, y + 29, ALIGN_END}, half);
}

/* The scale: a rod of one ATR at the right of the head. */
static void draw_rod(struct picture *picture, const struct small_scale *scale)
{
    struct pen pen = {INK_SOFT, 1, DASH_NONE};
    double x = picture_width(picture) - EDGE - 4;
    double foot = HEAD - 18;
    double top = fmax(14, foot - scale->pixels);
    picture_line(picture, LAYER_MARKS, pen, x, top, x, foot);
    picture_line(picture, LAYER_MARKS, pen, x - 3, top, x + 3, top);
    picture_line(picture, LAYER_MARKS, pen, x - 3, foot, x + 3, foot);
    picture_word(picture, "1 ATR", (struct type){FACE_REGULAR, NAME_SIZE}, INK_SOFT,
                 PRIORITY_HEADING, (struct spot){x - 8, (top + foot) / 2 + 4, ALIGN_END}, 0);
}

static double draw_sheet(const struct contact_sheet *sheet, struct picture *picture)
{
    struct small_scale scale = small_scale_of(sheet->cases, sheet->count);
    size_t beside = (size_t)fmax(1, floor((sheet->width - 2 * EDGE + GAP) / (SMALL_WIDTH + GAP)));
    double room = sheet->width - 2 * EDGE;
    picture_word(picture, sheet->title, (struct type){FACE_BOLD, 19}, INK_MAIN, PRIORITY_HEADING,
                 (struct spot){EDGE, 38, ALIGN_START}, room - 90);
    picture_word(picture, sheet->subtitle, (struct type){FACE_REGULAR, 12.5}, INK_SOFT,
                 PRIORITY_HEADING, (struct spot){EDGE, 58, ALIGN_START}, room - 90);
    draw_rod(picture, &scale);
    for (size_t i = 0; i < sheet->count; i++) {
        double left = EDGE + (double)(i % beside) * (SMALL_WIDTH + GAP);
        double top = HEAD + (double)(i / beside) * CELL;
        small_case_draw(picture, &sheet->cases[i], &scale, left, top);
        name_case(picture, &sheet->cases[i], left, top + SMALL_HEIGHT);
    }
    double y = HEAD + ceil((double)sheet->count / (double)beside) * CELL;
    struct box box = {EDGE, y, fmin(sheet->width - EDGE, EDGE + 700), INFINITY};
    return picture_paragraph(picture, sheet->caption, (struct type){FACE_REGULAR, 12}, INK_SOFT,
                             PRIORITY_HEADING, box);
}

int contact_sheet_make(struct picture **picture, struct typesetter *typesetter,
                       const struct contact_sheet *sheet, const char *prefix, struct error *error)
{
    *picture = picture_new(typesetter, sheet->width, 400, prefix);
    if (*picture == NULL)
        return error_memory(error);
    picture_set_height(*picture, ceil(draw_sheet(sheet, *picture)) + 20);
    picture_describe(*picture, sheet->title, sheet->subtitle);
    return ERROR_NONE;
}
