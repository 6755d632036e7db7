#include "demo/files.h"

#include "base/calendar.h"

#include <math.h>
#include <string.h>

enum bad_kind {
    BAD_HIGH,   /* high below the close */
    BAD_DOUBLE, /* the last date again */
    BAD_BACK,   /* a date from before */
    BAD_WORD,   /* a word where a price should be */
    BAD_SHORT,  /* a cell too few */
    BAD_DATE,   /* 30 February */
    BAD_PAGE    /* no line of prices at all */
};

/* Each stands on the Saturday of the week of its date, so that nothing else is
 * wrong with it. */
static const struct {
    const char *name;
    const char *date;
    enum bad_kind kind;
} bad_lines[] = {
    {"cut-rush", "2011-06-15", BAD_HIGH},
    {"cut-rush", "2016-03-09", BAD_PAGE},
    {"smoked-eel", "2012-10-03", BAD_DOUBLE},
    {"smoked-eel", "2018-02-28", BAD_DATE},
    {"corrowen-mills", "2014-04-16", BAD_WORD},
    {"marrowick-bank", "2013-09-11", BAD_SHORT},
    {"marrowick-bank", "2020-05-20", BAD_HIGH},
    {"dunnock-stores", "2017-01-18", BAD_BACK},
    {"rdm-qyd", "2015-11-25", BAD_WORD},
    {"rdm-qyd", "2021-07-07", BAD_DOUBLE},
    {"quayside-50-future", "2019-08-21", BAD_BACK},
};

enum { BAD_COUNT = sizeof bad_lines / sizeof bad_lines[0], SATURDAY = 5 };

static void append_date(struct text *text, int64_t time, bool date_only)
{
    char date[CALENDAR_TEXT_SIZE];
    time_format(date, time, date_only);
    text_append(text, date);
}

static void append_cells(struct text *text, const struct bar *bar, bool with_volume)
{
    const double cells[] = {bar->open, bar->high, bar->low, bar->close, bar->volume};
    for (size_t i = 0; i < (with_volume ? 5 : 4); i++) {
        text_append_char(text, ',');
        text_append_number(text, cells[i]);
    }
    text_append_char(text, '\n');
}

static void append_bad_line(struct text *text, enum bad_kind kind, const struct bar *last,
                            int64_t saturday, bool with_volume)
{
    static const int64_t two_years = 730;
    struct bar bar = *last;
    const char *prices = "\n";
    int64_t day = kind == BAD_DOUBLE ? day_of_time(last->time)
                  : kind == BAD_BACK ? saturday - two_years
                                     : saturday;
    if (kind == BAD_PAGE) {
        text_append(text, "-- page 12 --\n");
        return;
    }
    if (kind == BAD_DATE)
        text_append(text, "2018-02-30");
    else
        append_date(text, day * SECONDS_PER_DAY, true);
    if (kind == BAD_HIGH)
        bar.high = bar.low;
    bar.close = bar.close > bar.low ? bar.close : last->high;
    if (kind == BAD_WORD)
        prices = with_volume ? ",no trade,,,,\n" : ",no trade,,,\n";
    if (kind == BAD_SHORT)
        prices = ",1,2\n";
    if (kind == BAD_WORD || kind == BAD_SHORT)
        text_append(text, prices);
    else
        append_cells(text, &bar, with_volume);
}

/* The bad lines between the bars i and i + 1. */
static void append_bad_lines(struct text *text, const struct demo_series *series, size_t i,
                             bool with_volume)
{
    const struct bars *bars = &series->daily;
    for (size_t b = 0; b < BAD_COUNT; b++) {
        if (strcmp(bad_lines[b].name, series->row->name) != 0)
            continue;
        int64_t time = 0;
        bool date_only = false;
        time_parse(bad_lines[b].date, strlen(bad_lines[b].date), &time, &date_only);
        int64_t day = day_of_time(time);
        int64_t saturday = day + SATURDAY - weekday_of_day(day);
        int64_t now = day_of_time(bars->time[i]);
        if (now >= saturday || i + 1 == bars->count || day_of_time(bars->time[i + 1]) < saturday)
            continue;
        struct bar last = bars_at(bars, i);
        append_bad_line(text, bad_lines[b].kind, &last, saturday, with_volume);
    }
}

void demo_daily_csv(struct text *text, const struct demo_series *series)
{
    const struct bars *bars = &series->daily;
    bool with_volume = series->row->kind != MARKET_CURRENCY;
    text_append(text,
                with_volume ? "date,open,high,low,close,volume\n" : "date,open,high,low,close\n");
    for (size_t i = 0; i < bars->count; i++) {
        struct bar bar = bars_at(bars, i);
        append_date(text, bar.time, true);
        append_cells(text, &bar, with_volume);
        append_bad_lines(text, series, i, with_volume);
    }
}

size_t demo_bad_lines(const struct demo_series *series)
{
    size_t count = 0;
    for (size_t b = 0; b < BAD_COUNT; b++)
        count += strcmp(bad_lines[b].name, series->row->name) == 0;
    return count;
}

void demo_hourly_csv(struct text *text, const struct demo_series *series)
{
    const struct bars *bars = &series->hourly;
    bool with_volume = series->row->kind != MARKET_CURRENCY;
    text_append(text,
                with_volume ? "time,open,high,low,close,volume\n" : "time,open,high,low,close\n");
    for (size_t i = 0; i < bars->count; i++) {
        struct bar bar = bars_at(bars, i);
        append_date(text, bar.time, false);
        append_cells(text, &bar, with_volume);
    }
}
