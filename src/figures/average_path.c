#include "figures/average_path.h"

#include "base/array.h"
#include "base/words.h"
#include "draw/margin.h"
#include "draw/pane.h"
#include "draw/ticks.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

void path_moves(const struct bars *bars, size_t from, size_t end, double atr, bool is_short,
                size_t count, double *moves)
{
    for (size_t i = 0; i <= count; i++) {
        double move = from + i < end ? (bars->close[from + i] - bars->close[from]) / atr : NAN;
        moves[i] = is_short && move != 0 ? -move : move;
    }
}

void path_means(const double *moves, size_t cases, size_t count, double *means, size_t *numbers)
{
    for (size_t i = 0; i <= count; i++) {
        double sum = 0;
        numbers[i] = 0;
        for (size_t c = 0; c < cases; c++) {
            double move = moves[c * (count + 1) + i];
            if (isnan(move))
                continue;
            sum += move;
            numbers[i]++;
        }
        means[i] = numbers[i] > 0 ? sum / (double)numbers[i] : NAN;
    }
}

/* --- range -------------------------------------------------------------------------- */

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a;
    double y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The range that holds nine in ten of all moves, and the mean with its
 * interval; single cases may leave it. */
static bool fit(const struct average_path *path, struct pane *pane)
{
    size_t all = path->cases * (path->bars + 1);
    double *sorted = array_new(all + 1, sizeof *sorted);
    double low = 0;
    double high = 0;
    size_t count = 0;
    if (sorted == NULL)
        return false;
    for (size_t i = 0; i < all; i++)
        if (!isnan(path->moves[i]))
            sorted[count++] = path->moves[i];
    qsort(sorted, count, sizeof *sorted, ascending);
    if (count > 0) {
        low = fmin(0, sorted[count / 20]);
        high = fmax(0, sorted[count - 1 - count / 20]);
    }
    widen_range(path->means, 0, path->bars + 1, &low, &high);
    if (path->lows != NULL) {
        widen_range(path->lows, 0, path->bars + 1, &low, &high);
        widen_range(path->highs, 0, path->bars + 1, &low, &high);
    }
    pane_fit(pane, low, high, 0.06);
    free(sorted);
    return true;
}

/* --- drawing ------------------------------------------------------------------------ */

static void add_curve(struct text *data, const struct pane *pane, const double *values,
                      size_t count)
{
    bool drawing = false;
    for (size_t i = 0; i <= count; i++) {
        if (isnan(values[i])) {
            drawing = false;
            continue;
        }
        double x = pane_x(pane, (double)i);
        double y = fmax(-1e5, fmin(1e5, pane_y(pane, values[i])));
        if (drawing)
            path_line(data, x, y);
        else
            path_move(data, x, y);
        drawing = true;
    }
}

static void draw_curve(struct picture *picture, const struct pane *pane, const double *values,
                       size_t count, struct pen pen)
{
    struct text data;
    text_init(&data);
    add_curve(&data, pane, values, count);
    picture_path(picture, LAYER_OVER, INK_COUNT, pen, &data);
    text_free(&data);
}

static void draw_cases(struct picture *picture, const struct pane *pane,
                       const struct average_path *path)
{
    struct text data;
    text_init(&data);
    for (size_t i = 0; i < path->cases; i++)
        add_curve(&data, pane, path->moves + i * (path->bars + 1), path->bars);
    picture_path(picture, LAYER_MARKS, INK_COUNT, (struct pen){INK_FAINT, 0.8, DASH_NONE}, &data);
    text_free(&data);
}

/* Bars after the candle, at whole numbers of them. */
static void draw_bars_axis(struct picture *picture, const struct pane *pane, size_t bars)
{
    struct type type = {FACE_REGULAR, AXIS_SIZE};
    struct pen pen = {INK_SOFT, 1, DASH_NONE};
    double y = floor(pane->box.bottom) + 0.5;
    double room = (pane->box.right - pane->box.left) / 44;
    struct value_ticks ticks = value_ticks(0, (double)bars, (size_t)fmax(2, fmin(room, 24)), 1);
    picture_line(picture, LAYER_GROUND, pen, pane->box.left, y, pane->box.right, y);
    for (size_t i = 0; i < ticks.count; i++) {
        char text[TICK_TEXT_SIZE];
        double x = floor(pane_x(pane, value_tick(&ticks, i))) + 0.5;
        value_tick_text(&ticks, i, text);
        picture_line(picture, LAYER_GROUND, pen, x, y, x, y + 4);
        picture_word(picture, text, type, INK_SOFT, PRIORITY_AXIS,
                     (struct spot){x, y + 5 + AXIS_SIZE, ALIGN_MIDDLE}, 0);
    }
    picture_word(picture, "bars after the candle", type, INK_SOFT, PRIORITY_NOTE,
                 (struct spot){pane->box.right, y + 8 + 2.2 * AXIS_SIZE, ALIGN_END}, 0);
}

/* The last bar at which there is a mean; the first has one where any has. */
static size_t last_known(const struct average_path *path)
{
    size_t last = path->bars;
    while (last > 0 && isnan(path->means[last]))
        last--;
    return last;
}

static void signed_text(double value, char text[TICK_TEXT_SIZE])
{
    char number[TICK_TEXT_SIZE];
    number_text(value, 2, number);
    snprintf(text, TICK_TEXT_SIZE, "%s%.40s", value > 0 ? "+" : "", number);
}

static void name_ends(struct picture *picture, const struct pane *pane,
                      const struct average_path *path)
{
    size_t at = last_known(path);
    char mean[TICK_TEXT_SIZE];
    char texts[3][2 * TICK_TEXT_SIZE];
    struct margin_label labels[3];
    size_t count = 0;
    if (isnan(path->means[at]))
        return;
    signed_text(path->means[at], mean);
    snprintf(texts[0], sizeof texts[0], "mean %.40s ATR", mean);
    labels[count++] = (struct margin_label){pane_y(pane, path->means[at]), texts[0], FACE_BOLD,
                                            INK_MAIN, 0};
    const double *ends[] = {path->lows, path->highs};
    static const char *const words[] = {"from", "to"};
    for (size_t i = 0; i < 2 && path->lows != NULL; i++) {
        if (isnan(ends[i][at]))
            continue;
        signed_text(ends[i][at], mean);
        snprintf(texts[i + 1], sizeof texts[0], "%s %.40s", words[i], mean);
        labels[count++] = (struct margin_label){pane_y(pane, ends[i][at]), texts[i + 1],
                                                FACE_REGULAR, INK_BLUE, 1};
    }
    picture_margin(picture,
                   &(struct margin){.from = pane->box.right + 2,
                                    .x = pane->box.right + 22,
                                    .top = pane->box.top,
                                    .bottom = pane->box.bottom,
                                    .size = 12,
                                    .room = picture_width(picture) - pane->box.right - 24},
                   labels, count);
}

static void describe(struct picture *picture, const struct average_path *path)
{
    struct text text;
    char number[TICK_TEXT_SIZE];
    size_t at = last_known(path);
    text_init(&text);
    size_t all = path->all > 0 ? path->all : path->cases;
    text_append_format(&text, "%zu case%s. ", all, all == 1 ? "" : "s");
    if (!isnan(path->means[at])) {
        signed_text(path->means[at], number);
        text_append_format(&text, "The close had moved by %s ATR on average after %zu %s", number,
                           at, count_word(at, "bar", "bars"));
        if (path->lows != NULL && !isnan(path->lows[at] + path->highs[at])) {
            signed_text(path->lows[at], number);
            text_append_format(&text, ", interval %s", number);
            signed_text(path->highs[at], number);
            text_append_format(&text, " to %s", number);
        }
        text_append(&text, ". ");
    }
    picture_describe(picture, path->title, text.bytes);
    text_free(&text);
}

int average_path_make(struct picture **picture, struct typesetter *typesetter,
                      const struct average_path *path, const char *prefix, struct error *error)
{
    enum { TOP = 24, LEFT = 40, MARGIN = 124, FOOT = 42 };
    struct pane pane = {.box = {LEFT, TOP, path->width - MARGIN, path->height - FOOT},
                        .first = 0,
                        .last = (double)path->bars};
    *picture = picture_new(typesetter, path->width, path->height, prefix);
    if (*picture == NULL || !fit(path, &pane))
        return error_memory(error);
    struct box clip = pane.box;
    double zero = floor(pane_y(&pane, 0)) + 0.5;
    pane_value_axis(*picture, &pane,
                    &(struct value_axis){.most = (size_t)fmax(2, (clip.bottom - clip.top) / 40),
                                         .hairlines = true,
                                         .unit = path->lows != NULL
                                                     ? "move of the close in ATR; mean, and its "
                                                       "interval, broken"
                                                     : "move of the close in ATR; the mean has no "
                                                       "interval"});
    picture_line(*picture, LAYER_GROUND, (struct pen){INK_SOFT, 1, DASH_NONE}, clip.left, zero,
                 clip.right, zero);
    draw_bars_axis(*picture, &pane, path->bars);
    picture_clip(*picture, &clip);
    draw_cases(*picture, &pane, path);
    if (path->lows != NULL) {
        draw_curve(*picture, &pane, path->lows, path->bars, (struct pen){INK_BLUE, 1, DASH_SHORT});
        draw_curve(*picture, &pane, path->highs, path->bars, (struct pen){INK_BLUE, 1, DASH_SHORT});
    }
    draw_curve(*picture, &pane, path->means, path->bars, (struct pen){INK_MAIN, 2, DASH_NONE});
    picture_clip(*picture, NULL);
    name_ends(*picture, &pane, path);
    describe(*picture, path);
    return ERROR_NONE;
}
