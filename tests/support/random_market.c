#include "random_market.h"

#include <math.h>
#include <stdlib.h>

static const int64_t hour = 3600;
static const int64_t day = 86400;

/* The lengths of bars that are drawn, each with finer ones. */
static const struct length {
    struct interval interval;
    int64_t step;
    struct interval finer;
    int64_t finer_step;
    size_t finer_count;
    unsigned weight;
} lengths[] = {
    {{INTERVAL_DAY, 1}, day, {INTERVAL_HOUR, 4}, 4 * hour, 6, 55},
    {{INTERVAL_HOUR, 1}, hour, {INTERVAL_MINUTE, 15}, hour / 4, 4, 20},
    {{INTERVAL_HOUR, 4}, 4 * hour, {INTERVAL_HOUR, 1}, hour, 4, 15},
    {{INTERVAL_WEEK, 1}, 7 * day, {INTERVAL_DAY, 1}, day, 5, 10},
};

struct walk {
    struct random_stream *stream;
    const struct length *length;
    int64_t price;  /* ticks */
    int64_t spread; /* largest step, ticks */
    int64_t drift;  /* of the steps, in tenths of `spread` */
    size_t regime_left;
    bool weekends;
    bool no_volume;
};

int64_t random_between(struct random_stream *stream, int64_t least, int64_t most)
{
    return least + (int64_t)random_below(stream, (uint64_t)(most - least + 1));
}

bool random_percent(struct random_stream *stream, unsigned percent)
{
    return random_below(stream, 100) < percent;
}

static const struct length *draw_length(struct random_stream *stream)
{
    unsigned left = (unsigned)random_below(stream, 100);
    const struct length *length = lengths;
    while (left >= length->weight) {
        left -= length->weight;
        length++;
    }
    return length;
}

static void next_regime(struct walk *walk)
{
    if (walk->regime_left-- > 0)
        return;
    walk->regime_left = (size_t)random_between(walk->stream, 5, 30);
    walk->drift = random_between(walk->stream, -4, 4);
    walk->spread = random_between(walk->stream, 1, random_percent(walk->stream, 70) ? 4 : 12);
}

/* One bar of `steps` steps from the price where the walk stands, after a gap. */
static void draw_bar(struct walk *walk, const struct tick *tick, int64_t time, bool gap,
                     size_t steps, struct bar *bar)
{
    struct random_stream *stream = walk->stream;
    int64_t spread = walk->spread;
    if (gap)
        walk->price += random_percent(stream, 10) ? random_between(stream, -8 * spread, 8 * spread)
                                                  : random_between(stream, -spread, spread);
    int64_t open = walk->price;
    int64_t high = open;
    int64_t low = open;
    if (random_percent(stream, 4)) /* nothing was traded away from the open */
        steps = 0;
    for (size_t i = 0; i < steps; i++) {
        int64_t step = random_between(stream, -spread, spread);
        if (random_percent(stream, 10 * (unsigned)llabs(walk->drift)))
            step += walk->drift > 0 ? spread : -spread;
        walk->price += step;
        high = walk->price > high ? walk->price : high;
        low = walk->price < low ? walk->price : low;
    }
    bool unknown = walk->no_volume || random_percent(stream, 2);
    *bar = (struct bar){.time = time,
                        .open = tick_multiple(tick, (double)open),
                        .high = tick_multiple(tick, (double)high),
                        .low = tick_multiple(tick, (double)low),
                        .close = tick_multiple(tick, (double)walk->price),
                        .volume = unknown ? NAN : (double)random_between(stream, 1, 9) * 100};
}

/* A bar out of its finer ones, of which a few are then lost. */
static bool draw_from_finer(struct walk *walk, struct random_market *market, int64_t time,
                            struct bar *bar)
{
    struct error error;
    for (size_t i = 0; i < walk->length->finer_count; i++) {
        struct bar finer;
        draw_bar(walk, &market->tick, time + (int64_t)i * walk->length->finer_step,
                 random_percent(walk->stream, i == 0 ? 60 : 30), 4, &finer);
        if (i == 0)
            *bar = finer;
        bar->time = time;
        bar->high = fmax(bar->high, finer.high);
        bar->low = fmin(bar->low, finer.low);
        bar->close = finer.close;
        bar->volume = i == 0 ? finer.volume : bar->volume + finer.volume;
        if (!random_percent(walk->stream, 3) &&
            bars_append(&market->finer, &finer, &error) != ERROR_NONE)
            return false;
    }
    return true;
}

/* The start of the next bar: no weekends where the market has none, and a
 * holiday now and then. */
static int64_t next_time(struct walk *walk, int64_t time)
{
    do {
        time += walk->length->step;
        /* 1970-01-01 was a Thursday. */
        int64_t weekday = (time / day + 3) % 7;
        if (!walk->weekends && weekday >= 5 && walk->length->step <= day)
            continue;
        if (!random_percent(walk->stream, 2))
            return time;
    } while (true);
}

static bool draw_bars(struct walk *walk, struct random_market *market, size_t count, bool finer)
{
    struct error error;
    /* A Monday between 2019 and 2023. */
    int64_t time = (17903 + 7 * random_between(walk->stream, 0, 250)) * day;
    if (walk->length->step < day)
        time += random_between(walk->stream, 0, 5) * 4 * hour;
    for (size_t i = 0; i < count; i++) {
        struct bar bar;
        next_regime(walk);
        time = next_time(walk, time);
        if (finer && !draw_from_finer(walk, market, time, &bar))
            return false;
        if (!finer)
            draw_bar(walk, &market->tick, time, random_percent(walk->stream, 50),
                     (size_t)random_between(walk->stream, 1, 12), &bar);
        if (bars_append(&market->bars, &bar, &error) != ERROR_NONE)
            return false;
    }
    return true;
}

/* Dated events and marks of a person, strewn over the bars. */
static void draw_surroundings(struct random_market *market, struct random_stream *stream)
{
    static const char *const kinds[] = {"report", "meeting"};
    size_t last = market->bars.count - 1;
    market->around = (struct surroundings){.events = market->events, .marks = market->marks};
    market->around.event_count = (size_t)random_between(stream, 0, RANDOM_EVENTS);
    for (size_t i = 0; i < market->around.event_count; i++) {
        size_t at = (size_t)random_between(stream, 0, (int64_t)last);
        market->events[i] = (struct setup_event){market->bars.time[at] +
                                                     random_between(stream, 0, day),
                                                 kinds[random_below(stream, 2)], false, 0};
        /* Half of them became known on some bar only, before or after their time, at its
         * beginning or later on its day. */
        struct random_stream own;
        random_start(&own, at, i);
        market->events[i].known_later = random_below(&own, 2) == 0;
        int64_t into = random_between(&own, 1 - day, day - 1);
        if (market->events[i].known_later)
            market->events[i].known = market->bars.time[random_between(&own, 0, (int64_t)last)] +
                                      (into > 0 ? into : 0);
    }
    market->around.mark_count = (size_t)random_between(stream, 0, RANDOM_MARKS);
    for (size_t i = 0; i < market->around.mark_count; i++) {
        size_t at = (size_t)random_between(stream, 0, (int64_t)last);
        size_t from = (size_t)random_between(stream, 0, (int64_t)last);
        market->marks[i] = (struct own_mark){.price = market->bars.low[at],
                                             .made = market->bars.time[from],
                                             .bar = (double)at};
        /* Now and then a line through a second low, and one withdrawn. */
        struct random_stream own;
        random_start(&own, at, from);
        size_t other = (size_t)random_between(&own, 0, (int64_t)last);
        if (other != at && random_below(&own, 2) == 0)
            market->marks[i].slope = (market->bars.low[other] - market->bars.low[at]) /
                                     ((double)other - (double)at);
        market->marks[i].withdrawn = random_below(&own, 4) == 0;
        if (market->marks[i].withdrawn)
            market->marks[i].until = market->bars
                                         .time[random_between(&own, (int64_t)from, (int64_t)last)];
    }
}

/* Another instrument beside it, on the same times but for a few and with bars
 * of its own before them. */
static bool draw_other(struct walk walk, struct random_market *market)
{
    struct error error;
    struct random_stream own;
    random_start(&own, (uint64_t)market->bars.time[0], market->bars.count);
    walk.stream = &own;
    int64_t before = random_between(walk.stream, 0, 30);
    int64_t time = market->bars.time[0] - before * walk.length->step;
    walk.price = random_between(walk.stream, 300, 3000);
    instrument_init(&market->other_instrument, RANDOM_OTHER);
    for (size_t i = 0; i < market->bars.count; time += walk.length->step) {
        struct bar bar;
        if (time >= market->bars.time[0])
            time = market->bars.time[i++];
        next_regime(&walk);
        if (random_percent(walk.stream, 4))
            continue;
        draw_bar(&walk, &market->tick, time, random_percent(walk.stream, 50),
                 (size_t)random_between(walk.stream, 1, 12), &bar);
        if (bars_append(&market->other, &bar, &error) != ERROR_NONE)
            return false;
    }
    market->others[0] = (struct other_bars){&market->other, &market->other_instrument};
    market->around.others = market->others;
    market->around.other_count = 1;
    return true;
}

bool random_market_init(struct random_market *market, struct random_stream *stream, size_t most)
{
    static const double ticks[] = {0.01, 0.05, 0.25, 1, 0.0001, 0.1, 0.125};
    int64_t middle = random_percent(stream, 60)   ? random_between(stream, 300, 3000)
                     : random_percent(stream, 50) ? random_between(stream, -60, 60)
                                                  : random_between(stream, -2000, -300);
    struct walk walk = {.stream = stream,
                        .length = draw_length(stream),
                        .price = middle,
                        .weekends = random_percent(stream, 30),
                        .no_volume = random_percent(stream, 8)};
    bool finer = random_percent(stream, 45);
    size_t count = (size_t)random_between(stream, 60, (int64_t)most);
    *market = (struct random_market){.ended = random_percent(stream, 15)};
    bars_init(&market->bars);
    bars_init(&market->finer);
    bars_init(&market->other);
    market->other.interval = walk.length->interval;
    market->bars.interval = walk.length->interval;
    market->finer.interval = walk.length->finer;
    if (!tick_from_number(&market->tick,
                          ticks[random_below(stream, sizeof ticks / sizeof *ticks)]) ||
        !draw_bars(&walk, market, count, finer)) {
        random_market_free(market);
        return false;
    }
    draw_surroundings(market, stream);
    market->around.tick = &market->tick;
    if (draw_other(walk, market))
        return true;
    random_market_free(market);
    return false;
}

void random_market_free(struct random_market *market)
{
    bars_free(&market->bars);
    bars_free(&market->finer);
    bars_free(&market->other);
}
