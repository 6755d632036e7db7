#include "book/instrument_store.h"

#include "base/array.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define INSTRUMENT_COLUMNS                                                                         \
    "SELECT i.id, i.name, i.kind, i.point_value, i.currency, i.size_step, i.interval, i.zone, "    \
    "i.session_start, i.session_days, i.first_date, i.last_date, i.ended_why, "                    \
    "(SELECT t.step FROM tick t WHERE t.instrument = i.id ORDER BY t.since DESC LIMIT 1), "        \
    "i.prices, i.smallest_size, i.leverage, i.spread, i.slippage, i.commission_per_unit, "         \
    "i.commission_percent, i.commission_per_trade, i.financing_percent_year FROM instrument i "

/* Behind the columns of old, in the order of the table. */
enum { FIRST_OF_SIZES = 15 };

static void read_sizes_and_costs(struct statement *s, struct instrument *instrument)
{
    double *const values[] = {&instrument->smallest_size,
                              &instrument->leverage,
                              &instrument->costs.spread,
                              &instrument->costs.slippage,
                              &instrument->costs.commission_per_unit,
                              &instrument->costs.commission_percent,
                              &instrument->costs.commission_per_trade,
                              &instrument->costs.financing_percent_year};
    for (int i = 0; i < (int)(sizeof values / sizeof values[0]); i++)
        *values[i] = statement_number(s, FIRST_OF_SIZES + i);
}

static int read_instrument(struct statement *s, struct instrument *instrument, struct error *error)
{
    const char *name = statement_text(s, 1);
    if (name == NULL)
        return error_memory(error);
    if (!instrument_init(instrument, name))
        return error_set(error, ERROR_INPUT,
                         "%s: an instrument's name is none; the book is damaged",
                         book_path(s->book));
    char text[INTERVAL_TEXT_SIZE];
    instrument->id = statement_integer(s, 0);
    const char *kind = statement_text(s, 2);
    if (kind != NULL)
        market_kind_parse(kind, &instrument->kind);
    instrument->point_value = statement_number(s, 3);
    statement_copy(s, 4, instrument->currency, sizeof instrument->currency);
    instrument->size_step = statement_number(s, 5);
    statement_copy(s, 6, text, sizeof text);
    interval_parse_kept(text, &instrument->interval);
    statement_copy(s, 7, instrument->zone, sizeof instrument->zone);
    instrument->session_start = (int)statement_integer(s, 8);
    instrument->session_days = (unsigned)statement_integer(s, 9) & 0x7f;
    instrument->first_known = !statement_is_null(s, 10);
    instrument->first_date = statement_integer(s, 10);
    instrument->last_known = !statement_is_null(s, 11);
    instrument->last_date = statement_integer(s, 11);
    statement_copy(s, 12, instrument->ended_why, sizeof instrument->ended_why);
    const char *prices = statement_text(s, 14);
    if (prices != NULL)
        price_basis_parse(prices, &instrument->basis);
    read_sizes_and_costs(s, instrument);
    instrument->tick_known = tick_from_number(&instrument->tick, statement_number(s, 13));
    return ERROR_NONE;
}

int instrument_store_find(struct book *book, const char *name, struct instrument *instrument,
                          bool *found, struct error *error)
{
    struct statement statement;
    *found = false;
    int code = statement_prepare(&statement, book, INSTRUMENT_COLUMNS "WHERE i.name = ?1", error);
    if (code == ERROR_NONE) {
        statement_bind_text(&statement, 1, name);
        code = statement_step(&statement, found, error);
    }
    if (code == ERROR_NONE && *found)
        code = read_instrument(&statement, instrument, error);
    statement_finish(&statement);
    return code;
}

int instrument_store_need(struct book *book, const char *name, struct instrument *instrument,
                          struct error *error)
{
    bool found = false;
    int code = instrument_store_find(book, name, instrument, &found, error);
    if (code == ERROR_NONE && !found)
        code = error_set(error, ERROR_INPUT, "%s: there is no such instrument in the book", name);
    return code;
}

static int take_instrument(struct statement *statement, void *one, const void *context,
                           struct error *error)
{
    (void)context;
    return read_instrument(statement, one, error);
}

int instrument_store_all(struct book *book, struct instrument **instruments, size_t *count,
                         struct error *error)
{
    struct statement statement;
    struct gathered rows = {.size = sizeof **instruments, .take = take_instrument};
    int code = statement_prepare(&statement, book, INSTRUMENT_COLUMNS "ORDER BY i.name", error);
    if (code == ERROR_NONE)
        code = statement_gather(&statement, &rows, error);
    statement_finish(&statement);
    *instruments = rows.list;
    *count = rows.count;
    return code;
}

static void bind_date(struct statement *statement, int parameter, bool known, int64_t date)
{
    if (known)
        statement_bind_integer(statement, parameter, date);
    else
        statement_bind_null(statement, parameter);
}

static int forget_ticks(struct book *book, const char *which, int64_t instrument, bool dated,
                        int64_t since, struct error *error)
{
    struct statement statement;
    int code = statement_prepare(&statement, book, which, error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, instrument);
        if (dated)
            statement_bind_integer(&statement, 2, since);
        code = statement_run(&statement, error);
    }
    statement_finish(&statement);
    return code;
}

/* The tick of a record without dated ticks; with them it is one of those. */
static int save_tick(struct book *book, const struct instrument *instrument, struct error *error)
{
    struct statement statement;
    int code = forget_ticks(book,
                            "DELETE FROM tick WHERE instrument = ?1 AND NOT EXISTS (SELECT 1 FROM "
                            "tick WHERE instrument = ?1 AND since IS NOT NULL)",
                            instrument->id, false, 0, error);
    if (code == ERROR_NONE)
        code = statement_prepare(&statement, book,
                                 "INSERT INTO tick(instrument, since, step) SELECT ?1, NULL, ?2 "
                                 "WHERE NOT EXISTS (SELECT 1 FROM tick WHERE instrument = ?1)",
                                 error);
    if (code != ERROR_NONE)
        return code;
    statement_bind_integer(&statement, 1, instrument->id);
    statement_bind_number(&statement, 2, instrument->tick.value);
    code = statement_run(&statement, error);
    statement_finish(&statement);
    return code;
}

int instrument_store_save(struct book *book, struct instrument *instrument, struct error *error)
{
    char interval[INTERVAL_TEXT_SIZE];
    struct statement s;
    interval_format_kept(interval, instrument->interval);
    int code = statement_prepare(
        &s, book,
        "INSERT INTO instrument(id, name, kind, point_value, currency, size_step, interval, zone, "
        "session_start, session_days, first_date, last_date, ended_why, prices, "
        "smallest_size, leverage, spread, slippage, commission_per_unit, commission_percent, "
        "commission_per_trade, financing_percent_year) VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, "
        "?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18, ?19, ?20, ?21, ?22) "
        "ON CONFLICT(id) DO UPDATE SET name = ?2, kind = ?3, point_value = ?4, currency = ?5, "
        "size_step = ?6, interval = ?7, zone = ?8, session_start = ?9, session_days = ?10, "
        "first_date = ?11, last_date = ?12, ended_why = ?13, prices = ?14, "
        "smallest_size = ?15, leverage = ?16, spread = ?17, slippage = ?18, "
        "commission_per_unit = ?19, commission_percent = ?20, commission_per_trade = ?21, "
        "financing_percent_year = ?22",
        error);
    if (code == ERROR_NONE) {
        bind_date(&s, 1, instrument->id != 0, instrument->id);
        statement_bind_text(&s, 2, instrument->name);
        statement_bind_text(&s, 3, market_kind_name(instrument->kind));
        statement_bind_number(&s, 4, instrument->point_value);
        statement_bind_text(&s, 5, instrument->currency);
        statement_bind_number(&s, 6, instrument->size_step);
        statement_bind_text(&s, 7, interval);
        statement_bind_text(&s, 8, instrument->zone);
        statement_bind_integer(&s, 9, instrument->session_start);
        statement_bind_integer(&s, 10, instrument->session_days);
        bind_date(&s, 11, instrument->first_known, instrument->first_date);
        bind_date(&s, 12, instrument->last_known, instrument->last_date);
        statement_bind_text(&s, 13, instrument->ended_why);
        statement_bind_text(&s, 14, price_basis_name(instrument->basis));
        statement_bind_number(&s, 15, instrument->smallest_size);
        statement_bind_number(&s, 16, instrument->leverage);
        statement_bind_number(&s, 17, instrument->costs.spread);
        statement_bind_number(&s, 18, instrument->costs.slippage);
        statement_bind_number(&s, 19, instrument->costs.commission_per_unit);
        statement_bind_number(&s, 20, instrument->costs.commission_percent);
        statement_bind_number(&s, 21, instrument->costs.commission_per_trade);
        statement_bind_number(&s, 22, instrument->costs.financing_percent_year);
        code = statement_run(&s, error);
    }
    statement_finish(&s);
    if (code == ERROR_NONE && instrument->id == 0)
        instrument->id = book_last_row(book);
    if (code == ERROR_NONE && instrument->tick_known)
        code = save_tick(book, instrument, error);
    return code;
}

int instrument_store_ticks(struct book *book, int64_t instrument, struct dated_tick **ticks,
                           size_t *count, struct error *error)
{
    struct statement statement;
    size_t capacity = 0;
    bool row = false;
    *ticks = NULL;
    *count = 0;
    int code = statement_prepare(
        &statement, book, "SELECT since, step FROM tick WHERE instrument = ?1 ORDER BY since",
        error);
    if (code == ERROR_NONE)
        statement_bind_integer(&statement, 1, instrument);
    while (code == ERROR_NONE && (code = statement_step(&statement, &row, error)) == ERROR_NONE &&
           row) {
        struct dated_tick *grown = array_reserve(*ticks, &capacity, *count + 1, sizeof **ticks);
        if (grown == NULL) {
            code = error_memory(error);
            break;
        }
        *ticks = grown;
        struct dated_tick *tick = &grown[*count];
        tick->since = statement_is_null(&statement, 0) ? INT64_MIN
                                                       : statement_integer(&statement, 0);
        *count += tick_from_number(&tick->tick, statement_number(&statement, 1));
    }
    statement_finish(&statement);
    return code;
}

int instrument_store_set_tick(struct book *book, int64_t instrument, int64_t since, double step,
                              struct error *error)
{
    struct statement statement;
    bool dated = since != INT64_MIN;
    int code = forget_ticks(book, "DELETE FROM tick WHERE instrument = ?1 AND since IS ?2",
                            instrument, dated, since, error);
    if (code == ERROR_NONE)
        code = statement_prepare(&statement, book,
                                 "INSERT INTO tick(instrument, since, step) VALUES(?1, ?2, ?3)",
                                 error);
    if (code != ERROR_NONE)
        return code;
    statement_bind_integer(&statement, 1, instrument);
    bind_date(&statement, 2, dated, since);
    statement_bind_number(&statement, 3, step);
    code = statement_run(&statement, error);
    statement_finish(&statement);
    return code;
}

int instrument_store_set_ticks(struct book *book, int64_t instrument,
                               const struct dated_tick *ticks, size_t count, struct error *error)
{
    int code = forget_ticks(book, "DELETE FROM tick WHERE instrument = ?1", instrument, false, 0,
                            error);
    for (size_t i = 0; code == ERROR_NONE && i < count; i++)
        code = instrument_store_set_tick(book, instrument, ticks[i].since, ticks[i].tick.value,
                                         error);
    return code;
}
