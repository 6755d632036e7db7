/* The orders of a plan as they are typed. */
#include "base/words.h"
#include "work/plan_parts.h"

#include <stdio.h>

void plan_price_words(char text[FRACTION_TEXT_SIZE], const struct instrument *instrument,
                      struct fraction price)
{
    fraction_format(text, price, instrument->tick_known ? instrument->tick.digits : 0, 15);
}

static void resting_line(struct text *text, const struct plan *plan,
                         const struct order_words *words)
{
    const char *verb = plan->is_short ? "sell" : "buy";
    if (words->either)
        text_append_format(text,
                           "%s %s at %s (a stop order while the market is %s it, a limit order "
                           "while it is %s)",
                           verb, plan->size, plan->entry, plan->is_short ? "above" : "below",
                           plan->is_short ? "below" : "above");
    else
        text_append_format(text, "%s %s %s at %s", verb,
                           words->kind == ENTRY_STOP_ORDER ? "stop" : "limit", plan->size,
                           plan->entry);
}

/* With a tick the entry is the first price beyond the level, else the level itself. */
static void close_words(struct text *text, const struct plan *plan, bool tick)
{
    if (tick)
        text_append_format(text, "closes at %s or %s", plan->entry,
                           plan->is_short ? "lower" : "higher");
    else
        text_append_format(text, "closes %s %s", plan->is_short ? "below" : "above", plan->entry);
}

static void waiting_line(struct text *text, const struct plan *plan, bool tick,
                         const struct order_words *words)
{
    text_append(text, "if it ");
    close_words(text, plan, tick);
    if (words->kind == ENTRY_RETEST) {
        text_append(text, ", comes back to it and ");
        close_words(text, plan, tick);
        text_append(text, " again");
    }
    if (words->help != NULL)
        text_append_format(text, " (%s%s)", words->help,
                           words->moves ? "; the price is that of the next bar" : "");
    text_append_format(text, ", %s %s %s", plan->is_short ? "sell" : "buy", plan->size,
                       words->at_close ? "at that close" : "at the next open");
}

static void entry_line(struct text *text, const struct plan *plan, bool tick,
                       const struct order_words *words)
{
    const char *bars = count_word(words->valid, "bar", "bars");
    switch (words->kind) {
    case ENTRY_STOP_ORDER:
    case ENTRY_LIMIT:
        resting_line(text, plan, words);
        if (words->valid > 0)
            text_append_format(text, ", good for %zu %s", words->valid, bars);
        break;
    case ENTRY_MARKET:
        text_append_format(text, "%s %s at the next open", plan->is_short ? "sell" : "buy",
                           plan->size);
        break;
    case ENTRY_CLOSE:
        waiting_line(text, plan, tick, words);
        text_append_format(text, ", good for %zu %s", words->valid, bars);
        break;
    case ENTRY_RETEST:
        waiting_line(text, plan, tick, words);
        text_append_format(text, ", the first close within %zu %s, the other within %zu after it",
                           words->valid, bars, words->valid_again);
        break;
    }
}

bool plan_make_lines(struct plan *plan, const struct instrument *instrument,
                     const struct order_words *words)
{
    const char *back = plan->is_short ? "buy" : "sell";
    struct text text;
    text_init(&text);
    entry_line(&text, plan, instrument->tick_known, words);
    /* Before there is a position either of these would open one. */
    text_append_format(&text, "; once it is filled: %s stop %s at %s", back, plan->size,
                       plan->stop);
    if (plan->target[0] != '\0')
        text_append_format(&text, " and %s limit %s at %s, of which one filled cancels the other",
                           back, plan->size, plan->target);
    if (plan->target[0] != '\0' && words->targets > 1)
        text_append_format(&text, " (the nearest of %zu targets, here for the whole size)",
                           words->targets);
    if (words->time_stop > 0)
        text_append_format(&text, "; out at the close %zu %s after the entry bar", words->time_stop,
                           count_word(words->time_stop, "bar", "bars"));
    bool made = !text_failed(&text);
    snprintf(plan->lines, sizeof plan->lines, "%s", text.bytes);
    text_free(&text);
    return made;
}
