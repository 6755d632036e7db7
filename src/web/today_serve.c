/* The sheet Today as it is asked for: what was found last at once, and what is found
 * anew meanwhile. */
#include "web/chart.h"
#include "web/sheets.h"
#include "web/today.h"

#include "base/json.h"
#include "base/words.h"
#include "work/as_of.h"

#include <stdlib.h>
#include <string.h>

/* --- what is asked for --------------------------------------------------------------------- */

static int take_fields(struct today_wish *wish, const struct exchange *exchange,
                       struct error *error)
{
    static const char *const names[] = {"list", "setup", "as-of"};
    int code = ERROR_NONE;
    for (size_t k = 0; k < sizeof names / sizeof names[0]; k++)
        for (size_t i = 0; code == ERROR_NONE && i < exchange->field_count; i++) {
            const struct exchange_field *field = &exchange->fields[i];
            if (strcmp(field->name, names[k]) != 0 || field->value[0] == '\0')
                continue;
            wish->setups += strcmp(field->name, "setup") == 0;
            code = exchange_add(&wish->fields, field->name, field->value, strlen(field->value),
                                error);
        }
    return code;
}

static int count_setups(const struct page *page, struct book *book, struct today_wish *wish,
                        struct error *error)
{
    char **names = NULL;
    size_t count = 0;
    if (wish->setups > 0)
        return ERROR_NONE;
    int code = page_setup_names_in(page, book, &names, &count, error);
    for (size_t i = 0; i < count; i++)
        free(names[i]);
    free(names);
    wish->setups = count;
    return code;
}

int today_wish_read(struct today_wish *wish, const struct page *page,
                    const struct exchange *exchange, struct error *error)
{
    struct book *book = NULL;
    struct place place = {0};
    struct wishes wishes;
    *wish = (struct today_wish){0};
    exchange_init(&wish->fields);
    int code = page_wishes(page, exchange, &wishes, error);
    if (code == ERROR_NONE)
        code = take_fields(wish, exchange, error);
    if (code == ERROR_NONE)
        code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = as_of_place(&wishes, book, exchange_filled(exchange, "list"), "", &place, error);
    if (code == ERROR_NONE)
        code = count_setups(page, book, wish, error);
    wish->instruments = place.count;
    return book_done(book, code, error);
}

void today_wish_free(struct today_wish *wish)
{
    exchange_free(&wish->fields);
}

/* --- how far it is ------------------------------------------------------------------------------ */

static void say_state(struct text *says, const struct today_wish *wish,
                      const struct today_answer *answer, const struct today_state *state)
{
    char moment[CALENDAR_TEXT_SIZE];
    page_date(moment, answer->made, false);
    if (state->there)
        text_append_format(says,
                           "This is as of the bars known at %s UTC; the book or the day has moved "
                           "on since. ",
                           moment);
    if (state->failed)
        text_append_format(says, "It could not be looked at anew: %s.", state->error.text);
    else
        text_append_format(says, "%zu %s read on %lld %s now: %.0f %% done.", wish->setups,
                           count_word(wish->setups, "setup is", "setups are"),
                           (long long)wish->instruments,
                           count_word((uint64_t)wish->instruments, "instrument", "instruments"),
                           100 * state->done);
}

/* What is under way, with a way to look again that needs no module. */
static void write_state(struct html *html, const struct today_wish *wish,
                        const struct today_answer *answer, const struct today_state *state)
{
    struct text says, address;
    text_init(&says);
    say_state(&says, wish, answer, state);
    html_open_class(html, "p", "measure gap");
    html_attribute(html, "id", "finding");
    html_attribute(html, "role", "status");
    html_attribute(html, "data-state", state->failed ? "failed" : "finding");
    html_text(html, says.bytes);
    html_close(html);
    address_begin(&address, "/today");
    for (size_t i = 0; i < wish->fields.field_count; i++)
        address_add(&address, wish->fields.fields[i].name, wish->fields.fields[i].value);
    if (state->failed)
        address_add(&address, "again", "1");
    html_open_class(html, "p", "small gap");
    html_open_class(html, "a", state->failed ? NULL : "again");
    html_address(html, "href", address.bytes);
    html_text(html, state->failed ? "Try again" : "Look again");
    html_close_all(html, 2);
    text_free(&says);
    text_free(&address);
}

/* --- the sheet ------------------------------------------------------------------------------------ */

int sheet_today(struct page *page, struct exchange *exchange, struct error *error)
{
    const struct today_answer *answer = NULL;
    struct today_wish wish;
    struct today_state state;
    struct html html;
    bool again = exchange_filled(exchange, "again") != NULL;
    int code = today_wish_read(&wish, page, exchange, error);
    if (code == ERROR_NONE)
        code = today_hold(page, &wish, again, &answer, &state, error);
    if (code == ERROR_NONE) {
        html_init(&html, &exchange->body);
        frame_begin(&html, page, exchange,
                    &(struct sheet_head){SHEET_TODAY, state.there ? answer->title : "Today",
                                         state.there ? answer->says.bytes
                                                     : "What the newest bars have is being found.",
                                         "today.js"});
        if (!state.fresh)
            write_state(&html, &wish, answer, &state);
        if (state.there)
            html_markup(&html, answer->body.bytes);
        today_let_go(page);
        frame_end(&html, exchange);
    }
    today_wish_free(&wish);
    return code;
}

/* What tabs ask for while it is being found. */
int part_today(struct page *page, struct exchange *exchange, struct error *error)
{
    const struct today_answer *answer = NULL;
    struct today_wish wish;
    struct today_state state;
    int code = today_wish_read(&wish, page, exchange, error);
    if (code == ERROR_NONE)
        code = today_hold(page, &wish, false, &answer, &state, error);
    if (code == ERROR_NONE) {
        struct text says;
        struct json json;
        text_init(&says);
        say_state(&says, &wish, answer, &state);
        today_let_go(page);
        exchange->type = "application/json";
        json_init(&json, &exchange->body, JSON_TIGHT);
        json_begin_object(&json);
        json_member_string(&json, "state",
                           state.fresh    ? "found"
                           : state.failed ? "failed"
                                          : "finding");
        json_member_string(&json, "says", says.bytes);
        json_end_object(&json);
        text_free(&says);
    }
    today_wish_free(&wish);
    return code;
}
