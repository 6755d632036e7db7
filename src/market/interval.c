#include "market/interval.h"

#include "base/calendar.h"
#include "base/former.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const struct {
    const char *suffix;
    enum interval_unit unit;
    int64_t seconds;
} units[] = {
    {"", INTERVAL_NONE, 0},
    {"m", INTERVAL_MINUTE, 60},
    {"h", INTERVAL_HOUR, 3600},
    {"d", INTERVAL_DAY, SECONDS_PER_DAY},
    {"w", INTERVAL_WEEK, 7 * SECONDS_PER_DAY},
    {"month", INTERVAL_MONTH, 30 * SECONDS_PER_DAY},
};

enum { UNIT_COUNT = sizeof units / sizeof units[0], LARGEST_COUNT = 1000 };

/* 60m is 1h, 24h is 1d. */
static struct interval simplest(struct interval interval)
{
    if (interval.unit == INTERVAL_MINUTE && interval.count % 60 == 0)
        interval = (struct interval){INTERVAL_HOUR, interval.count / 60};
    if (interval.unit == INTERVAL_HOUR && interval.count % 24 == 0)
        interval = (struct interval){INTERVAL_DAY, interval.count / 24};
    return interval;
}

/* Whether a suffix is the unit's, or was once. */
static bool is_unit(const char *suffix, int unit, bool kept)
{
    const char *now = kept ? former_word(FORMER_INTERVAL, suffix) : NULL;
    return strcmp(now != NULL ? now : suffix, units[unit].suffix) == 0;
}

static bool parse(const char *text, bool kept, struct interval *interval)
{
    int count = 0;
    size_t digits = 0;
    for (; text[digits] >= '0' && text[digits] <= '9'; digits++)
        if ((count = count * 10 + (text[digits] - '0')) > LARGEST_COUNT)
            return false;
    if (digits == 0 || count == 0)
        return false;
    for (int i = 1; i < UNIT_COUNT; i++) {
        if (!is_unit(text + digits, i, kept))
            continue;
        struct interval read = simplest((struct interval){units[i].unit, count});
        if (read.unit < INTERVAL_DAY && SECONDS_PER_DAY % interval_seconds(read) != 0)
            return false;
        *interval = read;
        return true;
    }
    return false;
}

bool interval_parse(const char *text, struct interval *interval)
{
    return parse(text, false, interval);
}

bool interval_parse_kept(const char *text, struct interval *interval)
{
    return parse(text, true, interval);
}

static void format(char text[INTERVAL_TEXT_SIZE], struct interval interval, const char *suffix)
{
    if (interval.unit == INTERVAL_NONE)
        text[0] = '\0';
    else
        snprintf(text, INTERVAL_TEXT_SIZE, "%d%s", interval.count, suffix);
}

void interval_format(char text[INTERVAL_TEXT_SIZE], struct interval interval)
{
    format(text, interval, units[interval.unit].suffix);
}

void interval_format_kept(char text[INTERVAL_TEXT_SIZE], struct interval interval)
{
    const char *before = word_before(FORMER_INTERVAL, units[interval.unit].suffix);
    format(text, interval, before != NULL ? before : units[interval.unit].suffix);
}

bool interval_equal(struct interval a, struct interval b)
{
    return a.unit == b.unit && (a.unit == INTERVAL_NONE || a.count == b.count);
}

bool interval_is_dated(struct interval interval)
{
    return interval.unit >= INTERVAL_DAY;
}

int64_t interval_seconds(struct interval interval)
{
    return units[interval.unit].seconds * interval.count;
}

static int compare_steps(const void *a, const void *b)
{
    int64_t x = *(const int64_t *)a;
    int64_t y = *(const int64_t *)b;
    return (x > y) - (x < y);
}

/* The most common value of a sorted array; the least one if tied. */
static int64_t most_common(const int64_t *sorted, size_t count)
{
    int64_t best = sorted[0];
    size_t best_run = 0;
    for (size_t i = 0, run = 0; i < count; i++) {
        run = i > 0 && sorted[i] == sorted[i - 1] ? run + 1 : 1;
        if (run > best_run) {
            best_run = run;
            best = sorted[i];
        }
    }
    return best;
}

static struct interval from_step(int64_t step)
{
    if (step >= 28 * SECONDS_PER_DAY && step <= 31 * SECONDS_PER_DAY)
        return (struct interval){INTERVAL_MONTH, 1};
    if (step == 7 * SECONDS_PER_DAY)
        return (struct interval){INTERVAL_WEEK, 1};
    if (step >= SECONDS_PER_DAY && step < 7 * SECONDS_PER_DAY && step % SECONDS_PER_DAY == 0)
        return (struct interval){INTERVAL_DAY, 1};
    if (step > 0 && step % 60 == 0 && SECONDS_PER_DAY % step == 0)
        return simplest((struct interval){INTERVAL_MINUTE, (int)(step / 60)});
    return (struct interval){INTERVAL_NONE, 0};
}

int64_t interval_guess_step(const int64_t *times, size_t count)
{
    /* A sample is enough, and keeps a large file cheap. */
    enum { SAMPLE = 512 };
    int64_t steps[SAMPLE];
    size_t n = count > SAMPLE ? SAMPLE : count;
    if (n < 2)
        return 0;
    for (size_t i = 1; i < n; i++)
        steps[i - 1] = times[i] - times[i - 1];
    qsort(steps, n - 1, sizeof steps[0], compare_steps);
    return most_common(steps, n - 1);
}

struct interval interval_guess(const int64_t *times, size_t count)
{
    return from_step(interval_guess_step(times, count));
}
