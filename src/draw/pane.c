#include "draw/pane.h"

#include <math.h>

static const double least_step = 1.5; /* units a bar, below which bars are joined */

double pane_x(const struct pane *pane, double value)
{
    return pane->box.left +
           (value - pane->first) / (pane->last - pane->first) * (pane->box.right - pane->box.left);
}

double pane_y(const struct pane *pane, double value)
{
    if (pane->logarithmic) {
        /* What is at or below zero lies far below the pane. */
        double share = value > 0 ? log(value / pane->low) / log(pane->high / pane->low) : -1e3;
        return pane->box.bottom - share * (pane->box.bottom - pane->box.top);
    }
    return pane->box.bottom -
           (value - pane->low) / (pane->high - pane->low) * (pane->box.bottom - pane->box.top);
}

double pane_x_value(const struct pane *pane, double x)
{
    return pane->first +
           (x - pane->box.left) / (pane->box.right - pane->box.left) * (pane->last - pane->first);
}

double pane_y_value(const struct pane *pane, double y)
{
    if (pane->logarithmic)
        return pane->low * pow(pane->high / pane->low,
                               (pane->box.bottom - y) / (pane->box.bottom - pane->box.top));
    return pane->low +
           (pane->box.bottom - y) / (pane->box.bottom - pane->box.top) * (pane->high - pane->low);
}

double pane_bar_x(const struct pane *pane, size_t bar)
{
    return pane_x(pane, (double)bar + 0.5);
}

double pane_step(const struct pane *pane)
{
    return (pane->box.right - pane->box.left) / (pane->last - pane->first);
}

size_t pane_group(const struct pane *pane)
{
    double step = pane_step(pane);
    return step >= least_step ? 1 : (size_t)ceil(least_step / step);
}

void widen_range(const double *values, size_t first, size_t last, double *low, double *high)
{
    for (size_t i = first; i < last; i++) {
        if (values[i] < *low)
            *low = values[i];
        if (values[i] > *high)
            *high = values[i];
    }
}

void pane_fit(struct pane *pane, double low, double high, double share)
{
    if (!(low <= high) || !isfinite(low) || !isfinite(high)) {
        low = 0;
        high = 1;
    }
    if (pane->logarithmic && low > 0 && high > low) {
        double ratio = pow(high / low, share);
        pane->low = low / ratio;
        pane->high = high * ratio;
        return;
    }
    pane->logarithmic = false;
    double room = (high - low) * share;
    /* A market that stands still: some room in proportion to its price. */
    if (high - low <= 1e-12 * fmax(fabs(low), fabs(high)))
        room = fmax(fabs(low) * 0.01, 1e-9);
    pane->low = low - room;
    pane->high = high + room;
}

void pane_rule(struct picture *picture, const struct pane *pane, enum layer layer, struct pen pen,
               double value, double left, double right)
{
    double y = pane_y(pane, value);
    picture_line(picture, layer, pen, left, y, right, y);
}

static void add_point(struct text *path, const struct pane *pane, size_t bar, double value,
                      bool *drawing)
{
    double x = pane_bar_x(pane, bar);
    double y = pane_y(pane, value);
    if (*drawing)
        path_line(path, x, y);
    else
        path_move(path, x, y);
    *drawing = true;
}

/* The least and the greatest value of one group, in order of time. */
static void add_extremes(struct text *path, const struct pane *pane, const double *values,
                         size_t first, size_t last, bool *drawing)
{
    size_t low = SIZE_MAX;
    size_t high = SIZE_MAX;
    for (size_t i = first; i < last; i++) {
        if (isnan(values[i]))
            continue;
        if (low == SIZE_MAX || values[i] < values[low])
            low = i;
        if (high == SIZE_MAX || values[i] > values[high])
            high = i;
    }
    if (low == SIZE_MAX) {
        *drawing = false;
        return;
    }
    size_t earlier = low < high ? low : high;
    size_t later = low < high ? high : low;
    add_point(path, pane, earlier, values[earlier], drawing);
    if (later != earlier)
        add_point(path, pane, later, values[later], drawing);
}

void pane_curve(struct picture *picture, const struct pane *pane, enum layer layer, struct pen pen,
                const double *values, size_t first, size_t last)
{
    struct text path;
    bool drawing = false;
    size_t group = pane_group(pane);
    text_init(&path);
    for (size_t start = first - first % group; start < last; start += group)
        add_extremes(&path, pane, values, start < first ? first : start,
                     start + group < last ? start + group : last, &drawing);
    picture_path(picture, layer, INK_COUNT, pen, &path);
    text_free(&path);
}

void pane_columns(struct picture *picture, const struct pane *pane, enum ink ink,
                  const double *values, double base, size_t first, size_t last)
{
    struct text path;
    text_init(&path);
    size_t group = pane_group(pane);
    double width = fmax(1, round(pane_step(pane) * (double)group * 0.6));
    double floor_y = round(pane_y(pane, base));
    for (size_t start = first - first % group; start < last; start += group) {
        double extreme = NAN;
        for (size_t i = start < first ? first : start; i < start + group && i < last; i++)
            if (!isnan(values[i]) && !(fabs(values[i] - base) <= fabs(extreme - base)))
                extreme = values[i];
        if (isnan(extreme))
            continue;
        double middle = pane_x(pane, (double)start + (double)group / 2);
        double left = round(middle - width / 2);
        double end = round(pane_y(pane, extreme));
        /* What is little beside the rest is still something. */
        if (extreme != base && fabs(end - floor_y) < 1)
            end = extreme > base ? floor_y - 1 : floor_y + 1;
        path_move(&path, left, floor_y);
        path_vertical(&path, end);
        path_horizontal(&path, left + width);
        path_vertical(&path, floor_y);
        path_close(&path);
    }
    picture_path(picture, LAYER_MARKS, ink, (struct pen){0}, &path);
    text_free(&path);
}
