/* How much hangs on a number, in words, tables and JSON. */
#include "answer/answer_parts.h"

#include "base/words.h"

#include <math.h>
#include <stdio.h>

const char *sensitivity_form_words(enum sensitivity_form form)
{
    static const char *const words[] = {
        [FORM_TOO_LITTLE] = "too few trades to say whether this is a plateau",
        [FORM_PLATEAU] = "a plateau: its neighbours do about as well",
        [FORM_SLOPE] = "a slope: its neighbours differ by more than a standard error",
        [FORM_PEAK] =
            "a lone peak: its neighbours do less than half as well, which looks like luck",
    };
    return words[form];
}

void sensitivity_opening(struct text *text, const struct sensitivity *found, size_t count)
{
    size_t forms[FORM_PEAK + 1] = {0};
    size_t cells = 0;
    for (size_t i = 0; i < count; i++) {
        cells += found[i].cell_count;
        if (found[i].number_count == 1)
            forms[found[i].form]++;
    }
    text_append_format(
        text,
        "%zu cells were run, and every cell is a trial: the best of many trials looks "
        "good by luck alone, so none of these numbers is to be chosen by its mean.",
        cells);
    if (forms[FORM_TOO_LITTLE] > 0)
        text_append_format(text, " %zu of %zu strips %s too few trades to say anything.",
                           forms[FORM_TOO_LITTLE], count,
                           count_word(forms[FORM_TOO_LITTLE], "has", "have"));
    if (forms[FORM_PEAK] > 0)
        text_append_format(text,
                           " %zu %s the setup on a lone peak, with neighbours less than half as "
                           "good: that is what luck looks like.",
                           forms[FORM_PEAK], forms[FORM_PEAK] == 1 ? "shows" : "show");
    if (forms[FORM_SLOPE] > 0)
        text_append_format(text,
                           " In %zu a neighbour differs by more than a standard error: the result "
                           "leans on that number.",
                           forms[FORM_SLOPE]);
    if (forms[FORM_PLATEAU] > 0)
        text_append_format(text,
                           " In %zu the setup stands on a plateau: the neighbours do as well.",
                           forms[FORM_PLATEAU]);
    text_append(text, "\n");
}

void sensitivity_headline(struct text *text, const struct sensitivity *found, size_t count)
{
    static const char *const words[] = {
        [FORM_TOO_LITTLE] = "Too few trades to say what it leans on.\n",
        [FORM_PLATEAU] = "No number that was moved and could be told is leaned on.\n",
        [FORM_SLOPE] = "It leans on what was moved.\n",
        [FORM_PEAK] = "It stands on a lone peak, which is what luck looks like.\n",
    };
    bool any = false;
    enum sensitivity_form worst = FORM_TOO_LITTLE;
    for (size_t i = 0; i < count; i++)
        if (found[i].number_count == 1) {
            any = true;
            worst = found[i].form > worst ? found[i].form : worst;
        }
    text_append(text, any ? words[worst] : "");
}

static void strip_table(struct document *document, const struct sensitivity *strip)
{
    static const char *const columns[] = {"value", "", "mean R", "95% interval", "trades"};
    struct table *table = document_results(document, "strip", strip->numbers[0].name,
                                           sensitivity_form_words(strip->form), columns, 5);
    for (size_t i = 0; i < strip->cell_count; i++) {
        const struct sensitivity_cell *at = &strip->cells[i];
        table_format(table, "%g", number_as_written(&strip->numbers[0], at->value[0]));
        table_text(table, at->own ? "as it is" : "");
        table_signed(table, 2, at->mean.value);
        table_signed_range(table, 2, at->mean.low, at->mean.high);
        table_count(table, at->closed);
    }
}

/* What stands in each cell of a map. */
enum map_content { MAP_MEANS, MAP_INTERVALS };

static void map_cell(struct table *table, const struct sensitivity_cell *cell,
                     enum map_content content)
{
    if (content == MAP_INTERVALS)
        table_signed_range(table, 2, cell->mean.low, cell->mean.high);
    else if (cell->closed > 0)
        table_format(table, "%s%+.2f (%zu)", cell->own ? "> " : "", cell->mean.value, cell->closed);
    else
        table_text(table, "–");
}

/* A row for each value of the first number. */
static void map_table(struct document *document, const struct sensitivity *map,
                      enum map_content content)
{
    char headings[SWEEP_LIMIT + 1][32];
    const char *columns[SWEEP_LIMIT + 1] = {headings[0]};
    char title[2 * NUMBER_NAME_SIZE + 64];
    snprintf(title, sizeof title, "%s (down) by %s (across)%s", map->numbers[0].name,
             map->numbers[1].name, content == MAP_MEANS ? "" : ": 95% intervals");
    snprintf(headings[0], sizeof headings[0], "%s",
             content == MAP_MEANS ? "mean R (trades)" : "95% interval");
    for (size_t c = 0; c < map->sizes[1]; c++) {
        columns[c + 1] = headings[c + 1];
        snprintf(headings[c + 1], sizeof headings[c + 1], "%g",
                 number_as_written(&map->numbers[1], map->cells[c].value[1]));
    }
    struct table *table = document_results(
        document, "map", title,
        content == MAP_MEANS
            ? "The setup as it is is marked '>'. A mean that stands alone among its neighbours "
              "looks like luck; one on a plateau does not."
            : "From blocks of dates. A dash: too few trades.",
        columns, map->sizes[1] + 1);
    for (size_t r = 0; r < map->sizes[0]; r++) {
        const struct sensitivity_cell *row = &map->cells[r * map->sizes[1]];
        table_format(table, "%g", number_as_written(&map->numbers[0], row->value[0]));
        for (size_t c = 0; c < map->sizes[1]; c++)
            map_cell(table, &row[c], content);
    }
}

void sensitivity_table(struct document *document, const struct sensitivity *found)
{
    if (found->number_count == 1) {
        strip_table(document, found);
        return;
    }
    map_table(document, found, MAP_MEANS);
    map_table(document, found, MAP_INTERVALS);
}

void sensitivity_json(struct json *json, const struct sensitivity *sensitivity)
{
    json_begin_object(json);
    json_member_array(json, "numbers");
    for (size_t n = 0; n < sensitivity->number_count; n++)
        json_put_string(json, sensitivity->numbers[n].name);
    json_end_array(json);
    json_member_array(json, "cells");
    for (size_t i = 0; i < sensitivity->cell_count; i++) {
        const struct sensitivity_cell *cell = &sensitivity->cells[i];
        json_begin_object(json);
        json_member_array(json, "values");
        for (size_t n = 0; n < sensitivity->number_count; n++)
            json_put_number(json, number_as_written(&sensitivity->numbers[n], cell->value[n]));
        json_end_array(json);
        json_member_boolean(json, "own", cell->own);
        json_member_count(json, "closed", cell->closed);
        json_member_number(json, "mean_r", cell->mean.value);
        json_member_number(json, "low", cell->mean.low);
        json_member_number(json, "high", cell->mean.high);
        json_end_object(json);
    }
    json_end_array(json);
    json_end_object(json);
}
