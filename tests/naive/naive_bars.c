/* Bars, their negation, and the calendar of section 1 (zone UTC, sessions start at 00:00). */
#include "naive_internal.h"

#include <stdlib.h>
#include <string.h>

#define SECONDS_A_DAY ((int64_t)86400)

double naive_tolerance_of_bar(const struct naive_bars *bars, size_t bar)
{
    return 1e-10 * fmax(fabs(bars->high[bar]), fabs(bars->low[bar]));
}

/* "the largest over the pattern's bars" */
double naive_tolerance_over(const struct naive_bars *bars, size_t first, size_t last)
{
    double largest = 0.0;
    for (size_t i = first; i <= last; i++) {
        largest = fmax(largest, naive_tolerance_of_bar(bars, i));
    }
    return largest;
}

static void *allocate(size_t count, size_t size)
{
    void *memory = calloc(count > 0 ? count : 1, size);
    if (memory == NULL) {
        abort();
    }
    return memory;
}

static void copy_word(char *to, const char *from)
{
    size_t length = strlen(from);
    if (length >= NAIVE_WORD) {
        length = NAIVE_WORD - 1;
    }
    memcpy(to, from, length);
    to[length] = '\0';
}

struct owned_bars *naive_bars_new(size_t count, const char *interval)
{
    struct owned_bars *bars = allocate(1, sizeof *bars);
    bars->time = allocate(count, sizeof *bars->time);
    bars->open = allocate(count, sizeof *bars->open);
    bars->high = allocate(count, sizeof *bars->high);
    bars->low = allocate(count, sizeof *bars->low);
    bars->close = allocate(count, sizeof *bars->close);
    bars->volume = allocate(count, sizeof *bars->volume);
    copy_word(bars->interval, interval);
    bars->view = (struct naive_bars){.count = count,
                                     .time = bars->time,
                                     .open = bars->open,
                                     .high = bars->high,
                                     .low = bars->low,
                                     .close = bars->close,
                                     .volume = bars->volume,
                                     .interval = bars->interval};
    return bars;
}

void naive_bars_free(struct owned_bars *bars)
{
    if (bars == NULL) {
        return;
    }
    free(bars->time);
    free(bars->open);
    free(bars->high);
    free(bars->low);
    free(bars->close);
    free(bars->volume);
    free(bars);
}

struct owned_bars *naive_bars_copied(const struct naive_bars *bars)
{
    struct owned_bars *copy = naive_bars_new(bars->count, bars->interval);
    for (size_t i = 0; i < bars->count; i++) {
        copy->time[i] = bars->time[i];
        copy->open[i] = bars->open[i];
        copy->high[i] = bars->high[i];
        copy->low[i] = bars->low[i];
        copy->close[i] = bars->close[i];
        copy->volume[i] = bars->volume != NULL ? bars->volume[i] : NAN;
    }
    return copy;
}

/* "the row applied to negated prices (H and L swapped; volume unchanged)" */
struct owned_bars *naive_bars_negated(const struct naive_bars *bars)
{
    struct owned_bars *negated = naive_bars_new(bars->count, bars->interval);
    for (size_t i = 0; i < bars->count; i++) {
        negated->time[i] = bars->time[i];
        negated->open[i] = -bars->open[i];
        negated->high[i] = -bars->low[i];
        negated->low[i] = -bars->high[i];
        negated->close[i] = -bars->close[i];
        negated->volume[i] = bars->volume != NULL ? bars->volume[i] : NAN;
    }
    return negated;
}

/* --- calendar --------------------------------------------------------------------------------*/

int64_t naive_calendar_day(int64_t time)
{
    int64_t day = time / SECONDS_A_DAY;
    if (time % SECONDS_A_DAY < 0) {
        day -= 1;
    }
    return day;
}

/* 1970-01-01 was a Thursday. */
int naive_weekday_of(int64_t time)
{
    int64_t weekday = (naive_calendar_day(time) + 3) % 7;
    if (weekday < 0) {
        weekday += 7;
    }
    return (int)weekday;
}

static bool is_leap_year(int64_t year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static int64_t days_in_month(int64_t year, int month)
{
    static const int64_t usual[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    return month == 1 && is_leap_year(year) ? 29 : usual[month];
}

/* Counts years from 1970 on (or back), then months, until the day lies inside one. */
static void month_around(int64_t day, int64_t *first_day, int64_t *day_after)
{
    int64_t year = 1970;
    int64_t first = 0;
    while (day < first) {
        year -= 1;
        first -= is_leap_year(year) ? 366 : 365;
    }
    while (day >= first + (is_leap_year(year) ? 366 : 365)) {
        first += is_leap_year(year) ? 366 : 365;
        year += 1;
    }
    int month = 0;
    while (day >= first + days_in_month(year, month)) {
        first += days_in_month(year, month);
        month += 1;
    }
    *first_day = first;
    *day_after = first + days_in_month(year, month);
}

/* Seconds of an interval within the day, 0 where it is none such. */
static int64_t seconds_within_day(const char *interval)
{
    char *rest = NULL;
    long number = strtol(interval, &rest, 10);
    if (number <= 0 || rest == interval) {
        return 0;
    }
    if (strcmp(rest, "m") == 0) {
        return number * 60;
    }
    if (strcmp(rest, "h") == 0) {
        return number * 3600;
    }
    return 0;
}

static bool is_month(const char *interval)
{
    return strcmp(interval, "1M") == 0 || strcmp(interval, "1mo") == 0 ||
           strcmp(interval, "1month") == 0;
}

bool naive_interval_is_known(const char *interval)
{
    int64_t seconds = seconds_within_day(interval);
    return (seconds > 0 && seconds <= SECONDS_A_DAY) || strcmp(interval, "1d") == 0 ||
           strcmp(interval, "1w") == 0 || is_month(interval);
}

/* "calendar buckets aligned to the session start"; "Weeks begin on Monday of the session zone" */
int64_t naive_bucket_start(int64_t time, const char *interval)
{
    int64_t day = naive_calendar_day(time);
    int64_t seconds = seconds_within_day(interval);
    if (seconds > 0) {
        int64_t into_day = time - day * SECONDS_A_DAY;
        return day * SECONDS_A_DAY + into_day / seconds * seconds;
    }
    if (strcmp(interval, "1w") == 0) {
        return (day - naive_weekday_of(time)) * SECONDS_A_DAY;
    }
    if (is_month(interval)) {
        int64_t first = 0;
        int64_t after = 0;
        month_around(day, &first, &after);
        return first * SECONDS_A_DAY;
    }
    return day * SECONDS_A_DAY;
}

/* A bucket that does not divide the day ends with the session. */
int64_t naive_bucket_end(int64_t time, const char *interval)
{
    int64_t start = naive_bucket_start(time, interval);
    int64_t day = naive_calendar_day(start);
    int64_t seconds = seconds_within_day(interval);
    if (seconds > 0) {
        int64_t end = start + seconds;
        int64_t session_end = (day + 1) * SECONDS_A_DAY;
        return end < session_end ? end : session_end;
    }
    if (strcmp(interval, "1w") == 0) {
        return start + 7 * SECONDS_A_DAY;
    }
    if (is_month(interval)) {
        int64_t first = 0;
        int64_t after = 0;
        month_around(day, &first, &after);
        return after * SECONDS_A_DAY;
    }
    return start + SECONDS_A_DAY;
}

/* "open of the first, highest high, lowest low, close of the last, sum of volume" */
static void put_into_bucket(struct owned_bars *longer, size_t bucket, bool is_new,
                            const struct naive_bars *shorter, size_t i)
{
    double volume = shorter->volume != NULL ? shorter->volume[i] : NAN;
    if (is_new) {
        longer->time[bucket] = naive_bucket_start(shorter->time[i], longer->interval);
        longer->open[bucket] = shorter->open[i];
        longer->high[bucket] = shorter->high[i];
        longer->low[bucket] = shorter->low[i];
        longer->volume[bucket] = volume;
    } else {
        longer->high[bucket] = fmax(longer->high[bucket], shorter->high[i]);
        longer->low[bucket] = fmin(longer->low[bucket], shorter->low[i]);
        longer->volume[bucket] += volume;
    }
    longer->close[bucket] = shorter->close[i];
}

/* "An empty bucket gives no bar."  "no signal, condition or swing comes from a partial bar": a
 * bucket counts only if its end is not after `known_at`. */
struct owned_bars *naive_longer_bars(const struct naive_bars *shorter, const char *interval,
                                     int64_t known_at)
{
    struct owned_bars *longer = naive_bars_new(shorter->count, interval);
    size_t count = 0;
    for (size_t i = 0; i < shorter->count; i++) {
        if (naive_bucket_end(shorter->time[i], interval) > known_at) {
            break;
        }
        bool is_new = count == 0 ||
                      longer->time[count - 1] != naive_bucket_start(shorter->time[i], interval);
        if (is_new) {
            count += 1;
        }
        put_into_bucket(longer, count - 1, is_new, shorter, i);
    }
    longer->view.count = count;
    return longer;
}

/* --- the chart -------------------------------------------------------------------------------*/

/* The bars a setup is read on: the market's own, or the closed ones of a longer interval.  The last
 * bucket "is partial until a later observation closes it", so time runs to the last bar's end. */
static struct owned_bars *bars_of_setup(const struct naive_bars *base, const char *interval)
{
    if (interval[0] == '\0' || strcmp(interval, base->interval) == 0 || base->count == 0) {
        return naive_bars_copied(base);
    }
    int64_t end_of_data = naive_bucket_end(base->time[base->count - 1], base->interval);
    return naive_longer_bars(base, interval, end_of_data);
}

struct chart *naive_chart_new(const struct naive_market *market, const char *interval)
{
    struct chart *chart = allocate(1, sizeof *chart);
    chart->market = market;
    chart->base[AS_SEEN] = naive_bars_copied(&market->bars);
    chart->base[NEGATED] = naive_bars_negated(&market->bars);
    chart->bars[AS_SEEN] = bars_of_setup(&market->bars, interval);
    chart->bars[NEGATED] = naive_bars_negated(&chart->bars[AS_SEEN]->view);
    if (market->finer != NULL) {
        chart->finer[AS_SEEN] = naive_bars_copied(market->finer);
        chart->finer[NEGATED] = naive_bars_negated(market->finer);
    }
    return chart;
}

void naive_chart_free(struct chart *chart)
{
    for (int orientation = 0; orientation < 2; orientation++) {
        naive_bars_free(chart->base[orientation]);
        naive_bars_free(chart->bars[orientation]);
        naive_bars_free(chart->finer[orientation]);
    }
    free(chart);
}
