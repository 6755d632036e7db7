/* The figures of a setup's numbers moved: strips and maps. */
#include "answer/answer_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { LABEL_SIZE = 64 };

/* One strip or map with the words round it. */
struct sensitivity_figure {
    const struct sensitivity *found;
    char title[2 * NUMBER_NAME_SIZE + 32];
    char caption[2 * NUMBER_NAME_SIZE + 256];
};

static void value_label(char label[LABEL_SIZE], const struct sensitivity *found, size_t cell,
                        size_t number, bool with_trades)
{
    const struct sensitivity_cell *at = &found->cells[cell];
    const struct named_number *named = &found->numbers[number];
    bool own = at->value[number] == named->value;
    double written = number_as_written(named, at->value[number]);
    if (with_trades)
        snprintf(label, LABEL_SIZE, "%g%s (%zu trade%s)", written, own ? ", as it is" : "",
                 at->closed, at->closed == 1 ? "" : "s");
    else
        snprintf(label, LABEL_SIZE, "%g%s", written, own ? ", as is" : "");
}

static void draw_strip(const struct chart *chart, const void *data)
{
    const struct sensitivity *strip = ((const struct sensitivity_figure *)data)->found;
    char labels[SWEEP_LIMIT][LABEL_SIZE];
    struct chart_row rows[SWEEP_LIMIT];
    struct chart here = *chart;
    here.x_name = "mean R, with 95% interval";
    for (size_t i = 0; i < strip->cell_count; i++) {
        value_label(labels[i], strip, i, 0, true);
        rows[i] = estimate_row(labels[i], &strip->cells[i].mean);
    }
    chart_intervals(&here, rows, strip->cell_count, 0, 2);
}

static void draw_map(const struct chart *chart, const void *data)
{
    const struct sensitivity *map = ((const struct sensitivity_figure *)data)->found;
    char labels[2][SWEEP_LIMIT][LABEL_SIZE];
    const char *names[2][SWEEP_LIMIT];
    double values[SWEEP_LIMIT * SWEEP_LIMIT];
    struct chart here = *chart;
    here.y_name = map->numbers[0].name;
    here.x_name = map->numbers[1].name;
    for (size_t i = 0; i < map->cell_count; i++)
        values[i] = map->cells[i].mean.value;
    for (size_t n = 0; n < 2; n++) {
        for (size_t i = 0; i < map->sizes[n]; i++) {
            value_label(labels[n][i], map, n == 0 ? i * map->sizes[1] : i, n, false);
            names[n][i] = labels[n][i];
        }
    }
    chart_map(&here, &(struct chart_map){.values = values,
                                         .row_names = names[0],
                                         .column_names = names[1],
                                         .rows = map->sizes[0],
                                         .columns = map->sizes[1],
                                         .decimals = 2});
}

static struct document_figure figure_of(struct sensitivity_figure *figure)
{
    const struct sensitivity *found = figure->found;
    if (found->number_count == 1) {
        snprintf(figure->title, sizeof figure->title, "The mean as %s moves",
                 found->numbers[0].name);
        snprintf(figure->caption, sizeof figure->caption,
                 "The mean as %s moves, all else alike: %s. Hollow dots rest on too few trades.",
                 found->numbers[0].name, sensitivity_form_words(found->form));
        return (
            struct document_figure){figure->title,   "Dots with intervals: the mean at each value.",
                                    figure->caption, figure_rows_height(found->cell_count),
                                    draw_strip,      figure};
    }
    snprintf(figure->title, sizeof figure->title, "The mean as %s and %s move",
             found->numbers[0].name, found->numbers[1].name);
    snprintf(figure->caption, sizeof figure->caption,
             "The mean R as %s (down) and %s (across) move. The area of a square is the size of "
             "the mean; filled is above 0, hollow below. One large square among small ones looks "
             "like luck.",
             found->numbers[0].name, found->numbers[1].name);
    return (struct document_figure){figure->title,
                                    "A table of squares: the mean at each pair of values.",
                                    figure->caption,
                                    80 + 56 * (double)found->sizes[0],
                                    draw_map,
                                    figure};
}

void sensitivity_figures(struct document *document, const struct sensitivity *found, size_t count)
{
    struct sensitivity_figure *words = calloc(count + 1, sizeof *words);
    if (words == NULL) {
        document->failed = true;
        return;
    }
    document_keep(document, words, free);
    for (size_t i = 0; i < count; i++) {
        words[i].found = &found[i];
        const struct document_figure figure = figure_of(&words[i]);
        document_figure(document, &figure);
    }
}
