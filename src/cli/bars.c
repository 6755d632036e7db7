/* `bars`: the bars of a series, and what became of the files behind them. */
#include "answer/book_rows.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/table.h"
#include "cli/wishes.h"

/* Enough rows at a time to write, few enough to hold. */
enum { FLUSH_EVERY = 4096 };

static int list_aside(void *context, const struct aside_row *row, struct error *error)
{
    struct table *table = context;
    (void)error;
    aside_put(table, row);
    table_flush(table);
    return ERROR_NONE;
}

static int list_revision(void *context, const struct revision_row *row, struct error *error)
{
    struct table *table = context;
    (void)error;
    revision_put(table, row);
    table_flush(table);
    return ERROR_NONE;
}

static int run_listing(struct call *call, bool revisions, struct error *error)
{
    const struct listing *listing = revisions ? &revisions_listing : &aside_listing;
    struct instrument instrument;
    struct book *book = NULL;
    struct table table;
    int code = book_of_call(call, BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = instrument_store_need(book, call->arguments[0], &instrument, error);
    if (code == ERROR_NONE) {
        listing_begin(&table, call, listing);
        code = revisions ? revision_store_each(book, instrument.id, list_revision, &table, error)
                         : set_aside_store_each(book, instrument.id, list_aside, &table, error);
        code = listing_end(&table, listing, code, error);
    }
    return book_done(book, code, error);
}

static int list_bars(struct call *call, const struct series *series, struct error *error)
{
    const struct bars *bars = &series->bars;
    struct table table;
    listing_begin(&table, call, &bars_listing);
    for (size_t i = series->first; i < bars->count; i++) {
        bar_put(&table, bars, i);
        if ((i + 1) % FLUSH_EVERY == 0)
            table_flush(&table);
    }
    if (bars->last_is_partial)
        call_say(call, "%s: the last bar is partial: its time is not over", call->arguments[0]);
    return listing_end(&table, &bars_listing, ERROR_NONE, error);
}

int command_bars(struct call *call, struct error *error)
{
    struct series series = {0};
    struct call_work opened;
    struct notices notices = {0};
    if (call_has(call, "set-aside") || call_has(call, "revisions"))
        return run_listing(call, call_has(call, "revisions"), error);
    int code = call_work_open(&opened, call, error);
    if (code == ERROR_NONE) {
        code = series_open(opened.work, &notices, call->arguments[0], &series, error);
        notices_say(&notices, opened.work);
    }
    if (code == ERROR_NONE)
        code = list_bars(call, &series, error);
    series_free(&series);
    return call_work_close(&opened, code, error);
}
