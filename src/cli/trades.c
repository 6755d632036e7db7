#include "work/trades.h"
#include "base/calendar.h"
#include "cli/commands.h"
#include "cli/table.h"
#include "cli/untold.h"
#include "cli/wishes.h"
#include "document/cautions.h"

#include <math.h>

/* The first COLUMNS_ALWAYS are part of the interface; `note` comes with --all. */
static const struct column columns[] = {
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"setup", "setup", COLUMN_TEXT, 0, ""},
    {"side", "side", COLUMN_TEXT, 0, ""},
    {"candle_time", "candle", COLUMN_TEXT, 0, ""},
    {"signal_time", "signal", COLUMN_TEXT, 0, ""},
    {"entry_time", "entry on", COLUMN_TEXT, 0, ""},
    {"entry", "entry", COLUMN_NUMBER, -1, ""},
    {"stop", "stop", COLUMN_NUMBER, -1, ""},
    {"target", "target", COLUMN_NUMBER, -1, ""},
    {"exit_time", "exit on", COLUMN_TEXT, 0, ""},
    {"exit", "exit", COLUMN_NUMBER, -1, ""},
    {"reason", "reason", COLUMN_TEXT, 0, ""},
    {"r", "R", COLUMN_NUMBER, 2, ""},
    {"mae_r", "against R", COLUMN_NUMBER, 2, ""},
    {"mfe_r", "for R", COLUMN_NUMBER, 2, ""},
    {"bars", "bars", COLUMN_INTEGER, 0, ""},
    {"same_bar", "same bar", COLUMN_BOOLEAN, 0, ""},
    {"note", "note", COLUMN_TEXT, 0, ""},
};

enum { COLUMNS_ALWAYS = 17, COLUMNS_ALL = 18 };

struct trades_answer {
    struct table table;
    bool all;
    struct trades_sum sum;
};

static void put_time(struct table *table, const struct bars *bars, bool there, size_t bar)
{
    char text[CALENDAR_TEXT_SIZE];
    if (there)
        time_format(text, bars->time[bar], interval_is_dated(bars->interval));
    table_text(table, there ? text : NULL);
}

static void put_trade(struct trades_answer *answer, const struct rules_case *opened,
                      const struct trade *trade)
{
    struct table *table = &answer->table;
    const struct bars *bars = &opened->series.bars;
    bool filled = trade_filled(trade->reason);
    bool closed = trade_closed(trade->reason);
    table_text(table, opened->series.instrument.name);
    table_text(table, opened->view.setup->name);
    table_text(table, side_name(opened->view.setup->side));
    put_time(table, bars, true, trade->signal.candle.at);
    put_time(table, bars, true, trade->signal.at);
    put_time(table, bars, filled, trade->entry_bar);
    table_number(table, trade->entry);
    table_number(table, trade->stop);
    table_number(table, trade->target);
    put_time(table, bars, closed, trade->exit_bar);
    table_number(table, trade->exit);
    table_text(table, trade_reason_name(trade->reason));
    table_number(table, trade->r);
    table_number(table, trade->mae_r);
    table_number(table, trade->mfe_r);
    if (filled)
        table_integer(table, (int64_t)trade->bars);
    else
        table_text(table, NULL);
    table_integer(table, trade->same_bar);
    if (answer->all)
        table_text(table, trade->note);
}

static int take_trades(void *context, const struct rules_case *opened, const struct trades *trades,
                       struct error *error)
{
    struct trades_answer *answer = context;
    (void)error;
    for (size_t i = 0; i < trades->count; i++)
        if (answer->all || trade_filled(trades->list[i].reason))
            put_trade(answer, opened, &trades->list[i]);
    table_flush(&answer->table);
    return ERROR_NONE;
}

static void write_closing(const struct trades_answer *answer, struct text *closing)
{
    text_append_format(closing,
                       "%zu signals, %zu passed over while busy, %zu trades closed, %zu "
                       "still open.",
                       answer->sum.signals, answer->sum.passed, answer->sum.closed,
                       answer->sum.open);
    if (answer->sum.closed > 0)
        text_append_format(closing,
                           " Mean %+.2f R after costs, %zu of %zu above 0, %zu hung on the order "
                           "of events within one bar.",
                           answer->sum.sum_r / (double)answer->sum.closed, answer->sum.wins,
                           answer->sum.closed, answer->sum.same_bar);
    if (answer->sum.finer_missing > 0)
        text_append_format(closing,
                           "\nOf these %zu cannot be told: their finer bars are missing, and the "
                           "worst is taken.",
                           answer->sum.finer_missing);
    text_append_untold(closing, answer->sum.untold);
    text_append_dated_back(closing, answer->sum.dated_back, "trade");
    text_append(
        closing,
        "\nTrades of one time are not independent: this mean says nothing yet about luck.\n");
    text_append_caution(closing, caution_plan);
}

int command_trades(struct call *call, struct error *error)
{
    struct setup setup;
    struct text closing;
    struct call_work opened;
    struct trades_answer answer = {.all = call_has(call, "all")};
    int code = setup_of_call(call, &setup, error);
    if (code != ERROR_NONE)
        return code;
    text_init(&closing);
    table_begin(&answer.table, call, "trades", columns, answer.all ? COLUMNS_ALL : COLUMNS_ALWAYS);
    code = call_work_open(&opened, call, error);
    if (code == ERROR_NONE)
        code = trades_each(opened.work, &setup, take_trades, &answer, &answer.sum, error);
    write_closing(&answer, &closing);
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
