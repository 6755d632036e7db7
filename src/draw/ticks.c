#include "draw/ticks.h"

#include "base/calendar.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* --- values ------------------------------------------------------------------------- */

static bool is_whole(double x)
{
    return fabs(x - round(x)) < 1e-6;
}

static bool on_grid(double step, double grid)
{
    return grid <= 0 || (step >= grid * (1 - 1e-9) && is_whole(step / grid));
}

int decimals_of(double step)
{
    int decimals = 0;
    double scaled = fabs(step);
    if (scaled == 0)
        return DECIMALS_WITHOUT_STEP;
    while (decimals < 12 && fabs(scaled - round(scaled)) > 1e-6 * fmax(1e-3, scaled)) {
        scaled *= 10;
        decimals++;
    }
    return decimals;
}

/* Number of whole multiples of `step` in low..high. */
static double multiples(double low, double high, double step, double *first)
{
    *first = ceil(low / step - 1e-9);
    return floor(high / step + 1e-9) - *first + 1;
}

struct value_ticks value_ticks(double low, double high, size_t most, double grid)
{
    static const double mantissas[] = {1, 2, 5};
    struct value_ticks ticks = {0};
    double first = 0;
    if (!isfinite(low) || !isfinite(high) || !(high > low) || most == 0)
        return ticks;
    /* From well below the step wanted upwards; a grid such as 0.03125 has few
     * decimal multiples, and the first one of them may be far up. */
    int power = (int)floor(log10((high - low) / (double)most)) - 1;
    for (int tries = 0; tries < 60; tries++) {
        double step = mantissas[tries % 3] * pow(10, power + tries / 3);
        if (!on_grid(step, grid))
            continue;
        double count = multiples(low, high, step, &first);
        if (count > (double)most)
            continue;
        ticks.step = step;
        ticks.decimals = decimals_of(step);
        ticks.first = first;
        ticks.count = count > 0 ? (size_t)count : 0;
        return ticks;
    }
    return ticks;
}

double value_tick(const struct value_ticks *ticks, size_t index)
{
    return (ticks->first + (double)index) * ticks->step;
}

/* Multiples of each power of ten that an axis may show, the richest first. */
static const double divisions[][10] = {{1, 1.5, 2, 3, 4, 5, 6, 7, 8, 9},
                                       {1, 1.5, 2, 3, 5, 7},
                                       {1, 2, 5},
                                       {1, 3},
                                       {1}};

/* Those of one division in low..high that lie on the grid; more than `most`:
 * counted no further. */
static size_t divide(const double division[10], double low, double high, size_t most, double grid,
                     double ticks[TICK_LIMIT])
{
    size_t count = 0;
    for (int power = (int)floor(log10(low)); power <= (int)ceil(log10(high)); power++)
        for (size_t i = 0; i < 10 && division[i] > 0; i++) {
            double value = division[i] * pow(10, power);
            if (value < low || value > high || !on_grid(value, grid))
                continue;
            if (count == most)
                return most + 1;
            ticks[count++] = value;
        }
    return count;
}

size_t log_ticks(double low, double high, size_t most, double grid, double ticks[TICK_LIMIT])
{
    if (!isfinite(low) || !isfinite(high) || !(low > 0) || !(high > low) || most == 0)
        return 0;
    if (high / low < 3) {
        struct value_ticks even = value_ticks(low, high, most, grid);
        for (size_t i = 0; i < even.count; i++)
            ticks[i] = value_tick(&even, i);
        return even.count;
    }
    for (size_t i = 0; i < sizeof divisions / sizeof divisions[0]; i++) {
        size_t count = divide(divisions[i], low, high, most, grid, ticks);
        if (count <= most)
            return count;
    }
    /* Too many powers of ten: each n-th of them. */
    int first = (int)ceil(log10(low) - 1e-9);
    int step = ((int)floor(log10(high)) - first) / (int)most + 1;
    size_t count = 0;
    for (int power = first; count < most && pow(10, power) <= high; power += step)
        if (on_grid(pow(10, power), grid))
            ticks[count++] = pow(10, power);
    return count;
}

void number_text(double value, int decimals, char text[TICK_TEXT_SIZE])
{
    char digits[TICK_TEXT_SIZE];
    snprintf(digits, sizeof digits, "%.*f", decimals, fabs(value));
    bool zero = strspn(digits, "0.") == strlen(digits);
    snprintf(text, TICK_TEXT_SIZE, "%s%.40s", value < 0 && !zero ? "\u2212" : "", digits);
}

void value_tick_text(const struct value_ticks *ticks, size_t index, char text[TICK_TEXT_SIZE])
{
    number_text(value_tick(ticks, index), ticks->decimals, text);
}

/* --- times -------------------------------------------------------------------------- */

enum unit { UNIT_MINUTE, UNIT_DAY, UNIT_WEEK, UNIT_MONTH, UNIT_YEAR };

struct level {
    enum unit unit;
    int step; /* of them */
    enum unit major;
};

static const struct level levels[] = {
    {UNIT_MINUTE, 1, UNIT_DAY},   {UNIT_MINUTE, 5, UNIT_DAY},   {UNIT_MINUTE, 15, UNIT_DAY},
    {UNIT_MINUTE, 30, UNIT_DAY},  {UNIT_MINUTE, 60, UNIT_DAY},  {UNIT_MINUTE, 180, UNIT_DAY},
    {UNIT_MINUTE, 360, UNIT_DAY}, {UNIT_MINUTE, 720, UNIT_DAY}, {UNIT_DAY, 1, UNIT_MONTH},
    {UNIT_WEEK, 1, UNIT_MONTH},   {UNIT_WEEK, 2, UNIT_MONTH},   {UNIT_MONTH, 1, UNIT_YEAR},
    {UNIT_MONTH, 3, UNIT_YEAR},   {UNIT_MONTH, 6, UNIT_YEAR},   {UNIT_YEAR, 1, UNIT_YEAR},
    {UNIT_YEAR, 2, UNIT_YEAR},    {UNIT_YEAR, 5, UNIT_YEAR},    {UNIT_YEAR, 10, UNIT_YEAR},
    {UNIT_YEAR, 20, UNIT_YEAR},   {UNIT_YEAR, 50, UNIT_YEAR},   {UNIT_YEAR, 100, UNIT_YEAR},
};

enum { LEVEL_COUNT = sizeof levels / sizeof levels[0], FIRST_DATED = 8 };

static int64_t floor_divide(int64_t a, int64_t b)
{
    return a >= 0 ? a / b : -((-a + b - 1) / b);
}

/* The number of the unit that a time lies in. */
static int64_t unit_number(int64_t time, enum unit unit, int step)
{
    struct civil_time civil;
    switch (unit) {
    case UNIT_MINUTE: return floor_divide(time, (int64_t)step * 60);
    case UNIT_DAY: return floor_divide(day_of_time(time), step);
    /* Day 4 of the epoch was a Monday. */
    case UNIT_WEEK: return floor_divide(day_of_time(time) - 4, 7 * (int64_t)step);
    case UNIT_MONTH:
        civil_from_time(&civil, time);
        return (civil.year * 12 + civil.month - 1) / step;
    case UNIT_YEAR: break;
    }
    civil_from_time(&civil, time);
    return civil.year / step;
}

static const char *month_name(int month)
{
    static const char *const names[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                        "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    return names[month - 1];
}

static void name_minor(const struct level *level, int64_t time, char text[TICK_TEXT_SIZE])
{
    struct civil_time civil;
    civil_from_time(&civil, time);
    switch (level->unit) {
    case UNIT_MINUTE: snprintf(text, TICK_TEXT_SIZE, "%02d:%02d", civil.hour, civil.minute); break;
    case UNIT_DAY:
    case UNIT_WEEK: snprintf(text, TICK_TEXT_SIZE, "%d", civil.day); break;
    case UNIT_MONTH: snprintf(text, TICK_TEXT_SIZE, "%s", month_name(civil.month)); break;
    case UNIT_YEAR: snprintf(text, TICK_TEXT_SIZE, "%d", civil.year); break;
    }
}

/* The larger unit in full, less what the tick before it already said. */
static void name_major(const struct level *level, int64_t time, const int64_t *before,
                       char text[TICK_TEXT_SIZE])
{
    struct civil_time civil;
    struct civil_time past = {0};
    civil_from_time(&civil, time);
    if (before != NULL)
        civil_from_time(&past, *before);
    bool new_year = before == NULL || past.year != civil.year;
    char year[16] = "";
    if (new_year)
        snprintf(year, sizeof year, " %d", civil.year);
    text[0] = '\0';
    if (level->unit == UNIT_YEAR)
        return;
    if (before != NULL &&
        unit_number(time, level->major, 1) == unit_number(*before, level->major, 1))
        return;
    if (level->major == UNIT_DAY)
        snprintf(text, TICK_TEXT_SIZE, "%d %s%s", civil.day, month_name(civil.month), year);
    else if (level->major == UNIT_MONTH)
        snprintf(text, TICK_TEXT_SIZE, "%s%s", month_name(civil.month), year);
    else
        snprintf(text, TICK_TEXT_SIZE, "%d", civil.year);
}

/* Bars at which a unit begins; more than `most` are not all listed. */
static size_t find_ticks(const int64_t *clock, size_t first, size_t last, const struct level *level,
                         size_t most, size_t bars[TICK_LIMIT])
{
    size_t count = 0;
    int64_t before = first > 0 ? unit_number(clock[first - 1], level->unit, level->step)
                               : INT64_MIN;
    for (size_t i = first; i < last; i++) {
        int64_t number = unit_number(clock[i], level->unit, level->step);
        if (number != before && count++ < most)
            bars[count - 1] = i;
        if (count > most)
            return count;
        before = number;
    }
    return count;
}

/* The finest division with at most so many ticks, and their bars. */
static const struct level *find_level(const int64_t *clock, size_t first, size_t last, bool dated,
                                      size_t most, size_t bars[TICK_LIMIT], size_t *count)
{
    const struct level *level = NULL;
    for (size_t i = dated ? FIRST_DATED : 0; i < LEVEL_COUNT; i++) {
        level = &levels[i];
        *count = find_ticks(clock, first, last, level, most, bars);
        if (*count <= most)
            return level;
    }
    *count = most;
    return level;
}

size_t time_ticks_shown(const int64_t *clock, size_t first, size_t last, bool dated, size_t most,
                        size_t shown, size_t whole, struct time_tick ticks[TICK_LIMIT])
{
    size_t bars[TICK_LIMIT];
    size_t count = 0;
    size_t kept = 0;
    bool named = false;
    const struct level *level = find_level(clock, first, last, dated,
                                           most > TICK_LIMIT ? TICK_LIMIT : most, bars, &count);
    for (size_t i = 0; i < count; i++) {
        bool in_full = i == 0 || (!named && bars[i] >= whole);
        if (bars[i] < shown)
            continue;
        named |= bars[i] >= whole;
        ticks[kept].bar = bars[i];
        name_minor(level, clock[bars[i]], ticks[kept].minor);
        name_major(level, clock[bars[i]], in_full ? NULL : &clock[bars[i - 1]], ticks[kept].major);
        kept++;
    }
    return kept;
}

size_t time_ticks(const int64_t *clock, size_t first, size_t last, bool dated, size_t most,
                  struct time_tick ticks[TICK_LIMIT])
{
    return time_ticks_shown(clock, first, last, dated, most, first, first, ticks);
}
