#include "book/action_store.h"

#include "base/array.h"

#include <math.h>

int action_store_list(struct book *book, int64_t instrument, struct action **actions, size_t *count,
                      struct error *error)
{
    struct statement statement;
    size_t capacity = 0;
    bool row = false;
    *actions = NULL;
    *count = 0;
    int code = statement_prepare(
        &statement, book,
        "SELECT date, kind, value FROM action WHERE instrument = ?1 ORDER BY date, kind DESC",
        error);
    if (code == ERROR_NONE)
        statement_bind_integer(&statement, 1, instrument);
    while (code == ERROR_NONE && (code = statement_step(&statement, &row, error)) == ERROR_NONE &&
           row) {
        struct action *grown = array_reserve(*actions, &capacity, *count + 1, sizeof *grown);
        const char *kind = statement_text(&statement, 1);
        if (grown != NULL)
            *actions = grown;
        if (grown == NULL || kind == NULL) {
            code = error_memory(error);
            break;
        }
        grown[*count] = (struct action){.date = statement_integer(&statement, 0),
                                        .value = statement_number(&statement, 2)};
        *count += action_kind_parse(kind, &grown[*count].kind);
    }
    statement_finish(&statement);
    return code;
}

/* The value of that day and kind, NaN where there is none. A book of before may
 * have one with a time of day, which is of that day. */
static int stored_value(struct book *book, int64_t instrument, int64_t date, enum action_kind kind,
                        double *value, struct error *error)
{
    struct statement statement;
    bool row = false;
    *value = NAN;
    int code = statement_prepare(
        &statement, book,
        "SELECT value FROM action WHERE instrument = ?1 AND date >= ?2 AND date < ?2 + 86400 "
        "AND kind = ?3 ORDER BY date DESC",
        error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, instrument);
        statement_bind_integer(&statement, 2, date);
        statement_bind_text(&statement, 3, action_kind_name(kind));
        code = statement_step(&statement, &row, error);
    }
    if (code == ERROR_NONE && row)
        *value = statement_number(&statement, 0);
    statement_finish(&statement);
    return code;
}

static int check_value(const struct action *action, struct error *error)
{
    static const double most = 1e9;
    double value = action->value;
    if (action->kind == ACTION_SPLIT && !(value >= 1e-4 && value <= 1e4))
        return error_set(error, ERROR_INPUT,
                         "value: found %g; a split is the number of new units for each old one, "
                         "0.0001 to 10000, such as 2",
                         value);
    if (action->kind == ACTION_DIVIDEND && !(value > 0 && value <= most))
        return error_set(error, ERROR_INPUT,
                         "value: found %g; a dividend is money a unit, above 0 and at most 1e9",
                         value);
    if (action->kind == ACTION_ROLL && !(fabs(value) > 0 && fabs(value) <= most))
        return error_set(error, ERROR_INPUT,
                         "value: found %g; a roll is the new contract's price less the old one's, "
                         "not 0 and at most 1e9 in size",
                         value);
    return ERROR_NONE;
}

static int delete_day(struct book *book, int64_t instrument, int64_t date, enum action_kind kind,
                      struct error *error)
{
    struct statement statement;
    int code = statement_prepare(
        &statement, book,
        "DELETE FROM action WHERE instrument = ?1 AND date >= ?2 AND date < ?2 + 86400 AND kind = ?3",
        error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, instrument);
        statement_bind_integer(&statement, 2, date);
        statement_bind_text(&statement, 3, action_kind_name(kind));
        code = statement_run(&statement, error);
    }
    statement_finish(&statement);
    return code;
}

int action_store_put(struct book *book, int64_t instrument, const struct action *action,
                     bool replace, enum action_outcome *outcome, double *old, struct error *error)
{
    struct statement statement;
    double stored = NAN;
    int code = check_value(action, error);
    if (code == ERROR_NONE)
        code = stored_value(book, instrument, action->date, action->kind, &stored, error);
    if (code != ERROR_NONE)
        return code;
    *outcome = isnan(stored)             ? ACTION_ADDED
               : stored == action->value ? ACTION_KNOWN
                                         : ACTION_REPLACED;
    if (old != NULL)
        *old = stored;
    if (*outcome == ACTION_REPLACED && !replace)
        return error_because(error, ERROR_INPUT, ERROR_REASON_ACTION_DIFFERS,
                             "value: found %g, where the book has a %s of %g on that date",
                             action->value, action_kind_name(action->kind), stored);
    if (*outcome == ACTION_REPLACED)
        code = delete_day(book, instrument, action->date, action->kind, error);
    if (code != ERROR_NONE)
        return code;
    code = statement_prepare(&statement, book,
                             "INSERT INTO action(instrument, date, kind, value) "
                             "VALUES(?1, ?2, ?3, ?4) ON CONFLICT DO UPDATE SET value = ?4",
                             error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, instrument);
        statement_bind_integer(&statement, 2, action->date);
        statement_bind_text(&statement, 3, action_kind_name(action->kind));
        statement_bind_number(&statement, 4, action->value);
        code = statement_run(&statement, error);
    }
    statement_finish(&statement);
    return code;
}

int action_store_remove(struct book *book, int64_t instrument, int64_t date, enum action_kind kind,
                        bool *found, double *value, struct error *error)
{
    int code = stored_value(book, instrument, date, kind, value, error);
    *found = code == ERROR_NONE && !isnan(*value);
    if (code != ERROR_NONE || !*found)
        return code;
    return delete_day(book, instrument, date, kind, error);
}
