#include "answer/drawn_lines.h"

#include "base/array.h"
#include "draw/ticks.h"

#include <math.h>
#include <stdlib.h>

enum { LINES_EACH = 2, WORDS_EACH = OWN_LINE_PRICES };

/* --- words -------------------------------------------------------------------------- */

const char *line_kind_name(enum line_kind kind)
{
    static const char *const names[LINE_KINDS] = {
        [LINE_LEVEL] = "level",     [LINE_TREND] = "trend line", [LINE_RETRACEMENT] = "retracement",
        [LINE_CHANNEL] = "channel", [LINE_NOTE] = "note",        [LINE_RULER] = "ruler",
    };
    return names[kind];
}

static void append_number(struct text *words, double value, int places, bool is_signed)
{
    char number[TICK_TEXT_SIZE];
    number_text(value, places, number);
    if (is_signed && value > 0)
        text_append_char(words, '+');
    text_append(words, number);
}

void ruler_words(struct text *words, const struct laid_line *laid, struct sheet *shown, double tick,
                 double risk)
{
    double bars = laid->other_bar - laid->bar;
    double away = laid->other_price - laid->price;
    const double *atr = sheet_atr(shown, 14);
    size_t at = laid->other_bar > 0 ? (size_t)laid->other_bar : 0;
    append_number(words, bars, bars == floor(bars) ? 0 : 1, false);
    text_append(words, fabs(bars) == 1 ? " bar, " : " bars, ");
    append_number(words, away, decimals_of(tick), true);
    if (laid->price != 0) {
        text_append(words, ", ");
        append_number(words, 100 * away / fabs(laid->price), 1, true);
        text_append(words, " %");
    }
    if (atr != NULL && at < sheet_count(shown) && atr[at] > 0) {
        text_append(words, ", ");
        append_number(words, away / atr[at], 1, true);
        text_append(words, " ATR");
    }
    if (risk > 0) {
        text_append(words, ", ");
        append_number(words, away / risk, 1, true);
        text_append(words, " R");
    }
}

/* --- drawing ------------------------------------------------------------------------ */

struct making {
    struct drawn_lines *drawn;
    struct sheet *shown;
    double tick, risk;
};

static struct text *new_words(struct making *making)
{
    struct text *words = &making->drawn->words[making->drawn->word_count++];
    text_init(words);
    return words;
}

static struct window_line *add_line(struct making *making, const struct line_seen *seen,
                                    const char *name)
{
    const struct laid_line *laid = &seen->laid;
    enum line_reach reach = seen->line.reach;
    struct window_line *line = &making->drawn->lines[making->drawn->line_count++];
    *line = (struct window_line){.from_bar = laid->bar,
                                 .from_price = laid->price,
                                 .to_bar = laid->other_bar,
                                 .to_price = laid->other_price,
                                 .left = reach == REACH_LEFT || reach == REACH_BOTH,
                                 .right = reach == REACH_RIGHT || reach == REACH_BOTH,
                                 .ink = INK_MAIN,
                                 .rings = line_kind_points(seen->line.kind),
                                 .name = name};
    return line;
}

/* The words that stand beside it: a note's alone, else what it is and its note. */
static const char *name_of(struct making *making, const struct line_seen *seen)
{
    struct text *words = new_words(making);
    text_append_format(words, "own %s", line_kind_name(seen->line.kind));
    if (seen->line.kind == LINE_LEVEL) {
        text_append_char(words, ' ');
        append_number(words, seen->laid.price, decimals_of(making->tick), false);
    }
    if (seen->line.note[0] != '\0')
        text_append_format(words, ": %s", seen->line.note);
    return words->bytes;
}

static void add_level(struct making *making, const struct line_seen *seen)
{
    struct window_line *line = add_line(making, seen, name_of(making, seen));
    line->to_bar = line->from_bar + 1; /* it has a direction, and one ring */
}

static void add_channel(struct making *making, const struct line_seen *seen)
{
    add_line(making, seen, name_of(making, seen));
    struct window_line *beside = add_line(making, seen, NULL);
    beside->rings = 0;
    beside->from_price += seen->laid.width;
    beside->to_price += seen->laid.width;
}

static void add_retracement(struct making *making, const struct line_seen *seen)
{
    double prices[OWN_LINE_PRICES];
    struct window_line *line = add_line(making, seen, NULL);
    size_t count = own_line_prices(LINE_RETRACEMENT, &seen->laid, seen->laid.bar, prices);
    line->left = line->right = false;
    line->dash = DASH_DOTS;
    for (size_t i = 0; i < count; i++) {
        struct text *words = new_words(making);
        text_append_format(words, "%.1f %% \xC2\xB7 ", 100 * own_line_parts[i]);
        append_number(words, prices[i], decimals_of(making->tick), false);
        making->drawn->rules[making->drawn->rule_count++] = (struct window_rule){prices[i],
                                                                                 words->bytes};
    }
}

static void add_ruler(struct making *making, const struct line_seen *seen)
{
    struct text *words = new_words(making);
    ruler_words(words, &seen->laid, making->shown, making->tick, making->risk);
    struct window_line *line = add_line(making, seen, NULL);
    line->left = line->right = false;
    line->dash = DASH_SHORT;
    making->drawn
        ->notes[making->drawn->note_count++] = (struct window_note){seen->laid.other_bar,
                                                                    seen->laid.other_price,
                                                                    words->bytes, INK_MAIN,
                                                                    seen->laid.other_price >=
                                                                        seen->laid.price};
}

static void add_note(struct making *making, const struct line_seen *seen)
{
    struct window_line *line = add_line(making, seen, NULL);
    line->left = line->right = false;
    making->drawn->notes[making->drawn->note_count++] = (struct window_note){seen->laid.bar,
                                                                             seen->laid.price,
                                                                             seen->line.note,
                                                                             INK_MAIN, true};
}

static void add(struct making *making, const struct line_seen *seen)
{
    switch (seen->line.kind) {
    case LINE_LEVEL: add_level(making, seen); return;
    case LINE_CHANNEL: add_channel(making, seen); return;
    case LINE_RETRACEMENT: add_retracement(making, seen); return;
    case LINE_RULER: add_ruler(making, seen); return;
    case LINE_NOTE: add_note(making, seen); return;
    default: add_line(making, seen, name_of(making, seen)); return;
    }
}

int drawn_lines_make(struct drawn_lines *drawn, const struct lines_seen *seen, struct sheet *shown,
                     double tick, double risk, struct error *error)
{
    struct making making = {drawn, shown, tick, risk};
    size_t room = seen->count + 1;
    *drawn = (struct drawn_lines){.lines = array_new(LINES_EACH * room, sizeof *drawn->lines),
                                  .rules = array_new(OWN_LINE_PRICES * room, sizeof *drawn->rules),
                                  .notes = array_new(room, sizeof *drawn->notes),
                                  .words = array_new(WORDS_EACH * room, sizeof *drawn->words)};
    if (drawn->lines == NULL || drawn->rules == NULL || drawn->notes == NULL ||
        drawn->words == NULL)
        return error_memory(error);
    for (size_t i = 0; i < seen->count; i++)
        if (!seen->list[i].line.hidden)
            add(&making, &seen->list[i]);
    for (size_t i = 0; i < drawn->word_count; i++)
        if (text_failed(&drawn->words[i]))
            return error_memory(error);
    return ERROR_NONE;
}

void drawn_lines_free(struct drawn_lines *drawn)
{
    for (size_t i = 0; i < drawn->word_count; i++)
        text_free(&drawn->words[i]);
    free(drawn->words);
    free(drawn->lines);
    free(drawn->rules);
    free(drawn->notes);
    *drawn = (struct drawn_lines){0};
}
