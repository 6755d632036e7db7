#include "cli/plan_follow.h"

#include "answer/follow.h"
#include "base/calendar.h"
#include "cli/paragraph.h"
#include "cli/table.h"
#include "document/document_write.h"
#include "version.h"

#include <string.h>

/* --- all that are open --------------------------------------------------------------------- */

struct listed {
    struct table *table;
    size_t to_do;
};

static int take(void *context, const struct plan_case *one, struct error *error)
{
    struct listed *listed = context;
    follow_put(listed->table, one);
    listed->to_do += one->followed.task_count > 0;
    return table_failed(listed->table) ? error_memory(error) : ERROR_NONE;
}

static int list_all(struct call *call, struct work *work, struct error *error)
{
    struct notices notices = {0};
    struct table table;
    struct listed listed = {&table, 0};
    struct text closing;
    size_t count = 0;
    listing_begin(&table, call, &followed_listing);
    int code = plans_follow(work, &notices, call_has(call, "all"), take, &listed, &count, error);
    notices_say(&notices, work);
    notices_free(&notices);
    text_init(&closing);
    if (code == ERROR_NONE && count > 0)
        follow_closing(&closing, count, listed.to_do);
    if (code == ERROR_NONE && count > 0) {
        code = table_end(&table, NULL, error);
        if (code == ERROR_NONE && call->format == FORMAT_TEXT) {
            fputc('\n', call->out);
            print_paragraph(call->out, closing.bytes, 0);
        }
    } else
        code = listing_end(&table, &followed_listing, code, error);
    text_free(&closing);
    return code;
}

/* --- one ------------------------------------------------------------------------------------- */

/* As a list of one. */
static int print_row(const struct call *call, const struct plan_case *one, struct error *error)
{
    struct table table;
    listing_begin(&table, call, &followed_listing);
    follow_put(&table, one);
    return table_end(&table, NULL, error);
}

static int print_one(const struct call *call, const struct plan_case *one, struct error *error)
{
    struct document document;
    struct json json;
    struct text text;
    if (call->format == FORMAT_CSV)
        return print_row(call, one, error);
    text_init(&text);
    if (call->format == FORMAT_TEXT) {
        document_init(&document);
        answer_follow(&document, one);
        document_write_text(&text, &document);
        document_clear(&document);
        return print_text(call, &text, error);
    }
    json_init(&json, &text, JSON_TIGHT);
    json_begin_object(&json);
    json_member_string(&json, "rushlight", RUSHLIGHT_VERSION);
    follow_json(&json, one);
    json_end_object(&json);
    text_append_char(&text, '\n');
    return print_text(call, &text, error);
}

static int show_one(struct call *call, struct work *work, struct error *error)
{
    struct notices notices = {0};
    struct plan_case one;
    int code = plan_case_open(work, &notices, call->arguments[1], &one, error);
    notices_say(&notices, work);
    notices_free(&notices);
    if (code == ERROR_NONE)
        code = print_one(call, &one, error);
    plan_case_close(&one);
    return code;
}

int plan_follow_call(struct call *call, struct work *work, struct error *error)
{
    return call->argument_count > 1 ? show_one(call, work, error) : list_all(call, work, error);
}

/* --- a person's word ---------------------------------------------------------------------------- */

/* What `moved` moves. */
static int read_moved(const struct call *call, struct plan_word_wish *wish, struct error *error)
{
    const char *stop = call_option(call, "stop");
    const char *target = call_option(call, "target");
    if ((stop != NULL) == (target != NULL))
        return error_set(error, ERROR_USAGE,
                         "plan: moved takes --stop or --target with where it stands now, one of "
                         "them at a time");
    wish->kind = stop != NULL ? STEP_MOVED_STOP : STEP_MOVED_TARGET;
    wish->price = stop != NULL ? stop : target;
    return ERROR_NONE;
}

static int read_word(const struct call *call, struct plan_word_wish *wish, struct error *error)
{
    const char *verb = call->arguments[0];
    const char *date = call_option(call, "date");
    *wish = (struct plan_word_wish){.number = call->arguments[1],
                                    .kind = plan_step_of(verb),
                                    .price = call_option(call, "price"),
                                    .at = call_time(call, "date", INT64_MIN),
                                    .result = call_option(call, "r"),
                                    .note = call_option(call, "note"),
                                    .corrects = call_has(call, "correct")};
    if (date != NULL)
        time_parse(date, strlen(date), &wish->at, &wish->at_is_date);
    if (strcmp(verb, "moved") == 0)
        return read_moved(call, wish, error);
    if (wish->kind == STEP_CLOSED && wish->price == NULL)
        return error_set(error, ERROR_USAGE,
                         "plan: closed takes --price, at which it was; without one it is done with "
                         "--r, what it came to");
    return ERROR_NONE;
}

int plan_say_call(struct call *call, struct work *work, struct error *error)
{
    struct notices notices = {0};
    struct plan_word_wish wish;
    int code = read_word(call, &wish, error);
    if (code == ERROR_NONE)
        code = plan_say(work, &notices, &wish, error);
    notices_free(&notices);
    return code == ERROR_NONE ? show_one(call, work, error) : code;
}
