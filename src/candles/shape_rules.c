/* The rules of the shapes. */
#include "candles/shape_rows.h"

#include "candles/anatomy.h"

#include <math.h>

/* --- what the rows are written in --------------------------------------- */

/* Whether no further criterion has to be looked at. */
static bool settled(const struct readings *readings)
{
    return readings->unread && readings->missed;
}

/* Notes whether a criterion is met; true where its reading is wanted too. */
static bool note(struct readings *readings, enum truth met)
{
    readings->missed = readings->missed || met != TRUTH_YES;
    return !readings->unread;
}

static void add(struct readings *readings, const char *name, const char *unit,
                enum comparison comparison, double value, double limit, enum truth met)
{
    if (note(readings, met))
        readings->list[readings->count++] = (struct reading){.name = name,
                                                             .unit = unit,
                                                             .comparison = comparison,
                                                             .value = value,
                                                             .limit = limit,
                                                             .met = met};
}

/* A named limit times `whole`, as lengths, so that no quotient decides; shown as
 * the quotient. */
static void add_length(const struct shape_view *view, struct readings *readings, const char *name,
                       const char *unit, enum comparison comparison, double length,
                       unsigned char number, double whole, enum truth met)
{
    if (!note(readings, met))
        return;
    readings->list[readings->count++] = (struct reading){.name = name,
                                                         .unit = unit,
                                                         .comparison = comparison,
                                                         .value = length / whole,
                                                         .limit = view->limits[number],
                                                         .parameter = number + 1,
                                                         .met = met};
}

static void add_at_least(const struct shape_view *view, struct readings *readings, const char *name,
                         const char *unit, double length, unsigned char number, double whole)
{
    if (!settled(readings))
        add_length(view, readings, name, unit, COMPARE_AT_LEAST, length, number, whole,
                   at_least(length, view->limits[number] * whole, view->tolerance));
}

static void add_at_most(const struct shape_view *view, struct readings *readings, const char *name,
                        const char *unit, double length, unsigned char number, double whole)
{
    if (!settled(readings))
        add_length(view, readings, name, unit, COMPARE_AT_MOST, length, number, whole,
                   at_most(length, view->limits[number] * whole, view->tolerance));
}

/* A criterion between two prices as given, or a plain yes or no. */
static void add_fact(struct readings *readings, const char *name, bool holds)
{
    add(readings, name, "", COMPARE_AT_LEAST, NAN, NAN, holds ? TRUTH_YES : TRUTH_NO);
}

/* `price` beyond a computed price. */
static void add_price(struct readings *readings, const char *name, enum comparison comparison,
                      double price, double limit, enum truth met)
{
    if (note(readings, met))
        readings->list[readings->count++] = (struct reading){.name = name,
                                                             .unit = "",
                                                             .kind = READING_PRICE,
                                                             .comparison = comparison,
                                                             .value = price,
                                                             .limit = limit,
                                                             .met = met};
}

static struct anatomy bar_of(const struct shape_view *view, size_t number)
{
    return anatomy_of(sheet_bars(view->sheet), view->first + number - 1);
}

static bool bullish(const struct anatomy *bar)
{
    return bar->close > bar->open;
}

static bool bearish(const struct anatomy *bar)
{
    return bar->close < bar->open;
}

static double body_top(const struct anatomy *bar)
{
    return bar->open > bar->close ? bar->open : bar->close;
}

static double body_bottom(const struct anatomy *bar)
{
    return bar->open < bar->close ? bar->open : bar->close;
}

/* ATR(14) of the bar before the shape. */
static double atr_before(const struct shape_view *view)
{
    const double *atr = view->first > 0 ? sheet_atr(view->sheet, 14) : NULL;
    return atr != NULL ? atr[view->first - 1] : NAN;
}

enum { BODIES_BEFORE = 10 };

/* Mean body of the ten bars before the shape. */
static double mean_body_before(const struct shape_view *view)
{
    const struct bars *bars = sheet_bars(view->sheet);
    double sum = 0;
    if (view->first < BODIES_BEFORE)
        return NAN;
    for (size_t i = view->first - BODIES_BEFORE; i < view->first; i++)
        sum += fabs(bars->close[i] - bars->open[i]);
    return sum / BODIES_BEFORE;
}

static void add_long(const struct shape_view *view, struct readings *readings,
                     const struct anatomy *bar, unsigned char number, const char *name)
{
    if (view->limits[number] > 0 && !settled(readings))
        add_at_least(view, readings, name, "average bodies of the 10 bars before", bar->body,
                     number, mean_body_before(view));
}

/* --- one bar ------------------------------------------------------------- */

void read_any(const struct shape_view *view, struct readings *readings)
{
    (void)view;
    add_fact(readings, "a bar with a range", true);
}

/* The criteria that inverted hammer and hammer share; limits 2 to 5. */
static void read_small_body(const struct shape_view *view, struct readings *readings,
                            const struct anatomy *bar)
{
    const double *limits = view->limits;
    add_at_most(view, readings, "body", "of the range", bar->body, 2, bar->range);
    if (limits[3] > 0)
        add_at_least(view, readings, "body", "of the range", bar->body, 3, bar->range);
    if (limits[4] > 0 && !settled(readings))
        add_at_most(view, readings, "body", "average bodies of the 10 bars before", bar->body, 4,
                    mean_body_before(view));
    if (limits[5] > 0 && !settled(readings))
        add_at_least(view, readings, "range", "ATR before", bar->range, 5, atr_before(view));
}

void read_inverted_hammer(const struct shape_view *view, struct readings *readings)
{
    struct anatomy bar = bar_of(view, 1);
    add_at_least(view, readings, "upper shadow", "bodies", bar.upper, 0, bar.body);
    add_at_most(view, readings, "lower shadow", "of the range", bar.lower, 1, bar.range);
    read_small_body(view, readings, &bar);
}

void read_hammer(const struct shape_view *view, struct readings *readings)
{
    struct anatomy bar = bar_of(view, 1);
    add_at_least(view, readings, "lower shadow", "bodies", bar.lower, 0, bar.body);
    add_at_most(view, readings, "upper shadow", "of the range", bar.upper, 1, bar.range);
    read_small_body(view, readings, &bar);
}

void read_doji(const struct shape_view *view, struct readings *readings)
{
    struct anatomy bar = bar_of(view, 1);
    add_at_most(view, readings, "body", "of the range", bar.body, 0, bar.range);
}

void read_gravestone(const struct shape_view *view, struct readings *readings)
{
    struct anatomy bar = bar_of(view, 1);
    read_doji(view, readings);
    add_at_most(view, readings, "lower shadow", "of the range", bar.lower, 1, bar.range);
}

void read_long_legged(const struct shape_view *view, struct readings *readings)
{
    struct anatomy bar = bar_of(view, 1);
    read_doji(view, readings);
    add_at_least(view, readings, "upper shadow", "of the range", bar.upper, 1, bar.range);
    add_at_least(view, readings, "lower shadow", "of the range", bar.lower, 1, bar.range);
}

void read_spinning_top(const struct shape_view *view, struct readings *readings)
{
    struct anatomy bar = bar_of(view, 1);
    add_at_most(view, readings, "body", "of the range", bar.body, 0, bar.range);
    add_at_least(view, readings, "upper shadow", "bodies", bar.upper, 1, bar.body);
    add_at_least(view, readings, "lower shadow", "bodies", bar.lower, 1, bar.body);
    add(readings, "body", "of the range", COMPARE_ABOVE, bar.body / bar.range, view->limits[2],
        above(bar.body, view->limits[2] * bar.range, view->tolerance));
}

void read_marubozu(const struct shape_view *view, struct readings *readings)
{
    struct anatomy bar = bar_of(view, 1);
    add_fact(readings, "closes above its open", bullish(&bar));
    add_at_least(view, readings, "body", "of the range", bar.body, 0, bar.range);
    add_long(view, readings, &bar, 1, "body");
}

/* --- two bars ------------------------------------------------------------ */

void read_belt_hold(const struct shape_view *view, struct readings *readings)
{
    struct anatomy before = bar_of(view, 1);
    struct anatomy bar = bar_of(view, 2);
    add_at_most(view, readings, "open above the low", "of the range", bar.open - bar.low, 0,
                bar.range);
    add_fact(readings, "closes above its open", bullish(&bar));
    add_long(view, readings, &bar, 1, "body");
    add_price(readings, "open, against the low before", COMPARE_BELOW, bar.open, before.low,
              below(bar.open, before.low, 0));
}

void read_engulfing(const struct shape_view *view, struct readings *readings)
{
    struct anatomy one = bar_of(view, 1);
    struct anatomy two = bar_of(view, 2);
    add_fact(readings, "bar 1 closes below its open", bearish(&one));
    add_fact(readings, "bar 2 closes above its open", bullish(&two));
    add_price(readings, "open of bar 2, against the close before", COMPARE_AT_MOST, two.open,
              one.close, at_most(two.open, one.close, 0));
    add_price(readings, "close of bar 2, against the open before", COMPARE_AT_LEAST, two.close,
              one.open, at_least(two.close, one.open, 0));
    add(readings, "body of bar 2", "bodies of bar 1", COMPARE_ABOVE, two.body / one.body, 1,
        above(two.body, one.body, view->tolerance));
}

/* Body 2 inside body 1; one end may touch, not both. */
static void read_inside_body(const struct shape_view *view, struct readings *readings)
{
    struct anatomy one = bar_of(view, 1);
    struct anatomy two = bar_of(view, 2);
    bool inside = body_top(&two) <= body_top(&one) && body_bottom(&two) >= body_bottom(&one);
    bool same = body_top(&two) == body_top(&one) && body_bottom(&two) == body_bottom(&one);
    add_fact(readings, "bar 1 closes below its open", bearish(&one));
    add_long(view, readings, &one, 0, "body of bar 1");
    add_fact(readings, "body 2 lies inside body 1", inside && !same);
}

void read_harami(const struct shape_view *view, struct readings *readings)
{
    struct anatomy two = bar_of(view, 2);
    read_inside_body(view, readings);
    add_fact(readings, "bar 2 closes above its open", bullish(&two));
}

void read_harami_cross(const struct shape_view *view, struct readings *readings)
{
    struct anatomy two = bar_of(view, 2);
    read_inside_body(view, readings);
    add_at_most(view, readings, "body of bar 2", "of its range", two.body, 1, two.range);
}

static double body_middle(const struct anatomy *bar)
{
    return (bar->open + bar->close) / 2;
}

void read_piercing_line(const struct shape_view *view, struct readings *readings)
{
    struct anatomy one = bar_of(view, 1);
    struct anatomy two = bar_of(view, 2);
    add_fact(readings, "bar 1 closes below its open", bearish(&one));
    add_long(view, readings, &one, 0, "body of bar 1");
    add_price(readings, "open of bar 2, against the low before", COMPARE_BELOW, two.open, one.low,
              below(two.open, one.low, 0));
    add_price(readings, "close of bar 2, against the middle of body 1", COMPARE_ABOVE, two.close,
              body_middle(&one), above(two.close, body_middle(&one), view->tolerance));
    add_price(readings, "close of bar 2, against the open of bar 1", COMPARE_BELOW, two.close,
              one.open, below(two.close, one.open, 0));
}

void read_tweezer_bottom(const struct shape_view *view, struct readings *readings)
{
    struct anatomy one = bar_of(view, 1);
    struct anatomy two = bar_of(view, 2);
    add_at_most(view, readings, "distance of the lows", "ATR before", fabs(two.low - one.low), 0,
                atr_before(view));
    add_fact(readings, "bar 1 closes below its open", bearish(&one));
    add_fact(readings, "bar 2 closes above its open", bullish(&two));
}

void read_inside_bar(const struct shape_view *view, struct readings *readings)
{
    struct anatomy one = bar_of(view, 1);
    struct anatomy two = bar_of(view, 2);
    bool same = two.high == one.high && two.low == one.low;
    add_fact(readings, "bar 2 lies inside bar 1",
             two.high <= one.high && two.low >= one.low && !same);
}

void read_outside_bar(const struct shape_view *view, struct readings *readings)
{
    struct anatomy one = bar_of(view, 1);
    struct anatomy two = bar_of(view, 2);
    bool same = two.high == one.high && two.low == one.low;
    add_fact(readings, "bar 2 covers bar 1", two.high >= one.high && two.low <= one.low && !same);
}

/* --- three bars ---------------------------------------------------------- */

void read_morning_star(const struct shape_view *view, struct readings *readings)
{
    struct anatomy one = bar_of(view, 1);
    struct anatomy two = bar_of(view, 2);
    struct anatomy three = bar_of(view, 3);
    add_fact(readings, "bar 1 closes below its open", bearish(&one));
    add_long(view, readings, &one, 0, "body of bar 1");
    add_at_most(view, readings, "body of bar 2", "bodies of bar 1", two.body, 1, one.body);
    add_price(readings, "top of body 2, against the close of bar 1", COMPARE_BELOW, body_top(&two),
              one.close, below(body_top(&two), one.close, 0));
    add_fact(readings, "bar 3 closes above its open", bullish(&three));
    add_price(readings, "close of bar 3, against the middle of body 1", COMPARE_ABOVE, three.close,
              body_middle(&one), above(three.close, body_middle(&one), view->tolerance));
}

/* Bar 3 closes above the bodies of bars 1 and 2. */
static void read_third_close(const struct shape_view *view, struct readings *readings)
{
    struct anatomy one = bar_of(view, 1);
    struct anatomy two = bar_of(view, 2);
    struct anatomy three = bar_of(view, 3);
    double top = fmax(body_top(&one), body_top(&two));
    add_price(readings, "close of bar 3, against the first two bodies", COMPARE_ABOVE, three.close,
              top, above(three.close, top, 0));
}

void read_three_inside_up(const struct shape_view *view, struct readings *readings)
{
    read_harami(view, readings);
    read_third_close(view, readings);
}

void read_three_outside_up(const struct shape_view *view, struct readings *readings)
{
    read_engulfing(view, readings);
    read_third_close(view, readings);
}

void read_three_white_soldiers(const struct shape_view *view, struct readings *readings)
{
    struct anatomy bar[3] = {bar_of(view, 1), bar_of(view, 2), bar_of(view, 3)};
    static const char *const bodies[] = {"body of bar 1", "body of bar 2", "body of bar 3"};
    static const char *const closes[] = {"close of bar 1 below its high",
                                         "close of bar 2 below its high",
                                         "close of bar 3 below its high"};
    bool rising = bar[1].close > bar[0].close && bar[2].close > bar[1].close;
    bool within = true;
    for (int i = 1; i < 3; i++)
        within = within && bar[i].open > bar[i - 1].open && bar[i].open < bar[i - 1].close;
    add_fact(readings, "all three close above their open",
             bullish(&bar[0]) && bullish(&bar[1]) && bullish(&bar[2]));
    for (int i = 0; i < 3; i++) {
        add_long(view, readings, &bar[i], 0, bodies[i]);
        add_at_most(view, readings, closes[i], "of its range", bar[i].high - bar[i].close, 1,
                    bar[i].range);
    }
    add_fact(readings, "each opens within the body before", within);
    add_fact(readings, "each closes above the close before", rising);
}
