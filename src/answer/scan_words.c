/* The words below a scan. */
#include "answer/scan.h"
#include "answer/untold.h"
#include "base/calendar.h"
#include "document/cautions.h"
#include "document/paragraph.h"
#include "draw/ticks.h"

#include <stdio.h>

/* More instruments than this are counted, not named. */
enum { MOST_NAMED = 10 };

static const char *plural(size_t count)
{
    return count == 1 ? "" : "s";
}

/* Appends the sentences broken to lines, each from a line's beginning. */
static void append_broken(struct text *text, struct text *sentences)
{
    struct text lines;
    text_init(&lines);
    text_append_paragraph(&lines, sentences->bytes, 0);
    if (lines.length > 0) {
        text_append_char(text, '\n');
        text_append_bytes(text, lines.bytes, lines.length - 1);
    }
    text->failed = text->failed || text_failed(&lines) || text_failed(sentences);
    text_free(&lines);
    text_free(sentences);
}

/* Those behind by less than a month, or by more. */
static void say_behind(struct text *text, const struct newest_bars *bars, bool for_long)
{
    static const char *const heads[] = {"Behind their own sessions: ",
                                        "Without a bar for more than a month: "};
    size_t behind = 0;
    for (size_t i = 0; i < bars->count; i++) {
        char time[CALENDAR_TEXT_SIZE];
        const struct newest_bar *bar = &bars->list[i];
        if (!newest_bar_behind(bars, i) || newest_bar_long_behind(bars, i) != for_long ||
            behind++ >= MOST_NAMED)
            continue;
        time_format(time, bar->time, bar->dated);
        if (behind == 1)
            text_append(text, text->length > 0 ? " " : "");
        text_append_format(text, "%s%s (newest bar: %s)", behind == 1 ? heads[for_long] : ", ",
                           bar->instrument, time);
    }
    if (behind > MOST_NAMED)
        text_append_format(text, " and %zu more", behind - MOST_NAMED);
    if (behind > 0)
        text_append(text, for_long ? ". They have ended without a last date noted, or their "
                                     "prices are no longer brought in."
                                   : ". Newer bars of others are there; or it was a holiday.");
}

void scan_age_words(struct text *text, const struct newest_bars *bars,
                    const struct scan_facts *facts)
{
    struct text behind;
    if (facts->history)
        return;
    text_init(&behind);
    say_behind(&behind, bars, false);
    say_behind(&behind, bars, true);
    append_broken(text, &behind);
    if (facts->to_clock && newest_bars_all_due(bars, facts->now))
        text_append(text, "\nBy the clock of this machine newer bars are due for every instrument: "
                          "nothing here is of today.");
}

static void newest_words(char text[CALENDAR_TEXT_SIZE], const struct newest_bars *bars)
{
    const struct newest_bar *newest = NULL;
    for (size_t i = 0; i < bars->count; i++)
        if (newest == NULL || bars->list[i].time > newest->time)
            newest = &bars->list[i];
    if (newest != NULL)
        time_format(text, newest->time, newest->dated);
    else
        snprintf(text, CALENDAR_TEXT_SIZE, "no bar");
}

static void say_caution(struct text *text)
{
    text_append(text, "\nA signal says that the rule is met, not that a trade will pay.\n");
    text_append_caution(text, caution_plan);
}

static void say_advice(struct text *text, const struct scan_facts *facts)
{
    if (!facts->history && facts->advice != NULL)
        text_append_format(text, " %s", facts->advice);
}

void scan_signals_closing(struct text *text, const struct scan_sum *sum,
                          const struct scan_facts *facts)
{
    char newest[CALENDAR_TEXT_SIZE] = "no bar";
    size_t fresh = sum->found - sum->old;
    if (sum->newest != INT64_MIN)
        time_format(newest, sum->newest, sum->dated);
    text_append_format(text, "%zu signal%s in %zu instrument%s, %s (newest bar: %s).", fresh,
                       plural(fresh), sum->instruments, plural(sum->instruments),
                       facts->history ? "of the whole history" : "on the newest bar of each",
                       newest);
    if (sum->found == 0)
        say_advice(text, facts);
    if (sum->old > 0)
        text_append_format(text,
                           "\n%zu signal%s more %s on the last bar of an instrument for which "
                           "newer bars are due.",
                           sum->old, plural(sum->old), sum->old == 1 ? "is" : "are");
    scan_age_words(text, &sum->bars, facts);
    text_append_untold(text, sum->untold);
    text_append_dated_back(text, sum->dated_back, "signal");
    say_caution(text);
}

void scan_nearly_closing(struct text *text, const struct evening *evening,
                         const struct scan_facts *facts)
{
    char newest[CALENDAR_TEXT_SIZE];
    newest_words(newest, &evening->newest);
    text_append_format(text, "%zu bar%s in %zu instrument%s fail%s one criterion only",
                       evening->count, plural(evening->count), evening->instruments,
                       plural(evening->instruments), evening->count == 1 ? "s" : "");
    if (!facts->history)
        text_append_format(text, ", on the newest bar of each (newest bar: %s)", newest);
    if (facts->shown < evening->count)
        text_append_format(text, "; the nearest %zu of them stand%s here", facts->shown,
                           facts->shown == 1 ? "s" : "");
    text_append(text, evening->count > 0
                          ? "; missed by: prices in ATR, the rest as a share of the limit."
                          : ".");
    if (evening->count == 0)
        say_advice(text, facts);
    scan_age_words(text, &evening->newest, facts);
    text_append_untold(text, evening->untold);
    say_caution(text);
}

const char *scan_awaits_name(enum trade_awaits what)
{
    static const char *const names[] = {"",      "open",  "touch", "pullback",
                                        "close", "break", "return"};
    return names[what];
}

void scan_awaited_words(struct text *text, const struct evening_row *row)
{
    const char *over = row->is_short ? "below" : "above";
    char price[TICK_TEXT_SIZE];
    number_text(row->awaited.price, decimals_of(row->tick.value), price);
    switch (row->awaited.what) {
    case AWAITS_NOTHING: return;
    case AWAITS_OPEN: text_append(text, "it fills at the next open"); return;
    case AWAITS_TOUCH: text_append_format(text, "a price at or %s %s", over, price); break;
    case AWAITS_PULLBACK:
        text_append_format(text, "a price at or %s %s", row->is_short ? "above" : "below", price);
        break;
    case AWAITS_CLOSE: text_append_format(text, "a close %s %s", over, price); break;
    case AWAITS_BREAK:
        text_append_format(text, "a close %s %s, and then a return to it", over, price);
        break;
    case AWAITS_RETURN:
        text_append_format(text, "a return to %s that closes %s it", price, over);
        break;
    }
    if (row->awaited.bars_left == 1)
        text_append(text, ", on the coming bar");
    else
        text_append_format(text, ", on one of the %zu coming bars", row->awaited.bars_left);
}

void scan_waiting_closing(struct text *text, const struct evening *evening,
                          const struct scan_facts *facts)
{
    bool one = facts->setup_count == 1;
    if (evening->count == 0)
        text_append_format(text, "No entry of %s is still open on %zu instrument%s.",
                           one ? facts->setups[0].name : "these setups", evening->instruments,
                           plural(evening->instruments));
    for (size_t i = 0; i < evening->count; i++) {
        text_append_format(text, "%s%s%s%s: ", i > 0 ? "\n" : "", evening->list[i].instrument,
                           one ? "" : ", ", one ? "" : evening->list[i].setup->name);
        scan_awaited_words(text, &evening->list[i]);
        text_append_char(text, '.');
    }
    scan_age_words(text, &evening->newest, facts);
    text_append(text,
                "\nA signal that waits is no trade yet, and what it waits for may never come.\n");
    text_append_caution(text, caution_plan);
}
