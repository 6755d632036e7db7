/* `study --vary NAMES`. */
#include "base/words.h"
#include "cli/paragraph.h"
#include "cli/study_call.h"
#include "evidence/sensitivity.h"
#include "evidence/study_words.h"

#include <assert.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum { VARY_RESAMPLES = 2000 };

/* A number named on the command line; the error lists those there are. */
static const struct named_number *find_number(const struct named_number *numbers, size_t count,
                                              const char *name, struct error *error)
{
    const char *names[NUMBER_LIMIT];
    struct text all;
    for (size_t i = 0; i < count; i++) {
        if (strcmp(numbers[i].name, name) == 0)
            return &numbers[i];
        names[i] = numbers[i].name;
    }
    const char *near = nearest_word(name, names, count);
    text_init(&all);
    for (size_t i = 0; i < count; i++)
        text_append_format(&all, "%s%s", i > 0 ? ", " : "", names[i]);
    error_set(error, ERROR_USAGE, "--vary: this setup has no number '%s'%s%s%s; it has %s, or all",
              name, near ? " (did you mean " : "", near ? near : "", near ? "?)" : "", all.bytes);
    text_free(&all);
    return NULL;
}

static void cell(struct text *cells, const char *format, ...) __attribute__((format(printf, 2, 3)));

static void cell(struct text *cells, const char *format, ...)
{
    char content[64];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(content, sizeof content, format, arguments);
    va_end(arguments);
    text_append_bytes(cells, content, strlen(content) + 1);
}

static void mean_cells(struct text *cells, const struct estimate *mean)
{
    if (isnan(mean->value))
        cell(cells, "–");
    else
        cell(cells, "%+.2f", mean->value);
    if (isnan(mean->low))
        cell(cells, "–");
    else
        cell(cells, "%+.2f to %+.2f", mean->low, mean->high);
}

static void print_strip(FILE *out, const struct sensitivity *strip)
{
    static const char *const columns[] = {"value", "", "mean R", "95% interval", "trades"};
    struct text cells;
    text_init(&cells);
    for (size_t i = 0; i < strip->cell_count; i++) {
        const struct sensitivity_cell *at = &strip->cells[i];
        cell(&cells, "%g", number_as_written(&strip->numbers[0], at->value[0]));
        cell(&cells, "%s", at->own ? "as it is" : "");
        mean_cells(&cells, &at->mean);
        cell(&cells, "%zu", at->closed);
    }
    if (!text_failed(&cells))
        print_cells(out, strip->numbers[0].name, columns, 5, cells.bytes, strip->cell_count,
                    sensitivity_form_words(strip->form));
    text_free(&cells);
}

/* A map: a row for each value of the first number, the mean and the number of
 * trades in each cell. */
static void print_map(FILE *out, const struct sensitivity *map)
{
    char headings[SWEEP_LIMIT + 1][32];
    const char *columns[SWEEP_LIMIT + 1];
    char title[2 * NUMBER_NAME_SIZE + 32];
    struct text cells;
    assert(map->sizes[1] > 0);
    text_init(&cells);
    snprintf(title, sizeof title, "%s (down) by %s (across)", map->numbers[0].name,
             map->numbers[1].name);
    snprintf(headings[0], sizeof headings[0], "mean R (trades)");
    for (size_t c = 0; c <= map->sizes[1]; c++)
        columns[c] = headings[c];
    for (size_t c = 0; c < map->sizes[1]; c++)
        snprintf(headings[c + 1], sizeof headings[c + 1], "%g",
                 number_as_written(&map->numbers[1], map->cells[c].value[1]));
    for (size_t i = 0; i < map->cell_count; i++) {
        const struct sensitivity_cell *at = &map->cells[i];
        if (i % map->sizes[1] == 0)
            cell(&cells, "%g", number_as_written(&map->numbers[0], at->value[0]));
        if (at->closed > 0)
            cell(&cells, "%s%+.2f (%zu)", at->own ? "> " : "", at->mean.value, at->closed);
        else
            cell(&cells, "–");
    }
    if (!text_failed(&cells))
        print_cells(out, title, columns, map->sizes[1] + 1, cells.bytes, map->sizes[0],
                    "The setup as it is is marked '>'. A mean that stands alone among its "
                    "neighbours looks like luck; one on a plateau does not.");
    text_free(&cells);
}

static int show(struct study_call *work, const struct sensitivity *found, size_t index,
                struct text *json)
{
    study_end_progress(work);
    if (work->call->format == FORMAT_JSON) {
        text_append(json, index > 0 ? "," : "");
        sensitivity_json(json, found);
    } else if (found->number_count == 1) {
        print_strip(work->call->out, found);
    } else {
        print_map(work->call->out, found);
    }
    return ERROR_NONE;
}

/* Every cell is a try. */
static int enter_cell(void *context, const struct setup *setup, struct error *error)
{
    struct study_call *work = context;
    return tries_enter(work->call, &work->tries, "sensitivity", setup, work->series, NULL,
                       work->count, error);
}

static int finish_cell(void *context, const struct estimate *mean, const struct date_grid *grid,
                       const struct closed_trades *closed, struct error *error)
{
    struct study_call *work = context;
    return tries_finish(&work->tries, mean, grid, closed, error);
}

static int vary(struct study_call *work, const struct named_number *const *numbers, size_t count,
                size_t index, struct text *json, struct error *error)
{
    struct sensitivity found;
    const struct sweep_watch watch = {enter_cell, finish_cell, work};
    int code = sensitivity_run(&found, &work->setup, numbers, count, work->series, work->count,
                               &work->options, &watch, error);
    if (code == ERROR_NONE)
        code = show(work, &found, index, json);
    sensitivity_free(&found);
    return code;
}

/* All numbers one at a time, or the one or two that are named. */
static int vary_named(struct study_call *work, const char *names, struct text *json,
                      struct error *error)
{
    struct named_number numbers[NUMBER_LIMIT];
    const struct named_number *chosen[2];
    char word[NUMBER_NAME_SIZE];
    size_t count = setup_numbers(&work->setup, numbers);
    int code = ERROR_NONE;
    if (strcmp(names, "all") == 0) {
        for (size_t i = 0; i < count && code == ERROR_NONE; i++) {
            chosen[0] = &numbers[i];
            code = vary(work, chosen, 1, i, json, error);
        }
        return code;
    }
    size_t found = 0;
    for (const char *at = names; *at != '\0' && found < 2; found++) {
        size_t length = strcspn(at, ",");
        snprintf(word, sizeof word, "%.*s", (int)length, at);
        chosen[found] = find_number(numbers, count, word, error);
        if (chosen[found] == NULL)
            return error->code;
        at += length + (at[length] == ',');
        if (*at != '\0' && found == 1)
            return error_set(
                error, ERROR_USAGE,
                "--vary: found '%s'; one number, two with a comma between them, or all "
                "is allowed",
                names);
    }
    return vary(work, chosen, found, 0, json, error);
}

int study_vary(struct study_call *work, struct error *error)
{
    struct text json;
    if (work->call->format == FORMAT_CSV)
        return error_set(error, ERROR_USAGE, "--vary: text or json is allowed, not csv");
    if (!call_has(work->call, "resamples"))
        work->options.resamples = VARY_RESAMPLES;
    text_init(&json);
    study_begin_json(&json, work);
    text_append(&json, ",\"sensitivity\":[");
    int code = vary_named(work, call_option(work->call, "vary"), &json, error);
    text_append(&json, "]}\n");
    if (code == ERROR_NONE && work->call->format == FORMAT_JSON)
        return study_print(work, &json, error);
    if (code == ERROR_NONE)
        print_paragraph(work->call->out,
                        "Every row is a try: the best of many tries looks good by luck alone.", 0);
    if (code == ERROR_NONE)
        print_paragraph(work->call->out, study_caution, 0);
    text_free(&json);
    return code;
}
