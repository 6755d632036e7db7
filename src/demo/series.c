/* One instrument of the demo market, day by day. */
#include "base/array.h"
#include "base/calendar.h"
#include "base/random.h"
#include "demo/days.h"
#include "demo/market.h"
#include "demo/plant.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Spread of the log volatility, how long it lasts, and its common share. */
static const double volatility_spread = 0.42;
static const double volatility_persistence = 0.97;
static const double volatility_common = 0.5;
static const double days_a_year = 252;
/* One night in 80 brings a jump of this many nights' deviations. */
static const double jump_chance = 1.0 / 80;
static const double jump_size = 4;
static const int hourly_first_year = 2022;

/* The state of the walk. */
struct walk {
    const struct demo_market *market;
    const struct demo_row *row;
    struct demo_series *series;
    struct random_stream stream;
    double price;          /* unrounded, as quoted */
    double own_volatility; /* own part of the log volatility, variance 1 */
    double atr;
    int plant_left; /* days for which the planted effect goes on */
    int stale_left;
    int64_t silent_until;
    bool ended;
};

static double night_share(const struct demo_row *row)
{
    return row->kind == MARKET_SHARE ? 0.25 : row->kind == MARKET_CURRENCY ? 0.02 : 0.15;
}

static double rounded(const struct walk *walk, double price)
{
    const struct tick *tick = &walk->series->instrument.tick;
    return tick_multiple(tick, fmax(1, round(price / tick->value)));
}

static int add_event(struct walk *walk, enum demo_event_kind kind, int64_t day, double value,
                     struct error *error)
{
    struct demo_series *series = walk->series;
    struct demo_event *events = array_reserve(series->events, &series->event_room,
                                              series->event_count + 1, sizeof *events);
    if (events == NULL)
        return error_memory(error);
    series->events = events;
    events[series->event_count++] = (struct demo_event){kind, day, value};
    return ERROR_NONE;
}

static int64_t fate_day(const struct demo_fate *fate)
{
    int64_t time = 0;
    bool date_only = false;
    time_parse(fate->date, strlen(fate->date), &time, &date_only);
    return day_of_time(time);
}

/* What is written for this day happens before its open. */
static int meet_fate(struct walk *walk, int64_t day, struct error *error)
{
    int code = ERROR_NONE;
    for (size_t i = 0; i < demo_fate_count && code == ERROR_NONE; i++) {
        const struct demo_fate *fate = &demo_fates[i];
        if (strcmp(fate->name, walk->row->name) != 0 || fate_day(fate) != day)
            continue;
        if (fate->kind == DEMO_SPLIT)
            walk->price /= fate->value;
        else if (fate->kind == DEMO_SHOCK)
            walk->price *= fate->value;
        else if (fate->kind == DEMO_SILENCE)
            walk->silent_until = day + (int64_t)fate->value;
        else if (fate->kind == DEMO_STALE)
            walk->stale_left = (int)fate->value;
        else if (fate->kind == DEMO_END)
            walk->ended = true;
        if (fate->kind == DEMO_SPLIT || fate->kind == DEMO_END)
            code = add_event(walk, fate->kind, day, fate->value, error);
    }
    return code;
}

/* Dividends on the first Monday of May but one, each company in a week of its
 * own; rolls of futures with the cost of carry, up or down. */
static int pay_and_roll(struct walk *walk, int64_t day, struct error *error)
{
    struct civil_time civil;
    civil_from_time(&civil, day * SECONDS_PER_DAY);
    size_t index = (size_t)(walk->row - demo_roster);
    if (walk->row->dividend > 0 && civil.month == 3 + (int)(index % 4) &&
        weekday_of_day(day) == 0 && civil.day > 7 && civil.day <= 14) {
        double amount = round(walk->price * walk->row->dividend * 100) / 100;
        walk->price -= amount;
        return add_event(walk, DEMO_DIVIDEND, day, amount, error);
    }
    if (walk->row->kind == MARKET_FUTURE && demo_day_rolls(day)) {
        double step = rounded(walk, walk->price * 0.0025 * (1 + 2 * random_unit(&walk->stream)));
        walk->price += step;
        return add_event(walk, DEMO_ROLL, day, step, error);
    }
    return ERROR_NONE;
}

/* The day's standard deviation of the log move. */
static double day_deviation(struct walk *walk, size_t d)
{
    static const double keep = volatility_persistence;
    walk->own_volatility = keep * walk->own_volatility +
                           sqrt(1 - keep * keep) * random_normal(&walk->stream);
    double mixed = sqrt(volatility_common) * walk->market->log_volatility[d] +
                   sqrt(1 - volatility_common) * walk->own_volatility;
    double log_part = volatility_spread * mixed - volatility_spread * volatility_spread;
    return walk->row->volatility / sqrt(days_a_year) * exp(log_part);
}

/* Step number k of day d: standard normal, shared in part. */
static double shared_step(struct walk *walk, size_t d, size_t k)
{
    const struct demo_row *row = walk->row;
    size_t i = d * (DEMO_STEPS_A_DAY + 1) + k;
    return sqrt(row->market_share) * walk->market->steps[DEMO_GROUP_COUNT][i] +
           sqrt(row->group_share) * walk->market->steps[row->group][i] +
           sqrt(1 - row->market_share - row->group_share) * random_normal(&walk->stream);
}

static void pass_night(struct walk *walk, size_t d, double deviation)
{
    double night = deviation * sqrt(night_share(walk->row));
    double move = night * shared_step(walk, d, 0);
    if (random_unit(&walk->stream) < jump_chance)
        move += jump_size * night * random_normal(&walk->stream);
    walk->price *= exp(move - night * night / 2);
}

static double day_volume(struct walk *walk, double deviation)
{
    if (walk->row->kind == MARKET_CURRENCY)
        return NAN;
    double busy = deviation * sqrt(days_a_year) / walk->row->volatility;
    return round(40000 * pow(busy, 0.8) * exp(0.35 * random_normal(&walk->stream)));
}

/* Adds one step's price to a bar that is being made. */
static void widen(struct bar *bar, double price)
{
    bar->high = fmax(bar->high, price);
    bar->low = fmin(bar->low, price);
    bar->close = price;
}

static int append_rounded(struct walk *walk, struct bars *bars, struct bar bar, struct error *error)
{
    bar.open = rounded(walk, bar.open);
    bar.high = rounded(walk, bar.high);
    bar.low = rounded(walk, bar.low);
    bar.close = rounded(walk, bar.close);
    return bars_append(bars, &bar, error);
}

static bool wants_hours(const struct walk *walk, int64_t day)
{
    struct civil_time civil;
    civil_from_time(&civil, day * SECONDS_PER_DAY);
    return walk->row->hourly && civil.year >= hourly_first_year;
}

/* The steps of the day, into `bar` and the hourly bars. */
static int trade_day(struct walk *walk, size_t d, double deviation, struct bar *bar,
                     struct error *error)
{
    bool clock_round = walk->row->kind == MARKET_CURRENCY;
    size_t hours = clock_round ? 24 : 8;
    size_t steps_an_hour = DEMO_STEPS_A_DAY / hours;
    int64_t first_second = bar->time + (clock_round ? 0 : 8 * 3600);
    double share = 1 - night_share(walk->row);
    double step = deviation * sqrt(share / DEMO_STEPS_A_DAY);
    double drift = walk->row->drift / days_a_year - deviation * deviation * share / 2;
    if (walk->plant_left > 0)
        drift += PLANT_DRIFT * deviation;
    bool with_hours = wants_hours(walk, walk->market->day[d]);
    for (size_t h = 0; h < hours; h++) {
        struct bar hour = {first_second + (int64_t)h * 3600,
                           walk->price,
                           walk->price,
                           walk->price,
                           walk->price,
                           NAN};
        for (size_t s = 0; s < steps_an_hour; s++) {
            double move = step * shared_step(walk, d, 1 + h * steps_an_hour + s);
            walk->price *= exp(move + drift / DEMO_STEPS_A_DAY);
            widen(&hour, walk->price);
        }
        widen(bar, hour.high);
        widen(bar, hour.low);
        widen(bar, hour.close);
        if (!isnan(bar->volume))
            hour.volume = floor(bar->volume / (double)hours);
        int code = with_hours ? append_rounded(walk, &walk->series->hourly, hour, error) : 0;
        if (code != ERROR_NONE)
            return code;
    }
    return ERROR_NONE;
}

static double misprint(const struct walk *walk, int64_t day)
{
    for (size_t i = 0; i < demo_fate_count; i++)
        if (demo_fates[i].kind == DEMO_MISPRINT && fate_day(&demo_fates[i]) == day &&
            strcmp(demo_fates[i].name, walk->row->name) == 0)
            return demo_fates[i].value;
    return 1;
}

static int keep_day(struct walk *walk, int64_t day, struct bar bar, struct error *error)
{
    struct bars *daily = &walk->series->daily;
    if (day < walk->silent_until)
        return ERROR_NONE;
    if (walk->stale_left > 0 && daily->count > 0) {
        double still = daily->close[daily->count - 1];
        bar = (struct bar){bar.time, still, still, still, still, 0};
        walk->stale_left--;
    }
    bar.low *= misprint(walk, day);
    int code = append_rounded(walk, daily, bar, error);
    if (code != ERROR_NONE)
        return code;
    if (walk->plant_left > 0)
        walk->plant_left--;
    if (walk->row->planted && plant_situation(daily, walk->atr))
        walk->plant_left = PLANT_DAYS;
    walk->atr = plant_atr_next(daily, walk->atr);
    return ERROR_NONE;
}

static int live_day(struct walk *walk, size_t d, struct error *error)
{
    int64_t day = walk->market->day[d];
    double deviation = day_deviation(walk, d);
    if (!demo_day_open(day, walk->row->kind == MARKET_CURRENCY))
        return ERROR_NONE;
    pass_night(walk, d, deviation);
    int code = meet_fate(walk, day, error);
    if (code == ERROR_NONE && !walk->ended)
        code = pay_and_roll(walk, day, error);
    if (code != ERROR_NONE || walk->ended)
        return code;
    struct bar bar = {day * SECONDS_PER_DAY, walk->price, walk->price,
                      walk->price,           walk->price, day_volume(walk, deviation)};
    code = trade_day(walk, d, deviation, &bar, error);
    return code == ERROR_NONE ? keep_day(walk, day, bar, error) : code;
}

static void name_instrument(struct demo_series *series, const struct demo_row *row)
{
    instrument_init(&series->instrument, row->name);
    series->instrument.kind = row->kind;
    series->instrument.tick_known = tick_from_number(&series->instrument.tick, row->tick);
    series->instrument.point_value = row->point_value;
    memcpy(series->instrument.currency, row->currency, CURRENCY_SIZE);
    series->instrument.interval = (struct interval){INTERVAL_DAY, 1};
}

int demo_series_make(const struct demo_market *market, size_t index, struct demo_series *series,
                     struct error *error)
{
    const struct demo_row *row = &demo_roster[index];
    *series = (struct demo_series){.row = row};
    bars_init(&series->daily);
    bars_init(&series->hourly);
    series->daily.interval = (struct interval){INTERVAL_DAY, 1};
    series->hourly.interval = (struct interval){INTERVAL_HOUR, 1};
    name_instrument(series, row);
    struct walk walk = {.market = market,
                        .row = row,
                        .series = series,
                        .price = row->first_price,
                        .atr = NAN};
    random_start(&walk.stream, market->seed, index);
    walk.own_volatility = random_normal(&walk.stream);
    int code = ERROR_NONE;
    for (size_t d = 0; d < market->day_count && code == ERROR_NONE && !walk.ended; d++)
        code = live_day(&walk, d, error);
    return code;
}

void demo_series_free(struct demo_series *series)
{
    bars_free(&series->daily);
    bars_free(&series->hourly);
    free(series->events);
    *series = (struct demo_series){0};
}
