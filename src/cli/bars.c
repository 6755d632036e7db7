#include "cli/commands.h"

#include "base/calendar.h"
#include "cli/series.h"
#include "cli/table.h"

/* Enough rows at a time to write, few enough to hold. */
enum { FLUSH_EVERY = 4096 };

int command_bars(struct call *call, struct error *error)
{
    static const struct column columns[] = {
        {"time", "time", COLUMN_TEXT, 0},     {"open", "open", COLUMN_NUMBER, -1},
        {"high", "high", COLUMN_NUMBER, -1},  {"low", "low", COLUMN_NUMBER, -1},
        {"close", "close", COLUMN_NUMBER, -1}, {"volume", "volume", COLUMN_NUMBER, -1},
    };
    struct series series;
    int code = series_open(call, call->arguments[0], &series, error);
    if (code == ERROR_NONE) {
        struct table table;
        const struct bars *bars = &series.bars;
        bool dated = interval_is_dated(bars->interval);
        table_begin(&table, call, "bars", columns, sizeof columns / sizeof columns[0], false);
        for (size_t i = 0; i < bars->count; i++) {
            char time[CALENDAR_TEXT_SIZE];
            time_format(time, bars->time[i], dated);
            table_text(&table, time);
            table_number(&table, bars->open[i]);
            table_number(&table, bars->high[i]);
            table_number(&table, bars->low[i]);
            table_number(&table, bars->close[i]);
            table_number(&table, bars->volume[i]);
            if ((i + 1) % FLUSH_EVERY == 0)
                table_flush(&table);
        }
        code = table_end(&table, NULL, error);
    }
    series_free(&series);
    return code;
}
