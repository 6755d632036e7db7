#include "prices/csv_plain.h"

#include "base/calendar.h"
#include "prices/csv_cells.h"
#include "prices/csv_order.h"

#include <math.h>
#include <string.h>

/* The lines of nearly every file are alike and in order. They are read here in
 * one pass over the bytes; whatever looks different is left to csv.c, which
 * decides what it is and says what is wrong with it. So this code knows no
 * errors, and what it takes, csv.c would have taken alike. */

static const double power[] = {1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                               1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};

struct plain {
    const char *at;
    char separator;
};

/* Digits with at most one point, 15 digits in all: both factors are exact, so
 * the quotient is correctly rounded (Clinger 1990). Stops behind the number. */
static inline bool take_number(struct plain *plain, double *value)
{
    const char *at = plain->at;
    bool negative = *at == '-';
    at += negative;
    const char *start = at;
    uint64_t whole = 0;
    unsigned digit;
    while ((digit = (unsigned)(unsigned char)*at - '0') <= 9) {
        whole = whole * 10 + digit;
        at++;
    }
    size_t digits = (size_t)(at - start);
    size_t behind = 0;
    if (*at == '.') {
        const char *point = ++at;
        while ((digit = (unsigned)(unsigned char)*at - '0') <= 9) {
            whole = whole * 10 + digit;
            at++;
        }
        behind = (size_t)(at - point);
    }
    if (digits + behind == 0 || digits + behind > 15)
        return false;
    double magnitude = (double)whole / power[behind];
    *value = negative && whole > 0 ? -magnitude : magnitude;
    plain->at = at;
    return true;
}

/* Two digits. The second is looked at only behind a first: where a line ends,
 * the buffer may end too. */
static inline bool two(const char *at, int *value)
{
    unsigned a = (unsigned)(unsigned char)at[0] - '0';
    if (a > 9)
        return false;
    unsigned b = (unsigned)(unsigned char)at[1] - '0';
    *value = (int)(a * 10 + b);
    return b <= 9;
}

/* Days since 1970 of a date of the Gregorian calendar: days of the year count
 * from March, so that the leap day is its last. */
static inline int64_t day_number(int year, int month, int day)
{
    int64_t y = year - (month <= 2);
    int64_t era = y / 400;
    int64_t of_era = y - era * 400;
    int64_t of_year = (153 * (month + (month > 2 ? -3 : 9)) + 2) / 5 + day - 1;
    return era * 146097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719468;
}

static const unsigned char month_days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

static inline bool take_date(struct plain *plain, int64_t *seconds)
{
    const char *at = plain->at;
    int century;
    int year;
    int month;
    int day;
    if (!two(at, &century) || !two(at + 2, &year) || at[4] != '-' || !two(at + 5, &month) ||
        at[7] != '-' || !two(at + 8, &day))
        return false;
    year += century * 100;
    /* The last days of February are checked elsewhere. */
    if (year < 1 || month < 1 || month > 12 || day < 1 || day > month_days[month - 1])
        return false;
    *seconds = day_number(year, month, day) * SECONDS_PER_DAY;
    plain->at = at + 10;
    return true;
}

/* ` HH:MM[:SS][Z]` behind a date. */
static inline bool take_clock(struct plain *plain, int64_t *seconds, bool *utc)
{
    const char *at = plain->at;
    int hour;
    int minute;
    int second = 0;
    if (!two(at + 1, &hour) || at[3] != ':' || !two(at + 4, &minute))
        return false;
    at += 6;
    if (*at == ':') {
        if (!two(at + 1, &second))
            return false;
        at += 3;
    }
    if (hour > 23 || minute > 59 || second > 59)
        return false;
    *utc = *at == 'Z';
    at += *utc;
    *seconds += hour * 3600 + minute * 60 + second;
    plain->at = at;
    return true;
}

static inline bool take_time(struct plain *plain, struct csv_reader *reader, struct bar *bar)
{
    bool utc = false;
    if (!take_date(plain, &bar->time))
        return false;
    bool has_clock = *plain->at == ' ' || *plain->at == 'T';
    if (!has_clock)
        return true;
    if (!take_clock(plain, &bar->time, &utc))
        return false;
    if (reader->facts.dated)
        return bar->time % SECONDS_PER_DAY == 0;
    if (utc)
        return true;
    /* Well inside a stretch without a change of the clock. */
    const struct wall_clock *clock = &reader->clock;
    int64_t time = bar->time - clock->offset;
    bar->time = time;
    return (clock->from == INT64_MIN || time >= clock->from + SECONDS_PER_DAY) &&
           (clock->to == INT64_MAX || time < clock->to - SECONDS_PER_DAY);
}

/* One line; false, and nothing taken, if it is anything but plain. */
static inline bool take_line(struct plain *plain, struct csv_reader *reader, struct bar *bar)
{
    double prices[CSV_ROLE_COUNT];
    prices[CSV_VOLUME] = NAN;
    size_t count = reader->columns.count;
    for (size_t i = 0; i < count; i++) {
        int role = reader->roles[i];
        if (role == CSV_TIME) {
            if (!take_time(plain, reader, bar))
                return false;
        } else if (role == CSV_OTHER) {
            while (*plain->at != plain->separator && *plain->at != '\n' && *plain->at != '"' &&
                   *plain->at != '\0')
                plain->at++;
        } else if (!(role == CSV_VOLUME && (*plain->at == plain->separator || *plain->at == '\n' ||
                                            *plain->at == '\r')) &&
                   !take_number(plain, &prices[role])) {
            return false;
        }
        if (i + 1 < count && *plain->at++ != plain->separator)
            return false;
    }
    plain->at += *plain->at == '\r';
    if (*plain->at++ != '\n')
        return false;
    bar->open = prices[CSV_OPEN];
    bar->high = prices[CSV_HIGH];
    bar->low = prices[CSV_LOW];
    bar->close = prices[CSV_CLOSE];
    bar->volume = prices[CSV_VOLUME];
    return bar->low <= bar->open && bar->low <= bar->close && bar->high >= bar->open &&
           bar->high >= bar->close && !(bar->volume < 0);
}

/* The end of the last whole line in the buffer: no line before it runs out. */
static const char *whole_lines_end(const struct csv_lines *lines)
{
    const char *end = lines->bytes + lines->length;
    while (end > lines->bytes + lines->position && end[-1] != '\n')
        end--;
    return end;
}

/* The bars behind `before` in the block are taken: the last of them is held. */
static void hold_last(struct csv_reader *reader, size_t before, size_t count, const char *start,
                      const char *end)
{
    struct bars *block = &reader->block;
    size_t length = (size_t)(end - start) - 1;
    if (length > 0 && start[length - 1] == '\r')
        length--;
    const struct csv_line line = {start, length, length, reader->lines.number};
    csv_fault_begin(&reader->held.fault, &line);
    reader->held.any = true;
    reader->held.repeat = 0;
    reader->held.bar = bars_at(block, count - 1);
    block->count = count - 1;
    reader->summary->bars += block->count - before;
    if (block->count > before) {
        reader->last_time = block->time[block->count - 1];
        reader->any = true;
    }
}

static inline void put_bar(struct bars *block, size_t n, const struct bar *bar)
{
    block->time[n] = bar->time;
    block->open[n] = bar->open;
    block->high[n] = bar->high;
    block->low[n] = bar->low;
    block->close[n] = bar->close;
    block->volume[n] = bar->volume;
}

void csv_take_plain_lines(struct csv_reader *reader)
{
    struct csv_lines *lines = &reader->lines;
    struct bars *block = &reader->block;
    const int *where = reader->columns.where;
    if (reader->columns.observations || where[CSV_CLOCK] >= 0 || where[CSV_ZONE] >= 0 ||
        reader->facts.style.decimal != '.' || lines->end != '\n' || reader->doubtful.any)
        return;
    const char *end = whole_lines_end(lines);
    struct plain plain = {lines->bytes + lines->position, reader->columns.separator};
    size_t before = block->count;
    size_t n = before;
    size_t taken = 0;
    const char *last = NULL;
    bool any = reader->any || reader->held.any;
    int64_t time = reader->held.any ? reader->held.bar.time : reader->last_time;
    if (reader->held.any)
        put_bar(block, n++, &reader->held.bar);
    /* One more than a block: the last is held back again. */
    while (n <= CSV_BLOCK && plain.at < end) {
        const char *start = plain.at;
        struct bar bar = {.time = 0};
        if (!take_line(&plain, reader, &bar) ||
            (any && !csv_time_follows(reader, bar.time, time))) {
            plain.at = start;
            break;
        }
        last = start;
        time = bar.time;
        any = true;
        put_bar(block, n++, &bar);
        taken++;
    }
    if (taken == 0)
        return;
    reader->summary->lines += taken;
    lines->number += taken;
    lines->position = (size_t)(plain.at - lines->bytes);
    hold_last(reader, before, n, last, plain.at);
}
