/* `study --vary NAMES`. */
#include "base/words.h"
#include "cli/study_call.h"
#include "evidence/sensitivity.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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
    char hint[WORD_HINT_SIZE];
    text_init(&all);
    for (size_t i = 0; i < count; i++)
        text_append_format(&all, "%s%s", i > 0 ? ", " : "", names[i]);
    error_set(error, ERROR_USAGE, "--vary: this setup has no number '%s'%s; it has %s, or all",
              name, word_hint(hint, name, names, count), all.bytes);
    text_free(&all);
    return NULL;
}

/* Every cell is a try. */
static int enter_cell(void *context, const struct setup *setup, struct error *error)
{
    struct study_call *work = context;
    return trial_enter(work->opened.work, &work->trial, "sensitivity", setup, work->series, NULL,
                       work->count, error);
}

static int finish_cell(void *context, const struct estimate *mean, const struct date_grid *grid,
                       const struct closed_trades *closed, struct error *error)
{
    struct study_call *work = context;
    return trial_finish(&work->trial, mean, grid, closed, error);
}

/* The strips or the one map that were asked for. */
struct sweeps {
    const struct sensitivity *list;
    size_t count;
};

static int print_json(struct study_call *work, const struct sweeps *sweeps, struct error *error)
{
    struct text text;
    struct json json;
    study_begin_json(&json, &text, work);
    json_member_array(&json, "sensitivity");
    for (size_t i = 0; i < sweeps->count; i++)
        sensitivity_json(&json, &sweeps->list[i]);
    json_end_array(&json);
    return study_end_json(work, &json, error);
}

/* Into the file that is asked for, then printed. */
static int show_sweeps(struct study_call *work, const struct sweeps *sweeps, struct error *error)
{
    const struct setup *const about[] = {&work->setup};
    struct document document;
    document_init(&document);
    answer_sensitivity(&document, work->setup.name, sweeps->list, sweeps->count);
    int code = study_output(work, about, 1, &document, error);
    if (code == ERROR_NONE)
        code = work->call->format == FORMAT_JSON ? print_json(work, sweeps, error)
                                                 : study_print_words(work, &document, error);
    document_clear(&document);
    return code;
}

/* The one or two numbers that are named. */
static int choose_numbers(const struct named_number *numbers, size_t count, const char *names,
                          const struct named_number *chosen[2], size_t *found, struct error *error)
{
    char word[NUMBER_NAME_SIZE];
    *found = 0;
    for (const char *at = names; *at != '\0' && *found < 2; ++*found) {
        size_t length = strcspn(at, ",");
        snprintf(word, sizeof word, "%.*s", (int)length, at);
        chosen[*found] = find_number(numbers, count, word, error);
        if (chosen[*found] == NULL)
            return error->code;
        at += length + (at[length] == ',');
        if (*at != '\0' && *found == 1)
            return error_set(error, ERROR_USAGE,
                             "--vary: found '%s'; one number, two with a comma between them, or "
                             "all is allowed",
                             names);
    }
    if (*found == 0)
        return error_set(error, ERROR_USAGE,
                         "--vary: found ''; one number, two with a comma between them, or all is "
                         "allowed");
    if (*found == 2 && chosen[0] == chosen[1])
        return error_set(error, ERROR_USAGE, "--vary: '%s' is named twice; two numbers differ",
                         chosen[0]->name);
    return ERROR_NONE;
}

/* The progress of one sweep among several. */
struct sweep_progress {
    struct study_call *work;
    size_t index;
    size_t count;
};

static void show_sweep(void *context, double done)
{
    const struct sweep_progress *at = context;
    work_progress(at->work->opened.work, ((double)at->index + done) / (double)at->count);
}

/* All numbers one at a time, or those that are named together. */
static int run_sweeps(struct study_call *work, struct sensitivity *list, size_t *done,
                      struct error *error)
{
    struct named_number numbers[NUMBER_LIMIT];
    const struct named_number *chosen[2];
    const struct sweep_watch watch = {enter_cell, finish_cell, work};
    const char *names = call_option(work->call, "vary");
    size_t count = setup_numbers(&work->setup, numbers);
    bool all = strcmp(names, "all") == 0;
    size_t together = 1;
    struct sweep_progress progress = {work, 0, all ? count : 1};
    struct study_options options = work->options;
    int code = all ? ERROR_NONE : choose_numbers(numbers, count, names, chosen, &together, error);
    options.progress = show_sweep;
    options.context = &progress;
    for (; progress.index < progress.count && code == ERROR_NONE; progress.index++) {
        if (all)
            chosen[0] = &numbers[progress.index];
        code = sensitivity_run(&list[progress.index], &work->setup, chosen, together, work->series,
                               work->count, &options, &watch, error);
        *done = progress.index + 1;
    }
    return code;
}

int study_vary(struct study_call *work, struct error *error)
{
    if (work->call->format == FORMAT_CSV)
        return error_set(error, ERROR_USAGE, "--vary: text or json is allowed, not csv");
    struct sensitivity *list = calloc(NUMBER_LIMIT, sizeof *list);
    struct sweeps sweeps = {list, 0};
    int code = list == NULL ? error_memory(error) : run_sweeps(work, list, &sweeps.count, error);
    if (code == ERROR_NONE)
        code = show_sweeps(work, &sweeps, error);
    for (size_t i = 0; i < sweeps.count; i++)
        sensitivity_free(&list[i]);
    free(list);
    return code;
}
