#include "draw/chart_parts.h"
#include "draw/ticks.h"

#include <math.h>
#include <stdlib.h>

static double widest_name(const struct chart *chart, const char *const *names, size_t count)
{
    double widest = 0;
    for (size_t i = 0; i < count; i++) {
        char *clean = text_clean(names[i]);
        if (clean == NULL)
            continue;
        widest = fmax(widest,
                      typesetter_measure(picture_typesetter(chart->picture), CHART_TYPE, clean)
                          .width);
        free(clean);
    }
    return widest;
}

/* A square of this side around the middle: filled, or its outline. */
static void square(const struct chart *chart, double x, double y, double side, bool filled)
{
    struct box box = {x - side / 2, y - side / 2, x + side / 2, y + side / 2};
    picture_rectangle(chart->picture, LAYER_BARS, INK_MAIN, (struct pen){0}, box);
    if (!filled && side > 2)
        picture_rectangle(chart->picture, LAYER_BARS, INK_PAPER, (struct pen){0},
                          (struct box){box.left + 1, box.top + 1, box.right - 1, box.bottom - 1});
}

/* Squares take two thirds of a cell's height, the figure the rest. */
struct grid {
    double left, top, width, height; /* of the cells' corner, of a cell */
    double largest;
    bool figures;
};

static void draw_cell(const struct chart *chart, const struct chart_map *map,
                      const struct grid *grid, size_t row, size_t column)
{
    double value = map->values[row * map->columns + column];
    double x = grid->left + ((double)column + 0.5) * grid->width;
    double top = grid->top + (double)row * grid->height;
    double room = fmin(grid->width - 4, grid->height - (grid->figures ? AXIS_SIZE + 6 : 4));
    double middle = top + 2 + room / 2;
    if (!isfinite(value)) {
        picture_word(chart->picture, "–", CHART_TYPE, INK_SOFT, PRIORITY_EXTRA,
                     (struct spot){x, middle + 4, ALIGN_MIDDLE}, 0);
        return;
    }
    double side = grid->largest > 0 ? room * sqrt(fabs(value) / grid->largest) : 0;
    square(chart, x, middle, fmax(side, 1), value >= 0);
    if (!grid->figures)
        return;
    char text[TICK_TEXT_SIZE];
    number_text(value, map->decimals, text);
    picture_word(chart->picture, text, CHART_TYPE, INK_MAIN, PRIORITY_NOTE,
                 (struct spot){x, top + room + AXIS_SIZE + 1, ALIGN_MIDDLE}, grid->width - 2);
}

static void draw_names(const struct chart *chart, const struct chart_map *map,
                       const struct grid *grid)
{
    for (size_t i = 0; i < map->rows; i++)
        picture_word(chart->picture, map->row_names[i], CHART_TYPE, INK_SOFT, PRIORITY_TABLE,
                     (struct spot){grid->left - 8,
                                   grid->top + ((double)i + 0.5) * grid->height + 0.36 * AXIS_SIZE,
                                   ALIGN_END},
                     grid->left - 8 - chart->box.left);
    for (size_t i = 0; i < map->columns; i++)
        picture_word(chart->picture, map->column_names[i], CHART_TYPE, INK_SOFT, PRIORITY_TABLE,
                     (struct spot){grid->left + ((double)i + 0.5) * grid->width, grid->top - 6,
                                   ALIGN_MIDDLE},
                     grid->width - 4);
    if (chart->y_name != NULL)
        picture_word(chart->picture, chart->y_name, CHART_TYPE, INK_MAIN, PRIORITY_TABLE,
                     (struct spot){chart->box.left, chart->box.top + AXIS_SIZE, ALIGN_START},
                     chart->box.right - chart->box.left);
    if (chart->x_name != NULL)
        picture_word(chart->picture, chart->x_name, CHART_TYPE, INK_MAIN, PRIORITY_TABLE,
                     (struct spot){grid->left, chart->box.bottom - 3, ALIGN_START},
                     chart->box.right - grid->left);
}

void chart_map(const struct chart *chart, const struct chart_map *map)
{
    struct grid grid = {.largest = 0};
    bool any = false;
    for (size_t i = 0; i < map->rows * map->columns; i++) {
        if (!isfinite(map->values[i]))
            continue;
        any = true;
        grid.largest = fmax(grid.largest, fabs(map->values[i]));
    }
    if (!any) {
        chart_empty(chart);
        return;
    }
    double names = fmin(widest_name(chart, map->row_names, map->rows) + 10,
                        (chart->box.right - chart->box.left) * 0.4);
    double bottom = chart->box.bottom - (chart->x_name != NULL ? AXIS_SIZE + 8 : 0);
    grid.left = chart->box.left + names;
    grid.top = chart->box.top + (chart->y_name != NULL ? 2.0 : 1.0) * (AXIS_SIZE + 8);
    grid.width = (chart->box.right - grid.left) / (double)map->columns;
    grid.height = (bottom - grid.top) / (double)map->rows;
    grid.figures = grid.height >= 2.4 * AXIS_SIZE && grid.width >= 3 * AXIS_SIZE;
    draw_names(chart, map, &grid);
    for (size_t row = 0; row < map->rows; row++)
        for (size_t column = 0; column < map->columns; column++)
            draw_cell(chart, map, &grid, row, column);
}
