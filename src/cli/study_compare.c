/* `study --against S`. */
#include "cli/study_call.h"
#include "evidence/compare.h"

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
    if (work->call->format == FORMAT_CSV)
        return error_set(error, ERROR_USAGE, "--against: text or json is allowed, not csv");
    int code = setup_named(work->call, call_option(work->call, "against"), &second, error);
    if (code != ERROR_NONE)
        return code;
    const struct setup *const setups[2] = {&work->setup, &second};
    code = compare_on_market(work->opened.work, &work->trial, setups, &work->market, &work->options,
                             &comparison, error);
    if (code == ERROR_NONE)
        code = show_comparison(work, &comparison, setups, error);
    comparison_free(&comparison);
    setup_free(&second);
    return code;
}
