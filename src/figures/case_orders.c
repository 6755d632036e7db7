/* The orders of a case, and what became of them. */
#include "draw/margin.h"
#include "figures/case_parts.h"

#include <math.h>
#include <stdio.h>

static const struct pen rod = {INK_MAIN, 1, DASH_NONE};

/* Margin labels with room for their texts. */
struct names {
    char texts[MARGIN_LIMIT][2 * TICK_TEXT_SIZE];
    struct margin_label labels[MARGIN_LIMIT];
    size_t count;
};

static void add_name(struct names *names, double y, enum face face, enum ink ink, int rank)
{
    names->labels[names->count] = (struct margin_label){.y = y,
                                                        .text = names->texts[names->count],
                                                        .face = face,
                                                        .ink = ink,
                                                        .rank = rank};
    names->count++;
}

static void add_order(const struct case_facts *facts, const struct pane *pane, struct names *names,
                      const char *what, double price, bool with_r)
{
    char number[TICK_TEXT_SIZE];
    char r[TICK_TEXT_SIZE] = "";
    if (isnan(price) || names->count == MARGIN_LIMIT)
        return;
    case_price(facts, price, number);
    if (with_r && facts->risk > 0)
        snprintf(r, sizeof r, " · %.1f R", case_r(facts, price));
    snprintf(names->texts[names->count], sizeof names->texts[0], "%s %.40s%.20s", what, number, r);
    add_name(names, pane_y(pane, price), FACE_BOLD, INK_MAIN, 0);
}

static void rule(const struct case_facts *facts, struct picture *picture, const struct pane *pane,
                 double price, enum dash dash)
{
    if (isnan(price))
        return;
    pane_rule(picture, pane, LAYER_MARKS, (struct pen){INK_MAIN, 1, dash}, price,
              pane_x(pane, (double)facts->signal), pane->box.right);
    double y = pane_y(pane, price);
    picture_block(picture,
                  (struct box){pane_x(pane, (double)facts->signal), y - 1, pane->box.right, y + 1});
}

/* A rod from the stop to the farthest target, with a tick at each R. */
static void draw_bracket(const struct case_facts *facts, struct picture *picture,
                         const struct pane *pane, struct names *names)
{
    double side = facts->is_short ? -1 : 1;
    double far = 0;
    char number[TICK_TEXT_SIZE];
    if (!(facts->risk > 0))
        return;
    for (size_t i = 0; i < facts->target_count; i++)
        far = fmax(far, case_r(facts, facts->targets[i]));
    double x = pane->box.right + 10;
    double foot = pane_y(pane, facts->stop);
    double head = pane_y(pane, facts->entry + side * far * facts->risk);
    picture_line(picture, LAYER_MARKS, rod, x, foot, x, head);
    picture_line(picture, LAYER_MARKS, rod, x - 4, head, x, head);
    for (int r = -1; r <= (int)fmin(far + 1e-9, 20); r++) {
        double y = pane_y(pane, facts->entry + side * r * facts->risk);
        picture_line(picture, LAYER_MARKS, rod, x - 4, y, r > 0 ? x : x + 4, y);
    }
    if (names->count == MARGIN_LIMIT)
        return;
    number_text(facts->risk, facts->places, number);
    snprintf(names->texts[names->count], sizeof names->texts[0], "1 R = %.40s", number);
    add_name(names, (foot + pane_y(pane, facts->entry)) / 2, FACE_REGULAR, INK_MAIN, 1);
}

/* Short rules at the right edge, each with its ratio and price. */
static void draw_retracements(const struct case_facts *facts, struct picture *picture,
                              const struct pane *pane, struct names *names)
{
    static const double ratios[] = {0.382, 0.5, 0.618};
    for (size_t i = 0; facts->has_fall && i < sizeof ratios / sizeof *ratios; i++) {
        double price = facts->fall.low +
                       exact_ratio(ratios[i]) * (facts->fall.high - facts->fall.low);
        char number[TICK_TEXT_SIZE];
        if (price <= pane->low || price >= pane->high || names->count == MARGIN_LIMIT)
            continue;
        case_price(facts, price, number);
        snprintf(names->texts[names->count], sizeof names->texts[0], "%.1f %% · %.40s",
                 ratios[i] * 100, number);
        pane_rule(picture, pane, LAYER_MARKS, (struct pen){INK_SOFT, 1, DASH_NONE}, price,
                  pane->box.right - 14, pane->box.right);
        add_name(names, pane_y(pane, price), FACE_REGULAR, INK_SOFT, 2);
    }
}

void case_draw_orders(const struct case_facts *facts, struct picture *picture,
                      const struct pane *pane, bool retracements)
{
    struct names names = {.count = 0};
    bool order = facts->filled || !isnan(facts->path.order_price);
    for (size_t i = 0; i < facts->target_count; i++) {
        rule(facts, picture, pane, facts->targets[i], DASH_DOTS);
        add_order(facts, pane, &names, "target", facts->targets[i], true);
    }
    if (!isnan(facts->stop) || order) {
        const char *what = order ? "entry" : facts->expected ? "entry about" : "close";
        rule(facts, picture, pane, facts->entry, DASH_NONE);
        add_order(facts, pane, &names, what, facts->entry, false);
    }
    rule(facts, picture, pane, facts->stop, DASH_SHORT);
    add_order(facts, pane, &names, "stop", facts->stop, false);
    draw_bracket(facts, picture, pane, &names);
    if (retracements && facts->uses.levels)
        draw_retracements(facts, picture, pane, &names);
    picture_margin(picture,
                   &(struct margin){.from = pane->box.right + 14,
                                    .x = pane->box.right + MARGIN_GAP,
                                    .top = pane->box.top,
                                    .bottom = pane->box.bottom,
                                    .size = TEXT_SIZE,
                                    .room = fmin(MARGIN_ROOM, picture_width(picture) - 8 -
                                                                  pane->box.right - MARGIN_GAP)},
                   names.labels, names.count);
}

/* --- what followed ------------------------------------------------------------------ */

/* The protective stop where it moved, in steps. */
static void draw_stop_moves(const struct case_facts *facts, struct picture *picture,
                            const struct pane *pane)
{
    struct text path;
    text_init(&path);
    for (size_t i = 0; i < facts->path.count; i++) {
        const struct trade_step *step = &facts->path.steps[i];
        if (step->share > 0)
            continue;
        if (path.length == 0)
            path_move(&path, pane_x(pane, (double)step->bar), pane_y(pane, facts->stop));
        else
            path_horizontal(&path, pane_x(pane, (double)step->bar));
        path_vertical(&path, pane_y(pane, step->price));
    }
    if (path.length > 0)
        path_horizontal(&path, pane_x(pane, (double)facts->trade.exit_bar + 1));
    picture_path(picture, LAYER_OVER, INK_COUNT, (struct pen){INK_MAIN, 1, DASH_SHORT}, &path);
    text_free(&path);
}

static void draw_reach(const struct case_facts *facts, struct picture *picture,
                       const struct pane *pane, double r, const char *what)
{
    double side = facts->is_short ? -1 : 1;
    double y = pane_y(pane, facts->entry + side * r * facts->risk);
    double left = pane_x(pane, (double)facts->trade.entry_bar);
    double right = pane_x(pane, (double)facts->trade.exit_bar + 1);
    char number[TICK_TEXT_SIZE];
    char name[2 * TICK_TEXT_SIZE];
    if (y < pane->box.top || y > pane->box.bottom || isnan(r))
        return;
    case_r_text(r, number);
    snprintf(name, sizeof name, "%s %s", what, number);
    picture_line(picture, LAYER_MARKS, (struct pen){INK_BLUE, 1, DASH_NONE}, left, y, right, y);
    struct label label = {.text = name,
                          .type = {FACE_REGULAR, NOTE_SIZE},
                          .ink = INK_BLUE,
                          .priority = PRIORITY_NOTE,
                          .spots = {{right + 4, y + 0.36 * NOTE_SIZE, ALIGN_START},
                                    {left - 4, y + 0.36 * NOTE_SIZE, ALIGN_END}},
                          .spot_count = 2,
                          .gap = 3,
                          .bounds = pane->box,
                          .clear_of_marks = true};
    label_around(&label, right, y, (r > 0) != facts->is_short, 5);
    picture_label(picture, &label);
}

static void draw_event(const struct case_facts *facts, struct picture *picture,
                       const struct pane *pane, size_t bar, double price, bool fill,
                       const char *what)
{
    double x = pane_bar_x(pane, bar);
    double y = pane_y(pane, price);
    picture_block(picture, (struct box){x - 4.5, y - 4.5, x + 4.5, y + 4.5});
    picture_circle(picture, LAYER_OVER, fill ? INK_BLUE : INK_PAPER,
                   (struct pen){INK_BLUE, 1.5, DASH_NONE}, x, y, 3.5);
    case_note(picture, pane, what, INK_BLUE, x, y, fill == facts->is_short);
}

void case_draw_outcome(const struct case_facts *facts, struct picture *picture,
                       const struct pane *pane)
{
    const struct trade *trade = &facts->trade;
    if (!facts->filled)
        return;
    draw_reach(facts, picture, pane, trade->mae_r, "worst");
    draw_reach(facts, picture, pane, trade->mfe_r, "best");
    draw_stop_moves(facts, picture, pane);
    draw_event(facts, picture, pane, trade->entry_bar, trade->entry, true, "filled");
    for (size_t i = 0; i < facts->path.count; i++) {
        const struct trade_step *step = &facts->path.steps[i];
        char what[48];
        if (!(step->share > 0))
            continue;
        if (step->share < 1 - 1e-9)
            snprintf(what, sizeof what, "%.0f %% out, %s", step->share * 100,
                     case_reason(step->reason));
        else
            snprintf(what, sizeof what, "out, %s", case_reason(step->reason));
        draw_event(facts, picture, pane, step->bar, step->price, false, what);
    }
}
