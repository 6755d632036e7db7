/* The sentences of a case sheet. A row that has no words of its own here is told by
 * those of its table. */
#include "figures/case_parts.h"

#include "base/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A word of the setup file as it is read aloud. */
static void append_word(struct text *text, const char *word)
{
    for (; *word != '\0'; word++)
        text_append_char(text, *word == '_' || *word == '-' ? ' ' : *word);
}

static const char *shape_of(const struct case_facts *facts)
{
    return shape_name(&facts->setup->candles[facts->request->signal.candle.choice]);
}

void case_title(const struct case_facts *facts, struct text *text)
{
    char time[TICK_TEXT_SIZE];
    case_time(facts, facts->candle, time);
    text_append(text, facts->request->instrument);
    text_append(text, facts->request->nearly ? ": nearly a case of " : ": ");
    append_word(text, shape_of(facts));
    text_append_format(text, " of %s", time);
}

void case_subtitle(const struct case_facts *facts, struct text *text)
{
    char interval[INTERVAL_TEXT_SIZE];
    interval_format(interval, facts->bars->interval);
    text_append(text, facts->setup->title != NULL ? facts->setup->title : facts->setup->name);
    text_append_format(text, " · setup %s, %s", facts->setup->name, side_name(facts->setup->side));
    if (interval[0] != '\0')
        text_append_format(text, ", bars of %s", interval);
}

static void append_price(const struct case_facts *facts, struct text *text, double price)
{
    char number[TICK_TEXT_SIZE];
    case_price(facts, price, number);
    text_append(text, number);
}

const char *case_reason(enum trade_reason reason)
{
    static const char *const words[] = {
        [TRADE_STOP] = "at the stop",
        [TRADE_TARGET] = "at the target",
        [TRADE_TIME] = "by time",
        [TRADE_TRAIL] = "at the stop that followed",
        [TRADE_BREAK_EVEN] = "at the stop moved to the fill",
        [TRADE_WHEN] = "on the conditions",
        [TRADE_ENDED] = "with the instrument's end",
        [TRADE_BY_HAND] = "by hand",
    };
    return trade_closed(reason) ? words[reason] : trade_reason_name(reason);
}

/* "1 tick ", "0.25 ATR ": the distance that a buffer adds, "" for none. */
static void append_buffer(struct text *text, const struct buffer *buffer)
{
    if (buffer->atr > 0)
        text_append_format(text, "%g ATR ", buffer->atr);
    else if (buffer->ticks > 0)
        text_append_format(text, "%g tick%s ", buffer->ticks, buffer->ticks == 1 ? "" : "s");
}

static const char *beyond(const struct case_facts *facts)
{
    return facts->is_short ? "below" : "above";
}

/* What is on the losing side of a price. */
static const char *behind(const struct case_facts *facts)
{
    return facts->is_short ? "above" : "below";
}

static void append_retest(const struct case_facts *facts, struct text *text)
{
    const struct entry_rule *rule = &facts->setup->entry;
    const char *line = facts->is_short ? "the rising trend line" : "the falling trend line";
    text_append_format(text, "a close %s ", beyond(facts));
    if (rule->retest_of == RETEST_RETRACEMENT)
        text_append_format(text, "%.4g %% of the %s", rule->values[0] * 100,
                           facts->is_short ? "rise" : "fall");
    else if (rule->retest_of == RETEST_TREND_LINE)
        text_append(text, line);
    else
        text_append_format(text, "the last swing %s", facts->is_short ? "low" : "high");
    text_append_format(text,
                       " within %g bars, a return to it within %g more, and a close that holds it",
                       rule->values[4], rule->values[5]);
}

/* What an entry that waits for a close waits for. */
static void append_awaited(const struct case_facts *facts, struct text *text)
{
    const char *name = facts->setup->entry.entry->name;
    const char *side = beyond(facts);
    if (strcmp(name, "close_above_high") == 0) {
        text_append(text, "a close ");
        append_buffer(text, &facts->setup->entry.buffer);
        text_append_format(text, "%s the candle", side);
    } else if (strcmp(name, "bullish_candle") == 0) {
        text_append_format(text, "a %s candle that closes %s this one's close",
                           facts->is_short ? "falling" : "rising", side);
    } else if (strcmp(name, "swing_high_break") == 0) {
        text_append_format(text, "a close %s the last swing %s", side,
                           facts->is_short ? "low" : "high");
    } else if (strcmp(name, "trend_line_break") == 0) {
        text_append_format(text, "a close that breaks the %s trend line",
                           facts->is_short ? "rising" : "falling");
    } else {
        text_append(text, facts->setup->entry.entry->help);
    }
}

static void append_entry(const struct case_facts *facts, struct text *text)
{
    const struct entry_rule *rule = &facts->setup->entry;
    const char *verb = facts->is_short ? "Sell" : "Buy";
    const char *when = rule->at_close ? "at" : "at the open after";
    if (rule->entry->kind == ENTRY_MARKET) {
        text_append_format(text, "%s at the next open. ", verb);
        return;
    }
    if (rule->entry->kind == ENTRY_LIMIT) {
        text_append_format(text,
                           "%s when the price comes back %.4g %% of the candle's range from "
                           "its close",
                           verb, rule->values[0] * 100);
        if (!isnan(facts->path.order_price)) {
            text_append(text, ", at ");
            append_price(facts, text, facts->path.order_price);
        }
    } else if (rule->entry->kind == ENTRY_STOP_ORDER) {
        text_append_format(text, "%s when the price comes ", verb);
        append_buffer(text, &rule->buffer);
        text_append_format(text, "%s the candle", beyond(facts));
        if (!isnan(facts->path.order_price)) {
            text_append(text, ", at ");
            append_price(facts, text, facts->path.order_price);
        }
    } else {
        text_append_format(text, "%s %s ", verb, when);
        if (rule->entry->kind == ENTRY_RETEST)
            append_retest(facts, text);
        else
            append_awaited(facts, text);
    }
    if (rule->entry->kind != ENTRY_RETEST)
        text_append_format(text, ", within %zu bar%s", rule->valid, rule->valid == 1 ? "" : "s");
    text_append(text, ". ");
}

/* One stop of the rule. */
static void append_stop_member(const struct case_facts *facts, struct text *text,
                               const struct stop_member *member)
{
    const char *name = member->stop->name;
    const char *extreme = facts->is_short ? "high" : "low";
    if (strcmp(name, "atr") == 0) {
        bool order = entry_rests(facts->setup->entry.entry);
        text_append_format(text, "%g ATR %s the %s", member->values[0], behind(facts),
                           order ? "entry" : "fill");
        return;
    }
    append_buffer(text, &facts->setup->stop.buffer);
    if (strcmp(name, "candle_low") == 0)
        text_append_format(text, "%s the candle", behind(facts));
    else if (strcmp(name, "lowest_low") == 0)
        text_append_format(text, "%s the %s of %g bars", behind(facts),
                           facts->is_short ? "highest high" : "lowest low", member->values[0]);
    else if (strcmp(name, "retracement") == 0)
        text_append_format(text, "%s %.4g %% of the %s", behind(facts), member->values[0] * 100,
                           facts->is_short ? "rise" : "fall");
    else if (strcmp(name, "swing_low") == 0)
        text_append_format(text, "%s the last swing %s", behind(facts), extreme);
    else if (strcmp(name, "leg_low") == 0)
        text_append_format(text, "%s the %s of the return", behind(facts), extreme);
    else
        text_append(text, member->stop->help);
}

static void append_stop(const struct case_facts *facts, struct text *text)
{
    const struct stop_rule *rule = &facts->setup->stop;
    text_append(text, "Stop ");
    if (rule->several)
        text_append_format(text, "at the %s of these: ", facts->is_short ? "highest" : "lowest");
    for (size_t i = 0; i < rule->count; i++) {
        text_append(text, i > 0 ? "; " : "");
        append_stop_member(facts, text, &rule->members[i]);
    }
    if (isnan(facts->stop)) {
        text_append(text, ", known at the fill");
    } else {
        text_append(text, ", at ");
        append_price(facts, text, facts->stop);
    }
    text_append(text, ". ");
}

static void append_own_level(const struct case_facts *facts, struct text *text, double number)
{
    if (number == 1)
        text_append_format(text, "at the first level of one's own %s the fill", beyond(facts));
    else
        text_append_format(text, "at level %g of one's own %s the fill", number, beyond(facts));
}

static void append_target(const struct case_facts *facts, struct text *text, size_t i)
{
    const struct exit_rule *rule = &facts->setup->exit;
    const struct target *target = &rule->targets[i];
    double left = 1;
    for (size_t k = 0; k <= i; k++)
        left -= rule->targets[k].share;
    text_append(text, i == 0 ? "" : ", ");
    if (target->share < 1 && i > 0 && fabs(left) < 1e-9)
        text_append(text, "the rest ");
    else if (target->share < 1)
        text_append_format(text, "%.4g %% ", target->share * 100);
    if (target_is_r(target->kind))
        text_append_format(text, "at %g R", target->value);
    else if (target_is_of_fall(target->kind))
        text_append_format(text, "at %.4g %% of the %s", target->value * 100,
                           facts->is_short ? "rise" : "fall");
    else if (target_is_own_level(target->kind))
        append_own_level(facts, text, target->value);
    else
        text_append_format(text, "at the last swing %s", facts->is_short ? "low" : "high");
}

/* The exit by conditions, each as it stands in the setup. */
static void append_conditions(struct text *text, const struct criteria *when)
{
    text_append(text, "Out at the next open after a close at which ");
    for (size_t i = 0; i < when->count; i++) {
        const struct criterion *item = &when->list[i];
        text_append(text, i == 0 ? "" : " and ");
        if (item->kind == CRITERION_CONDITION)
            append_word(text, item->mirrored && item->condition->mirror_name != NULL
                                  ? item->condition->mirror_name
                                  : item->condition->name);
        else
            text_append(text, "a group of conditions");
    }
    text_append(text, when->count == 1 ? " holds. " : " hold. ");
}

static void append_trail(const struct case_facts *facts, struct text *text)
{
    const struct exit_rule *rule = &facts->setup->exit;
    const char *name = rule->trail->name;
    if (trail_follows_swings(rule->trail))
        text_append_format(text, "The stop follows %s the swing %ss. ", behind(facts),
                           facts->is_short ? "high" : "low");
    else if (strcmp(name, "atr") == 0)
        text_append_format(text, "The stop follows %g ATR %s the best close. ", rule->trail_value,
                           behind(facts));
    else if (strcmp(name, "lowest_low") == 0)
        text_append_format(text, "The stop follows %s the %s of %g bars. ", behind(facts),
                           facts->is_short ? "highest high" : "lowest low", rule->trail_value);
    else if (strcmp(name, "average") == 0)
        text_append_format(text, "The stop follows the average of %g closes. ", rule->trail_value);
    else
        text_append_format(text, "The stop follows: %s. ", rule->trail->help);
}

static void append_exits(const struct case_facts *facts, struct text *text)
{
    const struct exit_rule *rule = &facts->setup->exit;
    text_append(text, rule->target_count > 0 ? "Out " : "");
    for (size_t i = 0; i < rule->target_count; i++)
        append_target(facts, text, i);
    text_append(text, rule->target_count > 0 ? ". " : "");
    if (!isnan(rule->break_even_at_r))
        text_append_format(text, "From %g R on the stop is the fill. ", rule->break_even_at_r);
    if (rule->trail != NULL)
        append_trail(facts, text);
    if (rule->when.count > 0)
        append_conditions(text, &rule->when);
    if (rule->time_stop > 0)
        text_append_format(text, "Out at the close after %zu bar%s.", rule->time_stop,
                           rule->time_stop == 1 ? "" : "s");
}

/* Why a bar that nearly is a case is none. */
static void append_missed(const struct case_facts *facts, struct text *text)
{
    const struct check *failed = facts->failed;
    char name[READING_NAME_SIZE];
    text_append(text, "No signal: all but one of the criteria hold");
    if (failed != NULL)
        text_append_format(text, ". What fails is \u201c%s%s\u201d, by %.2g%s",
                           failed->negated ? "not: " : "", reading_name(&failed->reading, name),
                           failed->reading.kind == READING_PRICE ? facts->missed_by
                                                                 : 100 * facts->missed_by,
                           failed->reading.kind == READING_PRICE ? " ATR" : " % of its limit");
    text_append(text, ". No order would have been placed.");
}

void case_plan(const struct case_facts *facts, struct text *text)
{
    if (facts->request->nearly) {
        append_missed(facts, text);
        return;
    }
    append_entry(facts, text);
    append_stop(facts, text);
    append_exits(facts, text);
}

/* Every exit with its share, day, price and reason; an average of prices is
 * never given as one. */
static void append_exit(const struct case_facts *facts, struct text *text)
{
    const struct trade *trade = &facts->trade;
    char time[TICK_TEXT_SIZE];
    char r[TICK_TEXT_SIZE];
    bool any = false;
    for (size_t i = 0; i < facts->path.count; i++) {
        const struct trade_step *step = &facts->path.steps[i];
        if (!(step->share > 0))
            continue;
        case_time(facts, step->bar, time);
        text_append(text, any ? ", " : "Out ");
        if (step->share < 1 - 1e-9)
            text_append_format(text, "%.4g %% ", step->share * 100);
        text_append_format(text, "on %s %s, ", time, case_reason(step->reason));
        append_price(facts, text, step->price);
        any = true;
    }
    text_append(text, any ? ". " : "");
    if (!trade_closed(trade->reason)) {
        text_append(text, "Still open on the last bar. ");
        return;
    }
    case_r_text(trade->r, r);
    text_append_format(text, "After %zu bar%s: %s after costs. ", trade->bars,
                       trade->bars == 1 ? "" : "s", r);
}

void case_followed(const struct case_facts *facts, struct text *text)
{
    const struct trade *trade = &facts->trade;
    char time[TICK_TEXT_SIZE];
    char worst[TICK_TEXT_SIZE];
    char best[TICK_TEXT_SIZE];
    if (!facts->request->outcome)
        return;
    if (!facts->filled) {
        text_append_format(text, "No trade: %s%s%s.", trade_reason_name(trade->reason),
                           trade->note[0] != '\0' ? ", " : "", trade->note);
        return;
    }
    case_time(facts, trade->entry_bar, time);
    case_r_text(trade->mae_r, worst);
    case_r_text(trade->mfe_r, best);
    text_append_format(text, "Filled on %s at ", time);
    append_price(facts, text, trade->entry);
    text_append(text, ". ");
    append_exit(facts, text);
    text_append_format(text, "On the way: worst %s, best %s.", worst, best);
    if (trade->same_bar)
        text_append_format(text, " One bar reached both sides; the rule \u201c%s\u201d decided.",
                           same_bar_name(facts->setup->same_bar));
}

/* Trades of which a share in per cent would say too much. */
enum { FEW = 20 };

/* R that are taken for the same. */
static const double EQUAL = 1e-6;

/* A share in whole per cent, rounded up: "the best 2 %" holds it. */
static int share_of(size_t place, size_t of)
{
    return (int)ceil(100.0 * (double)place / (double)of - 1e-9);
}

void case_rank(const struct case_facts *facts, struct text *text)
{
    const struct case_request *request = facts->request;
    double r = facts->trade.r;
    size_t as_good = 0;
    size_t as_bad = 0;
    double sum = 0;
    char mean[TICK_TEXT_SIZE];
    if (!facts->filled || !trade_closed(facts->trade.reason) || request->ranked_count < 2)
        return;
    /* Equal results count on both sides: many trades end at one target. */
    for (size_t i = 0; i < request->ranked_count; i++) {
        as_good += request->ranked[i] >= r - EQUAL;
        as_bad += request->ranked[i] <= r + EQUAL;
        sum += request->ranked[i];
    }
    size_t of = request->ranked_count;
    case_r_text(sum / (double)of, mean);
    static const char where[] = "of this setup on this instrument";
    if (of < FEW)
        text_append_format(text, "Of %zu %s %s %zu did at least as well, this one included", of,
                           count_word(of, "trade", "trades"), where, as_good);
    else if (as_good <= as_bad)
        text_append_format(text, "This trade is among the best %d %% of %zu %s",
                           share_of(as_good, of), of, where);
    else
        text_append_format(text, "This trade is among the worst %d %% of %zu %s",
                           share_of(as_bad, of), of, where);
    text_append_format(text,
                       "; their mean is %s. One chart shows what can happen, not what usually "
                       "does.",
                       mean);
}

void case_caption(const struct case_facts *facts, bool structure, struct text *text)
{
    text_append_format(text,
                       "Figure %d. Hollow candles closed above their open, filled ones at or "
                       "below it.",
                       facts->request->number);
    if (structure && facts->uses.swings)
        text_append(text, facts->uses.zones ? " Angles mark swings, rings those that touch a zone."
                                            : " Angles mark swings.");
    if (facts->request->nearly) {
        text_append(text, " Nothing after the bar is shown or was used.");
        return;
    }
    text_append(text, " The ruled lines are entry (whole), stop (broken) and target (dotted).");
    if (!facts->request->outcome) {
        text_append(text, " Nothing after the signal is shown or was used.");
        return;
    }
    text_append(text, " A filled dot is the fill, an open one an exit.");
    if (facts->uses.trend_line || facts->uses.neckline)
        text_append(text, " A cross is where a line is broken.");
}
