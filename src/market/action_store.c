#include "market/action_store.h"

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

int action_store_put(struct book *book, int64_t instrument, const struct action *action,
                     struct error *error)
{
    struct statement statement;
    if (!isfinite(action->value) || (action->kind == ACTION_SPLIT && action->value <= 0))
        return error_set(error, ERROR_INPUT,
                         "a split is the number of new units for each old one, above 0, such as 2");
    int code = statement_prepare(&statement, book,
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
