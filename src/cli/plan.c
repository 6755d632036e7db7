/* `plan`: orders with their size, taken or passed by, and what becomes of them. */
#include "answer/plan.h"
#include "answer/size.h"
#include "cli/commands.h"
#include "cli/paragraph.h"
#include "cli/plan_follow.h"
#include "cli/table.h"
#include "cli/wishes.h"
#include "document/document_write.h"
#include "version.h"

#include <stdlib.h>
#include <string.h>

/* --- one plan ------------------------------------------------------------------------------ */

static int print_plan(const struct call *call, const struct plan_made *made, struct error *error)
{
    struct document document;
    struct json json;
    struct text text;
    text_init(&text);
    switch (call->format) {
    case FORMAT_TEXT:
        document_init(&document);
        answer_plan(&document, made);
        document_write_text(&text, &document);
        document_clear(&document);
        if (made->plan.id > 0)
            text_append_format(&text, "\nKept as plan %lld, %s.\n", (long long)made->plan.id,
                               plan_state_word(made->plan.state));
        break;
    case FORMAT_CSV: size_csv(&text, &made->found); break;
    case FORMAT_JSON:
        json_init(&json, &text, JSON_TIGHT);
        json_begin_object(&json);
        json_member_string(&json, "rushlight", RUSHLIGHT_VERSION);
        plan_json(&json, made);
        json_end_object(&json);
        text_append_char(&text, '\n');
        break;
    }
    return print_text(call, &text, error);
}

static int read_wish(struct call *call, const struct setup *setup, struct plan_wish *wish,
                     struct error *error)
{
    *wish = (struct plan_wish){.word = call->arguments[1],
                               .account = call_option(call, "account"),
                               .setup = setup,
                               .entry = call_option(call, "entry"),
                               .stop = call_option(call, "stop"),
                               .target = call_option(call, "target"),
                               .risk = call_option(call, "risk"),
                               .rates = call_option(call, "rate"),
                               .reason = call_option(call, "reason"),
                               .breach = call_option(call, "breach"),
                               .taken = strcmp(call->arguments[0], "pass") != 0};
    if (wish->account == NULL)
        return error_set(error, ERROR_USAGE,
                         "--account is missing; an account of the book is "
                         "needed, 'account' lists them");
    bool by_hand = wish->entry != NULL || wish->stop != NULL || wish->target != NULL;
    if (by_hand == (setup != NULL) || (by_hand && (wish->entry == NULL || wish->stop == NULL)))
        return error_set(error, ERROR_USAGE,
                         "plan: either --setup, whose signal it is, or --entry and --stop, with a "
                         "--target or without, are needed");
    return ERROR_NONE;
}

static int make(struct call *call, struct work *work, const struct setup *setup,
                struct error *error)
{
    struct plan_made *made = calloc(1, sizeof *made);
    struct notices notices = {0};
    struct plan_wish wish;
    bool keeps = strcmp(call->arguments[0], "look") != 0;
    int code = made != NULL ? read_wish(call, setup, &wish, error) : error_memory(error);
    if (code == ERROR_NONE)
        code = plan_look(work, &notices, &wish, made, error);
    notices_say(&notices, work);
    if (code == ERROR_NONE && keeps)
        code = plan_keep(work, &wish, made, error);
    if (code == ERROR_NONE)
        code = print_plan(call, made, error);
    call->incomplete = call->incomplete || (code == ERROR_NONE && made->found.sizing.refused);
    notices_free(&notices);
    if (made != NULL)
        plan_made_clear(made);
    free(made);
    return code;
}

static int do_make(struct call *call, struct work *work, struct error *error)
{
    struct setup setup;
    if (!call_has(call, "setup"))
        return make(call, work, NULL, error);
    int code = setup_of_call(call, &setup, error);
    if (code != ERROR_NONE)
        return code;
    code = make(call, work, &setup, error);
    setup_free(&setup);
    return code;
}

/* --- the list -------------------------------------------------------------------------------- */

static int do_show(struct call *call, struct work *work, struct error *error)
{
    struct plan *plans;
    struct table table;
    struct text closing;
    size_t count;
    bool all = call_has(call, "all");
    int code = plans_read(work, &plans, &count, error);
    listing_begin(&table, call, &plans_listing);
    for (size_t i = 0; code == ERROR_NONE && i < count; i++)
        if (all || plan_is_open(&plans[i]))
            plan_put(&table, &plans[i]);
    text_init(&closing);
    if (code == ERROR_NONE && count > 0)
        plans_closing(&closing, plans, count);
    free(plans);
    if (code == ERROR_NONE && count > 0) {
        code = table_end(&table, NULL, error);
        if (code == ERROR_NONE && call->format == FORMAT_TEXT) {
            fputc('\n', call->out);
            print_paragraph(call->out, closing.bytes, 0);
        }
    } else
        code = listing_end(&table, &plans_listing, code, error);
    text_free(&closing);
    return code;
}

static const struct verb {
    const char *word;
    size_t words; /* its own among them */
    const char *needs;
    bool keeps;
    int (*run)(struct call *call, struct work *work, struct error *error);
} verbs[] = {
    {"show", 1, "no more words", false, do_show},
    {"look", 2, "INSTRUMENT", false, do_make},
    {"take", 2, "INSTRUMENT", true, do_make},
    {"pass", 2, "INSTRUMENT", true, do_make},
    {"follow", 2, "the NUMBER of a plan, or none", false, plan_follow_call},
    {"placed", 2, "the NUMBER of a plan", true, plan_say_call},
    {"filled", 2, "the NUMBER of a plan", true, plan_say_call},
    {"moved", 2, "the NUMBER of a plan", true, plan_say_call},
    {"closed", 2, "the NUMBER of a plan", true, plan_say_call},
    {"done", 2, "the NUMBER of a plan", true, plan_say_call},
    {"lapsed", 2, "the NUMBER of a plan", true, plan_say_call},
    {"withdrawn", 2, "the NUMBER of a plan", true, plan_say_call},
};

int command_plan(struct call *call, struct error *error)
{
    struct call_work own;
    const struct verb *verb = NULL;
    const char *word = call->argument_count > 0 ? call->arguments[0] : "show";
    for (size_t i = 0; i < sizeof verbs / sizeof verbs[0]; i++)
        if (strcmp(verbs[i].word, word) == 0)
            verb = &verbs[i];
    if (verb == NULL)
        return error_set(
            error, ERROR_USAGE,
            "plan: found '%.40s'; show, look, take, pass, follow, placed, filled, moved, closed, "
            "done, lapsed or withdrawn is allowed",
            word);
    bool all = verb->run == plan_follow_call && call->argument_count == 1;
    if (call->argument_count > 0 && call->argument_count != verb->words && !all)
        return error_set(error, ERROR_USAGE, "plan: %s takes %s", verb->word, verb->needs);
    if (verb->keeps && call_has(call, "as-of"))
        return error_set(error, ERROR_USAGE,
                         "--as-of: a past date is only looked at; nothing is kept there, use "
                         "'plan look', 'plan follow' or 'plan show'");
    int code = call_work_open(&own, call, error);
    if (code == ERROR_NONE)
        code = verb->run(call, own.work, error);
    return call_work_close(&own, code, error);
}
