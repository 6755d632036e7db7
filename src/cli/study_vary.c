/* `study --vary NAMES`. */
#include "base/array.h"
#include "cli/study_call.h"
#include "evidence/sensitivity.h"

#include <stdlib.h>
#include <string.h>

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

/* The one or two numbers that are named, or all; `words` is a copy of the text
 * that is cut up. */
static int read_names(char *words, struct sweep_wish *wish, struct error *error)
{
    char *comma = strchr(words, ',');
    if (strcmp(words, "all") == 0)
        return ERROR_NONE;
    if (words[0] == '\0' || (comma != NULL && strchr(comma + 1, ',') != NULL))
        return error_set(error, ERROR_USAGE,
                         "--vary: found '%s'; one number, two with a comma between them, or all is "
                         "allowed",
                         words);
    wish->names[wish->count++] = words;
    if (comma != NULL)
        *comma = '\0';
    if (comma != NULL && comma[1] != '\0')
        wish->names[wish->count++] = comma + 1;
    return ERROR_NONE;
}

static int run_sweeps(struct study_call *work, struct sensitivity *list, size_t *done,
                      struct error *error)
{
    struct sweep_wish wish = {.count = 0};
    char *words = string_copy(call_option(work->call, "vary"));
    int code = words == NULL ? error_memory(error) : read_names(words, &wish, error);
    if (code == ERROR_NONE)
        code = sweep_on_market(work->opened.work, &work->trial, &work->setup, &work->market, &wish,
                               &work->options, list, done, error);
    free(words);
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
