/* What is done to own levels and lines: one way in for the form and for the figure. */
#include "web/chart_address.h"
#include "web/own_lines.h"
#include "web/sheets.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- fields --------------------------------------------------------------------------------- */

static int read_number(const struct exchange *exchange, const char *name, double *value,
                       struct error *error)
{
    const char *text = exchange_filled(exchange, name);
    if (text == NULL || !number_parse(text, strlen(text), value) || !isfinite(*value))
        return error_set(error, ERROR_USAGE, "%s: found '%.40s'; a price is needed", name,
                         text != NULL ? text : "");
    return ERROR_NONE;
}

static int read_date(const struct exchange *exchange, const char *name, int64_t *time,
                     struct error *error)
{
    const char *text = exchange_filled(exchange, name);
    bool date_only = false;
    if (text == NULL || !time_parse(text, strlen(text), time, &date_only))
        return error_set(error, ERROR_USAGE,
                         "%s: found '%.40s'; the date of a bar such as 2024-11-01 is needed", name,
                         text != NULL ? text : "");
    return ERROR_NONE;
}

/* A field that says what the list said of the line leaves it as it is, to the last
 * figure, which the list does not show. */
static bool says_the_same(const struct chart *chart, const struct exchange *exchange,
                          const char *name, double price)
{
    char text[TICK_TEXT_SIZE];
    const char *field = exchange_filled(exchange, name);
    own_line_price_text(chart, price, text);
    return field != NULL && strcmp(field, text) == 0;
}

static int read_point(const struct chart *chart, const struct exchange *exchange,
                      const struct line_seen *before, int point, struct own_line *line,
                      struct error *error)
{
    static const char *const dates[] = {"date", "other-date"};
    static const char *const prices[] = {"price", "other-price"};
    struct line_point *to = &line->points[point];
    int64_t time = 0;
    double price = 0;
    int code = read_date(exchange, dates[point], &time, error);
    if (code == ERROR_NONE)
        code = read_number(exchange, prices[point], &price, error);
    if (code != ERROR_NONE)
        return code;
    if (before != NULL && time == before->line.points[point].time &&
        says_the_same(chart, exchange, prices[point],
                      point == 0 ? before->laid.price : before->laid.other_price)) {
        *to = before->line.points[point];
        return ERROR_NONE;
    }
    return line_point_at(&chart->opened.series, time, price, to, error);
}

/* Without a width it takes in all bars between its points. */
static int read_width(const struct chart *chart, const struct exchange *exchange,
                      const struct line_seen *before, struct own_line *line, struct error *error)
{
    const struct bars *bars = &chart->shown_bars;
    struct laid_line laid;
    double width = 0;
    if (!chart->is_cut)
        bars = &chart->opened.series.bars;
    if (before != NULL && says_the_same(chart, exchange, "width", before->laid.width)) {
        line->width = before->line.width;
        return ERROR_NONE;
    }
    if (exchange_filled(exchange, "width") != NULL) {
        int code = read_number(exchange, "width", &width, error);
        if (code != ERROR_NONE)
            return code;
    } else if (own_line_lay(line, bars, &laid))
        width = line_width_around(bars, &laid);
    line->width = line_width_at(bars, &line->points[0], width);
    return ERROR_NONE;
}

static int read_words(const struct exchange *exchange, struct own_line *line, struct error *error)
{
    const char *note = exchange_field(exchange, "note");
    if (note != NULL && strlen(note) >= sizeof line->note)
        return error_set(error, ERROR_USAGE, "words: at most %zu bytes are allowed",
                         sizeof line->note - 1);
    snprintf(line->note, sizeof line->note, "%s", note != NULL ? note : "");
    return ERROR_NONE;
}

/* The line that the fields say; `before` is the one that is moved, NULL: none. */
static int read_line(const struct chart *chart, const struct exchange *exchange,
                     const struct line_seen *before, struct own_line *line, struct error *error)
{
    const char *kind = exchange_filled(exchange, "kind");
    *line = (struct own_line){.since = INT64_MIN};
    line->kind = before != NULL ? before->line.kind : line_kind_of(kind != NULL ? kind : "");
    snprintf(line->instrument, sizeof line->instrument, "%s", chart->opened.series.instrument.name);
    if (line->kind == LINE_KINDS)
        return error_set(error, ERROR_USAGE,
                         "kind: found '%.40s'; level, trend, retracement, channel, note or ruler "
                         "is allowed",
                         kind != NULL ? kind : "");
    int code = ERROR_NONE;
    for (int i = 0; i < line_kind_points(line->kind) && code == ERROR_NONE; i++)
        code = read_point(chart, exchange, before, i, line, error);
    if (code == ERROR_NONE && line->kind == LINE_CHANNEL)
        code = read_width(chart, exchange, before, line, error);
    return code == ERROR_NONE ? read_words(exchange, line, error) : code;
}

/* --- the change -------------------------------------------------------------------------------- */

/* What is asked for, opened on the bars of the chart; `undo` goes on. */
struct asked_change {
    const char *act;
    int64_t id;                     /* of the line; 0: none is named */
    const struct line_seen *before; /* that line; NULL: none */
    struct own_line line;
    char instrument[INSTRUMENT_NAME_SIZE];
    enum line_reach reach;
    struct undo_list undo;
    struct line_change change; /* that was made; both 0: none */
};

static bool is(const struct asked_change *asked, const char *act)
{
    return strcmp(asked->act, act) == 0;
}

static int undo_last(struct book *book, int64_t now, struct asked_change *asked,
                     struct error *error)
{
    struct undo_list *undo = &asked->undo;
    int64_t again = 0;
    if (undo->count == 0)
        return error_set(error, ERROR_USAGE, "nothing was changed that could be undone");
    struct line_change last = undo->changes[--undo->count];
    int code = line_change_undo(book, now, asked->instrument, &last, &again, error);
    /* What was there before has another number now. */
    for (size_t i = 0; i < undo->count; i++)
        if (undo->changes[i].come == last.gone)
            undo->changes[i].come = again;
    asked->change = (struct line_change){last.come != 0 ? last.come : last.gone, again};
    return code;
}

static int make_change(struct book *book, int64_t now, struct asked_change *asked,
                       struct error *error)
{
    int code = ERROR_NONE;
    if (is(asked, "undo"))
        return undo_last(book, now, asked, error);
    if (is(asked, "hide") || is(asked, "show") || is(asked, "reach"))
        return level_store_show(book, asked->instrument, asked->id,
                                is(asked, "reach") ? asked->before->line.hidden : is(asked, "hide"),
                                asked->reach, error);
    if (is(asked, "draw"))
        code = line_change_draw(book, now, &asked->line, &asked->change, error);
    else if (is(asked, "move"))
        code = line_change_move(book, now, asked->id, &asked->line, &asked->change, error);
    else if (is(asked, "remove"))
        code = line_change_remove(book, now, asked->instrument, asked->id, &asked->change, error);
    undo_push(&asked->undo, &asked->change);
    if (code == ERROR_NONE && is(asked, "move") && asked->reach != asked->before->line.reach)
        code = level_store_show(book, asked->instrument, asked->line.id, asked->before->line.hidden,
                                asked->reach, error);
    return code;
}

static bool is_same(const struct own_line *a, const struct own_line *b)
{
    for (int i = 0; i < line_kind_points(a->kind); i++)
        if (a->points[i].time != b->points[i].time || a->points[i].price != b->points[i].price)
            return false;
    return a->width == b->width && strcmp(a->note, b->note) == 0;
}

static int read_asked(const struct chart *chart, const struct exchange *exchange,
                      struct asked_change *asked, struct error *error)
{
    static const char *const acts[] = {"draw", "move", "remove", "hide", "show", "reach", "undo"};
    const char *act = exchange_filled(exchange, "act");
    const char *reach = exchange_filled(exchange, "reach");
    size_t at = 0;
    while (at < sizeof acts / sizeof acts[0] && (act == NULL || strcmp(acts[at], act) != 0))
        at++;
    if (at == sizeof acts / sizeof acts[0])
        return error_set(error, ERROR_USAGE, "act: found '%.40s'; there is no such change",
                         act != NULL ? act : "");
    asked->act = acts[at];
    asked->id = exchange_integer(exchange, "line", 1, INT64_MAX / 2, 0);
    snprintf(asked->instrument, sizeof asked->instrument, "%s",
             chart->opened.series.instrument.name);
    asked->before = lines_seen_of(&chart->own, asked->id);
    if (asked->before == NULL && !is(asked, "draw") && !is(asked, "undo"))
        return error_set(error, ERROR_INPUT,
                         "the line is not there any more; it was moved or removed elsewhere");
    asked->reach = reach != NULL ? line_reach_of(reach) : REACH_RIGHT;
    if (asked->reach == LINE_REACHES)
        return error_set(error, ERROR_USAGE,
                         "reach: found '%.40s'; no, right, left or both is allowed", reach);
    int code = undo_read(&asked->undo, exchange, error);
    if (code == ERROR_NONE && (is(asked, "draw") || is(asked, "move")))
        code = read_line(chart, exchange, asked->before, &asked->line, error);
    return code;
}

/* Keeps it in one transaction. A form handed in without anything moved keeps how far
 * the line goes. */
static int keep(struct page *page, struct asked_change *asked, struct error *error)
{
    struct book *book = NULL;
    if (is(asked, "move") && is_same(&asked->line, &asked->before->line))
        asked->act = "reach";
    int code = page_book(page, BOOK_WRITE, &book, error);
    if (code == ERROR_NONE)
        code = book_begin(book, "own lines", error);
    if (code == ERROR_NONE)
        code = book_settle(book, make_change(book, page->options.clock(), asked, error), error);
    return book_done(book, code, error);
}

/* --- back to the chart ---------------------------------------------------------------------------- */

/* An order that was bound to the line that went is bound to the one that came. */
static void add_bound(struct text *address, const struct exchange *exchange, const char *name,
                      const struct line_change *change)
{
    char bound[64];
    const char *value = exchange_filled(exchange, name);
    long long id = 0;
    int used = 0;
    bool follows = value != NULL && change->come != 0 && change->gone != 0 &&
                   sscanf(value, "%15lld%n", &id, &used) == 1 && id == change->gone;
    snprintf(bound, sizeof bound, "%lld%.20s", (long long)change->come,
             follows ? value + used : "");
    address_add(address, name, follows ? bound : value);
}

static int go_back(struct exchange *exchange, const struct asked_change *asked, struct error *error)
{
    static const char *const changed[] = {"undo", "entry-on", "stop-on", "target-on", NULL};
    char undo[UNDO_TEXT_SIZE];
    struct text address;
    chart_address_back(&address, exchange, changed);
    for (size_t i = 1; changed[i] != NULL; i++)
        add_bound(&address, exchange, changed[i], &asked->change);
    undo_write(&asked->undo, undo);
    if (undo[0] != '\0')
        address_add(&address, "undo", undo);
    int code = exchange_go(exchange, address.bytes, error);
    text_free(&address);
    return code;
}

int change_line(struct page *page, struct exchange *exchange, struct error *error)
{
    struct chart chart;
    struct asked_change asked = {.act = ""};
    int code = chart_open(&chart, page, exchange, error);
    if (code == ERROR_NONE)
        code = read_asked(&chart, exchange, &asked, error);
    if (code == ERROR_NONE)
        code = keep(page, &asked, error);
    if (code == ERROR_NONE)
        code = go_back(exchange, &asked, error);
    return chart_close(&chart, code, error);
}
