#include "book/level_store.h"

#include "base/calendar.h"
#include "book/bars_store.h"
#include "book/instrument_store.h"
#include "market/session.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* --- kinds ------------------------------------------------------------------------ */

static const struct {
    const char *word;
    int points;
} kinds[LINE_KINDS] = {
    [LINE_LEVEL] = {"level", 1},
    [LINE_TREND] = {"trend", 2},
    [LINE_RETRACEMENT] = {"retracement", 2},
    [LINE_CHANNEL] = {"channel", 2},
    [LINE_NOTE] = {"note", 1},
    [LINE_RULER] = {"ruler", 2},
};

const char *line_kind_word(enum line_kind kind)
{
    return kinds[kind].word;
}

enum line_kind line_kind_of(const char *word)
{
    int kind = 0;
    while (kind < LINE_KINDS && strcmp(kinds[kind].word, word) != 0)
        kind++;
    return (enum line_kind)kind;
}

int line_kind_points(enum line_kind kind)
{
    return kinds[kind].points;
}

static const char *const reaches[LINE_REACHES] = {"no", "right", "left", "both"};

const char *line_reach_word(enum line_reach reach)
{
    return reaches[reach];
}

enum line_reach line_reach_of(const char *word)
{
    int reach = 0;
    while (reach < LINE_REACHES && strcmp(reaches[reach], word) != 0)
        reach++;
    return (enum line_reach)reach;
}

/* --- reading ------------------------------------------------------------------------ */

static int take_row(struct statement *statement, void *one, const void *context,
                    struct error *error)
{
    struct own_line *line = one;
    const char *kind = statement_text(statement, 2);
    (void)context;
    if (kind == NULL)
        return error_memory(error);
    *line = (struct own_line){.id = statement_integer(statement, 0),
                              .kind = line_kind_of(kind),
                              .points = {{statement_integer(statement, 3),
                                          statement_number(statement, 4)},
                                         {statement_integer(statement, 5),
                                          statement_number(statement, 6)}},
                              .width = statement_number(statement, 7),
                              .made = statement_integer(statement, 9),
                              .since = statement_integer(statement, 10),
                              .dated_back = statement_integer(statement, 11) != 0,
                              .withdrawn = !statement_is_null(statement, 12),
                              .withdrawn_at = statement_integer(statement, 12),
                              .until = statement_integer(statement, 13),
                              .hidden = statement_integer(statement, 14) != 0,
                              .reach = REACH_RIGHT};
    const char *reach = statement_text(statement, 15);
    if (reach != NULL)
        line->reach = line_reach_of(reach);
    statement_copy(statement, 1, line->instrument, sizeof line->instrument);
    statement_copy(statement, 8, line->note, sizeof line->note);
    if (line->kind == LINE_KINDS)
        return error_set(error, ERROR_INPUT, "line %lld of the book is of no kind that is known",
                         (long long)line->id);
    return ERROR_NONE;
}

int level_store_list(struct book *book, const char *instrument, struct own_line **lines,
                     size_t *count, struct error *error)
{
    struct statement statement;
    struct gathered rows = {.size = sizeof **lines, .take = take_row};
    int code = statement_prepare(
        &statement, book,
        "SELECT l.id, i.name, l.kind, l.time, l.price, l.other_time, l.other_price, l.width, "
        "l.note, l.made, l.since, l.dated_back, w.at, w.newest, s.hidden, s.reach "
        "FROM own_line l JOIN instrument i ON i.id = l.instrument "
        "LEFT JOIN own_line_withdrawn w ON w.line = l.id "
        "LEFT JOIN own_line_shown s ON s.line = l.id WHERE ?1 IS NULL OR i.name = ?1 ORDER BY l.id",
        error);
    if (code == ERROR_NONE) {
        statement_bind_text(&statement, 1, instrument);
        code = statement_gather(&statement, &rows, error);
    }
    statement_finish(&statement);
    *lines = rows.list;
    *count = rows.count;
    return code;
}

static int find_instrument(struct book *book, const char *name, struct instrument *instrument,
                           struct error *error)
{
    bool found = false;
    int code = instrument_store_find(book, name, instrument, &found, error);
    if (code == ERROR_NONE && !found)
        code = error_set(error, ERROR_INPUT, "there is no instrument '%.60s' in the book", name);
    return code;
}

/* Whoever draws beside a bar may have seen all of it: its last second counts. */
static void look_at(struct session *session, const struct stored_series *series,
                    struct newest_stored *newest)
{
    int64_t last = series->last;
    if (series->interval.unit != INTERVAL_NONE)
        last = session_bucket(session, series->interval, last, true).end - 1;
    if (series->last > newest->begins)
        newest->begins = series->last;
    if (last > newest->ends)
        newest->ends = last;
}

int level_store_newest(struct book *book, const char *instrument, struct newest_stored *newest,
                       struct error *error)
{
    struct stored_series *series = NULL;
    struct instrument found;
    struct session session = {0};
    size_t count = 0;
    *newest = (struct newest_stored){INT64_MIN, INT64_MIN};
    int code = find_instrument(book, instrument, &found, error);
    if (code == ERROR_NONE)
        code = bars_store_list(book, found.id, &series, &count, error);
    if (code == ERROR_NONE)
        code = session_open(&session, &found, error);
    for (size_t i = 0; code == ERROR_NONE && i < count; i++)
        if (series[i].count > 0)
            look_at(&session, &series[i], newest);
    session_close(&session);
    free(series);
    return code;
}

/* --- keeping ------------------------------------------------------------------------- */

static int check_points(const struct own_line *line, struct error *error)
{
    const char *word = line_kind_word(line->kind);
    char time[CALENDAR_TEXT_SIZE], since[CALENDAR_TEXT_SIZE];
    for (int i = 0; i < line_kind_points(line->kind); i++) {
        if (!isfinite(line->points[i].price))
            return error_set(error, ERROR_INPUT, "%s: a price of a point is not a number", word);
        if (line->points[i].time <= line->since)
            continue;
        time_format(time, line->points[i].time, false);
        time_format(since, line->since, false);
        return error_set(error, ERROR_INPUT,
                         "%s: a point at %s is later than %s, from which on it is to count; a line "
                         "stands on bars that were there when it was drawn",
                         word, time, since);
    }
    if (line_kind_points(line->kind) == 2 && line->points[0].time == line->points[1].time)
        return error_set(error, ERROR_INPUT,
                         "%s: its two points are of the same bar; two are needed", word);
    return ERROR_NONE;
}

int own_line_check(struct own_line *line, struct error *error)
{
    if (line_kind_points(line->kind) == 1)
        line->points[1] = line->points[0];
    if (line->kind != LINE_CHANNEL)
        line->width = 0;
    int code = check_points(line, error);
    if (code == ERROR_NONE && line->kind == LINE_CHANNEL &&
        (!isfinite(line->width) || line->width == 0))
        code = error_set(error, ERROR_INPUT,
                         "channel: its width is needed, the price from the line to the one beside "
                         "it, below 0 for one beneath");
    if (code == ERROR_NONE && line->kind == LINE_RETRACEMENT &&
        line->points[0].price == line->points[1].price)
        code = error_set(error, ERROR_INPUT,
                         "retracement: its two points have the same price; there is no way back");
    if (code == ERROR_NONE && line->kind == LINE_NOTE && line->note[0] == '\0')
        code = error_set(error, ERROR_INPUT, "note: its words are needed");
    return code;
}

static int insert(struct book *book, int64_t instrument, const struct own_line *line,
                  struct error *error)
{
    struct statement statement;
    int code = statement_prepare(
        &statement, book,
        "INSERT INTO own_line(instrument, kind, time, price, other_time, other_price, width, note, "
        "made, since, dated_back) VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
        error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, instrument);
        statement_bind_text(&statement, 2, line_kind_word(line->kind));
        statement_bind_integer(&statement, 3, line->points[0].time);
        statement_bind_number(&statement, 4, line->points[0].price);
        statement_bind_integer(&statement, 5, line->points[1].time);
        statement_bind_number(&statement, 6, line->points[1].price);
        statement_bind_number(&statement, 7, line->width);
        statement_bind_text(&statement, 8, line->note);
        statement_bind_integer(&statement, 9, line->made);
        statement_bind_integer(&statement, 10, line->since);
        statement_bind_integer(&statement, 11, line->dated_back);
        code = statement_run(&statement, error);
    }
    statement_finish(&statement);
    return code;
}

int level_store_add(struct book *book, struct own_line *line, struct error *error)
{
    struct instrument instrument = {0};
    int code = find_instrument(book, line->instrument, &instrument, error);
    if (code == ERROR_NONE)
        code = own_line_check(line, error);
    if (code == ERROR_NONE)
        code = insert(book, instrument.id, line, error);
    if (code == ERROR_NONE)
        line->id = book_last_row(book);
    return code;
}

/* --- withdrawing ------------------------------------------------------------------------ */

int level_store_find(struct book *book, const char *instrument, int64_t id, struct own_line *line,
                     struct error *error)
{
    struct own_line *lines = NULL;
    size_t count = 0;
    size_t at = 0;
    int code = level_store_list(book, instrument, &lines, &count, error);
    while (at < count && lines[at].id != id)
        at++;
    if (code == ERROR_NONE && at == count)
        code = error_set(error, ERROR_INPUT, "%s has no level or line of number %lld", instrument,
                         (long long)id);
    if (code == ERROR_NONE)
        *line = lines[at];
    free(lines);
    return code;
}

int level_store_withdraw(struct book *book, const char *instrument, int64_t id, int64_t now,
                         struct error *error)
{
    struct statement statement = {0};
    struct own_line line;
    struct newest_stored newest;
    int code = level_store_newest(book, instrument, &newest, error);
    if (code == ERROR_NONE)
        code = level_store_find(book, instrument, id, &line, error);
    if (code == ERROR_NONE && line.withdrawn)
        code = error_set(error, ERROR_INPUT, "line %lld of %s is withdrawn already", (long long)id,
                         instrument);
    if (code == ERROR_NONE)
        code = statement_prepare(
            &statement, book, "INSERT INTO own_line_withdrawn(line, at, newest) VALUES(?1, ?2, ?3)",
            error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, id);
        statement_bind_integer(&statement, 2, now);
        statement_bind_integer(&statement, 3, newest.ends);
        code = statement_run(&statement, error);
    }
    statement_finish(&statement);
    return code;
}

/* --- showing ------------------------------------------------------------------------------ */

int level_store_show(struct book *book, const char *instrument, int64_t id, bool hidden,
                     enum line_reach reach, struct error *error)
{
    struct statement statement = {0};
    struct own_line line;
    int code = level_store_find(book, instrument, id, &line, error);
    if (code == ERROR_NONE)
        code =
            statement_prepare(&statement, book,
                              "INSERT INTO own_line_shown(line, hidden, reach) VALUES(?1, ?2, ?3) "
                              "ON CONFLICT DO UPDATE SET hidden = ?2, reach = ?3",
                              error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, id);
        statement_bind_integer(&statement, 2, hidden);
        statement_bind_text(&statement, 3, line_reach_word(reach));
        code = statement_run(&statement, error);
    }
    statement_finish(&statement);
    return code;
}
