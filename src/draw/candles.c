/* Candles: one path an ink, whatever their number. */
#include "draw/candles.h"

#include <math.h>

struct ohlc {
    double open;
    double high;
    double low;
    double close;
};

/* The bars of one group that are in view, as one. */
static struct ohlc join(const struct candle_columns *columns, size_t first, size_t last)
{
    struct ohlc bar = {columns->open[first], columns->high[first], columns->low[first],
                       columns->close[last - 1]};
    for (size_t i = first + 1; i < last; i++) {
        if (columns->high[i] > bar.high)
            bar.high = columns->high[i];
        if (columns->low[i] < bar.low)
            bar.low = columns->low[i];
    }
    return bar;
}

/* Bodies too narrow to be hollow. */
enum { NARROW = 3 };

struct candle_paths {
    struct text shadows;
    struct text up;
    struct text down;
};

/* Whole and half units: the outline of a crisp body lies on pixels. */
static void add_candle(struct candle_paths *paths, const struct pane *pane, double middle,
                       double width, struct ohlc bar)
{
    double x = floor(middle + 1e-6) + 0.5;
    bool up = bar.close > bar.open;
    double top = round(pane_y(pane, up ? bar.close : bar.open));
    double bottom = round(pane_y(pane, up ? bar.open : bar.close));
    double high = fmin(round(pane_y(pane, bar.high)), top);
    double low = fmax(round(pane_y(pane, bar.low)), bottom);
    if (width < NARROW) {
        /* A stroke; a fall is the heavier one. */
        struct text *path = up ? &paths->shadows : &paths->down;
        if (up) {
            path_move(path, x, high);
            path_vertical(path, fmax(low, high + 1));
            return;
        }
        path_move(path, x - 0.5, high);
        path_horizontal(path, x - 0.5 + width);
        path_vertical(path, fmax(low, high + 1));
        path_horizontal(path, x - 0.5);
        path_close(path);
        return;
    }
    if (high < top) {
        path_move(&paths->shadows, x, high);
        path_vertical(&paths->shadows, top);
    }
    if (low > bottom) {
        path_move(&paths->shadows, x, bottom);
        path_vertical(&paths->shadows, low);
    }
    struct text *path = up ? &paths->up : &paths->down;
    double left = x - (width - 1) / 2;
    double right = left + width - 1;
    if (bottom - top < 1) {
        /* Open and close alike: a stroke across. */
        path_move(&paths->shadows, left - 0.5, top + 0.5);
        path_horizontal(&paths->shadows, right + 0.5);
        return;
    }
    double inset = up ? 0.5 : 0;
    path_move(path, left - 0.5 + inset, top + inset);
    path_horizontal(path, right + 0.5 - inset);
    path_vertical(path, fmax(bottom - inset, top + 1));
    path_horizontal(path, left - 0.5 + inset);
    path_close(path);
}

/* The width of a body: odd, so that the shadow stands in its middle. */
static double body_width(double step)
{
    double width = step >= 4 ? fmax(NARROW, floor(step * 0.68)) : floor(step * 0.68);
    if (width < NARROW)
        return step >= 3 ? 2 : 1;
    return fmin(fmod(width, 2) < 1 ? width - 1 : width, 15);
}

static void draw(struct picture *picture, const struct pane *pane,
                 const struct candle_columns *columns, size_t first, size_t last, enum ink ink)
{
    struct candle_paths paths;
    text_init(&paths.shadows);
    text_init(&paths.up);
    text_init(&paths.down);
    size_t group = pane_group(pane);
    double width = body_width(pane_step(pane) * (double)group);
    for (size_t start = first - first % group; start < last; start += group) {
        size_t from = start < first ? first : start;
        size_t to = start + group < last ? start + group : last;
        add_candle(&paths, pane, pane_x(pane, (double)start + (double)group / 2), width,
                   join(columns, from, to));
    }
    struct pen pen = {ink, 1, DASH_NONE};
    picture_path(picture, LAYER_BARS, INK_COUNT, pen, &paths.shadows);
    picture_path(picture, LAYER_BARS, INK_PAPER, pen, &paths.up);
    picture_path(picture, LAYER_BARS, ink, (struct pen){0}, &paths.down);
    text_free(&paths.shadows);
    text_free(&paths.up);
    text_free(&paths.down);
}

void pane_candles(struct picture *picture, const struct pane *pane,
                  const struct candle_columns *columns, size_t first, size_t last)
{
    draw(picture, pane, columns, first, last, INK_MAIN);
}

void pane_candles_marked(struct picture *picture, const struct pane *pane,
                         const struct candle_columns *columns, size_t first, size_t last,
                         enum ink ink)
{
    draw(picture, pane, columns, first, last, ink);
}

void pane_block_candles(struct picture *picture, const struct pane *pane,
                        const struct candle_columns *columns, size_t first, size_t last)
{
    double half = pane_step(pane) / 2;
    for (size_t i = first; i < last; i++) {
        double middle = pane_bar_x(pane, i);
        picture_block(picture, (struct box){middle - half, pane_y(pane, columns->high[i]) - 1,
                                            middle + half, pane_y(pane, columns->low[i]) + 1});
    }
}
