#include "answer/wall_pictures.h"

#include "base/words.h"
#include "document/cautions.h"
#include "figures/average_path.h"

#include <math.h>

static void say_order(const struct wall *wall, const struct wall_wish *wish, size_t first,
                      size_t count, struct text *text)
{
    static const char *const orders[] = {"in order of date", "those first that were met by least",
                                         "the best result first"};
    if (wall->count == wall->found)
        text_append_format(text, "%zu %s in %zu %s, none left out", wall->found,
                           count_word(wall->found, "case", "cases"), wall->held.count,
                           count_word(wall->held.count, "instrument", "instruments"));
    else
        text_append_format(text, "the newest %zu of %zu cases in %zu %s", wall->count, wall->found,
                           wall->held.count,
                           count_word(wall->held.count, "instrument", "instruments"));
    text_append_format(text, ", %s", orders[wish->order]);
    if (count < wall->count)
        text_append_format(text, "; here %zu to %zu", first + 1, first + count);
}

static void say_signs(const struct wall_wish *wish, struct text *text)
{
    text_append(text, "Hollow candles closed above their open, filled ones at or below it. ");
    text_append(text, "The candle is orange; its extreme stands on one line, all on one scale "
                      "in ATR. ");
    text_append(text, wish->outcome
                          ? "Bars after it are grey; entry and stop are ruled, a dot stands at "
                            "the exit. "
                          : "Each is cut at its signal: what followed is held back. ");
    text_append(text, caution_results);
}

int wall_picture(const struct wall *wall, const struct setup *setup, const struct wall_wish *wish,
                 size_t first, size_t count, struct typesetter *typesetter, const char *prefix,
                 struct picture **picture, struct error *error)
{
    enum { WIDTH = 1080 };
    struct text subtitle, caption;
    text_init(&subtitle);
    text_init(&caption);
    say_order(wall, wish, first, count, &subtitle);
    say_signs(wish, &caption);
    const struct contact_sheet sheet = {.cases = wall->small + first,
                                        .count = count,
                                        .width = WIDTH,
                                        .title = setup->title,
                                        .subtitle = subtitle.bytes,
                                        .caption = caption.bytes};
    int code = text_failed(&subtitle) || text_failed(&caption)
                   ? error_memory(error)
                   : contact_sheet_make(picture, typesetter, &sheet, prefix, error);
    text_free(&subtitle);
    text_free(&caption);
    return code;
}

int wall_path_picture(const struct wall *wall, struct typesetter *typesetter, const char *prefix,
                      struct picture **picture, struct error *error)
{
    const struct average_path path = {.moves = wall->drawn,
                                      .cases = wall->drawn_count,
                                      .all = wall->found,
                                      .bars = WALL_BARS,
                                      .means = wall->means,
                                      .lows = wall->has_interval ? wall->lows : NULL,
                                      .highs = wall->has_interval ? wall->highs : NULL,
                                      .width = 860,
                                      .height = 420,
                                      .title = "The average path after the candle"};
    return average_path_make(picture, typesetter, &path, prefix, error);
}

void wall_table(struct table *table, const struct wall *wall)
{
    static const struct column columns[] = {{"instrument", "instrument", COLUMN_TEXT, 0, ""},
                                            {"candle", "candle", COLUMN_TEXT, 0, ""},
                                            {"followed", "what followed", COLUMN_TEXT, 0, ""}};
    table_init(table, "cases", columns, sizeof columns / sizeof columns[0]);
    table_set_words(table, "Every case on the sheet, in its order", NULL);
    for (size_t i = 0; i < wall->count; i++) {
        table_text(table, wall->small[i].name);
        table_text(table, wall->cases[i].when);
        table_text(table, wall->small[i].result != NULL ? wall->small[i].result : "held back");
    }
}

void wall_words(struct text *text, const struct wall *wall, const char *place, const char *why)
{
    text_append_format(text, "%zu %s in %zu %s", wall->found,
                       count_word(wall->found, "case", "cases"), wall->held.count,
                       count_word(wall->held.count, "instrument", "instruments"));
    if (wall->count < wall->found)
        text_append_format(text, ", the newest %zu of them", wall->count);
    text_append_format(text, ", in %s.\n", place);
    if (wall->has_path && !isnan(wall->means[WALL_BARS])) {
        text_append_format(text, "After %d bars the close had moved by %+.2f ATR on average",
                           WALL_BARS, wall->means[WALL_BARS]);
        if (!isnan(wall->lows[WALL_BARS]))
            text_append_format(text, ", interval %+.2f to %+.2f.\n", wall->lows[WALL_BARS],
                               wall->highs[WALL_BARS]);
        else
            text_append(text, "; too few dates for an interval.\n");
    }
    if (wall->held.set_aside > 0)
        text_append_format(text, "Set aside: %zu %s; %s.\n", wall->held.set_aside,
                           count_word(wall->held.set_aside, "instrument", "instruments"), why);
}
