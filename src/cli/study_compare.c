/* `study --against S`. */
#include "cli/study_call.h"
#include "evidence/compare.h"

static int print_comparison(struct study_call *work, const struct setup_comparison *comparison,
                            struct error *error)
{
    struct text text;
    struct sections sections = {0};
    text_init(&text);
    if (work->call->format == FORMAT_JSON) {
        study_begin_json(&text, work);
        text_append_char(&text, ',');
        comparison_json(&text, comparison);
        text_append(&text, "}\n");
        return study_print(work, &text, error);
    }
    comparison_opening(&text, comparison);
    comparison_sections(&sections, comparison);
    return study_print_words(work, &text, &sections, NULL, error);
}

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

static int write_comparison(const struct report_target *target, const void *context,
                            struct error *error)
{
    return comparison_report(target, context, error);
}

int study_compare(struct study_call *work, struct error *error)
{
    struct setup second;
    struct setup_comparison comparison = {0};
    int64_t tries[2];
    if (work->call->format == FORMAT_CSV)
        return error_set(error, ERROR_USAGE, "--against: text or json is allowed, not csv");
    int code = setup_named(call_option(work->call, "against"), &second, error);
    if (code != ERROR_NONE)
        return code;
    const struct study_paper paper = {{&work->setup, &second}, 2, write_comparison, &comparison};
    for (size_t s = 0; s < 2 && code == ERROR_NONE; s++) {
        code = trial_enter(work->opened.work, &work->trial, "compare", paper.setups[s],
                           work->series, NULL, work->count, error);
        tries[s] = work->trial.id;
    }
    if (code == ERROR_NONE)
        code = comparison_run(&comparison, paper.setups, work->series, work->count, &work->options,
                              error);
    if (code == ERROR_NONE)
        code = note_results(work, &comparison, tries, error);
    if (code == ERROR_NONE)
        code = study_output(work, &paper, error);
    if (code == ERROR_NONE)
        code = print_comparison(work, &comparison, error);
    comparison_free(&comparison);
    setup_free(&second);
    return code;
}
