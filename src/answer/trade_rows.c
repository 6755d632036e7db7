#include "answer/trade_rows.h"

#include "answer/untold.h"
#include "base/calendar.h"
#include "base/words.h"
#include "document/cautions.h"

#include <math.h>

/* All but the last are part of the interface; `note` comes with all signals. */
static const struct column columns[] = {
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"setup", "setup", COLUMN_TEXT, 0, ""},
    {"side", "side", COLUMN_TEXT, 0, ""},
    {"candle_time", "candle", COLUMN_TEXT, 0, ""},
    {"signal_time", "signal", COLUMN_TEXT, 0, ""},
    {"entry_time", "entry on", COLUMN_TEXT, 0, ""},
    {"entry", "entry", COLUMN_NUMBER, -1, "price"},
    {"stop", "stop", COLUMN_NUMBER, -1, "price"},
    {"target", "target", COLUMN_NUMBER, -1, "price"},
    {"exit_time", "exit on", COLUMN_TEXT, 0, ""},
    {"exit", "exit", COLUMN_NUMBER, -1, "price"},
    {"reason", "reason", COLUMN_TEXT, 0, ""},
    {"r", "R", COLUMN_NUMBER, 2, "R"},
    {"mae_r", "against R", COLUMN_NUMBER, 2, "R"},
    {"mfe_r", "for R", COLUMN_NUMBER, 2, "R"},
    {"bars", "bars", COLUMN_INTEGER, 0, "bars"},
    {"same_bar", "same bar", COLUMN_BOOLEAN, 0, ""},
    {"note", "note", COLUMN_TEXT, 0, ""},
};

static const struct column exit_columns[] = {
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"setup", "setup", COLUMN_TEXT, 0, ""},
    {"side", "side", COLUMN_TEXT, 0, ""},
    {"candle_time", "candle", COLUMN_TEXT, 0, ""},
    {"signal_time", "signal", COLUMN_TEXT, 0, ""},
    {"entry_time", "entry on", COLUMN_TEXT, 0, ""},
    {"entry", "entry", COLUMN_NUMBER, -1, "price"},
    {"stop", "stop", COLUMN_NUMBER, -1, "price"},
    {"exit_number", "exit no", COLUMN_INTEGER, 0, ""},
    {"exit_time", "exit on", COLUMN_TEXT, 0, ""},
    {"exit", "exit", COLUMN_NUMBER, -1, "price"},
    {"share", "share", COLUMN_NUMBER, 3, ""},
    {"reason", "reason", COLUMN_TEXT, 0, ""},
    {"r_before_costs", "R before costs", COLUMN_NUMBER, 2, "R"},
};

const struct column *trade_columns(enum trade_rows rows, size_t *count)
{
    bool exits = rows == TRADE_ROWS_EXITS;
    *count = exits ? sizeof exit_columns / sizeof exit_columns[0]
                   : sizeof columns / sizeof columns[0] - (rows == TRADE_ROWS_FILLED);
    return exits ? exit_columns : columns;
}

static void put_time(struct table *table, const struct bars *bars, bool there, size_t bar)
{
    char text[CALENDAR_TEXT_SIZE];
    if (there)
        time_format(text, bars->time[bar], interval_is_dated(bars->interval));
    table_text(table, there ? text : NULL);
}

/* The cells that both kinds of rows begin with. */
static void put_signal(struct table *table, const struct rules_case *opened,
                       const struct trade *trade)
{
    const struct bars *bars = &opened->series.bars;
    table_text(table, opened->series.instrument.name);
    table_text(table, opened->view.setup->name);
    table_text(table, side_name(opened->view.setup->side));
    put_time(table, bars, true, trade->signal.candle.at);
    put_time(table, bars, true, trade->signal.at);
    put_time(table, bars, trade_filled(trade->reason), trade->entry_bar);
    table_number(table, trade->entry);
    table_number(table, trade->stop);
}

static void put_trade(struct table *table, bool noted, const struct rules_case *opened,
                      const struct trade *trade)
{
    put_signal(table, opened, trade);
    table_number(table, trade->target);
    put_time(table, &opened->series.bars, trade_closed(trade->reason), trade->exit_bar);
    table_number(table, trade->exit);
    table_text(table, trade_reason_name(trade->reason));
    table_number(table, trade->r);
    table_number(table, trade->mae_r);
    table_number(table, trade->mfe_r);
    if (trade_filled(trade->reason))
        table_integer(table, (int64_t)trade->bars);
    else
        table_text(table, NULL);
    table_integer(table, trade->same_bar);
    if (noted)
        table_text(table, trade->note);
}

/* The trade is run again for its path, which a list does not keep. */
static void put_exits(struct table *table, const struct rules_case *opened,
                      const struct trade *trade)
{
    struct trade_path path;
    trade_of_signal(&opened->view, &opened->terms, &trade->signal, &path);
    double direction = opened->view.setup->side == SIDE_SHORT ? -1 : 1;
    size_t number = 0;
    for (size_t i = 0; i < path.count; i++) {
        const struct trade_step *step = &path.steps[i];
        if (!(step->share > 0))
            continue;
        put_signal(table, opened, trade);
        table_count(table, ++number);
        put_time(table, &opened->series.bars, true, step->bar);
        table_number(table, step->price);
        table_number(table, step->share);
        table_text(table, trade_reason_name(step->reason));
        table_number(table, direction * (step->price - trade->entry) / trade->risk);
    }
}

void trade_put(struct table *table, enum trade_rows rows, const struct rules_case *opened,
               const struct trade *trade)
{
    if (rows != TRADE_ROWS_ALL && !trade_filled(trade->reason))
        return;
    if (rows == TRADE_ROWS_EXITS)
        put_exits(table, opened, trade);
    else
        put_trade(table, rows == TRADE_ROWS_ALL, opened, trade);
}

static void say_mean(struct text *closing, const struct trades_sum *sum)
{
    if (sum->closed > 0)
        text_append_format(closing,
                           " Mean %+.2f R after costs, %zu of %zu above 0, %zu hung on the order "
                           "of events within one bar.",
                           sum->sum_r / (double)sum->closed, sum->wins, sum->closed, sum->same_bar);
    if (sum->finer_missing > 0)
        text_append_format(closing,
                           "\nOf these %zu cannot be told: their finer bars are missing, and the "
                           "worst is taken.",
                           sum->finer_missing);
}

void trades_closing(struct text *closing, enum trade_rows rows, const struct trades_sum *sum)
{
    text_append_format(closing,
                       "%zu %s, %zu passed over while busy, %zu %s closed, %zu still open.",
                       sum->signals, count_word(sum->signals, "signal", "signals"), sum->passed,
                       sum->closed, count_word(sum->closed, "trade", "trades"), sum->open);
    say_mean(closing, sum);
    if (sum->parted > 0 && rows != TRADE_ROWS_EXITS)
        text_append_format(closing,
                           "\n%zu trade%s left in parts: the exit in such a row is the average of "
                           "%s parts by their shares, its reason the last one's.",
                           sum->parted, sum->parted == 1 ? "" : "s",
                           sum->parted == 1 ? "its" : "their");
    text_append_untold(closing, sum->untold);
    text_append_dated_back(closing, sum->dated_back, "trade");
    text_append(
        closing,
        "\nTrades of one time are not independent: this mean says nothing yet about luck.\n");
    text_append_caution(closing, caution_plan);
}
