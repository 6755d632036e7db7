/* `study --against S`. */
#include "cli/study_call.h"
#include "evidence/compare.h"

/* Both setups' outcomes are about to be shown: two tries, with their results. */
static int note_results(struct study_call *work, const struct setup_comparison *comparison,
                        const int64_t tries[2], struct error *error)
{
    int code = ERROR_NONE;
    for (size_t s = 0; s < 2 && code == ERROR_NONE; s++) {
        struct closed_trades closed;
        code = comparison_closed(&closed, comparison, s, error);
        work->trial.id = tries[s];
        if (code == ERROR_NONE)
            code = trial_finish(&work->trial, &comparison->own_mean[s], &comparison->grid, &closed,
                                error);
        closed_trades_free(&closed);
    }
    return code;
}

/* Into the file that is asked for, then printed. */
static int show_comparison(struct study_call *work, const struct setup_comparison *comparison,
                           const struct setup *const setups[2], struct error *error)
{
    struct document document;
    struct text text;
    struct json json;
    document_init(&document);
    answer_comparison(&document, comparison);
    int code = study_output(work, setups, 2, &document, error);
    if (code == ERROR_NONE && work->call->format == FORMAT_JSON) {
        study_begin_json(&json, &text, work);
        comparison_json(&json, comparison);
        code = study_end_json(work, &json, error);
    } else if (code == ERROR_NONE) {
        code = study_print_words(work, &document, error);
    }
    document_clear(&document);
    return code;
}

int study_compare(struct study_call *work, struct error *error)
{
    struct setup second;
    struct setup_comparison comparison = {0};
    int64_t tries[2];
    if (work->call->format == FORMAT_CSV)
        return error_set(error, ERROR_USAGE, "--against: text or json is allowed, not csv");
    int code = setup_named(work->call, call_option(work->call, "against"), &second, error);
    if (code != ERROR_NONE)
        return code;
    const struct setup *const setups[2] = {&work->setup, &second};
    for (size_t s = 0; s < 2 && code == ERROR_NONE; s++) {
        code = trial_enter(work->opened.work, &work->trial, "compare", setups[s], work->series,
                           NULL, work->count, error);
        tries[s] = work->trial.id;
    }
    if (code == ERROR_NONE)
        code = comparison_run(&comparison, setups, work->series, work->count, &work->options,
                              error);
    if (code == ERROR_NONE)
        code = note_results(work, &comparison, tries, error);
    if (code == ERROR_NONE)
        code = show_comparison(work, &comparison, setups, error);
    comparison_free(&comparison);
    setup_free(&second);
    return code;
}
