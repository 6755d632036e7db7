/* `scan --nearly` and `scan --waiting`: one ranking of all setups. */
#include "cli/scan_evening.h"

#include "cli/table.h"

/* For people the column that says what the bar is stands only where one of them
 * is no common bar. */
static bool shows_state(const struct scan_call *scan, const struct evening *evening, size_t shown)
{
    if (scan->call->format != FORMAT_TEXT)
        return true;
    for (size_t i = 0; i < shown; i++)
        if (evening_state(evening, &evening->list[i]) != BAR_WHOLE)
            return true;
    return false;
}

static int print_rows(const struct scan_call *scan, enum scan_answer answer,
                      const struct evening *evening, struct error *error)
{
    const struct scan_table *form = scan_table(answer);
    struct scan_facts facts = scan->facts;
    struct table table;
    struct text closing;
    bool nearly = answer == SCAN_NEARLY;
    size_t most = nearly && !facts.history ? (size_t)call_whole(scan->call, "nearly") : SIZE_MAX;
    facts.shown = evening->count < most ? evening->count : most;
    table_begin(&table, scan->call, form->name, form->columns,
                shows_state(scan, evening, facts.shown) ? form->with_state : form->column_count);
    for (size_t i = 0; i < facts.shown; i++) {
        const struct evening_row *row = &evening->list[i];
        enum bar_state state = evening_state(evening, row);
        if (nearly)
            scan_put_nearly(&table, row, state);
        else
            scan_put_waiting(&table, row, state);
    }
    text_init(&closing);
    if (nearly)
        table_set_member(&table, "untold", (int64_t)evening->untold);
    if (nearly)
        scan_nearly_closing(&closing, evening, &facts);
    else
        scan_waiting_closing(&closing, evening, &facts);
    return table_end_text(&table, &closing, error);
}

static int find(struct work *work, const struct scan_call *scan, enum scan_answer answer,
                struct evening *evening, struct error *error)
{
    int code = ERROR_NONE;
    for (size_t i = 0; i < scan->facts.setup_count && code == ERROR_NONE; i++) {
        const struct nearly_wish wish = {.most = answer == SCAN_NEARLY && scan->facts.history
                                                     ? (size_t)call_whole(scan->call, "nearly")
                                                     : 1,
                                         .history = scan->facts.history};
        code = answer == SCAN_NEARLY
                   ? evening_find_nearly(work, &scan->setups[i], &wish, evening, error)
                   : evening_find(work, &scan->setups[i], evening, error);
    }
    return code;
}

int scan_evening(const struct scan_call *scan, enum scan_answer answer, size_t *found,
                 struct error *error)
{
    struct evening evening = {0};
    struct call_work opened;
    int code = call_work_open(&opened, scan->call, error);
    if (code == ERROR_NONE)
        code = find(opened.work, scan, answer, &evening, error);
    code = call_work_close(&opened, code, error);
    if (code == ERROR_NONE) {
        if (answer == SCAN_WAITING)
            evening_keep_open(&evening);
        evening_sort(&evening);
        code = print_rows(scan, answer, &evening, error);
    }
    *found = evening.count;
    evening_free(&evening);
    return code;
}
