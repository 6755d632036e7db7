/* The sentences of a case sheet. */
#include "figures/case_parts.h"

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
    text_append(text, ": ");
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

static void append_buffer(struct text *text, const struct buffer *buffer)
{
    if (buffer->atr > 0)
        text_append_format(text, ", %g ATR beyond", buffer->atr);
    else if (buffer->ticks > 0)
        text_append_format(text, ", %g tick%s beyond", buffer->ticks,
                           buffer->ticks == 1 ? "" : "s");
}

/* The numbers of a row: " (times 2)". */
static void append_numbers(struct text *text, const struct parameter *parameters,
                           const double *values)
{
    bool any = false;
    for (size_t i = 0; i < parameter_count(parameters); i++) {
        if (isnan(values[i]) || parameters[i].kind == PARAMETER_WORD)
            continue;
        text_append(text, any ? ", " : " (");
        append_word(text, parameters[i].name);
        text_append_format(text, " %g", values[i]);
        any = true;
    }
    text_append(text, any ? ")" : "");
}

static void append_entry(const struct case_facts *facts, struct text *text)
{
    const struct entry_rule *rule = &facts->setup->entry;
    bool is_short = facts->is_short;
    const char *name = is_short && rule->entry->mirror_name != NULL ? rule->entry->mirror_name
                                                                    : rule->entry->name;
    text_append(text, is_short ? "Sell: " : "Buy: ");
    append_word(text, name);
    append_numbers(text, rule->entry->parameters, rule->values);
    append_buffer(text, &rule->buffer);
    if (!isnan(facts->path.order_price)) {
        text_append(text, ", at ");
        append_price(facts, text, facts->path.order_price);
    }
    if (rule->entry->kind != ENTRY_MARKET)
        text_append_format(text, ", for %zu bar%s", rule->valid, rule->valid == 1 ? "" : "s");
    text_append(text, ". ");
}

static void append_stop(const struct case_facts *facts, struct text *text)
{
    const struct stop_rule *rule = &facts->setup->stop;
    const char *several = facts->is_short ? "highest of " : "lowest of ";
    text_append(text, "Stop: ");
    text_append(text, rule->count > 1 ? several : "");
    for (size_t i = 0; i < rule->count; i++) {
        const struct stop *stop = rule->members[i].stop;
        text_append(text, i > 0 ? ", " : "");
        append_word(text,
                    facts->is_short && stop->mirror_name != NULL ? stop->mirror_name : stop->name);
    }
    append_buffer(text, &rule->buffer);
    if (isnan(facts->stop))
        text_append(text, ", known at the fill");
    else {
        text_append(text, ", at ");
        append_price(facts, text, facts->stop);
    }
    text_append(text, ". ");
}

static void append_exits(const struct case_facts *facts, struct text *text)
{
    const struct exit_rule *rule = &facts->setup->exit;
    for (size_t i = 0; i < rule->target_count; i++) {
        const struct target *target = &rule->targets[i];
        text_append(text, i == 0 ? "Target: " : ", then ");
        if (target->share < 1)
            text_append_format(text, "%.4g %% at ", target->share * 100);
        if (target->kind == TARGET_R)
            text_append_format(text, "%g R", target->value);
        else
            text_append_format(text, "%.4g %% of the %s", target->value * 100,
                               facts->is_short ? "rise" : "fall");
    }
    text_append(text, rule->target_count > 0 ? ". " : "");
    if (!isnan(rule->break_even_at_r))
        text_append_format(text, "Stop to the entry at %g R. ", rule->break_even_at_r);
    if (rule->trail == TRAIL_SWING)
        text_append_format(text, "The stop follows the swings of strength %g. ", rule->trail_value);
    if (rule->trail == TRAIL_ATR)
        text_append_format(text, "The stop follows at %g ATR. ", rule->trail_value);
    if (rule->when.count > 0)
        text_append_format(text, "Out at the next open when %zu condition%s hold. ",
                           rule->when.count, rule->when.count == 1 ? "" : "s");
    if (rule->time_limit > 0)
        text_append_format(text, "Out at the close after %zu bars.", rule->time_limit);
}

void case_plan(const struct case_facts *facts, struct text *text)
{
    append_entry(facts, text);
    append_stop(facts, text);
    append_exits(facts, text);
}

static void append_exit(const struct case_facts *facts, struct text *text)
{
    const struct trade *trade = &facts->trade;
    char time[TICK_TEXT_SIZE];
    char r[TICK_TEXT_SIZE];
    if (!trade_closed(trade->reason)) {
        text_append(text, "Still open on the last bar. ");
        return;
    }
    case_time(facts, trade->exit_bar, time);
    case_r_text(trade->r, r);
    text_append_format(text, "Out on %s by %s at ", time, trade_reason_name(trade->reason));
    append_price(facts, text, trade->exit);
    text_append_format(text, ", after %zu bar%s: %s after costs. ", trade->bars,
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
        text_append_format(text, "Of %zu trades %s %zu did at least as well, this one included", of,
                           where, as_good);
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
    if (structure)
        text_append(text, " Angles mark swings, rings those that touch a zone.");
    text_append(text, " The ruled lines are entry (whole), stop (broken) and target (dotted).");
    if (facts->request->outcome)
        text_append(text, " A filled dot is the fill, an open one an exit.");
    else
        text_append(text, " Nothing after the signal is shown or was used.");
}
