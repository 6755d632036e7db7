#include "book/newest_store.h"

#include "base/calendar.h"
#include "book/instrument_store.h"

#include <stdlib.h>

/* Time from which on there are at least NEWEST_BARS bars, by whole chunks. */
static int find_start(struct book *book, const struct stored_series *series, int64_t *from,
                      struct error *error)
{
    struct statement statement;
    int64_t count = 0;
    bool row = false;
    *from = series->first;
    int code = statement_prepare(&statement, book,
                                 "SELECT first, count FROM chunk WHERE series = ?1 "
                                 "ORDER BY first DESC",
                                 error);
    if (code == ERROR_NONE)
        statement_bind_integer(&statement, 1, series->id);
    while (code == ERROR_NONE && count < NEWEST_BARS &&
           (code = statement_step(&statement, &row, error)) == ERROR_NONE && row) {
        *from = statement_integer(&statement, 0);
        count += statement_integer(&statement, 1);
    }
    statement_finish(&statement);
    return code;
}

static const char put_bar
    [] = "INSERT INTO newest_bars VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) ON CONFLICT DO UPDATE SET "
         "open = ?4, high = ?5, low = ?6, close = ?7, volume = ?8";

static int put_bars(struct book *book, const char *instrument, const char *interval,
                    const struct bars *bars, size_t first, struct error *error)
{
    struct statement statement;
    bool dated = interval_is_dated(bars->interval);
    int code = statement_prepare(&statement, book, put_bar, error);
    if (code == ERROR_NONE) {
        statement_bind_text(&statement, 1, instrument);
        statement_bind_text(&statement, 2, interval);
    }
    for (size_t i = first; code == ERROR_NONE && i < bars->count; i++) {
        char time[CALENDAR_TEXT_SIZE];
        time_format(time, bars->time[i], dated);
        statement_bind_text(&statement, 3, time);
        statement_bind_number(&statement, 4, bars->open[i]);
        statement_bind_number(&statement, 5, bars->high[i]);
        statement_bind_number(&statement, 6, bars->low[i]);
        statement_bind_number(&statement, 7, bars->close[i]);
        statement_bind_number(&statement, 8, bars->volume[i]);
        code = statement_run(&statement, error);
    }
    statement_finish(&statement);
    return code;
}

/* Drops what is older than the newest bars. */
static int drop_older(struct book *book, const char *instrument, const char *interval,
                      const struct bars *bars, size_t first, struct error *error)
{
    struct statement statement;
    char time[CALENDAR_TEXT_SIZE];
    int code = statement_prepare(&statement, book,
                                 "DELETE FROM newest_bars WHERE instrument = ?1 AND "
                                 "interval = ?2 AND time < ?3",
                                 error);
    if (code == ERROR_NONE) {
        time_format(time, bars->time[first], interval_is_dated(bars->interval));
        statement_bind_text(&statement, 1, instrument);
        statement_bind_text(&statement, 2, interval);
        statement_bind_text(&statement, 3, time);
        code = statement_run(&statement, error);
    }
    statement_finish(&statement);
    return code;
}

static size_t later(size_t a, size_t b)
{
    return a > b ? a : b;
}

int newest_store_update(struct book *book, const char *instrument,
                        const struct stored_series *series, int64_t since, struct error *error)
{
    struct bars bars;
    char interval[INTERVAL_TEXT_SIZE];
    int64_t from = 0;
    if (series->count == 0 || since == INT64_MAX)
        return ERROR_NONE;
    interval_format_kept(interval, series->interval);
    bars_init(&bars);
    int code = find_start(book, series, &from, error);
    if (code == ERROR_NONE)
        code = bars_store_load(book, series, from, INT64_MAX, &bars, error);
    size_t first = bars.count > NEWEST_BARS ? bars.count - NEWEST_BARS : 0;
    if (code == ERROR_NONE && bars.count > 0)
        code = drop_older(book, instrument, interval, &bars, first, error);
    if (code == ERROR_NONE)
        code = put_bars(book, instrument, interval, &bars, later(first, bars_find(&bars, since)),
                        error);
    bars_free(&bars);
    return code;
}

static int update_instrument(struct book *book, const struct instrument *instrument,
                             struct error *error)
{
    struct stored_series *series = NULL;
    size_t count = 0;
    int code = bars_store_list(book, instrument->id, &series, &count, error);
    for (size_t i = 0; i < count && code == ERROR_NONE; i++)
        code = newest_store_update(book, instrument->name, &series[i], INT64_MIN, error);
    free(series);
    return code;
}

static int is_unfilled(struct book *book, bool *unfilled, struct error *error)
{
    struct statement statement;
    bool row = false;
    int code = statement_prepare(&statement, book,
                                 "SELECT NOT EXISTS(SELECT 1 FROM newest_bars) AND "
                                 "EXISTS(SELECT 1 FROM chunk)",
                                 error);
    if (code == ERROR_NONE)
        code = statement_step(&statement, &row, error);
    *unfilled = code == ERROR_NONE && row && statement_integer(&statement, 0) != 0;
    statement_finish(&statement);
    return code;
}

int newest_store_fill(struct book *book, struct error *error)
{
    struct instrument *instruments = NULL;
    size_t count = 0;
    bool unfilled = false;
    int code = is_unfilled(book, &unfilled, error);
    if (code != ERROR_NONE || !unfilled)
        return code;
    code = book_begin(book, "newest bars", error);
    if (code == ERROR_NONE)
        code = instrument_store_all(book, &instruments, &count, error);
    for (size_t i = 0; i < count && code == ERROR_NONE; i++)
        code = update_instrument(book, &instruments[i], error);
    free(instruments);
    if (code == ERROR_NONE)
        return book_commit(book, error);
    book_rollback(book);
    return code;
}
