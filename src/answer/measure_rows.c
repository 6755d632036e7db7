#include "answer/measure_rows.h"

#include "base/calendar.h"

enum { FLUSH_EVERY = 1024 };

size_t measure_columns(struct column columns[MEASURE_COLUMNS], const struct measured_wish *wishes,
                       size_t count)
{
    columns[0] = (struct column){"time", "time", COLUMN_TEXT, 0, ""};
    for (size_t i = 0; i < count; i++)
        columns[i + 1] = (struct column){wishes[i].label, wishes[i].label, COLUMN_NUMBER, -1,
                                         wishes[i].measure->unit};
    return count + 1;
}

void measure_put(struct table *table, const struct measured *measured)
{
    const struct bars *bars = &measured->series.bars;
    bool dated = interval_is_dated(bars->interval);
    for (size_t bar = measured->series.first; bar < sheet_count(measured->sheet); bar++) {
        char time[CALENDAR_TEXT_SIZE];
        time_format(time, bars->time[bar], dated);
        table_text(table, time);
        for (size_t i = 0; i < measured->count; i++)
            table_number(table, measured->columns[i][bar]);
        if (bar % FLUSH_EVERY == 0)
            table_flush(table);
    }
}
