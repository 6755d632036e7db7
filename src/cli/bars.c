#include "cli/commands.h"

#include "base/calendar.h"
#include "book/import_store.h"
#include "book/instrument_store.h"
#include "cli/book.h"
#include "cli/table.h"
#include "cli/wishes.h"

/* Enough rows at a time to write, few enough to hold. */
enum { FLUSH_EVERY = 4096 };

static int list_aside(void *context, const struct aside_row *row, struct error *error)
{
    struct table *table = context;
    (void)error;
    table_text(table, row->file);
    table_text(table, row->hash);
    table_integer(table, row->line);
    table_text(table, row->reason);
    table_text(table, row->text);
    table_flush(table);
    return ERROR_NONE;
}

static int list_revision(void *context, const struct revision_row *row, struct error *error)
{
    struct table *table = context;
    struct interval interval = {INTERVAL_NONE, 0};
    char time[CALENDAR_TEXT_SIZE];
    (void)error;
    if (row->interval != NULL)
        interval_parse(row->interval, &interval);
    time_format(time, row->bar.time, interval_is_dated(interval));
    table_text(table, row->interval);
    table_text(table, time);
    table_number(table, row->bar.open);
    table_number(table, row->bar.high);
    table_number(table, row->bar.low);
    table_number(table, row->bar.close);
    table_number(table, row->bar.volume);
    table_text(table, row->replaced ? "replaced" : "kept out");
    table_text(table, row->file);
    table_flush(table);
    return ERROR_NONE;
}

static int run_listing(struct call *call, bool revisions, struct error *error)
{
    static const struct column asides[] = {
        {"file", "file", COLUMN_TEXT, 0, ""},    {"hash", "hash", COLUMN_TEXT, 0, ""},
        {"line", "line", COLUMN_INTEGER, 0, ""}, {"reason", "reason", COLUMN_TEXT, 0, ""},
        {"text", "text", COLUMN_TEXT, 0, ""},
    };
    static const struct column revised[] = {
        {"interval", "bars of", COLUMN_TEXT, 0, ""},
        {"time", "time", COLUMN_TEXT, 0, ""},
        {"open", "open", COLUMN_NUMBER, -1, ""},
        {"high", "high", COLUMN_NUMBER, -1, ""},
        {"low", "low", COLUMN_NUMBER, -1, ""},
        {"close", "close", COLUMN_NUMBER, -1, ""},
        {"volume", "volume", COLUMN_NUMBER, -1, ""},
        {"what", "what became of it", COLUMN_TEXT, 0, ""},
        {"file", "file", COLUMN_TEXT, 0, ""},
    };
    struct instrument instrument;
    struct book *book = NULL;
    bool found = false;
    const char *name = call->arguments[0];
    int code = book_of_call(call, BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = instrument_store_find(book, name, &instrument, &found, error);
    if (code == ERROR_NONE && !found)
        code = error_set(error, ERROR_INPUT, "%s: there is no such instrument in the book", name);
    if (code == ERROR_NONE) {
        struct table table;
        table_begin(&table, call, revisions ? "revisions" : "set_aside",
                    revisions ? revised : asides,
                    revisions ? sizeof revised / sizeof revised[0]
                              : sizeof asides / sizeof asides[0]);
        code = revisions ? revision_store_each(book, instrument.id, list_revision, &table, error)
                         : set_aside_store_each(book, instrument.id, list_aside, &table, error);
        struct error ended = {0};
        int end_code = table_end(&table, table.row_count == 0 ? "none" : NULL, &ended);
        if (code == ERROR_NONE && end_code != ERROR_NONE) {
            *error = ended;
            code = end_code;
        }
    }
    return book_done(book, code, error);
}

int command_bars(struct call *call, struct error *error)
{
    if (call_has(call, "set-aside") || call_has(call, "revisions"))
        return run_listing(call, call_has(call, "revisions"), error);
    static const struct column columns[] = {
        {"time", "time", COLUMN_TEXT, 0, ""},      {"open", "open", COLUMN_NUMBER, -1, ""},
        {"high", "high", COLUMN_NUMBER, -1, ""},   {"low", "low", COLUMN_NUMBER, -1, ""},
        {"close", "close", COLUMN_NUMBER, -1, ""}, {"volume", "volume", COLUMN_NUMBER, -1, ""},
    };
    struct series series = {0};
    struct call_work opened;
    struct notices notices = {0};
    int code = call_work_open(&opened, call, error);
    if (code == ERROR_NONE) {
        code = series_open(opened.work, &notices, call->arguments[0], &series, error);
        notices_say(&notices, opened.work);
    }
    if (code == ERROR_NONE) {
        struct table table;
        const struct bars *bars = &series.bars;
        bool dated = interval_is_dated(bars->interval);
        table_begin(&table, call, "bars", columns, sizeof columns / sizeof columns[0]);
        for (size_t i = series.first; i < bars->count; i++) {
            char time[CALENDAR_TEXT_SIZE];
            time_format(time, bars->time[i], dated);
            table_text(&table, time);
            table_number(&table, bars->open[i]);
            table_number(&table, bars->high[i]);
            table_number(&table, bars->low[i]);
            table_number(&table, bars->close[i]);
            table_number(&table, bars->volume[i]);
            if ((i + 1) % FLUSH_EVERY == 0)
                table_flush(&table);
        }
        if (bars->last_is_partial)
            call_say(call, "%s: the last bar is partial: its time is not over", call->arguments[0]);
        code = table_end(&table, NULL, error);
    }
    series_free(&series);
    return call_work_close(&opened, code, error);
}
