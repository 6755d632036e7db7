/* The price pane: candles, and the structure they stand in. */
#include "figures/case_parts.h"

#include "base/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

void case_note(struct picture *picture, const struct pane *pane, const char *text, enum ink ink,
               double x, double y, bool above)
{
    struct label label = {.text = text,
                          .type = {FACE_REGULAR, NOTE_SIZE},
                          .ink = ink,
                          .priority = PRIORITY_NOTE,
                          .gap = 3,
                          .bounds = pane->box,
                          .clear_of_marks = true};
    label_around(&label, x, y, above, 7);
    picture_label(picture, &label);
}

static struct candle_columns columns_of(const struct case_facts *facts)
{
    return (struct candle_columns){facts->bars->open, facts->bars->high, facts->bars->low,
                                   facts->bars->close};
}

static void fit_prices(const struct case_facts *facts, struct pane *pane)
{
    double low = INFINITY;
    double high = -INFINITY;
    widen_range(facts->bars->low, facts->first, facts->bar_count, &low, &high);
    widen_range(facts->bars->high, facts->first, facts->bar_count, &low, &high);
    widen_range(&facts->entry, 0, 1, &low, &high);
    widen_range(&facts->stop, 0, 1, &low, &high);
    widen_range(facts->targets, 0, facts->target_count, &low, &high);
    pane_fit(pane, low, high, 0.06);
}

struct pane case_draw_price(const struct case_facts *facts, struct picture *picture, struct box box)
{
    struct pane pane = {.box = box, .first = (double)facts->first, .last = (double)facts->last + 1};
    struct candle_columns columns = columns_of(facts);
    fit_prices(facts, &pane);
    pane_value_axis(picture, &pane,
                    &(struct value_axis){.most = 7,
                                         .grid = facts->request->terms->tick.value,
                                         .hairlines = true});
    pane_time_rules(picture, &pane, facts->times, facts->first, facts->bar_count, facts->dated);
    pane_candles(picture, &pane, &columns, facts->first, facts->bar_count);
    pane_candles_marked(picture, &pane, &columns, facts->candle_first, facts->candle + 1,
                        INK_ACCENT);
    pane_block_candles(picture, &pane, &columns, facts->first, facts->bar_count);
    return pane;
}

/* --- structure ---------------------------------------------------------------------- */

static void draw_zones(const struct case_facts *facts, struct picture *picture,
                       const struct pane *pane)
{
    for (size_t i = 0; i < facts->zone_count; i++) {
        const struct case_zone *zone = &facts->zones[i];
        size_t from = zone->first_touch > facts->first && zone->first_touch != SIZE_MAX
                          ? zone->first_touch
                          : facts->first;
        struct box box = {pane_bar_x(pane, from), fmax(pane_y(pane, zone->high), pane->box.top),
                          pane_bar_x(pane, facts->candle),
                          fmin(pane_y(pane, zone->low), pane->box.bottom)};
        struct pen pen = {INK_SOFT, 0.7, DASH_NONE};
        char name[64];
        if (box.bottom < box.top)
            continue;
        box.bottom = fmax(box.bottom, box.top + 1);
        picture_rectangle(picture, LAYER_GROUND, INK_WASH, (struct pen){0}, box);
        picture_line(picture, LAYER_GROUND, pen, box.left, box.top, box.right, box.top);
        picture_line(picture, LAYER_GROUND, pen, box.left, box.bottom, box.right, box.bottom);
        picture_block(picture, (struct box){box.left, box.top - 1, box.right, box.top + 1});
        picture_block(picture, (struct box){box.left, box.bottom - 1, box.right, box.bottom + 1});
        snprintf(name, sizeof name, "%s, %zu touches", facts->is_short ? "resistance" : "support",
                 zone->touches);
        case_note(picture, pane, name, INK_SOFT, box.left + 30,
                  facts->is_short ? box.top : box.bottom, facts->is_short);
    }
}

static bool touches_zone(const struct case_facts *facts, double price)
{
    for (size_t i = 0; i < facts->zone_count; i++)
        if (price >= facts->zones[i].low && price <= facts->zones[i].high)
            return true;
    return false;
}

/* A small open angle over a swing high and under a swing low; a ring where it
 * touches a zone. */
static void add_swing(const struct case_facts *facts, struct picture *picture,
                      const struct pane *pane, size_t bar, bool high, struct text *angles)
{
    double price = high ? facts->bars->high[bar] : facts->bars->low[bar];
    double away = high ? -4 : 4;
    double x = pane_bar_x(pane, bar);
    double y = pane_y(pane, price) + away;
    if (facts->uses.zones && touches_zone(facts, price)) {
        picture_block(picture, (struct box){x - 3, y + away / 2 - 3, x + 3, y + away / 2 + 3});
        picture_circle(picture, LAYER_MARKS, INK_COUNT, (struct pen){INK_SOFT, 1, DASH_NONE}, x,
                       y + away / 2, 2.5);
        return;
    }
    path_move(angles, x - 3, y + away * 0.8);
    path_line(angles, x, y);
    path_line(angles, x + 3, y + away * 0.8);
}

static void draw_swings(const struct case_facts *facts, struct picture *picture,
                        const struct pane *pane)
{
    struct text angles;
    text_init(&angles);
    for (int high = 0; facts->swings != NULL && high < 2; high++) {
        const struct swings *swings = facts->swings;
        const size_t *list = high ? swings->high : swings->low;
        size_t count = high ? swings->high_count : swings->low_count;
        for (size_t i = 0; i < count; i++)
            if (list[i] >= facts->first && list[i] + swings->strength <= facts->signal)
                add_swing(facts, picture, pane, list[i], high, &angles);
    }
    picture_path(picture, LAYER_MARKS, INK_COUNT, (struct pen){INK_SOFT, 1, DASH_NONE}, &angles);
    text_free(&angles);
}

/* The first bar shown after the signal that closes beyond a line through
 * `price` at `origin`; SIZE_MAX if none. */
static size_t first_break(const struct case_facts *facts, double price, double slope, size_t origin)
{
    double side = facts->is_short ? -1 : 1;
    for (size_t i = facts->signal + 1; i < facts->bar_count; i++)
        if (side * (facts->bars->close[i] - price - slope * ((double)i - (double)origin)) > 0)
            return i;
    return SIZE_MAX;
}

/* Where a line is broken: a cross on it. An exit is a ring. */
void case_draw_cross(struct picture *picture, double x, double y)
{
    struct text path;
    text_init(&path);
    path_move(&path, x - 3.5, y - 3.5);
    path_line(&path, x + 3.5, y + 3.5);
    path_move(&path, x + 3.5, y - 3.5);
    path_line(&path, x - 3.5, y + 3.5);
    picture_path(picture, LAYER_OVER, INK_COUNT, (struct pen){INK_BLUE, 1.5, DASH_NONE}, &path);
    picture_block(picture, (struct box){x - 4, y - 4, x + 4, y + 4});
    text_free(&path);
}

/* A line from its first bar to where it is broken, or to the last bar shown;
 * the break gets a cross. Parts outside the pane are left off. */
static void draw_line(const struct case_facts *facts, struct picture *picture,
                      const struct pane *pane, size_t from, double price, double slope,
                      enum dash dash, const char *name)
{
    size_t broken = first_break(facts, price, slope, from);
    size_t end = broken != SIZE_MAX ? broken : facts->bar_count - 1;
    size_t start = from < facts->first ? facts->first : from;
    struct text path;
    text_init(&path);
    for (size_t i = start; i <= end; i++) {
        double at = price + slope * ((double)i - (double)from);
        if (at < pane->low || at > pane->high)
            break;
        if (i == start)
            path_move(&path, pane_bar_x(pane, i), pane_y(pane, at));
        else if (i == end || slope != 0)
            path_line(&path, pane_bar_x(pane, i), pane_y(pane, at));
    }
    picture_path(picture, LAYER_MARKS, INK_COUNT, (struct pen){INK_BLUE, 1.2, dash}, &path);
    text_free(&path);
    double start_price = price + slope * ((double)start - (double)from);
    case_note(picture, pane, name, INK_BLUE, pane_bar_x(pane, start), pane_y(pane, start_price),
              !facts->is_short);
    if (broken == SIZE_MAX)
        return;
    double x = pane_bar_x(pane, broken);
    double y = pane_y(pane, price + slope * ((double)broken - (double)from));
    case_draw_cross(picture, x, y);
    if (facts->path.broke != broken)
        case_note(picture, pane, "broken", INK_BLUE, x, y, !facts->is_short);
}

static void draw_lines(const struct case_facts *facts, struct picture *picture,
                       const struct pane *pane)
{
    const struct trend_line *line = &facts->line;
    if (facts->uses.trend_line && facts->has_line)
        draw_line(facts, picture, pane, line->first, line->first_price,
                  (line->second_price - line->first_price) /
                      ((double)line->second - (double)line->first),
                  DASH_NONE, facts->is_short ? "rising trend line" : "falling trend line");
    if (facts->uses.neckline && facts->neckline_bar != SIZE_MAX &&
        facts->neckline_bar >= facts->first)
        draw_line(facts, picture, pane, facts->neckline_bar, facts->neckline, 0, DASH_SHORT,
                  "neckline");
}

static void draw_fall(const struct case_facts *facts, struct picture *picture,
                      const struct pane *pane)
{
    const char *word = facts->is_short ? "rise" : "fall";
    char name[64];
    /* Where another part of an `any` decided, the line may go the other way. */
    bool with_side = (facts->slope_to > facts->slope_from) == facts->is_short;
    if (facts->slope_bars > 0 && with_side) {
        size_t from = facts->candle_first - facts->slope_bars;
        double left = pane_bar_x(pane, from);
        double right = pane_bar_x(pane, facts->candle_first - 1);
        double top = pane_y(pane, facts->slope_from);
        double bottom = pane_y(pane, facts->slope_to);
        picture_line(picture, LAYER_OVER, (struct pen){INK_ACCENT, 1.6, DASH_SHORT}, left, top,
                     right, bottom);
        snprintf(name, sizeof name, "%s of %.1f ATR in %zu %s", word, facts->slope_atr,
                 facts->slope_bars, count_word(facts->slope_bars, "bar", "bars"));
        case_note(picture, pane, name, INK_ACCENT, (left + right) / 2, (top + bottom) / 2,
                  facts->is_short);
    }
    if (!facts->has_fall || facts->fall.high_bar < facts->first)
        return;
    char price[TICK_TEXT_SIZE];
    case_price(facts, facts->fall.high, price);
    snprintf(name, sizeof name, "%s from %.40s", word, price);
    case_note(picture, pane, name, INK_MAIN, pane_bar_x(pane, facts->fall.high_bar),
              pane_y(pane, facts->is_short ? facts->bars->low[facts->fall.high_bar]
                                           : facts->bars->high[facts->fall.high_bar]),
              !facts->is_short);
}

/* The two swings of a divergence, joined; the strip of the measure shows the
 * other half. */
static void draw_divergence(const struct case_facts *facts, struct picture *picture,
                            const struct pane *pane)
{
    const double *prices = facts->is_short ? facts->bars->high : facts->bars->low;
    if (!facts->diverges || facts->older < facts->first)
        return;
    double left = pane_bar_x(pane, facts->older);
    double right = pane_bar_x(pane, facts->newer);
    double from = pane_y(pane, prices[facts->older]);
    double to = pane_y(pane, prices[facts->newer]);
    picture_line(picture, LAYER_MARKS, (struct pen){INK_BLUE, 1.2, DASH_NONE}, left, from, right,
                 to);
    case_note(picture, pane, facts->is_short ? "higher high" : "lower low", INK_BLUE,
              (left + right) / 2, (from + to) / 2, facts->is_short);
}

/* What a waiting entry waited for: the break, and of a retest the return. */
static void draw_wait(const struct case_facts *facts, struct picture *picture,
                      const struct pane *pane)
{
    const struct trade_path *path = &facts->path;
    bool retest = facts->setup->entry.entry->kind == ENTRY_RETEST;
    if (!facts->filled || path->broke == 0 || path->broke >= facts->bar_count || isnan(path->level))
        return;
    double x = pane_bar_x(pane, path->broke);
    double y = pane_y(pane, path->level);
    if (retest && path->returned < facts->bar_count)
        picture_line(picture, LAYER_MARKS, (struct pen){INK_BLUE, 1.2, DASH_SHORT},
                     pane_bar_x(pane, facts->signal), y, pane_bar_x(pane, path->returned), y);
    case_draw_cross(picture, x, y);
    case_note(picture, pane, "broken", INK_BLUE, x, y, !facts->is_short);
    if (!retest || path->returned >= facts->bar_count)
        return;
    double back = pane_bar_x(pane, path->returned);
    const double *prices = facts->is_short ? facts->bars->high : facts->bars->low;
    case_note(picture, pane, "returned and held", INK_BLUE, back,
              pane_y(pane, prices[path->returned]), facts->is_short);
}

/* The shape's name at the candle. */
static void draw_name(const struct case_facts *facts, struct picture *picture,
                      const struct pane *pane)
{
    const struct candle *candle = &facts->request->signal.candle;
    char name[64];
    bool misshapen = facts->failed != NULL && facts->failed->section == CHECK_CANDLE;
    snprintf(name, sizeof name, "%s%s", misshapen ? "nearly " : "",
             shape_name(&facts->setup->candles[candle->choice]));
    for (char *c = name; *c != '\0'; c++)
        if (*c == '-')
            *c = ' ';
    case_note(picture, pane, name, INK_ACCENT, pane_bar_x(pane, facts->candle),
              pane_y(pane, facts->is_short ? facts->candle_high : facts->candle_low),
              facts->is_short);
}

void case_draw_structure(const struct case_facts *facts, struct picture *picture,
                         const struct pane *pane)
{
    draw_name(facts, picture, pane);
    if (facts->uses.zones)
        draw_zones(facts, picture, pane);
    if (facts->uses.swings)
        draw_swings(facts, picture, pane);
    if (facts->uses.fall)
        draw_fall(facts, picture, pane);
    draw_lines(facts, picture, pane);
    draw_divergence(facts, picture, pane);
    draw_wait(facts, picture, pane);
}
