/* At which price of a bar each criterion turns.
 *
 * The criteria are asked themselves, of a copy of the bars that ends with the
 * bar moved: no second wording of any rule can differ from the first. A shape's
 * criteria compare lengths that are straight lines in any one price between the
 * prices of its bars, so asking on both sides of each of those finds every turn;
 * what measures ask for is bracketed on a grid, finest near the bar. A bracket is
 * halved until no number lies between its ends.
 *
 * Thousands of bars are not needed for that: a stretch of them is taken on which
 * every criterion reads as on all. */
#include "work/explain_parts.h"

#include "setup/walking.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { FINE_STEPS = 32, COARSE_STEPS = 12, KINK_BARS = 3, POINT_LIMIT = 256 };

struct probe {
    const struct rules_case *opened;
    struct candle whole;  /* the candle among all bars */
    struct candle candle; /* among those taken */
    size_t at;
    size_t shape_count; /* criteria of the candle; those of place and confirm follow */
    size_t count;
    struct bars bars; /* up to the bar, which is moved */
    struct bar own;
    double reach;
    double step;
    double tick; /* 0: the bar does not lie on ticks */
};

struct bar explain_moved(struct bar bar, enum bar_price price, double at)
{
    double *const prices[] = {&bar.open, &bar.high, &bar.low, &bar.close};
    *prices[price] = at;
    if (price == BAR_HIGH) {
        bar.open = fmin(bar.open, at);
        bar.close = fmin(bar.close, at);
    } else if (price == BAR_LOW) {
        bar.open = fmax(bar.open, at);
        bar.close = fmax(bar.close, at);
    }
    bar.high = fmax(bar.high, fmax(bar.open, bar.close));
    bar.low = fmin(bar.low, fmin(bar.open, bar.close));
    return bar;
}

static double price_of(const struct bar *bar, enum bar_price price)
{
    const double prices[] = {bar->open, bar->high, bar->low, bar->close};
    return prices[price];
}

/* --- asking the moved bar ------------------------------------------------------- */

static const struct criterion *criterion_of(const struct probe *probe, size_t number)
{
    const struct setup *setup = probe->opened->view.setup;
    size_t at = number - probe->shape_count;
    return at < setup->place.count ? &setup->place.list[at]
                                   : &setup->confirm.list[at - setup->place.count];
}

/* What is asked of a moved bar: whether criteria are met and, of one of them,
 * what is measured. */
struct asked {
    size_t first; /* criteria first .. last-1 */
    size_t last;
    bool *met;                /* by number; NULL: not wanted */
    struct reading *readings; /* likewise */
};

static void ask_shape(const struct probe *probe, const struct setup_view *view,
                      const struct asked *asked)
{
    struct readings readings;
    shape_fits(&view->setup->candles[probe->candle.choice], view->plain, probe->at, &readings);
    for (size_t i = asked->first; i < probe->shape_count && i < asked->last; i++) {
        bool there = i < readings.count;
        if (asked->met != NULL)
            asked->met[i] = there && readings.list[i].met == TRUTH_YES;
        if (asked->readings != NULL)
            asked->readings[i] = there ? readings.list[i] : (struct reading){.value = NAN};
    }
}

static int ask(struct probe *probe, const struct bar *moved, const struct asked *asked,
               struct error *error)
{
    const struct rules_case *opened = probe->opened;
    struct setup_view view;
    probe->bars.open[probe->at] = moved->open;
    probe->bars.high[probe->at] = moved->high;
    probe->bars.low[probe->at] = moved->low;
    probe->bars.close[probe->at] = moved->close;
    struct sheet *sheet = sheet_of_instrument(&probe->bars, &opened->series.instrument);
    if (sheet == NULL)
        return error_memory(error);
    struct surroundings around = opened->around;
    around.begins = probe->whole.at - probe->at;
    int code = setup_view_init(&view, opened->view.setup, sheet, &around, error);
    if (code == ERROR_NONE && asked->first < probe->shape_count)
        ask_shape(probe, &view, asked);
    size_t first = asked->first > probe->shape_count ? asked->first : probe->shape_count;
    for (size_t i = first; code == ERROR_NONE && i < asked->last; i++) {
        const struct criterion *criterion = criterion_of(probe, i);
        if (asked->met != NULL)
            asked->met[i] = criterion_holds(&view, criterion, &probe->candle, probe->at) ==
                            TRUTH_YES;
        if (asked->readings != NULL)
            asked->readings[i] = criterion_reading(&view, criterion, &probe->candle, probe->at);
    }
    if (code == ERROR_NONE && sheet_failed(sheet))
        code = error_memory(error);
    sheet_free(sheet);
    return code;
}

static int ask_one(struct probe *probe, enum bar_price price, double at, size_t number, bool *met,
                   struct error *error)
{
    bool all[CHECK_LIMIT];
    struct bar moved = explain_moved(probe->own, price, at);
    int code = ask(probe, &moved, &(struct asked){number, number + 1, all, NULL}, error);
    if (code == ERROR_NONE)
        *met = all[number];
    return code;
}

/* --- where to ask ----------------------------------------------------------------- */

struct points {
    double list[POINT_LIMIT];
    size_t count;
    double least;
    double most;
};

static void add_point(struct points *points, double at)
{
    if (at >= points->least && at <= points->most && points->count < POINT_LIMIT)
        points->list[points->count++] = at;
}

static int compare_points(const void *a, const void *b)
{
    double x = *(const double *)a;
    double y = *(const double *)b;
    return (x > y) - (x < y);
}

/* What the price may be: within reach, above 0 where the bar's prices are, and the
 * bar keeps a range, since of one within the tolerance of comparisons nearly
 * anything holds. */
static void set_bounds(const struct probe *probe, enum bar_price price, struct points *points)
{
    const struct bar *own = &probe->own;
    double here = price_of(own, price);
    points->least = here - probe->reach;
    points->most = here + probe->reach;
    if (own->low > 0 && points->least <= 0)
        points->least = own->low * 1e-3;
    double range = TURN_LEAST_RANGE * fmax(fabs(own->high), fabs(own->low));
    if (price == BAR_HIGH)
        points->least = own->low + range;
    if (price == BAR_LOW)
        points->most = own->high - range;
}

/* A price of the shape's bars, itself and on both its sides, both as numbers and
 * beyond the tolerance of comparisons: what holds for equal prices may end there. */
static void add_kink(struct points *points, double at, double tolerance)
{
    add_point(points, at - 2 * tolerance);
    add_point(points, nextafter(at, -INFINITY));
    add_point(points, at);
    add_point(points, nextafter(at, INFINITY));
    add_point(points, at + 2 * tolerance);
}

static void set_points(const struct probe *probe, enum bar_price price, struct points *points)
{
    double here = price_of(&probe->own, price);
    double tolerance = TURN_TOLERANCE * fmax(fabs(probe->own.high), fabs(probe->own.low));
    points->count = 0;
    set_bounds(probe, price, points);
    add_point(points, points->least);
    add_point(points, points->most);
    for (size_t back = 0; back < KINK_BARS && back <= probe->at; back++) {
        struct bar bar = back == 0 ? probe->own : bars_at(&probe->bars, probe->at - back);
        for (int i = 0; i < BAR_PRICES; i++)
            add_kink(points, price_of(&bar, (enum bar_price)i), tolerance);
    }
    double away = 0;
    double growth = pow(probe->reach / (probe->step * FINE_STEPS), 1.0 / COARSE_STEPS);
    for (int i = 1; i <= FINE_STEPS + COARSE_STEPS; i++) {
        away = i <= FINE_STEPS ? probe->step * i : away * growth;
        add_point(points, here - away);
        add_point(points, here + away);
    }
    add_point(points, here);
    qsort(points->list, points->count, sizeof points->list[0], compare_points);
}

/* --- finding the turns --------------------------------------------------------------- */

/* Halves the bracket: `before` still answers as the bar does, `beyond` not. */
static int narrow(struct probe *probe, enum bar_price price, size_t number, bool own_answer,
                  double *before, double *beyond, struct error *error)
{
    for (;;) {
        double middle = *before + (*beyond - *before) / 2;
        bool met = false;
        if (middle == *before || middle == *beyond)
            return ERROR_NONE;
        int code = ask_one(probe, price, middle, number, &met, error);
        if (code != ERROR_NONE)
            return code;
        *(met == own_answer ? before : beyond) = middle;
    }
}

/* The decimal of fewest places that is the same price to within the tolerance. */
static double plain_price(double at, double tolerance)
{
    double scale = 1;
    for (int places = 0; places < 12; places++, scale *= 10) {
        double plain = round(at * scale) / scale;
        if (fabs(plain - at) <= tolerance)
            return plain;
    }
    return at;
}

/* The first price on the tick beyond. */
static int find_first(struct probe *probe, size_t number, bool own_answer, struct turn *turn,
                      double beyond, struct error *error)
{
    turn->first = NAN;
    if (probe->tick <= 0)
        return ERROR_NONE;
    double ticks = turn->up ? ceil(beyond / probe->tick - 1e-6)
                            : floor(beyond / probe->tick + 1e-6);
    for (int i = 0; i < 2; i++) {
        double at = plain_price((ticks + (turn->up ? i : -i)) * probe->tick, probe->tick * 1e-6);
        struct bar moved = explain_moved(probe->own, turn->price, at);
        bool met = own_answer;
        int code = ERROR_NONE;
        if (price_of(&moved, turn->price) == at)
            code = ask_one(probe, turn->price, at, number, &met, error);
        if (code != ERROR_NONE)
            return code;
        if (met != own_answer) {
            turn->first = at;
            return ERROR_NONE;
        }
    }
    return ERROR_NONE;
}

static bool takes_along(const struct bar *own, const struct turn *turn, double tolerance)
{
    if (turn->price == BAR_HIGH)
        return turn->at < fmax(own->open, own->close) - tolerance;
    if (turn->price == BAR_LOW)
        return turn->at > fmin(own->open, own->close) + tolerance;
    return turn->at > own->high + tolerance || turn->at < own->low - tolerance;
}

/* Leaves the tolerance of comparisons out of a turn, unless the answer is the
 * other one on that very number alone. */
static int make_plain(struct probe *probe, size_t number, bool own_answer, double tolerance,
                      struct turn *turn, struct error *error)
{
    double plain = plain_price(turn->at, tolerance);
    const double asked[] = {plain, plain + (turn->up ? 2 : -2) * tolerance};
    bool turned = false;
    for (size_t i = 0; i < 2 && !turned; i++) {
        bool met = own_answer;
        int code = ask_one(probe, turn->price, asked[i], number, &met, error);
        if (code != ERROR_NONE)
            return code;
        turned = met != own_answer;
    }
    if (turned)
        turn->at = plain;
    return ERROR_NONE;
}

static int add_turn(struct probe *probe, enum bar_price price, size_t number, double before,
                    double beyond, struct explained *explained, struct error *error)
{
    bool own_answer = explained->check.holds == TRUTH_YES;
    bool up = beyond > before;
    struct turn *turn = &explained->turns[explained->turn_count];
    int code = narrow(probe, price, number, own_answer, &before, &beyond, error);
    if (code != ERROR_NONE)
        return code;
    double tolerance = TURN_TOLERANCE *
                       fmax(fabs(beyond), fmax(fabs(probe->own.high), fabs(probe->own.low)));
    *turn = (struct turn){.price = price, .up = up, .at = beyond};
    code = make_plain(probe, number, own_answer, tolerance, turn, error);
    if (code != ERROR_NONE)
        return code;
    turn->stretches = takes_along(&probe->own, turn, tolerance);
    explained->turn_count++;
    return find_first(probe, number, own_answer, turn, beyond, error);
}

/* Going from the bar's own price up or down, the first point that answers
 * otherwise. */
static int turn_of(struct probe *probe, enum bar_price price, size_t number,
                   const struct points *points, bool (*met)[CHECK_LIMIT], bool up,
                   struct explained *explained, struct error *error)
{
    bool own_answer = explained->check.holds == TRUTH_YES;
    double here = price_of(&probe->own, price);
    double before = here;
    for (size_t k = 0; k < points->count; k++) {
        size_t i = up ? k : points->count - 1 - k;
        double at = points->list[i];
        if (up ? at <= here : at >= here)
            continue;
        if (met[i][number] != own_answer)
            return add_turn(probe, price, number, before, at, explained, error);
        before = at;
    }
    return ERROR_NONE;
}

static bool same_number(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

/* Whether what is measured moves when this price does. */
static int see_what_hangs(struct probe *probe, enum bar_price price, const struct points *points,
                          const struct reading *own, struct explanation *explanation,
                          struct error *error)
{
    struct reading readings[CHECK_LIMIT];
    double here = price_of(&probe->own, price);
    const double asked[] = {fmin(here + probe->step, points->most),
                            fmax(here - probe->step, points->least)};
    for (size_t k = 0; k < 2; k++) {
        struct bar moved = explain_moved(probe->own, price, asked[k]);
        int code = ask(probe, &moved, &(struct asked){0, probe->count, NULL, readings}, error);
        if (code != ERROR_NONE)
            return code;
        for (size_t i = 0; i < probe->count; i++)
            if (!same_number(readings[i].value, own[i].value) ||
                !same_number(readings[i].limit, own[i].limit))
                explanation->criteria[i].hangs = true;
    }
    return ERROR_NONE;
}

static int turns_of_price(struct probe *probe, enum bar_price price, const struct reading *own,
                          struct explanation *explanation, struct error *error)
{
    struct points points;
    set_points(probe, price, &points);
    bool(*met)[CHECK_LIMIT] = calloc(POINT_LIMIT, sizeof *met);
    int code = met == NULL ? error_memory(error) : ERROR_NONE;
    for (size_t i = 0; code == ERROR_NONE && i < points.count; i++) {
        struct bar moved = explain_moved(probe->own, price, points.list[i]);
        code = ask(probe, &moved, &(struct asked){0, probe->count, met[i], NULL}, error);
    }
    for (size_t i = 0; i < 2 * probe->count && code == ERROR_NONE; i++)
        code = turn_of(probe, price, i / 2, &points, met, i % 2 == 0, &explanation->criteria[i / 2],
                       error);
    if (code == ERROR_NONE)
        code = see_what_hangs(probe, price, &points, own, explanation, error);
    free(met);
    return code;
}

/* Nearest first; what this bar could not have done, and its open, which was
 * there before all else, after the rest. */
static void sort_turns(struct explained *explained, const struct bar *own)
{
    struct turn *turns = explained->turns;
    for (size_t i = 1; i < explained->turn_count; i++) {
        for (size_t k = i; k > 0; k--) {
            const struct turn *one = &turns[k - 1];
            const struct turn *two = &turns[k];
            int late_one = one->price == BAR_OPEN ? 2 : one->stretches;
            int late_two = two->price == BAR_OPEN ? 2 : two->stretches;
            double far_one = fabs(one->at - price_of(own, one->price));
            double far_two = fabs(two->at - price_of(own, two->price));
            if (late_one < late_two || (late_one == late_two && far_one <= far_two))
                break;
            struct turn moved = turns[k];
            turns[k] = turns[k - 1];
            turns[k - 1] = moved;
        }
    }
}

static bool on_ticks(const struct bar *bar, double tick)
{
    for (int i = 0; i < BAR_PRICES; i++) {
        double ticks = price_of(bar, (enum bar_price)i) / tick;
        if (fabs(ticks - round(ticks)) > 1e-6)
            return false;
    }
    return true;
}

/* --- how much of the past is needed ---------------------------------------------------- */

/* SIZE_MAX where what is read lies however far back: that takes all. */
static size_t bars_needed(const struct setup *setup)
{
    enum { LEAST_PAST = 600 };
    return setup_walks(setup) ? LEAST_PAST + 2 * setup_back(setup) : SIZE_MAX;
}

/* The bars from `first` on, and what is read on them of the bar as it is. */
static int take_past(struct probe *probe, size_t first, struct reading *own, struct error *error)
{
    const struct candle candle = probe->whole;
    bars_free(&probe->bars);
    int code = bars_slice(&probe->bars, &probe->opened->series.bars, first, candle.at + 1, error);
    if (code != ERROR_NONE)
        return code;
    probe->candle = candle;
    probe->candle.first -= first;
    probe->candle.at -= first;
    probe->at = probe->candle.at;
    return ask(probe, &probe->own, &(struct asked){0, probe->count, NULL, own}, error);
}

/* Whether two numbers are the same but for what rounding leaves. */
static bool nearly_same(double a, double b)
{
    return same_number(a, b) || fabs(a - b) <= 1e-12 * fmax(fabs(a), fabs(b));
}

/* A recurrence that began later has come to the same value, or more is taken. */
static int set_past(struct probe *probe, struct reading *own, struct error *error)
{
    struct reading all[CHECK_LIMIT];
    size_t needed = bars_needed(probe->opened->view.setup);
    size_t first = probe->whole.at + 1 > needed ? probe->whole.at + 1 - needed : 0;
    bool same = true;
    int code = take_past(probe, 0, all, error);
    if (code == ERROR_NONE && first > 0 && first <= probe->whole.first)
        code = take_past(probe, first, own, error);
    for (size_t i = 0;
         code == ERROR_NONE && probe->bars.count <= probe->whole.at && i < probe->count; i++)
        same = same && own[i].met == all[i].met && nearly_same(own[i].value, all[i].value) &&
               nearly_same(own[i].limit, all[i].limit);
    if (code == ERROR_NONE && same && probe->bars.count <= probe->whole.at)
        return ERROR_NONE;
    return code == ERROR_NONE ? take_past(probe, 0, own, error) : code;
}

int explain_turns(const struct rules_case *opened, const struct candle *candle,
                  struct explanation *explanation, struct error *error)
{
    const struct setup *setup = opened->view.setup;
    const struct instrument *instrument = &opened->series.instrument;
    struct reading own[CHECK_LIMIT];
    struct probe probe = {.opened = opened,
                          .whole = *candle,
                          .count = explanation->count,
                          .own = explanation->prices};
    probe.shape_count = probe.count - setup->place.count - setup->confirm.count;
    double scale = fmax(isnan(explanation->atr) ? 0 : explanation->atr, explanation->parts.range);
    if (!(explanation->parts.range > 0))
        return ERROR_NONE;
    probe.reach = TURN_REACH * scale;
    probe.step = scale / 10;
    if (instrument->tick_known && on_ticks(&probe.own, instrument->tick.value))
        probe.tick = instrument->tick.value;
    bars_init(&probe.bars);
    int code = set_past(&probe, own, error);
    for (int price = 0; code == ERROR_NONE && price < BAR_PRICES; price++)
        code = turns_of_price(&probe, (enum bar_price)price, own, explanation, error);
    for (size_t i = 0; i < explanation->count; i++) {
        struct explained *explained = &explanation->criteria[i];
        sort_turns(explained, &probe.own);
        explained->hangs = explained->hangs || explained->turn_count > 0;
    }
    bars_free(&probe.bars);
    return code;
}
