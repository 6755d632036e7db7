/* Today: over the chosen setups and the chosen list, what the newest bars have: new
 * signals, older ones that still wait for their entry, and near misses. */
#include "web/chart.h"
#include "web/today.h"
#include "web/today_parts.h"

#include "base/array.h"
#include "base/words.h"
#include "work/as_of.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FIGURES = 2 };

/* --- looking ---------------------------------------------------------------------------------- */

/* What an error says stands behind the name and a colon. */
static void take_aside(void *context, const struct error *reason)
{
    const char *colon = strstr(reason->text, ": ");
    char name[sizeof reason->text] = "";
    if (colon != NULL)
        snprintf(name, sizeof name, "%.*s", (int)(colon - reason->text), reason->text);
    today_leave_out(context, name, colon != NULL ? colon + 2 : reason->text);
}

/* Each setup is the same share of all. */
static void tell(void *context, double done)
{
    const struct today *today = context;
    if (today->voice->progress != NULL)
        today->voice->progress(today->voice->context,
                               ((double)today->passed + done) / (double)today->all_count);
}

static int look_at_setup(struct page *page, const struct exchange *exchange, const char *name,
                         struct today *today, struct error *error)
{
    struct wishes wishes;
    struct work *work = NULL;
    struct setup *setup = &today->setups[today->count];
    int code = page_wishes(page, exchange, &wishes, error);
    wishes.list = exchange_filled(exchange, "list");
    wishes.everything = true;
    if (code == ERROR_NONE)
        code = work_open(&work, &wishes,
                         &(struct voice){.aside = take_aside,
                                         .progress = tell,
                                         .context = today,
                                         .stop = today->voice->stop},
                         error);
    if (code == ERROR_NONE)
        code = evening_find(work, setup, &today->evening, error);
    code = work_close(work, code, error);
    if (code == ERROR_NONE && (today->names[today->count] = string_copy(name)) == NULL)
        code = error_memory(error);
    return code;
}

static bool is_asked_for(const struct exchange *exchange, const char *name, bool *any)
{
    bool asked = false;
    for (size_t i = 0; i < exchange->field_count; i++) {
        const struct exchange_field *field = &exchange->fields[i];
        if (strcmp(field->name, "setup") != 0 || field->value[0] == '\0')
            continue;
        *any = true;
        asked |= strcmp(field->value, name) == 0;
    }
    return asked;
}

/* A setup of any candle is there for comparison: it is looked at when it is asked for. */
static bool is_for_comparison(const struct setup *setup)
{
    return setup->candle_count == 1 && strcmp(setup->candles[0].shape->name, "any") == 0;
}

static int look_at(struct page *page, const struct exchange *exchange, size_t index,
                   struct today *today, struct error *error)
{
    const char *name = today->all[index];
    struct setup *setup = &today->setups[today->count];
    bool any = false;
    bool asked = is_asked_for(exchange, name, &any);
    if (any && !asked)
        return ERROR_NONE;
    int code = page_setup(page, name, setup, error);
    if (code != ERROR_NONE)
        return code;
    today->chosen[index] = asked || !is_for_comparison(setup);
    if (today->chosen[index])
        code = look_at_setup(page, exchange, name, today, error);
    if (code != ERROR_NONE || !today->chosen[index])
        setup_free(setup);
    else
        today->count++;
    return code;
}

/* What the newest study of each found; nothing while there is no book. */
static int read_studies(struct page *page, struct today *today, struct error *error)
{
    struct book *book = NULL;
    struct ledger ledger = {0};
    today->studies = calloc(today->count + 1, sizeof *today->studies);
    int code = today->studies == NULL ? error_memory(error)
                                      : page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = ledger_read(&ledger, book, NULL, error);
    for (size_t i = 0; code == ERROR_NONE && i < today->count; i++)
        code = plan_study_in(&ledger, &today->setups[i], &today->studies[i], error);
    ledger_free(&ledger);
    return book_done(book, code, error);
}

/* One setup that cannot be applied sets nothing else aside. */
static int look(struct page *page, const struct exchange *exchange, struct today *today,
                struct error *error)
{
    int code = page_setup_names(page, &today->all, &today->all_count, error);
    if (code != ERROR_NONE)
        return code;
    today->setups = calloc(today->all_count + 1, sizeof *today->setups);
    today->names = calloc(today->all_count + 1, sizeof *today->names);
    today->chosen = calloc(today->all_count + 1, sizeof *today->chosen);
    if (today->setups == NULL || today->names == NULL || today->chosen == NULL)
        return error_memory(error);
    for (size_t i = 0; i < today->all_count; i++) {
        struct error aside = {0};
        code = look_at(page, exchange, i, today, &aside);
        if (code == ERROR_MACHINE || code == ERROR_STOPPED) {
            *error = aside;
            return code;
        }
        today->passed++;
        if (code != ERROR_NONE)
            today_leave_out(today, today->all[i], aside.text);
    }
    evening_sort(&today->evening);
    for (size_t i = 0; i < today->evening.count; i++)
        today->kinds[today->evening.list[i].kind]++;
    return read_studies(page, today, error);
}

static void free_today(struct today *today)
{
    evening_free(&today->evening);
    for (size_t i = 0; i < today->count; i++) {
        setup_free(&today->setups[i]);
        free(today->names[i]);
    }
    for (size_t i = 0; i < today->all_count; i++)
        free(today->all[i]);
    today_left_out_free(today);
    free(today->setups);
    free(today->names);
    free(today->studies);
    free(today->all);
    free(today->chosen);
    free(today->lists);
}

/* --- the line of choices ---------------------------------------------------------------------- */

static void write_setup_choices(struct html *html, const struct today *today)
{
    struct text says;
    text_init(&says);
    text_append_format(&says, "setups: %zu of %zu", today->count, today->all_count);
    html_open_class(html, "details", "pick");
    html_element(html, "summary", says.bytes);
    html_open_class(html, "div", "picks");
    for (size_t i = 0; i < today->all_count; i++) {
        html_open(html, "label");
        html_open(html, "input");
        html_attribute(html, "type", "checkbox");
        html_attribute(html, "name", "setup");
        html_attribute(html, "value", today->all[i]);
        html_flag(html, "checked", today->chosen[i]);
        html_text(html, " ");
        html_text(html, today->all[i]);
        html_close(html);
        html_text(html, " ");
    }
    html_close_all(html, 2);
    text_free(&says);
}

static void write_choices(struct html *html, const struct exchange *exchange,
                          const struct today *today)
{
    html_open_class(html, "form", "line");
    html_attribute(html, "method", "get");
    form_choose_list(html, "list", today->lists, today->list_count,
                     exchange_filled(exchange, "list"));
    write_setup_choices(html, today);
    if (exchange_filled(exchange, "as-of") != NULL)
        form_hidden(html, "as-of", exchange_filled(exchange, "as-of"));
    form_button(html, "slight", "show", NULL);
    html_close(html);
}

static int read_lists(struct page *page, const struct exchange *exchange, struct today *today,
                      struct error *error)
{
    struct book *book = NULL;
    struct wishes wishes;
    int code = page_wishes(page, exchange, &wishes, error);
    if (code == ERROR_NONE)
        code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = as_of_lists(&wishes, book, &today->lists, &today->list_count, error);
    return book_done(book, code, error);
}

/* --- the sheet ---------------------------------------------------------------------------------- */

static bool is_drawn(const struct today *today, const size_t *drawn, size_t count, size_t row)
{
    for (size_t i = 0; i < count; i++)
        if (strcmp(today->evening.list[drawn[i]].instrument, today->evening.list[row].instrument) ==
            0)
            return true;
    return false;
}

/* The first new signals, opened, each of another instrument. */
static int write_figures(struct html *html, const struct page *page,
                         const struct exchange *exchange, const struct today *today,
                         struct error *error)
{
    int code = ERROR_NONE;
    size_t drawn[FIGURES];
    size_t figures = 0;
    size_t count = today->kinds[EVENING_SIGNAL];
    if (count == 0)
        return ERROR_NONE;
    html_open_class(html, "div", "two");
    for (size_t i = 0; code == ERROR_NONE && i < count && figures < FIGURES; i++) {
        const struct evening_row *row = &today->evening.list[i];
        char moment[CALENDAR_TEXT_SIZE];
        if (is_drawn(today, drawn, figures, i))
            continue;
        drawn[figures++] = i;
        time_format(moment, row->candle_time, row->dated);
        const struct today_case one = {.instrument = row->instrument,
                                       .setup = today_setup_name(today, row),
                                       .moment = moment,
                                       .figure = (int)figures};
        struct error aside = {0};
        code = today_case_write(html, page, exchange, &one, &aside);
        if (code == ERROR_MACHINE)
            *error = aside;
        else
            code = ERROR_NONE; /* the book has moved on: its row stands below all the same */
    }
    html_close(html);
    return code;
}

/* "Friday 1 November 2024": the day of the newest bar. */
static void title_of(const struct today *today, char title[CALENDAR_TEXT_SIZE])
{
    int64_t newest = INT64_MIN;
    for (size_t i = 0; i < today->evening.newest.count; i++)
        if (today->evening.newest.list[i].time > newest)
            newest = today->evening.newest.list[i].time;
    if (newest == INT64_MIN)
        snprintf(title, CALENDAR_TEXT_SIZE, "Today");
    else
        page_long_day(title, newest);
}

static void say(const struct today *today, struct text *says)
{
    const size_t *kinds = today->kinds;
    text_append_format(says, "%zu new %s; %zu still %s for %s entry. %zu %s, %zu %s.",
                       kinds[EVENING_SIGNAL],
                       count_word(kinds[EVENING_SIGNAL], "signal", "signals"),
                       kinds[EVENING_WAITING], count_word(kinds[EVENING_WAITING], "waits", "wait"),
                       count_word(kinds[EVENING_WAITING], "its", "their"), today->count,
                       count_word(today->count, "setup", "setups"), today->evening.instruments,
                       count_word(today->evening.instruments, "instrument", "instruments"));
}

static int write_body(struct html *html, struct page *page, const struct exchange *exchange,
                      const struct today *today, struct error *error)
{
    write_choices(html, exchange, today);
    html_open_class(html, "div", "today");
    html_open_class(html, "div", "pair first");
    html_open_class(html, "section", "block ruled");
    today_write_heading(html, today, EVENING_SIGNAL);
    int code = write_figures(html, page, exchange, today, error);
    if (code == ERROR_NONE)
        code = today_write_rows(html, exchange, today, EVENING_SIGNAL, error);
    html_close(html);
    today_write_margin(html, page, exchange, today);
    html_close(html);
    for (int kind = EVENING_WAITING; code == ERROR_NONE && kind <= EVENING_NEARLY; kind++) {
        html_open_class(html, "section", "block ruled");
        today_write_heading(html, today, (enum evening_kind)kind);
        code = today_write_rows(html, exchange, today, (enum evening_kind)kind, error);
        html_close(html);
    }
    html_close(html);
    return code;
}

/* When the clock alone makes newer bars due for every instrument; never where it has
 * done so, or where a past date is asked for. */
static int64_t clock_moves(const struct newest_bars *bars, int64_t now, bool past)
{
    int64_t last = INT64_MIN;
    if (past || newest_bars_all_due(bars, now))
        return INT64_MAX;
    for (size_t i = 0; i < bars->count; i++)
        if (!bars->list[i].ended && bars->list[i].due > last)
            last = bars->list[i].due;
    return last > now ? last : INT64_MAX;
}

int today_find(struct today_answer *answer, struct page *page, const struct today_wish *wish,
               const struct voice *voice, struct error *error)
{
    struct today today = {.voice = voice};
    struct html html;
    bool past = exchange_filled(&wish->fields, "as-of") != NULL;
    *answer = (struct today_answer){.made = page->options.clock()};
    text_init(&answer->says);
    text_init(&answer->body);
    int code = read_lists(page, &wish->fields, &today, error);
    if (code == ERROR_NONE)
        code = look(page, &wish->fields, &today, error);
    if (code == ERROR_NONE) {
        title_of(&today, answer->title);
        say(&today, &answer->says);
        html_init(&html, &answer->body);
        code = write_body(&html, page, &wish->fields, &today, error);
        answer->until = clock_moves(&today.evening.newest, answer->made, past);
    }
    if (code == ERROR_NONE && (text_failed(&answer->says) || text_failed(&answer->body)))
        code = error_memory(error);
    free_today(&today);
    return code;
}

void today_answer_free(struct today_answer *answer)
{
    text_free(&answer->says);
    text_free(&answer->body);
    *answer = (struct today_answer){0};
}
