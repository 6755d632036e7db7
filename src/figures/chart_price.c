/* The prices of a chart window, and what is drawn over them. */
#include "figures/case_parts.h"
#include "figures/chart_parts.h"

#include <math.h>
#include <stdio.h>

static const struct pen rod = {INK_MAIN, 1, DASH_NONE};

/* --- range -------------------------------------------------------------------------- */

/* Orders widen the range of the bars by as much again, but no further: one far
 * away must not flatten the candles. */
static void take_orders(const struct window_request *request, double *low, double *high)
{
    double least = *low - (*high - *low);
    double most = *high + (*high - *low);
    for (size_t i = 0; i < request->order_count; i++) {
        double price = request->orders[i].price;
        if (price >= least && price <= most)
            widen_range(&price, 0, 1, low, high);
    }
}

static void fit(const struct draft *draft, struct pane *pane)
{
    const struct window_request *request = draft->request;
    double low = INFINITY;
    double high = -INFINITY;
    if (request->low < request->high && (!pane->logarithmic || request->low > 0)) {
        pane->low = request->low;
        pane->high = request->high;
        return;
    }
    widen_range(draft->bars->low, draft->seen_from, draft->seen_to, &low, &high);
    widen_range(draft->bars->high, draft->seen_from, draft->seen_to, &low, &high);
    take_orders(request, &low, &high);
    pane_fit(pane, low, high, 0.06);
}

/* --- candles ------------------------------------------------------------------------ */

static void draw_candles(const struct draft *draft, const struct pane *pane)
{
    const struct window_request *request = draft->request;
    struct picture *picture = draft->window->moving;
    const struct candle_columns columns = {draft->bars->open, draft->bars->high, draft->bars->low,
                                           draft->bars->close};
    size_t whole = draft->to < draft->complete ? draft->to : draft->complete;
    if (draft->from < whole)
        pane_candles(picture, pane, &columns, draft->from, whole);
    if (whole < draft->to)
        pane_candles_marked(picture, pane, &columns, whole, draft->to, INK_SOFT);
    if (request->asked != SIZE_MAX && request->asked < whole && request->asked_first >= draft->from)
        pane_candles_marked(picture, pane, &columns, request->asked_first, request->asked + 1,
                            INK_ACCENT);
    bool named = request->line_count + request->note_count > 0 || request->found != NULL;
    if (pane_group(pane) == 1 && named)
        pane_block_candles(picture, pane, &columns, draft->from, draft->to);
}

/* Strokes at the foot: one path for candidates, one for signals. */
static void draw_marks(const struct draft *draft, const struct pane *pane)
{
    const struct window_request *request = draft->request;
    for (int full = 0; full < 2; full++) {
        struct text path;
        text_init(&path);
        for (size_t i = 0; i < request->mark_count; i++) {
            const struct window_mark *mark = &request->marks[i];
            if (mark->full != (full != 0) || mark->bar < draft->from || mark->bar >= draft->to)
                continue;
            double x = floor(pane_bar_x(pane, mark->bar) + 1e-6) + (full ? -0.5 : 0);
            double width = full ? 2 : 1;
            path_move(&path, x, pane->box.bottom);
            path_vertical(&path, pane->box.bottom - (full ? 8 : 5));
            path_horizontal(&path, x + width);
            path_vertical(&path, pane->box.bottom);
            path_close(&path);
        }
        picture_path(draft->window->moving, LAYER_BARS, full ? INK_MAIN : INK_SOFT, (struct pen){0},
                     &path);
        text_free(&path);
    }
}

/* --- lines -------------------------------------------------------------------------- */

/* A label beside a point; of a point in view it stays in view. */
static void note(const struct draft *draft, const struct pane *pane, const char *text, enum ink ink,
                 double x, double y, bool above)
{
    struct box around = window_clip(draft, pane);
    bool seen = x >= pane->box.left && x <= pane->box.right;
    if (x < around.left || x > around.right || y < around.top || y > around.bottom)
        return;
    struct label label = {.text = text,
                          .type = {FACE_REGULAR, draft->size},
                          .ink = ink,
                          .priority = PRIORITY_NOTE,
                          .gap = 3,
                          .bounds = seen ? pane->box : around,
                          .clear_of_marks = true};
    label_around(&label, x, y, above, 7);
    picture_label(draft->window->moving, &label);
}

static double bar_x(const struct pane *pane, double bar)
{
    return pane_x(pane, bar + 0.5);
}

/* Straight in prices, so that on a logarithmic scale it is a curve: the rule
 * and the eye then agree where it is met. */
static void add_line(struct text *path, const struct pane *pane, const struct window_line *line,
                     double left, double right)
{
    double slope = (line->to_price - line->from_price) / (line->to_bar - line->from_bar);
    double room = pane->logarithmic && slope != 0 ? (right - left) * pane_step(pane) / 6 : 1;
    int parts = (int)fmin(400, ceil(room));
    for (int i = 0; i <= parts; i++) {
        double bar = left + (right - left) * i / parts;
        double y = pane_y(pane, line->from_price + slope * (bar - line->from_bar));
        /* Far outside the pane coordinates would end. */
        y = fmax(-1e6, fmin(1e6, y));
        if (i == 0)
            path_move(path, bar_x(pane, bar), y);
        else
            path_line(path, bar_x(pane, bar), y);
    }
}

static void draw_line(const struct draft *draft, const struct pane *pane,
                      const struct window_line *line)
{
    double beyond = draft->window->over / pane_step(pane);
    double least = pane->first - beyond - 0.5;
    double most = pane->last + beyond - 0.5;
    double left = line->left ? least : fmax(least, fmin(line->from_bar, line->to_bar));
    double right = line->right ? most : fmin(most, fmax(line->from_bar, line->to_bar));
    struct picture *picture = draft->window->moving;
    struct pen pen = {line->ink, line->ink == INK_BLUE ? 1.2 : 1, line->dash};
    if (line->from_bar == line->to_bar) {
        double x = bar_x(pane, line->from_bar);
        picture_line(picture, LAYER_MARKS, pen, x, pane_y(pane, line->from_price), x,
                     pane_y(pane, line->to_price));
    } else if (left < right) {
        struct text path;
        text_init(&path);
        add_line(&path, pane, line, left, right);
        picture_path(picture, LAYER_MARKS, INK_COUNT, pen, &path);
        text_free(&path);
    }
    const double bars[] = {line->from_bar, line->to_bar};
    const double prices[] = {line->from_price, line->to_price};
    for (int i = 0; i < line->rings; i++)
        if (bars[i] >= least && bars[i] <= most)
            picture_circle(picture, LAYER_OVER, INK_PAPER, (struct pen){line->ink, 1, DASH_NONE},
                           bar_x(pane, bars[i]), pane_y(pane, prices[i]), 3);
}

/* The name stands where the line enters what is in view, on the side that the line does
 * not turn to. */
static void name_line(const struct draft *draft, const struct pane *pane,
                      const struct window_line *line)
{
    double from = fmin(line->from_bar, line->to_bar);
    double bar = line->left ? pane->first : fmax(pane->first, from);
    double end = line->right ? pane->last : fmax(line->from_bar, line->to_bar);
    double slope = line->from_bar == line->to_bar
                       ? 0
                       : (line->to_price - line->from_price) / (line->to_bar - line->from_bar);
    double price = line->from_price + slope * (bar - line->from_bar);
    /* One that comes from above or below enters at that edge of the pane. */
    double edge = fmax(pane->low, fmin(pane->high, price));
    if (slope != 0 && edge != price)
        bar = line->from_bar + (edge - line->from_price) / slope;
    if (line->name == NULL || bar > end || bar < pane->first)
        return;
    note(draft, pane, line->name, line->ink, fmax(bar_x(pane, bar), pane->box.left + 8),
         pane_y(pane, line->from_price + slope * (bar - line->from_bar)), slope <= 0);
}

static void draw_curves(const struct draft *draft, const struct pane *pane)
{
    const struct window_request *request = draft->request;
    size_t end = draft->to < draft->complete ? draft->to : draft->complete;
    for (size_t i = 0; i < request->curve_count; i++) {
        const double *column = window_curve_column(request->sheet, &request->curves[i]);
        if (column != NULL && draft->from < end)
            pane_curve(draft->window->moving, pane, LAYER_MARKS,
                       (struct pen){INK_BLUE, 1.1, request->curves[i].dash}, column, draft->from,
                       end);
    }
}

/* What the setup saw, where candles are not drawn several in one. */
static void draw_found(const struct draft *draft, const struct pane *pane)
{
    struct case_facts *found = draft->found;
    if (found == NULL || pane_group(pane) > 1)
        return;
    found->first = draft->from;
    if (found->candle >= draft->from)
        case_draw_structure(found, draft->window->moving, pane);
}

/* --- the margin --------------------------------------------------------------------- */

struct names {
    char texts[MARGIN_LIMIT][2 * TICK_TEXT_SIZE];
    struct margin_label labels[MARGIN_LIMIT];
    size_t count;
};

/* Room for one more name at this height, NULL if it is out of the pane or the
 * names are too many. */
static char *add_name(struct names *names, const struct pane *pane, double y, enum face face,
                      enum ink ink, int rank)
{
    if (names->count == MARGIN_LIMIT || y < pane->box.top || y > pane->box.bottom)
        return NULL;
    char *text = names->texts[names->count];
    names->labels[names->count++] = (struct margin_label){y, text, face, ink, rank};
    return text;
}

static double planned(const struct window_request *request, enum window_order_kind kind)
{
    for (size_t i = 0; i < request->order_count; i++)
        if (request->orders[i].kind == kind)
            return request->orders[i].price;
    return NAN;
}

static void name_orders(const struct draft *draft, const struct pane *pane, struct names *names)
{
    static const char *const words[] = {"entry", "stop", "target"};
    const struct window_request *request = draft->request;
    double entry = planned(request, WINDOW_ENTRY);
    double risk = entry - planned(request, WINDOW_STOP);
    for (size_t i = 0; i < request->order_count; i++) {
        const struct window_order *order = &request->orders[i];
        char number[TICK_TEXT_SIZE];
        char *text = add_name(names, pane, pane_y(pane, order->price), FACE_BOLD, INK_MAIN, 0);
        if (text == NULL)
            continue;
        number_text(order->price, draft->places, number);
        int used = snprintf(text, sizeof names->texts[0], "%s %.40s", words[order->kind], number);
        if (order->kind == WINDOW_TARGET && fabs(risk) > 0 && !draft->narrow)
            snprintf(text + used, sizeof names->texts[0] - (size_t)used, " · %.1f R",
                     (order->price - entry) / risk);
    }
}

/* A rod from the stop to the farthest target in view, with a tick at each R. */
static void draw_bracket(const struct draft *draft, const struct pane *pane, struct names *names)
{
    const struct window_request *request = draft->request;
    struct picture *picture = draft->window->still;
    double entry = planned(request, WINDOW_ENTRY);
    double stop = planned(request, WINDOW_STOP);
    double risk = entry - stop;
    double far = 0;
    char number[TICK_TEXT_SIZE];
    if (!(fabs(risk) > 0) || draft->narrow)
        return;
    for (size_t i = 0; i < request->order_count; i++)
        if (request->orders[i].kind == WINDOW_TARGET)
            far = fmax(far, (request->orders[i].price - entry) / risk);
    double x = pane->box.right + 10;
    double foot = pane_y(pane, stop);
    double head = pane_y(pane, entry + far * risk);
    if (fmin(foot, head) < pane->box.top || fmax(foot, head) > pane->box.bottom)
        return;
    picture_line(picture, LAYER_MARKS, rod, x, foot, x, head);
    for (int r = -1; r <= (int)fmin(far + 1e-9, 20); r++) {
        double y = pane_y(pane, entry + r * risk);
        picture_line(picture, LAYER_MARKS, rod, x - 4, y, r > 0 ? x : x + 4, y);
    }
    picture_line(picture, LAYER_MARKS, rod, x - 4, head, x, head);
    char *text = add_name(names, pane, (foot + pane_y(pane, entry)) / 2, FACE_REGULAR, INK_MAIN, 1);
    number_text(fabs(risk), draft->places, number);
    if (text != NULL)
        snprintf(text, sizeof names->texts[0], "1 R = %.40s", number);
}

static void draw_orders(const struct draft *draft, const struct pane *pane)
{
    static const enum dash dashes[] = {DASH_NONE, DASH_SHORT, DASH_DOTS};
    const struct window_request *request = draft->request;
    double right = pane->box.right + draft->window->over;
    for (size_t i = 0; i < request->order_count; i++) {
        const struct window_order *order = &request->orders[i];
        double y = pane_y(pane, order->price);
        double left = fmax(pane_x(pane, (double)order->from), pane->box.left - draft->window->over);
        struct pen pen = {INK_MAIN, 1, dashes[order->kind]};
        if (y < pane->box.top || y > pane->box.bottom)
            continue;
        picture_line(draft->window->moving, LAYER_MARKS, pen, fmin(left, right), y, right, y);
        picture_circle(draft->window->still, LAYER_OVER, INK_PAPER, rod, pane->box.right, y, 3);
    }
}

static void name_curves(const struct draft *draft, const struct pane *pane, struct names *names)
{
    const struct window_request *request = draft->request;
    size_t end = draft->seen_to < draft->complete ? draft->seen_to : draft->complete;
    for (size_t i = 0; i < request->curve_count && end > 0; i++) {
        const double *column = window_curve_column(request->sheet, &request->curves[i]);
        if (request->curves[i].name == NULL || column == NULL || isnan(column[end - 1]))
            continue;
        char *text = add_name(names, pane, pane_y(pane, column[end - 1]), FACE_REGULAR, INK_BLUE,
                              2);
        if (text != NULL)
            snprintf(text, sizeof names->texts[0], "%.90s", request->curves[i].name);
    }
}

/* The rules stand still at the edge; their names in the margin. */
static void draw_rules(const struct draft *draft, const struct pane *pane, struct names *names)
{
    const struct window_request *request = draft->request;
    double right = pane->box.right;
    for (size_t i = 0; i < request->rule_count; i++) {
        double y = pane_y(pane, request->rules[i].price);
        char *text = add_name(names, pane, y, FACE_REGULAR, INK_SOFT, 2);
        if (text == NULL)
            continue;
        snprintf(text, sizeof names->texts[0], "%.90s", request->rules[i].name);
        picture_line(draft->window->still, LAYER_MARKS, rod, right - 14, y, right, y);
    }
}

static void draw_margin(const struct draft *draft, const struct pane *pane)
{
    struct names names = {.count = 0};
    name_orders(draft, pane, &names);
    draw_bracket(draft, pane, &names);
    draw_rules(draft, pane, &names);
    name_curves(draft, pane, &names);
    double right = pane->box.right;
    struct margin margin = {.from = right + (draft->narrow ? 4 : 14),
                            .x = right + (draft->narrow ? 16 : 34),
                            .top = pane->box.top,
                            .bottom = pane->box.bottom,
                            .size = 12,
                            .room = picture_width(draft->window->still) - right - 20};
    picture_margin(draft->window->still, &margin, names.labels, names.count);
}

void window_draw_prices(struct draft *draft, struct pane *pane)
{
    const struct window_request *request = draft->request;
    struct picture *moving = draft->window->moving;
    fit(draft, pane);
    struct value_axis axis = {.most = (size_t)fmax(2, (pane->box.bottom - pane->box.top) / 46),
                              .grid = request->tick,
                              .inside = draft->narrow};
    struct box clip = window_clip(draft, pane);
    pane_value_axis(draft->window->still, pane, &axis);
    pane_value_rules(moving, pane, &axis, clip.left, clip.right);
    picture_clip(moving, &clip);
    draw_candles(draft, pane);
    draw_marks(draft, pane);
    draw_curves(draft, pane);
    for (size_t i = 0; i < request->line_count; i++)
        draw_line(draft, pane, &request->lines[i]);
    draw_orders(draft, pane);
    draw_found(draft, pane);
    picture_clip(moving, NULL);
    for (size_t i = 0; i < request->line_count; i++)
        name_line(draft, pane, &request->lines[i]);
    for (size_t i = 0; i < request->note_count; i++)
        note(draft, pane, request->notes[i].text, request->notes[i].ink,
             bar_x(pane, request->notes[i].bar), pane_y(pane, request->notes[i].price),
             request->notes[i].above);
    draw_margin(draft, pane);
}
