#include "draw/margin.h"

#include <math.h>
#include <stdlib.h>

void spread(double *y, size_t count, double distance, double top, double bottom)
{
    /* With distance * i taken off, the heights must not fall: the best such
     * sequence has the means of pooled neighbours (isotonic regression). */
    double sum[MARGIN_LIMIT];
    size_t size[MARGIN_LIMIT];
    size_t blocks = 0;
    for (size_t i = 0; i < count; i++) {
        sum[blocks] = y[i] - distance * (double)i;
        size[blocks++] = 1;
        while (blocks > 1 && sum[blocks - 2] / (double)size[blocks - 2] >=
                                 sum[blocks - 1] / (double)size[blocks - 1]) {
            sum[blocks - 2] += sum[blocks - 1];
            size[blocks - 2] += size[blocks - 1];
            blocks--;
        }
    }
    double most = bottom - distance * (double)(count > 0 ? count - 1 : 0);
    for (size_t b = 0, i = 0; b < blocks; b++) {
        double at = fmax(top, fmin(most, sum[b] / (double)size[b]));
        for (size_t k = 0; k < size[b]; k++, i++)
            y[i] = at + distance * (double)i;
    }
}

static int by_rank(const void *a, const void *b)
{
    const struct margin_label *x = a;
    const struct margin_label *y = b;
    if (x->rank != y->rank)
        return x->rank < y->rank ? -1 : 1;
    return (x->y > y->y) - (x->y < y->y);
}

static int by_height(const void *a, const void *b)
{
    const struct margin_label *x = a;
    const struct margin_label *y = b;
    if (x->y != y->y)
        return x->y < y->y ? -1 : 1;
    return x->rank - y->rank;
}

void picture_margin(struct picture *picture, const struct margin *margin,
                    const struct margin_label *labels, size_t count)
{
    struct margin_label kept[MARGIN_LIMIT];
    double y[MARGIN_LIMIT];
    double distance = margin->size * 1.3;
    double fit = floor((margin->bottom - margin->top) / distance) + 1;
    if (count > MARGIN_LIMIT)
        count = MARGIN_LIMIT;
    for (size_t i = 0; i < count; i++)
        kept[i] = labels[i];
    qsort(kept, count, sizeof *kept, by_rank);
    if ((double)count > fit)
        count = fit > 0 ? (size_t)fit : 0;
    qsort(kept, count, sizeof *kept, by_height);
    for (size_t i = 0; i < count; i++)
        y[i] = kept[i].y = fmax(margin->top, fmin(margin->bottom, kept[i].y));
    spread(y, count, distance, margin->top, margin->bottom);
    for (size_t i = 0; i < count; i++) {
        struct text leader;
        if (fabs(y[i] - kept[i].y) < 1.5)
            y[i] = kept[i].y;
        text_init(&leader);
        path_move(&leader, margin->from, kept[i].y);
        path_line(&leader, margin->from + 4, kept[i].y);
        path_line(&leader, margin->x - 8, y[i]);
        path_line(&leader, margin->x - 3, y[i]);
        if (y[i] != kept[i].y)
            picture_path(picture, LAYER_MARKS, INK_COUNT, (struct pen){INK_SOFT, 0.7, DASH_NONE},
                         &leader);
        text_free(&leader);
        picture_word(picture, kept[i].text, (struct type){kept[i].face, margin->size}, kept[i].ink,
                     PRIORITY_ORDER,
                     (struct spot){margin->x, y[i] + 0.36 * margin->size, ALIGN_START},
                     margin->room);
    }
}
