/* `study --against S`. */
#include "cli/paragraph.h"
#include "cli/study_call.h"
#include "evidence/compare.h"
#include "evidence/study_words.h"

static int print_comparison(struct study_call *work, const struct setup_comparison *comparison,
                            struct error *error)
{
    struct text text;
    text_init(&text);
    if (work->call->format == FORMAT_JSON) {
        study_begin_json(&text, work);
        text_append_char(&text, ',');
        comparison_json(&text, comparison);
        text_append(&text, "}\n");
        return study_print(work, &text, error);
    }
    comparison_opening(&text, comparison);
    int code = text_failed(&text) ? error_memory(error) : ERROR_NONE;
    if (code == ERROR_NONE) {
        print_paragraph(work->call->out, text.bytes, 0);
        print_paragraph(work->call->out, study_caution, 0);
    }
    text_free(&text);
    return code;
}

int study_compare(struct study_call *work, struct error *error)
{
    struct setup second;
    struct setup_comparison comparison;
    if (work->call->format == FORMAT_CSV)
        return error_set(error, ERROR_USAGE, "--against: text or json is allowed, not csv");
    int code = rules_read_named(call_option(work->call, "against"), &second, error);
    if (code != ERROR_NONE)
        return code;
    const struct setup *const setups[2] = {&work->setup, &second};
    for (size_t s = 0; s < 2 && code == ERROR_NONE; s++)
        code = tries_enter(work->call, &work->tries, "compare", setups[s], work->series, NULL,
                           work->count, error);
    if (code == ERROR_NONE)
        code = comparison_run(&comparison, setups, work->series, work->count, &work->options,
                              error);
    if (code == ERROR_NONE)
        code = print_comparison(work, &comparison, error);
    setup_free(&second);
    return code;
}
