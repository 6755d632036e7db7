#include "base/calendar.h"
#include "cli/commands.h"
#include "cli/table.h"
#include "cli/untold.h"
#include "cli/wishes.h"
#include "work/trial.h"

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
    size_t signals;
    size_t passed;
    size_t closed;
    size_t open;
    size_t wins;
    size_t same_bar;
    size_t finer_missing;
    size_t untold;
    size_t dated_back;
    double sum_r;
    struct outcomes outcomes;
};

static int find_trades(const struct rules_case *opened, const void *context, void *result,
                       struct error *error)
{
    (void)context;
    return trades_find(&opened->view, &opened->terms, 0, SIZE_MAX, true, result, error);
}

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

static int count_trade(struct trades_answer *answer, const struct bars *bars,
                       const struct trade *trade, struct error *error)
{
    bool closed = trade_closed(trade->reason);
    answer->passed += trade->reason == TRADE_PASSED;
    answer->open += trade->reason == TRADE_OPEN;
    answer->closed += closed;
    answer->wins += closed && trade->r > 0;
    answer->same_bar += trade_filled(trade->reason) && trade->same_bar;
    answer->finer_missing += trade_filled(trade->reason) && trade->finer_missing;
    answer->dated_back += trade_filled(trade->reason) && trade->signal.dated_back;
    answer->sum_r += closed ? trade->r : 0;
    return closed ? outcomes_add(&answer->outcomes, bars->time[trade->entry_bar], trade->r, error)
                  : ERROR_NONE;
}

static int take_trades(const struct rules_case *opened, void *context, void *result,
                       struct error *error)
{
    struct trades_answer *answer = context;
    struct trades *trades = result;
    int code = ERROR_NONE;
    answer->signals += trades->signals;
    answer->untold += trades->untold;
    for (size_t i = 0; i < trades->count && code == ERROR_NONE; i++) {
        code = count_trade(answer, &opened->series.bars, &trades->list[i], error);
        if (answer->all || trade_filled(trades->list[i].reason))
            put_trade(answer, opened, &trades->list[i]);
    }
    table_flush(&answer->table);
    return code;
}

static void clear_trades(void *result)
{
    trades_free(result);
}

static void write_closing(const struct trades_answer *answer, struct text *closing)
{
    text_append_format(closing,
                       "%zu signals, %zu passed over while busy, %zu trades closed, %zu "
                       "still open.",
                       answer->signals, answer->passed, answer->closed, answer->open);
    if (answer->closed > 0)
        text_append_format(closing,
                           " Mean %+.2f R after costs, %zu of %zu above 0, %zu hung on the order "
                           "of events within one bar.",
                           answer->sum_r / (double)answer->closed, answer->wins, answer->closed,
                           answer->same_bar);
    if (answer->finer_missing > 0)
        text_append_format(closing,
                           "\nOf these %zu cannot be told: their finer bars are missing, and the "
                           "worst is taken.",
                           answer->finer_missing);
    text_append_untold(closing, answer->untold);
    text_append_dated_back(closing, answer->dated_back, "trade");
    text_append(closing,
                "\nWhat happened once may not happen again, and trades of one time are not "
                "independent: this mean says\nnothing yet about luck. Not advice; trading "
                "loses money; rules differ by place; ask a licensed adviser.");
}

/* The outcomes of these trades are about to be seen: a trial. */
static int open_ledger(struct work *work, struct trial *trial, const struct setup *setup,
                       struct error *error)
{
    char **words = NULL;
    size_t count = 0;
    int code = trial_open(work, trial, error);
    if (code == ERROR_NONE)
        code = series_words(work, 0, &words, &count, error);
    if (code == ERROR_NONE)
        code = trial_enter(work, trial, "trades", setup, NULL, words, count, error);
    words_free(words, count);
    return code;
}

int command_trades(struct call *call, struct error *error)
{
    struct setup setup;
    int code = setup_of_call(call, &setup, error);
    if (code != ERROR_NONE)
        return code;
    struct trades_answer answer = {.all = call_has(call, "all")};
    struct trial trial;
    struct call_work opened;
    code = call_work_open(&opened, call, error);
    if (code == ERROR_NONE)
        code = open_ledger(opened.work, &trial, &setup, error);
    if (code != ERROR_NONE) {
        setup_free(&setup);
        return call_work_close(&opened, code, error);
    }
    struct rules_job job = {sizeof(struct trades), find_trades, take_trades, clear_trades, &answer};
    struct text closing;
    text_init(&closing);
    table_begin(&answer.table, call, "trades", columns, answer.all ? COLUMNS_ALL : COLUMNS_ALWAYS);
    code = rules_each(opened.work, &setup, &job, error);
    if (code == ERROR_NONE)
        code = trial_finish_outcomes(&trial, &answer.outcomes, error);
    write_closing(&answer, &closing);
    if (code == ERROR_NONE) {
        code = table_end_text(&answer.table, &closing, error);
    } else {
        table_abandon(&answer.table);
        text_free(&closing);
    }
    if (answer.closed + answer.open == 0 && call_has(call, "expect"))
        call->incomplete = true;
    outcomes_free(&answer.outcomes);
    setup_free(&setup);
    return call_work_close(&opened, code, error);
}
