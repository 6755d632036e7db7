#include "figures/chart_window.h"

#include "base/array.h"
#include "figures/chart_parts.h"
#include "market/zone.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const kind_names[] = {"price", "volume", "rsi", "macd", "stochastic", "adx"};

const char *window_kind_name(enum window_kind kind)
{
    return kind_names[kind];
}

bool window_kind_from_name(enum window_kind *kind, const char *name)
{
    for (size_t i = 0; i < sizeof kind_names / sizeof kind_names[0]; i++)
        if (strcmp(kind_names[i], name) == 0) {
            *kind = (enum window_kind)i;
            return true;
        }
    return false;
}

int window_clock(const struct bars *bars, const char *zone, int64_t **clock, struct error *error)
{
    *clock = array_new(bars->count + 1, sizeof **clock);
    if (*clock == NULL)
        return error_memory(error);
    for (size_t i = 0; i < bars->count; i++) {
        (*clock)[i] = bars->time[i];
        if (!interval_is_dated(bars->interval))
            time_to_local(bars->time[i], zone, &(*clock)[i]);
        /* The clock goes back once a year; the axis needs times that rise. */
        if (i > 0 && (*clock)[i] <= (*clock)[i - 1])
            (*clock)[i] = (*clock)[i - 1] + 1;
    }
    return ERROR_NONE;
}

/* --- layout ------------------------------------------------------------------------- */

enum {
    TOP = 16,
    DATES = 40,     /* two rows of them */
    STRIP_GAP = 22, /* the name of a strip stands in it */
    NARROW_WIDTH = 560
};

/* The greatest price of all bars, kept with the sheet. */
static double greatest_price(const struct draft *draft)
{
    static const char owner;
    static const double none[PARAMETER_LIMIT];
    const struct bars *bars = draft->bars;
    const double *kept = sheet_kept(draft->request->sheet, &owner, none);
    if (kept != NULL)
        return *kept;
    double most = 1;
    for (size_t i = 0; i < bars->count; i++)
        most = fmax(most, fmax(fabs(bars->high[i]), fabs(bars->low[i])));
    double *keep = malloc(sizeof *keep);
    if (keep != NULL) {
        *keep = most;
        sheet_keep(draft->request->sheet, &owner, none, keep, free);
    }
    return most;
}

/* Room for the numbers at the left: those of the greatest price there is, so
 * that it does not change while the view moves. */
static double gutter_of(const struct draft *draft)
{
    char text[TICK_TEXT_SIZE];
    if (draft->narrow)
        return 1; /* they stand in the panes */
    number_text(-greatest_price(draft), draft->places < 3 ? draft->places : draft->places - 1,
                text);
    struct extent extent = typesetter_measure(picture_typesetter(draft->window->still),
                                              (struct type){FACE_REGULAR, AXIS_SIZE}, text);
    return ceil(fmax(34, extent.width + 10));
}

static double name_width(const struct draft *draft, enum face face, const char *name)
{
    return typesetter_measure(picture_typesetter(draft->window->still), (struct type){face, 12},
                              name)
        .width;
}

/* The widest of the names that may stand in the margin; 0 without any. */
static double widest_name(const struct draft *draft)
{
    const struct window_request *request = draft->request;
    char number[TICK_TEXT_SIZE], name[2 * TICK_TEXT_SIZE];
    double width = 0;
    for (size_t i = 0; i < request->order_count; i++) {
        number_text(request->orders[i].price, draft->places, number);
        snprintf(name, sizeof name, "target %s", number);
        width = fmax(width, name_width(draft, FACE_BOLD, name));
    }
    for (size_t i = 0; i < request->rule_count; i++)
        width = fmax(width, name_width(draft, FACE_REGULAR, request->rules[i].name));
    for (size_t i = 0; i < request->curve_count; i++)
        if (request->curves[i].name != NULL)
            width = fmax(width, name_width(draft, FACE_REGULAR, request->curves[i].name));
    for (size_t i = 0; i < request->strip_count; i++)
        if (request->strips[i].limit_count > 0)
            width = fmax(width, name_width(draft, FACE_REGULAR, "limit 100"));
    return width;
}

/* Room at the right: on a phone no more than the names take, for the bars need it. */
static double margin_of(const struct draft *draft)
{
    const struct window_request *request = draft->request;
    double width = widest_name(draft);
    size_t others = request->order_count + request->curve_count;
    for (size_t i = 0; i < request->strip_count; i++)
        others += request->strips[i].limit_count;
    if (width == 0)
        return draft->narrow ? 6 : 10;
    if (draft->narrow)
        return fmin(118, ceil(width) + 22);
    return others > 0 ? 176 : ceil(width) + 44;
}

/* Heights: each strip an eighth of the whole, volume less; prices the rest. */
static void lay_out(struct draft *draft)
{
    const struct window_request *request = draft->request;
    struct chart_window *window = draft->window;
    double margin = margin_of(draft);
    struct box plot = {gutter_of(draft), TOP, request->width - margin, request->height - DATES};
    double usual = fmin(86, fmax(28, floor((plot.bottom - plot.top) * 0.13)));
    double heights[WINDOW_STRIP_LIMIT + 1] = {0};
    double strips = 0;
    window->plot = plot;
    window->over = floor((plot.right - plot.left) * fmax(0, fmin(0.5, request->over)));
    window->place_count = request->strip_count + 1;
    for (size_t i = 0; i < request->strip_count; i++) {
        heights[i + 1] = request->strips[i].kind == WINDOW_VOLUME ? floor(usual * 0.6) : usual;
        strips += heights[i + 1] + STRIP_GAP;
    }
    /* Prices keep at least two fifths, whatever is asked for. */
    double room = 0.6 * (plot.bottom - plot.top);
    double share = strips > room ? room / strips : 1;
    heights[0] = floor(plot.bottom - plot.top - strips * share);
    double y = plot.top;
    for (size_t i = 0; i < window->place_count; i++) {
        struct window_place *place = &window->places[i];
        double gap = i > 0 ? fmin(STRIP_GAP, STRIP_GAP * share + 4) : 0;
        double height = i > 0 ? fmax(6, floor((heights[i] + STRIP_GAP) * share - gap)) : heights[0];
        place->kind = i > 0 ? request->strips[i - 1].kind : WINDOW_PRICE;
        place->pane = (struct pane){.box = {plot.left, y + gap, plot.right, y + gap + height},
                                    .first = request->first,
                                    .last = request->last,
                                    .logarithmic = i == 0 && request->logarithmic};
        y += gap + height;
    }
}

static size_t bar_within(double bar, size_t count)
{
    return bar <= 0 ? 0 : bar >= (double)count ? count : (size_t)bar;
}

static void choose_bars(struct draft *draft)
{
    const struct window_request *request = draft->request;
    const struct pane *pane = &draft->window->places[0].pane;
    double beyond = draft->window->over / pane_step(pane);
    size_t count = draft->bars->count;
    draft->seen_from = bar_within(floor(request->first), count);
    draft->seen_to = bar_within(ceil(request->last), count);
    draft->from = bar_within(floor(request->first - beyond), count);
    draft->to = bar_within(ceil(request->last + beyond), count);
    draft->complete = sheet_count(request->sheet);
}

/* --- making ------------------------------------------------------------------------- */

/* The limits of the case's setup on the RSI that it reads. */
static void add_found_limits(const struct draft *draft, struct window_strip *strip)
{
    const struct case_facts *found = draft->found;
    double length = strip->a > 0 ? strip->a : 14;
    if (found == NULL || strip->kind != WINDOW_RSI || length != (double)found->momentum.length)
        return;
    for (size_t i = 0; i < found->momentum.limit_count && strip->limit_count < WINDOW_LIMIT_LIMIT;
         i++)
        strip->limits[strip->limit_count++] = found->momentum.limits[i];
}

static void draw(struct draft *draft)
{
    struct chart_window *window = draft->window;
    size_t strips = draft->request->strip_count;
    lay_out(draft);
    choose_bars(draft);
    double width = window->plot.right - window->plot.left;
    picture_set_left(window->moving, window->plot.left - window->over);
    picture_set_width(window->moving, width + 2 * window->over);
    window_draw_dates(draft, &window->places[0].pane, &window->places[strips].pane);
    window_draw_prices(draft, &window->places[0].pane);
    for (size_t i = 0; i < strips; i++) {
        struct window_strip strip = draft->request->strips[i];
        add_found_limits(draft, &strip);
        window_draw_strip(draft, &strip, &window->places[i + 1].pane);
    }
    window_describe(draft);
}

int chart_window_make(struct chart_window *window, struct typesetter *typesetter,
                      const struct window_request *request, const char *prefix, struct error *error)
{
    struct draft draft = {.request = request,
                          .window = window,
                          .bars = sheet_bars(request->sheet),
                          .places = decimals_of(request->tick),
                          .narrow = request->width < NARROW_WIDTH,
                          .size = request->width < NARROW_WIDTH ? 12 : 11};
    *window = (struct chart_window){0};
    window->moving = picture_new(typesetter, request->width, request->height, prefix);
    window->still = picture_new(typesetter, request->width, request->height, prefix);
    if (window->moving == NULL || window->still == NULL)
        return error_memory(error);
    struct case_facts found;
    int code = ERROR_NONE;
    if (request->found != NULL) {
        code = case_facts_make(&found, request->found, error);
        draft.found = &found;
    }
    if (code == ERROR_NONE)
        draw(&draft);
    if (code == ERROR_NONE && sheet_failed(request->sheet))
        code = error_memory(error);
    if (draft.found != NULL)
        case_facts_free(draft.found);
    return code;
}

void chart_window_free(struct chart_window *window)
{
    picture_free(window->moving);
    picture_free(window->still);
    *window = (struct chart_window){0};
}

/* --- writing ------------------------------------------------------------------------ */

int chart_window_write_moving(struct chart_window *window, enum theme theme, struct text *svg,
                              struct error *error)
{
    return picture_write_bare(window->moving, theme, &(struct picture_form){.paper = true}, svg,
                              error);
}

int chart_window_write_still(struct chart_window *window, enum theme theme, struct text *svg,
                             struct error *error)
{
    return picture_write_bare(window->still, theme, &(struct picture_form){.named = true}, svg,
                              error);
}

int chart_window_write_whole(struct chart_window *window, enum theme theme, struct text *svg,
                             struct error *error)
{
    struct picture_form form = {.paper = true,
                                .named = true,
                                .below = window->moving,
                                .below_box = {window->plot.left - 1, 0, window->plot.right + 1,
                                              picture_height(window->moving)}};
    return picture_write_bare(window->still, theme, &form, svg, error);
}

static void append_members(struct text *json, const char *const *names, const double *values,
                           size_t count)
{
    for (size_t i = 0; i < count; i++) {
        text_append_format(json, "\"%s\":", names[i]);
        text_append_number(json, values[i]);
        text_append_char(json, ',');
    }
}

void chart_window_append_json(const struct chart_window *window, struct text *json)
{
    static const char *const names[] = {"width", "height", "left", "right",
                                        "over",  "first",  "last"};
    static const char *const pane_names[] = {"top", "bottom", "low", "high"};
    const struct pane *price = &window->places[0].pane;
    const double values[] = {picture_width(window->still),
                             picture_height(window->still),
                             window->plot.left,
                             window->plot.right,
                             window->over,
                             price->first,
                             price->last};
    text_append_char(json, '{');
    append_members(json, names, values, sizeof values / sizeof values[0]);
    text_append(json, "\"panes\":[");
    for (size_t i = 0; i < window->place_count; i++) {
        const struct pane *pane = &window->places[i].pane;
        const double edges[] = {pane->box.top, pane->box.bottom, pane->low, pane->high};
        text_append_format(json, "%s{\"kind\":\"%s\",", i > 0 ? "," : "",
                           window_kind_name(window->places[i].kind));
        append_members(json, pane_names, edges, sizeof edges / sizeof edges[0]);
        text_append_format(json, "\"logarithmic\":%s}", pane->logarithmic ? "true" : "false");
    }
    text_append(json, "]}");
}
