#include "book/chart_choice_store.h"

#include <stdio.h>

int chart_choice_store_find(struct book *book, struct interval interval,
                            struct chart_choice *choice, bool *found, struct error *error)
{
    struct statement statement;
    char name[INTERVAL_TEXT_SIZE];
    interval_format_kept(name, interval);
    *found = false;
    int code = statement_prepare(
        &statement, book,
        "SELECT panes, averages, logarithmic FROM chart_choice WHERE interval = ?1", error);
    if (code == ERROR_NONE) {
        statement_bind_text(&statement, 1, name);
        code = statement_step(&statement, found, error);
    }
    if (code == ERROR_NONE && *found) {
        const char *panes = statement_text(&statement, 0);
        const char *averages = statement_text(&statement, 1);
        if (panes == NULL || averages == NULL)
            code = error_memory(error);
        else {
            snprintf(choice->panes, sizeof choice->panes, "%s", panes);
            snprintf(choice->averages, sizeof choice->averages, "%s", averages);
            choice->logarithmic = statement_integer(&statement, 2) != 0;
        }
    }
    statement_finish(&statement);
    return code;
}

int chart_choice_store_keep(struct book *book, struct interval interval,
                            const struct chart_choice *choice, struct error *error)
{
    struct statement statement;
    char name[INTERVAL_TEXT_SIZE];
    interval_format_kept(name, interval);
    int code = statement_prepare(
        &statement, book,
        "INSERT INTO chart_choice(interval, panes, averages, logarithmic) VALUES(?1, ?2, ?3, ?4) "
        "ON CONFLICT DO UPDATE SET panes = ?2, averages = ?3, logarithmic = ?4",
        error);
    if (code == ERROR_NONE) {
        statement_bind_text(&statement, 1, name);
        statement_bind_text(&statement, 2, choice->panes);
        statement_bind_text(&statement, 3, choice->averages);
        statement_bind_integer(&statement, 4, choice->logarithmic);
        code = statement_run(&statement, error);
    }
    statement_finish(&statement);
    return code;
}
