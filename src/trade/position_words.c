#include "candles/anatomy.h"
#include "trade/position.h"

#include <math.h>

const struct trade_word *words_last(const struct trade_words *words, enum trade_word_kind kind)
{
    for (size_t i = words != NULL ? words->count : 0; i-- > 0;)
        if (words->list[i].kind == kind)
            return &words->list[i];
    return NULL;
}

/* From the chart to the own side, and back. */
static double turned(const struct simulation *simulation, double price)
{
    return simulation->short_side && price != 0 ? -price : price;
}

void fill_by_word(const struct simulation *simulation, struct fill *fill)
{
    const struct trade_word *word = words_last(simulation->words, WORD_FILLED);
    const struct bars *bars = simulation->bars;
    if (word == NULL)
        return;
    /* A bar that is not known yet: as if at the close of the last one. */
    bool later = word->bar >= simulation->count;
    size_t bar = later ? simulation->count - 1 : word->bar;
    double stop = isnan(simulation->planned_stop) ? turned(simulation, word->stop)
                                                  : simulation->planned_stop;
    double price = turned(simulation, word->price);
    bool inside = !later && price != bars->open[bar];
    bool beyond = above(price, stop, price_tolerance(bars, bar, bar)) == TRUTH_YES;
    *fill = (struct fill){.outcome = beyond ? TRADE_OPEN : TRADE_UNFILLED,
                          .note = beyond ? "" : "it was filled at or beyond the stop",
                          .bar = bar,
                          .price = price,
                          .stop = stop,
                          .at_close = later,
                          .inside = inside,
                          .pulled_back = inside &&
                                         simulation->setup->entry.entry->kind == ENTRY_LIMIT};
}

/* --- stops, targets and the close -------------------------------------------------------- */

static void move_stop(struct position *position, const struct trade_word *word)
{
    double price = turned(position->simulation, word->price);
    size_t last = position->simulation->count - 1;
    size_t bar = word->bar < last ? word->bar : last;
    /* A stop where the rules have it is theirs. */
    if (fabs(price - position->stop) <= price_tolerance(position->simulation->bars, bar, bar))
        return;
    position->stop = price;
    position->trailed = false;
    position->at_break_even = false;
    position_note(position, bar, price, 0, TRADE_STOP);
}

static void move_target(struct position *position, const struct trade_word *word)
{
    size_t place = position->target_next;
    if (place == position->target_count) {
        if (place == TARGET_LIMIT)
            return;
        position->targets[position->target_count++].share = 1;
    }
    struct position_target moved = {turned(position->simulation, word->price),
                                    position->targets[place].share};
    for (; place + 1 < position->target_count && position->targets[place + 1].price < moved.price;
         place++)
        position->targets[place] = position->targets[place + 1];
    position->targets[place] = moved;
}

/* Those of bars before `bar` that were not heard yet. */
static void hear_moved(struct position *position, size_t bar)
{
    const struct trade_words *words = position->simulation->words;
    for (; words != NULL && position->word_next < words->count; position->word_next++) {
        const struct trade_word *word = &words->list[position->word_next];
        if (word->bar >= bar)
            return;
        if (word->kind == WORD_STOP)
            move_stop(position, word);
        else if (word->kind == WORD_TARGET)
            move_target(position, word);
    }
}

bool position_hear(struct position *position, size_t bar)
{
    hear_moved(position, bar);
    if (position->closing == NULL || position->closing->bar > bar)
        return false;
    if (bar != position->fill.bar)
        position_reach(position, position->simulation->bars->open[bar]);
    position_leave(position, bar, turned(position->simulation, position->closing->price),
                   position->remaining, TRADE_BY_HAND);
    return true;
}

void position_hear_rest(struct position *position)
{
    if (position->remaining == 0)
        return;
    hear_moved(position, SIZE_MAX);
    if (position->closing != NULL)
        position_leave(position, position->simulation->count - 1,
                       turned(position->simulation, position->closing->price), position->remaining,
                       TRADE_BY_HAND);
}

/* --- what stands ------------------------------------------------------------------------- */

void position_stand(const struct position *position, struct trade_standing *standing)
{
    const struct simulation *simulation = position->simulation;
    size_t last = simulation->count - 1;
    size_t limit = simulation->setup->exit.time_stop;
    double close = simulation->bars->close[last];
    double left = position->remaining;
    standing->remaining = position->remaining;
    if (position->remaining == 0)
        return;
    standing->stop = turned(simulation, position->stop);
    standing->leave_at_open = position->leave_at_open;
    standing->bars_left = limit > 0 && position->fill.bar + limit > last
                              ? position->fill.bar + limit - last
                              : 0;
    for (size_t i = position->target_next; i < position->target_count && left > 0; i++) {
        size_t place = standing->target_count++;
        standing->targets[place] = turned(simulation, position->targets[i].price);
        standing->shares[place] = fmin(position->targets[i].share, left);
        left -= standing->shares[place];
    }
    double costs = order_costs(simulation, position->fill.bar, position->fill.price, true, true) +
                   position->exit_costs +
                   position->remaining * position_exit_costs(position, last, close, true);
    double gross = position->proceeds + position->remaining * close - position->fill.price;
    standing->open_r = (gross - costs) / position->risk;
}
