/* `scan --waiting`: signals whose entry is still possible. */
#include "cli/scan_waiting.h"

#include "base/calendar.h"
#include "cli/table.h"
#include "cli/wishes.h"
#include "work/evening.h"

static const struct column columns[] = {
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"setup", "setup", COLUMN_TEXT, 0, ""},
    {"side", "side", COLUMN_TEXT, 0, ""},
    {"candle_time", "candle", COLUMN_TEXT, 0, ""},
    {"signal_time", "signal", COLUMN_TEXT, 0, ""},
    {"awaits", "waits for", COLUMN_TEXT, 0, ""},
    {"price", "price", COLUMN_NUMBER, -1, ""},
    {"bars_left", "bars left", COLUMN_INTEGER, 0, ""},
    {"away_atr", "away, ATR", COLUMN_NUMBER, 2, ""},
    {"stop", "stop", COLUMN_NUMBER, -1, ""},
};

/* A new signal waits like an older one; one that came too late does not. */
static void keep_open(struct evening *evening)
{
    size_t kept = 0;
    for (size_t i = 0; i < evening->count; i++) {
        if (evening->list[i].awaited.what == AWAITS_NOTHING)
            continue;
        evening->list[kept] = evening->list[i];
        evening->list[kept++].kind = EVENING_WAITING;
    }
    evening->count = kept;
}

static void put_row(struct table *table, const struct setup *setup, const struct evening_row *row)
{
    char candle[CALENDAR_TEXT_SIZE];
    char signal[CALENDAR_TEXT_SIZE];
    time_format(candle, row->candle_time, row->dated);
    time_format(signal, row->signal_time, row->dated);
    table_text(table, row->instrument);
    table_text(table, setup->name);
    table_text(table, side_name(setup->side));
    table_text(table, candle);
    table_text(table, signal);
    table_text(table, evening_awaits_name(row->awaited.what));
    table_number(table, row->awaited.price);
    table_integer(table, (int64_t)row->awaited.bars_left);
    table_number(table, row->away_atr);
    table_number(table, row->stop);
}

static int print_rows(struct call *call, const struct setup *setup, const struct evening *evening,
                      struct error *error)
{
    struct table table;
    struct text closing;
    text_init(&closing);
    table_begin(&table, call, "waiting", columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < evening->count; i++)
        put_row(&table, setup, &evening->list[i]);
    if (evening->count == 0)
        text_append_format(&closing, "No entry of %s is still open on %zu instrument%s.",
                           setup->name, evening->instruments, evening->instruments == 1 ? "" : "s");
    for (size_t i = 0; i < evening->count; i++) {
        text_append_format(&closing, "%s%s: ", i > 0 ? "\n" : "", evening->list[i].instrument);
        evening_say_awaited(&evening->list[i], &closing);
        text_append_char(&closing, '.');
    }
    text_append(&closing, "\nA signal that waits is no trade yet, and what it waits for may never "
                          "come. Not advice; trading loses money.");
    return table_end_text(&table, &closing, error);
}

int scan_waiting(struct call *call, const struct setup *setup, struct error *error)
{
    struct evening evening = {0};
    struct call_work opened;
    int code = call_work_open(&opened, call, error);
    if (code == ERROR_NONE)
        code = evening_find(opened.work, setup, &evening, error);
    code = call_work_close(&opened, code, error);
    if (code == ERROR_NONE) {
        keep_open(&evening);
        evening_sort(&evening);
        code = print_rows(call, setup, &evening, error);
        if (evening.count == 0 && call_has(call, "expect"))
            call->incomplete = true;
    }
    evening_free(&evening);
    return code;
}
