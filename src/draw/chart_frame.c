#include "draw/chart_parts.h"
#include "draw/ticks.h"

#include <limits.h>
#include <math.h>

const struct type CHART_TYPE = {FACE_REGULAR, AXIS_SIZE};

static const struct pen axis_pen = {INK_SOFT, 1, DASH_NONE};
static const struct pen hairline = {INK_FAINT, 1, DASH_NONE};

struct chart_range chart_range_none(void)
{
    return (struct chart_range){INFINITY, -INFINITY};
}

void chart_range_add(struct chart_range *range, double value)
{
    if (!isfinite(value))
        return;
    range->low = fmin(range->low, value);
    range->high = fmax(range->high, value);
}

bool chart_range_empty(const struct chart_range *range)
{
    return !(range->low <= range->high);
}

double chart_x(const double *x, size_t i)
{
    return x != NULL ? x[i] : (double)i + 1;
}

void chart_empty(const struct chart *chart)
{
    const struct box *box = &chart->box;
    picture_word(chart->picture, "nothing to show", CHART_TYPE, INK_SOFT, PRIORITY_TABLE,
                 (struct spot){(box->left + box->right) / 2, (box->top + box->bottom) / 2,
                               ALIGN_MIDDLE},
                 box->right - box->left);
}

static size_t most_ticks(double length, double each)
{
    double most = floor(length / each);
    return most < 2 ? 2 : most > TICK_LIMIT ? TICK_LIMIT : (size_t)most;
}

/* Room for the widest number of the upright axis. */
static double numbers_width(const struct chart *chart, double low, double high, size_t most)
{
    struct value_ticks ticks = value_ticks(low, high, most, 0);
    double widest = 0;
    for (size_t i = 0; i < ticks.count; i++) {
        char text[TICK_TEXT_SIZE];
        value_tick_text(&ticks, i, text);
        widest = fmax(widest,
                      typesetter_measure(picture_typesetter(chart->picture), CHART_TYPE, text)
                          .width);
    }
    return widest + 8;
}

static void axis_below(const struct chart *chart, const struct pane *pane)
{
    const struct box *box = &pane->box;
    double y = floor(box->bottom) + 0.5;
    double each = 3 * AXIS_SIZE;
    struct value_ticks ticks = value_ticks(pane->first, pane->last,
                                           most_ticks(box->right - box->left, each), 0);
    picture_line(chart->picture, LAYER_GROUND, axis_pen, box->left, y, box->right, y);
    for (size_t i = 0; i < ticks.count; i++) {
        char text[TICK_TEXT_SIZE];
        double x = floor(pane_x(pane, value_tick(&ticks, i))) + 0.5;
        value_tick_text(&ticks, i, text);
        picture_line(chart->picture, LAYER_GROUND, hairline, x, box->top, x, box->bottom);
        picture_line(chart->picture, LAYER_GROUND, axis_pen, x, y, x, y + 4);
        picture_label(chart->picture,
                      &(struct label){.text = text,
                                      .type = CHART_TYPE,
                                      .ink = INK_SOFT,
                                      .priority = PRIORITY_AXIS,
                                      .spots = {{x, y + 5 + AXIS_SIZE, ALIGN_MIDDLE}},
                                      .spot_count = 1,
                                      .gap = 4});
    }
    if (chart->x_name != NULL)
        picture_word(chart->picture, chart->x_name, CHART_TYPE, INK_MAIN, PRIORITY_TABLE,
                     (struct spot){box->left, y + 9 + 2 * AXIS_SIZE, ALIGN_START},
                     chart->box.right - box->left);
}

static size_t upright_ticks(const struct pane *pane)
{
    return most_ticks(pane->box.bottom - pane->box.top, 2.6 * AXIS_SIZE);
}

struct pane chart_pane(const struct chart *chart, double x_low, double x_high, double y_low,
                       double y_high, double left)
{
    struct pane pane = {.box = chart->box};
    double below = AXIS_SIZE + 8 + (chart->x_name != NULL ? AXIS_SIZE + 5 : 0);
    pane.box.bottom -= below;
    pane.box.top += chart->y_name != NULL ? AXIS_SIZE + 10 : 6;
    struct pane turned = {.box = pane.box};
    pane_fit(&turned, x_low, x_high, 0.02);
    pane.first = turned.low;
    pane.last = turned.high;
    pane_fit(&pane, y_low, y_high, left > 0 ? 0 : 0.04);
    if (y_low == 0 && y_high > 0)
        pane.low = 0;
    pane.box.left += left > 0 ? left
                              : numbers_width(chart, pane.low, pane.high, upright_ticks(&pane));
    /* Half of the last number of the axis below. */
    pane.box.right -= 14;
    return pane;
}

void chart_axes(const struct chart *chart, const struct pane *pane, bool numbers)
{
    struct value_axis axis = {.most = upright_ticks(pane), .hairlines = true};
    if (numbers)
        pane_value_axis(chart->picture, pane, &axis);
    axis_below(chart, pane);
    if (chart->y_name != NULL)
        picture_word(chart->picture, chart->y_name, CHART_TYPE, INK_MAIN, PRIORITY_TABLE,
                     (struct spot){chart->box.left, chart->box.top + AXIS_SIZE, ALIGN_START},
                     chart->box.right - chart->box.left);
}

void chart_mark_x(const struct chart *chart, const struct pane *pane, const struct chart_mark *mark,
                  double y)
{
    if (!isfinite(mark->value))
        return;
    double x = pane_x(pane, mark->value);
    picture_line(chart->picture, LAYER_MARKS, (struct pen){mark->ink, 1.2, DASH_SHORT}, x,
                 y - 0.7 * AXIS_SIZE, x, pane->box.bottom);
    picture_label(chart->picture, &(struct label){.text = mark->words,
                                                  .type = CHART_TYPE,
                                                  .ink = mark->ink,
                                                  .priority = PRIORITY_ORDER,
                                                  .spots = {{x + 4, y, ALIGN_START},
                                                            {x - 4, y, ALIGN_END},
                                                            {x + 4, y + 15, ALIGN_START},
                                                            {x - 4, y + 15, ALIGN_END}},
                                                  .spot_count = 4,
                                                  .room = (pane->box.right - pane->box.left) * 0.7,
                                                  .gap = 3});
}

void chart_mark_y(const struct chart *chart, const struct pane *pane, const struct chart_mark *mark)
{
    if (!isfinite(mark->value))
        return;
    double y = pane_y(pane, mark->value);
    picture_line(chart->picture, LAYER_MARKS, (struct pen){mark->ink, 1.2, DASH_SHORT},
                 pane->box.left, y, pane->box.right, y);
    picture_label(chart->picture,
                  &(struct label){.text = mark->words,
                                  .type = CHART_TYPE,
                                  .ink = mark->ink,
                                  .priority = PRIORITY_ORDER,
                                  .spots = {{pane->box.right, y - 4, ALIGN_END},
                                            {pane->box.right, y + 13, ALIGN_END},
                                            {pane->box.left + 4, y - 4, ALIGN_START},
                                            {pane->box.left + 4, y + 13, ALIGN_START}},
                                  .spot_count = 4,
                                  .gap = 3,
                                  .clear_of_marks = true});
}

void chart_word(const struct chart *chart, const char *text, enum ink ink, double x, double y,
                bool above)
{
    struct label label = {.text = text,
                          .type = CHART_TYPE,
                          .ink = ink,
                          .priority = PRIORITY_NOTE,
                          .gap = 3,
                          .clear_of_marks = true};
    double near = above ? -7 : 7 + AXIS_SIZE;
    double far = above ? 7 + AXIS_SIZE : -7;
    const struct spot spots[] = {{x, y + near, ALIGN_MIDDLE},    {x - 4, y + near, ALIGN_END},
                                 {x + 4, y + near, ALIGN_START}, {x, y + far, ALIGN_MIDDLE},
                                 {x - 4, y + far, ALIGN_END},    {x - 8, y + 4, ALIGN_END}};
    for (size_t i = 0; i < sizeof spots / sizeof *spots; i++)
        label.spots[label.spot_count++] = spots[i];
    picture_label(chart->picture, &label);
}

/* Points in one column of half a unit: first, least, greatest, last. */
struct column {
    long number;
    double x[4], y[4];
    size_t order[4]; /* of the points, to draw them as they came */
    bool any;
};

static void flush_column(struct column *column, struct text *path, bool *drawing)
{
    size_t last = SIZE_MAX;
    for (size_t done = 0; column->any && done < 4; done++) {
        size_t next = 4;
        for (size_t i = 0; i < 4; i++)
            if ((last == SIZE_MAX || column->order[i] > last) &&
                (next == 4 || column->order[i] < column->order[next]))
                next = i;
        if (next == 4)
            break;
        last = column->order[next];
        if (*drawing)
            path_line(path, column->x[next], column->y[next]);
        else
            path_move(path, column->x[next], column->y[next]);
        *drawing = true;
    }
    column->any = false;
}

static void add_to_column(struct column *column, double x, double y, size_t order)
{
    for (size_t i = 0; i < 4; i++) {
        bool takes = !column->any || i == 3 || (i == 1 && y < column->y[1]) ||
                     (i == 2 && y > column->y[2]);
        if (!takes)
            continue;
        column->x[i] = x;
        column->y[i] = y;
        column->order[i] = order;
    }
    column->any = true;
}

void chart_polyline(const struct chart *chart, const struct pane *pane, struct pen pen,
                    const double *x, const double *y, size_t count)
{
    struct text path;
    struct column column = {.any = false};
    bool drawing = false;
    text_init(&path);
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(y[i]) || !isfinite(chart_x(x, i))) {
            flush_column(&column, &path, &drawing);
            drawing = false;
            continue;
        }
        double at = pane_x(pane, chart_x(x, i));
        long number = lround(at * 2);
        if (column.any && number != column.number)
            flush_column(&column, &path, &drawing);
        column.number = number;
        add_to_column(&column, at, pane_y(pane, y[i]), i);
    }
    flush_column(&column, &path, &drawing);
    picture_path(chart->picture, LAYER_MARKS, INK_COUNT, pen, &path);
    text_free(&path);
}

static void band_edge(const struct pane *pane, const double *x, const double *y, size_t i,
                      struct text *path, long *column)
{
    double at = pane_x(pane, chart_x(x, i));
    if (!isfinite(y[i]) || lround(at) == *column)
        return;
    *column = lround(at);
    if (path->length > 0)
        path_line(path, at, pane_y(pane, y[i]));
    else
        path_move(path, at, pane_y(pane, y[i]));
}

void chart_band(const struct chart *chart, const struct pane *pane, enum ink fill, const double *x,
                const double *low, const double *high, size_t count)
{
    struct text path;
    long column = LONG_MIN;
    text_init(&path);
    for (size_t i = 0; i < count; i++)
        band_edge(pane, x, high, i, &path, &column);
    column = LONG_MIN;
    for (size_t i = count; i-- > 0;)
        band_edge(pane, x, low, i, &path, &column);
    if (path.length > 0)
        path_close(&path);
    picture_path(chart->picture, LAYER_GROUND, fill, (struct pen){0}, &path);
    text_free(&path);
    struct pen edge = {INK_SOFT, 0.7, DASH_SHORT};
    chart_polyline(chart, pane, edge, x, low, count);
    chart_polyline(chart, pane, edge, x, high, count);
}
