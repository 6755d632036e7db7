#include "work/trades.h"
#include "answer/trade_rows.h"
#include "answer/untold.h"
#include "cli/commands.h"
#include "cli/table.h"
#include "cli/wishes.h"

struct trades_answer {
    struct table table;
    enum trade_rows rows;
    struct trades_sum sum;
};

static int take_trades(void *context, const struct rules_case *opened, const struct trades *trades,
                       struct error *error)
{
    struct trades_answer *answer = context;
    (void)error;
    for (size_t i = 0; i < trades->count; i++)
        trade_put(&answer->table, answer->rows, opened, &trades->list[i]);
    table_flush(&answer->table);
    return ERROR_NONE;
}

static int read_rows(const struct call *call, enum trade_rows *rows, struct error *error)
{
    bool all = call_has(call, "all");
    bool exits = call_has(call, "exits");
    if (all && exits)
        return error_set(error, ERROR_USAGE,
                         "--all and --exits: one of them at a time; what never became a trade has "
                         "no exit");
    *rows = exits ? TRADE_ROWS_EXITS : all ? TRADE_ROWS_ALL : TRADE_ROWS_FILLED;
    return ERROR_NONE;
}

int command_trades(struct call *call, struct error *error)
{
    struct setup setup;
    struct text closing;
    struct call_work opened;
    struct trades_answer answer = {0};
    size_t column_count = 0;
    int code = read_rows(call, &answer.rows, error);
    if (code == ERROR_NONE)
        code = setup_of_call(call, &setup, error);
    if (code != ERROR_NONE)
        return code;
    const struct column *columns = trade_columns(answer.rows, &column_count);
    text_init(&closing);
    table_begin(&answer.table, call, answer.rows == TRADE_ROWS_EXITS ? "exits" : "trades", columns,
                column_count);
    code = call_work_open(&opened, call, error);
    if (code == ERROR_NONE)
        code = trades_each(opened.work, &setup, take_trades, &answer, &answer.sum, error);
    trades_closing(&closing, answer.rows, &answer.sum);
    table_set_untold(&answer.table, answer.sum.untold, answer.sum.dated_back);
    if (code == ERROR_NONE) {
        code = table_end_text(&answer.table, &closing, error);
    } else {
        table_abandon(&answer.table);
        text_free(&closing);
    }
    if (answer.sum.closed + answer.sum.open == 0 && call_has(call, "expect"))
        call->incomplete = true;
    setup_free(&setup);
    return call_work_close(&opened, code, error);
}
