#include "book/bars_table_store.h"

#include "base/calendar.h"
#include "book/bars_store.h"
#include "book/instrument_store.h"

#include <sqlite3.h>
#include <stdlib.h>
#include <string.h>

enum { COLUMN_INSTRUMENT, COLUMN_INTERVAL, COLUMN_TIME, COLUMN_OPEN };
/* What of the question is pushed down, in this order of arguments. */
enum { BY_INSTRUMENT = 1, BY_INTERVAL = 2, BY_FROM = 4, BY_TO = 8, BY_ALL = 16 };

struct bars_table {
    sqlite3_vtab base;
    struct book *book;
};

/* Walks instruments, in each its series, in each its bars; holds the bars of
 * one series at a time. */
struct bars_cursor {
    sqlite3_vtab_cursor base;
    struct instrument *instruments;
    size_t instrument_count;
    size_t instrument;
    struct stored_series *series;
    size_t series_count;
    size_t next_series;
    struct bars bars;
    size_t bar;
    int64_t from;
    int64_t to;
    bool interval_asked;
    struct interval interval;
    sqlite3_int64 row;
};

static int fail(sqlite3_vtab *table, const struct error *error)
{
    sqlite3_free(table->zErrMsg);
    table->zErrMsg = sqlite3_mprintf("%s", error->text);
    return SQLITE_ERROR;
}

static int table_connect(sqlite3 *handle, void *context, int argc, const char *const *argv,
                         sqlite3_vtab **made, char **message)
{
    (void)argc;
    (void)argv;
    (void)message;
    int result = sqlite3_declare_vtab(handle, "CREATE TABLE bars(instrument TEXT, interval TEXT, "
                                              "time TEXT, open REAL, high REAL, low REAL, "
                                              "close REAL, volume REAL)");
    if (result != SQLITE_OK)
        return result;
    struct bars_table *table = calloc(1, sizeof *table);
    if (table == NULL)
        return SQLITE_NOMEM;
    table->book = context;
    *made = &table->base;
    return SQLITE_OK;
}

static int table_disconnect(sqlite3_vtab *base)
{
    free(base);
    return SQLITE_OK;
}

/* The part of the question that a constraint is, 0 for none of use. */
static int part_of(const struct sqlite3_index_constraint *constraint)
{
    int op = constraint->op;
    bool equal = op == SQLITE_INDEX_CONSTRAINT_EQ;
    if (constraint->iColumn == COLUMN_INSTRUMENT && equal)
        return BY_INSTRUMENT;
    if (constraint->iColumn == COLUMN_INTERVAL && equal)
        return BY_INTERVAL;
    if (constraint->iColumn != COLUMN_TIME)
        return 0;
    if (op == SQLITE_INDEX_CONSTRAINT_GT || op == SQLITE_INDEX_CONSTRAINT_GE || equal)
        return BY_FROM;
    return op == SQLITE_INDEX_CONSTRAINT_LT || op == SQLITE_INDEX_CONSTRAINT_LE ? BY_TO : 0;
}

static int table_best_index(sqlite3_vtab *base, sqlite3_index_info *info)
{
    (void)base;
    int found[BY_ALL];
    int mask = 0;
    int arguments = 0;
    for (int i = 0; i < info->nConstraint; i++) {
        int part = info->aConstraint[i].usable ? part_of(&info->aConstraint[i]) : 0;
        if (part == 0 || (mask & part) != 0)
            continue;
        mask |= part;
        found[part] = i;
    }
    /* SQLite tests the rows again, so that what is pushed down may be too wide. Not the
     * interval, which is found by any word of it: 1month as well as 1mo. */
    for (int part = 1; part < BY_ALL; part *= 2)
        if ((mask & part) != 0) {
            info->aConstraintUsage[found[part]].argvIndex = ++arguments;
            info->aConstraintUsage[found[part]].omit = part == BY_INTERVAL;
        }
    info->idxNum = mask;
    info->estimatedCost = (mask & BY_INSTRUMENT ? 1e4 : 1e8) / (mask & BY_INTERVAL ? 2 : 1) /
                          (mask & (BY_FROM | BY_TO) ? 4 : 1);
    info->estimatedRows = (sqlite3_int64)info->estimatedCost;
    return SQLITE_OK;
}

static int cursor_open(sqlite3_vtab *base, sqlite3_vtab_cursor **made)
{
    (void)base;
    struct bars_cursor *cursor = calloc(1, sizeof *cursor);
    if (cursor == NULL)
        return SQLITE_NOMEM;
    bars_init(&cursor->bars);
    *made = &cursor->base;
    return SQLITE_OK;
}

static void cursor_clear(struct bars_cursor *cursor)
{
    free(cursor->instruments);
    free(cursor->series);
    bars_free(&cursor->bars);
    cursor->instruments = NULL;
    cursor->series = NULL;
    cursor->instrument_count = cursor->series_count = 0;
    cursor->instrument = cursor->next_series = cursor->bar = 0;
}

static int cursor_close(sqlite3_vtab_cursor *base)
{
    cursor_clear((struct bars_cursor *)base);
    free(base);
    return SQLITE_OK;
}

static int load_series(struct bars_cursor *cursor, struct book *book, struct error *error)
{
    const struct stored_series *series = &cursor->series[cursor->next_series++];
    if (cursor->interval_asked && !interval_equal(series->interval, cursor->interval))
        return ERROR_NONE;
    return bars_store_load(book, series, cursor->from, cursor->to, &cursor->bars, error);
}

/* Goes on to the next series that has bars, where those at hand are done. */
static int settle(struct bars_cursor *cursor)
{
    struct book *book = ((struct bars_table *)cursor->base.pVtab)->book;
    struct error error;
    int code = ERROR_NONE;
    while (code == ERROR_NONE && cursor->bar >= cursor->bars.count) {
        bars_free(&cursor->bars);
        bars_init(&cursor->bars);
        cursor->bar = 0;
        if (cursor->next_series < cursor->series_count) {
            code = load_series(cursor, book, &error);
            continue;
        }
        if (cursor->series != NULL)
            cursor->instrument++;
        free(cursor->series);
        cursor->series = NULL;
        cursor->series_count = cursor->next_series = 0;
        if (cursor->instrument >= cursor->instrument_count)
            return SQLITE_OK;
        code = bars_store_list(book, cursor->instruments[cursor->instrument].id, &cursor->series,
                               &cursor->series_count, &error);
        if (code == ERROR_NONE && cursor->series == NULL)
            cursor->instrument++;
    }
    return code == ERROR_NONE ? SQLITE_OK : fail(cursor->base.pVtab, &error);
}

static int choose_instruments(struct bars_cursor *cursor, struct book *book, const char *name,
                              struct error *error)
{
    bool found = false;
    if (name == NULL)
        return instrument_store_all(book, &cursor->instruments, &cursor->instrument_count, error);
    cursor->instruments = calloc(1, sizeof *cursor->instruments);
    if (cursor->instruments == NULL)
        return error_memory(error);
    int code = instrument_store_find(book, name, cursor->instruments, &found, error);
    cursor->instrument_count = found;
    return code;
}

/* A bound that is no time in full bounds nothing. */
static int64_t bound_of(sqlite3_value *value, int64_t missing)
{
    const char *text = (const char *)sqlite3_value_text(value);
    int64_t time = 0;
    bool date_only = false;
    if (sqlite3_value_type(value) != SQLITE_TEXT || text == NULL ||
        !time_parse(text, strlen(text), &time, &date_only))
        return missing;
    return time;
}

static int cursor_filter(sqlite3_vtab_cursor *base, int mask, const char *unused, int argc,
                         sqlite3_value **argv)
{
    (void)unused;
    (void)argc;
    struct bars_cursor *cursor = (struct bars_cursor *)base;
    struct book *book = ((struct bars_table *)base->pVtab)->book;
    struct error error;
    const char *name = NULL;
    bool nothing = false;
    int at = 0;
    cursor_clear(cursor);
    bars_init(&cursor->bars);
    cursor->row = 0;
    cursor->from = INT64_MIN;
    cursor->to = INT64_MAX;
    cursor->interval_asked = (mask & BY_INTERVAL) != 0;
    if ((mask & BY_INSTRUMENT) != 0) {
        name = (const char *)sqlite3_value_text(argv[at++]);
        nothing = name == NULL;
    }
    if (cursor->interval_asked) {
        const char *text = (const char *)sqlite3_value_text(argv[at++]);
        nothing = nothing || text == NULL || !interval_parse_kept(text, &cursor->interval);
    }
    if ((mask & BY_FROM) != 0)
        cursor->from = bound_of(argv[at++], INT64_MIN);
    if ((mask & BY_TO) != 0)
        cursor->to = bound_of(argv[at], INT64_MAX);
    if (nothing)
        return SQLITE_OK;
    if (choose_instruments(cursor, book, name, &error) != ERROR_NONE)
        return fail(base->pVtab, &error);
    return settle(cursor);
}

static int cursor_next(sqlite3_vtab_cursor *base)
{
    struct bars_cursor *cursor = (struct bars_cursor *)base;
    cursor->bar++;
    cursor->row++;
    return settle(cursor);
}

static int cursor_eof(sqlite3_vtab_cursor *base)
{
    return ((struct bars_cursor *)base)->bar >= ((struct bars_cursor *)base)->bars.count;
}

static void result_text(sqlite3_context *context, const char *text)
{
    sqlite3_result_text(context, text, -1, SQLITE_TRANSIENT);
}

static int cursor_column(sqlite3_vtab_cursor *base, sqlite3_context *context, int column)
{
    const struct bars_cursor *cursor = (const struct bars_cursor *)base;
    const struct bars *bars = &cursor->bars;
    const double *const numbers[] = {bars->open, bars->high, bars->low, bars->close, bars->volume};
    char text[CALENDAR_TEXT_SIZE];
    switch (column) {
    case COLUMN_INSTRUMENT:
        result_text(context, cursor->instruments[cursor->instrument].name);
        break;
    case COLUMN_INTERVAL:
        /* In the word of the other tables, which it is joined with. */
        interval_format_kept(text, bars->interval);
        result_text(context, text);
        break;
    case COLUMN_TIME:
        time_format(text, bars->time[cursor->bar], interval_is_dated(bars->interval));
        result_text(context, text);
        break;
    default:
        /* NaN, a volume that is not known, becomes null. */
        sqlite3_result_double(context, numbers[column - COLUMN_OPEN][cursor->bar]);
    }
    return SQLITE_OK;
}

static int cursor_rowid(sqlite3_vtab_cursor *base, sqlite3_int64 *row)
{
    *row = ((struct bars_cursor *)base)->row;
    return SQLITE_OK;
}

/* Without xCreate: the table is there by its name, and nowhere in the file. */
static const sqlite3_module module = {
    .xConnect = table_connect,
    .xBestIndex = table_best_index,
    .xDisconnect = table_disconnect,
    .xOpen = cursor_open,
    .xClose = cursor_close,
    .xFilter = cursor_filter,
    .xNext = cursor_next,
    .xEof = cursor_eof,
    .xColumn = cursor_column,
    .xRowid = cursor_rowid,
};

int bars_table_add(struct book *book, struct error *error)
{
    int result = sqlite3_create_module(book_handle(book), "bars", &module, book);
    if (result != SQLITE_OK)
        return book_failed(book, result, "making bars a table", error);
    /* Connects it now: under an authoriser that allows reading alone it could
     * not be. */
    return book_run(book, "SELECT 1 FROM bars LIMIT 0", error);
}
