#include "candles/shapes.h"

#include "candles/anatomy.h"

#include <math.h>
#include <string.h>

/* --- what the rows are written in --------------------------------------- */

static void add(struct readings *readings, const char *name, const char *unit,
                enum comparison comparison, double value, double limit, enum truth met)
{
    readings->list[readings->count++] = (struct reading){
        .name = name, .unit = unit, .comparison = comparison, .value = value, .limit = limit, .met = met};
}

/* `length` against a named limit times `whole`, as lengths, so that no quotient
 * decides; shown as the quotient. */
static void add_at_least(const struct shape_view *view, struct readings *readings, const char *name,
                         const char *unit, double length, unsigned char number, double whole)
{
    double limit = view->limits[number];
    add(readings, name, unit, COMPARE_AT_LEAST, length / whole, limit,
        at_least(length, limit * whole, view->tolerance));
    readings->list[readings->count - 1].parameter = number + 1;
}

static void add_at_most(const struct shape_view *view, struct readings *readings, const char *name,
                        const char *unit, double length, unsigned char number, double whole)
{
    double limit = view->limits[number];
    add(readings, name, unit, COMPARE_AT_MOST, length / whole, limit,
        at_most(length, limit * whole, view->tolerance));
    readings->list[readings->count - 1].parameter = number + 1;
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
    if (view->limits[number] > 0)
        add_at_least(view, readings, name, "mean bodies of the 10 bars before", bar->body, number,
                     mean_body_before(view));
}

/* --- one bar ------------------------------------------------------------- */

static void read_any(const struct shape_view *view, struct readings *readings)
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
    if (limits[4] > 0)
        add_at_most(view, readings, "body", "mean bodies of the 10 bars before", bar->body, 4,
                    mean_body_before(view));
    if (limits[5] > 0)
        add_at_least(view, readings, "range", "ATR before", bar->range, 5,
                     atr_before(view));
}

static void read_inverted_hammer(const struct shape_view *view, struct readings *readings)
{
    struct anatomy bar = bar_of(view, 1);
    add_at_least(view, readings, "upper shadow", "bodies", bar.upper, 0, bar.body);
    add_at_most(view, readings, "lower shadow", "of the range", bar.lower, 1,
                bar.range);
    read_small_body(view, readings, &bar);
}

static void read_hammer(const struct shape_view *view, struct readings *readings)
{
    struct anatomy bar = bar_of(view, 1);
    add_at_least(view, readings, "lower shadow", "bodies", bar.lower, 0, bar.body);
    add_at_most(view, readings, "upper shadow", "of the range", bar.upper, 1,
                bar.range);
    read_small_body(view, readings, &bar);
}

static void read_doji(const struct shape_view *view, struct readings *readings)
{
    struct anatomy bar = bar_of(view, 1);
    add_at_most(view, readings, "body", "of the range", bar.body, 0, bar.range);
}

static void read_gravestone(const struct shape_view *view, struct readings *readings)
{
    struct anatomy bar = bar_of(view, 1);
    read_doji(view, readings);
    add_at_most(view, readings, "lower shadow", "of the range", bar.lower, 1,
                bar.range);
}

static void read_long_legged(const struct shape_view *view, struct readings *readings)
{
    struct anatomy bar = bar_of(view, 1);
    read_doji(view, readings);
    add_at_least(view, readings, "upper shadow", "of the range", bar.upper, 1,
                 bar.range);
    add_at_least(view, readings, "lower shadow", "of the range", bar.lower, 1,
                 bar.range);
}

static void read_spinning_top(const struct shape_view *view, struct readings *readings)
{
    struct anatomy bar = bar_of(view, 1);
    add_at_most(view, readings, "body", "of the range", bar.body, 0, bar.range);
    add_at_least(view, readings, "upper shadow", "bodies", bar.upper, 1, bar.body);
    add_at_least(view, readings, "lower shadow", "bodies", bar.lower, 1, bar.body);
    add(readings, "body", "of the range", COMPARE_ABOVE, bar.body / bar.range, view->limits[2],
        above(bar.body, view->limits[2] * bar.range, view->tolerance));
}

static void read_marubozu(const struct shape_view *view, struct readings *readings)
{
    struct anatomy bar = bar_of(view, 1);
    add_fact(readings, "closes above its open", bullish(&bar));
    add_at_least(view, readings, "body", "of the range", bar.body, 0, bar.range);
    add_long(view, readings, &bar, 1, "body");
}

/* --- two bars ------------------------------------------------------------ */

static void read_belt_hold(const struct shape_view *view, struct readings *readings)
{
    struct anatomy before = bar_of(view, 1);
    struct anatomy bar = bar_of(view, 2);
    add_at_most(view, readings, "open above the low", "of the range", bar.open - bar.low,
                0, bar.range);
    add_fact(readings, "closes above its open", bullish(&bar));
    add_long(view, readings, &bar, 1, "body");
    add_price(readings, "open, against the low before", COMPARE_BELOW, bar.open, before.low,
              below(bar.open, before.low, 0));
}

static void read_engulfing(const struct shape_view *view, struct readings *readings)
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

static void read_harami(const struct shape_view *view, struct readings *readings)
{
    struct anatomy two = bar_of(view, 2);
    read_inside_body(view, readings);
    add_fact(readings, "bar 2 closes above its open", bullish(&two));
}

static void read_harami_cross(const struct shape_view *view, struct readings *readings)
{
    struct anatomy two = bar_of(view, 2);
    read_inside_body(view, readings);
    add_at_most(view, readings, "body of bar 2", "of its range", two.body, 1,
                two.range);
}

static double body_middle(const struct anatomy *bar)
{
    return (bar->open + bar->close) / 2;
}

static void read_piercing_line(const struct shape_view *view, struct readings *readings)
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

static void read_tweezer_bottom(const struct shape_view *view, struct readings *readings)
{
    struct anatomy one = bar_of(view, 1);
    struct anatomy two = bar_of(view, 2);
    add_at_most(view, readings, "distance of the lows", "ATR before", fabs(two.low - one.low),
                0, atr_before(view));
    add_fact(readings, "bar 1 closes below its open", bearish(&one));
    add_fact(readings, "bar 2 closes above its open", bullish(&two));
}

static void read_inside_bar(const struct shape_view *view, struct readings *readings)
{
    struct anatomy one = bar_of(view, 1);
    struct anatomy two = bar_of(view, 2);
    bool same = two.high == one.high && two.low == one.low;
    add_fact(readings, "bar 2 lies inside bar 1",
             two.high <= one.high && two.low >= one.low && !same);
}

static void read_outside_bar(const struct shape_view *view, struct readings *readings)
{
    struct anatomy one = bar_of(view, 1);
    struct anatomy two = bar_of(view, 2);
    bool same = two.high == one.high && two.low == one.low;
    add_fact(readings, "bar 2 covers bar 1", two.high >= one.high && two.low <= one.low && !same);
}

/* --- three bars ---------------------------------------------------------- */

static void read_morning_star(const struct shape_view *view, struct readings *readings)
{
    struct anatomy one = bar_of(view, 1);
    struct anatomy two = bar_of(view, 2);
    struct anatomy three = bar_of(view, 3);
    add_fact(readings, "bar 1 closes below its open", bearish(&one));
    add_long(view, readings, &one, 0, "body of bar 1");
    add_at_most(view, readings, "body of bar 2", "bodies of bar 1", two.body, 1,
                one.body);
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

static void read_three_inside_up(const struct shape_view *view, struct readings *readings)
{
    read_harami(view, readings);
    read_third_close(view, readings);
}

static void read_three_outside_up(const struct shape_view *view, struct readings *readings)
{
    read_engulfing(view, readings);
    read_third_close(view, readings);
}

static void read_three_white_soldiers(const struct shape_view *view, struct readings *readings)
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
        add_at_most(view, readings, closes[i], "of its range", bar[i].high - bar[i].close,
                    1, bar[i].range);
    }
    add_fact(readings, "each opens within the body before", within);
    add_fact(readings, "each closes above the close before", rising);
}

/* --- the table ----------------------------------------------------------- */

#define LIMIT(title, value, top, in, text)                                                         \
    {.name = title, .missing = value, .most = top, .unit = in, .help = text}
#define MIRRORED_LIMIT(title, mirror_title, value, top, in, text)                                  \
    {.name = title, .mirror_name = mirror_title, .missing = value, .most = top, .unit = in,        \
     .help = text}
#define LONG_LIMIT LIMIT("long_min_means", 1.3, 100, "mean bodies", "body of the long bar, least; 0: off")
#define SMALL_BODY_LIMITS                                                                          \
    LIMIT("body_max", 0.34, 1, "of the range", "body, most"),                                      \
        LIMIT("body_min", 0, 1, "of the range", "body, least; 0: off"),                            \
        LIMIT("body_max_mean", 0, 100, "mean bodies",                                              \
              "body, most, against the mean body of the 10 bars before; 0: off"),                  \
        LIMIT("range_min_atr", 0.5, 100, "ATR", "range, least, in ATR before; 0: off")
#define DOJI_LIMIT LIMIT("body_max", 0.05, 1, "of the range", "body, most")

static const char hammer_source[] =
    "Nison 1991 (from memory) for the shape; the numbers are ours where he says small or little. "
    "Authors differ: Morris 2006 (from memory) asks for a shadow of usually no more than two "
    "bodies for the inverted hammer and at least three for the shooting star; others want a "
    "bearish bar before it.";
static const char doji_source[] =
    "Nison 1991 (from memory): open and close the same or almost; the number is ours. Morris 2006 "
    "(from memory): 1 to 3% of the range.";
static const char nison[] = "Nison 1991 (from memory); the numbers are ours.";
static const char morris[] =
    "Morris 2006 (from memory): one end of the bodies may touch, not both; long is ours.";
static const char common_shape[] = "common practice, no source";

const struct shape shapes[] = {
    {"any", NULL, SHAPE_NEUTRAL, 1, {{0}}, "every bar with a range, for controls and checks", NULL,
     "ours", read_any},
    {"inverted-hammer", "hanging-man", SHAPE_LONG, 1,
     {MIRRORED_LIMIT("upper_min_bodies", "lower_min_bodies", 2, 100, "bodies",
                     "the long shadow, least"),
      MIRRORED_LIMIT("lower_max", "upper_max", 0.10, 1, "of the range", "the other shadow, most"),
      SMALL_BODY_LIMITS},
     "small body at the lower end, long upper shadow, little or no lower one",
     "small body at the upper end, long lower shadow, little or no upper one", hammer_source,
     read_inverted_hammer},
    {"hammer", "shooting-star", SHAPE_LONG, 1,
     {MIRRORED_LIMIT("lower_min_bodies", "upper_min_bodies", 2, 100, "bodies",
                     "the long shadow, least"),
      MIRRORED_LIMIT("upper_max", "lower_max", 0.10, 1, "of the range", "the other shadow, most"),
      SMALL_BODY_LIMITS},
     "small body at the upper end, long lower shadow, little or no upper one",
     "small body at the lower end, long upper shadow, little or no lower one", hammer_source,
     read_hammer},
    {"doji", NULL, SHAPE_NEUTRAL, 1, {DOJI_LIMIT}, "open and close almost the same", NULL,
     doji_source, read_doji},
    {"gravestone", "dragonfly", SHAPE_NEUTRAL, 1,
     {DOJI_LIMIT,
      MIRRORED_LIMIT("lower_max", "upper_max", 0.10, 1, "of the range", "the other shadow, most")},
     "a doji with little or no lower shadow", "a doji with little or no upper shadow", doji_source,
     read_gravestone},
    {"long-legged", NULL, SHAPE_NEUTRAL, 1,
     {DOJI_LIMIT, LIMIT("shadow_min", 0.3, 1, "of the range", "each shadow, least")},
     "a doji with two long shadows", NULL, doji_source, read_long_legged},
    {"spinning-top", NULL, SHAPE_NEUTRAL, 1,
     {LIMIT("body_max", 0.3, 1, "of the range", "body, most"),
      LIMIT("shadow_min_bodies", 1, 100, "bodies", "each shadow, least"),
      LIMIT("doji_max", 0.05, 1, "of the range", "a body up to this is a doji, not this shape")},
     "small body between two shadows longer than it", NULL, nison, read_spinning_top},
    {"bullish-marubozu", "bearish-marubozu", SHAPE_LONG, 1,
     {LIMIT("body_min", 0.95, 1, "of the range", "body, least"), LONG_LIMIT},
     "a long bar that is nearly all body, closing up", "the same, closing down", nison,
     read_marubozu},
    {"bullish-belt-hold", "bearish-belt-hold", SHAPE_LONG, 2,
     {MIRRORED_LIMIT("lower_max", "upper_max", 0.02, 1, "of the range",
                     "shadow at the open, most"),
      LONG_LIMIT},
     "a long bar that opens below the low before, at its own low, and closes up",
     "a long bar that opens above the high before, at its own high, and closes down", nison,
     read_belt_hold},
    {"bullish-engulfing", "bearish-engulfing", SHAPE_LONG, 2, {{0}},
     "a body closing up that covers the body before, which closed down",
     "a body closing down that covers the body before, which closed up",
     "Nison 1991, Morris 2006 (from memory): one end may be equal, not both.", read_engulfing},
    {"bullish-harami", "bearish-harami", SHAPE_LONG, 2, {LONG_LIMIT},
     "a body closing up inside the long body before, which closed down",
     "a body closing down inside the long body before, which closed up", morris, read_harami},
    {"bullish-harami-cross", "bearish-harami-cross", SHAPE_LONG, 2,
     {LONG_LIMIT, LIMIT("body_max", 0.05, 1, "of the range", "body of the doji, most")},
     "a doji inside the long body before, which closed down",
     "a doji inside the long body before, which closed up", morris, read_harami_cross},
    {"piercing-line", "dark-cloud-cover", SHAPE_LONG, 2, {LONG_LIMIT},
     "opens below the low of a long falling bar and closes above the middle of its body",
     "opens above the high of a long rising bar and closes below the middle of its body", nison,
     read_piercing_line},
    {"morning-star", "evening-star", SHAPE_LONG, 3,
     {LONG_LIMIT,
      LIMIT("star_max_bodies", 0.3, 10, "bodies of bar 1", "body of the middle bar, most")},
     "a long falling bar, a small body below it, a rise past the middle of the first body",
     "a long rising bar, a small body above it, a fall past the middle of the first body", nison,
     read_morning_star},
    {"three-inside-up", "three-inside-down", SHAPE_LONG, 3, {LONG_LIMIT},
     "a bullish harami and a close above its bodies", "a bearish harami and a close below its bodies",
     morris, read_three_inside_up},
    {"three-outside-up", "three-outside-down", SHAPE_LONG, 3, {{0}},
     "a bullish engulfing and a close above its bodies",
     "a bearish engulfing and a close below its bodies", morris, read_three_outside_up},
    {"three-white-soldiers", "three-black-crows", SHAPE_LONG, 3,
     {LONG_LIMIT, LIMIT("close_max", 0.2, 1, "of the range", "close from the end of the bar, most")},
     "three long rising bars, each opening in the body before and closing near its high",
     "three long falling bars, each opening in the body before and closing near its low", nison,
     read_three_white_soldiers},
    {"tweezer-bottom", "tweezer-top", SHAPE_LONG, 2,
     {LIMIT("apart_max_atr", 0.05, 10, "ATR", "distance of the two lows (highs), most")},
     "two bars with almost the same low, the first closing down, the second up",
     "two bars with almost the same high, the first closing up, the second down", nison,
     read_tweezer_bottom},
    {"inside-bar", NULL, SHAPE_NEUTRAL, 2, {{0}}, "a bar within the one before", NULL, common_shape,
     read_inside_bar},
    {"outside-bar", NULL, SHAPE_NEUTRAL, 2, {{0}}, "a bar that covers the one before", NULL,
     common_shape, read_outside_bar},
    {.name = NULL},
};

bool shape_find(const char *name, struct shape_choice *choice)
{
    for (const struct shape *row = shapes; row->name != NULL; row++) {
        bool mirrored = row->mirror_name != NULL && strcmp(row->mirror_name, name) == 0;
        if (!mirrored && strcmp(row->name, name) != 0)
            continue;
        choice->shape = row;
        choice->mirrored = mirrored;
        parameter_defaults(row->limits, choice->limits);
        return true;
    }
    return false;
}

const char *shape_name(const struct shape_choice *choice)
{
    return choice->mirrored ? choice->shape->mirror_name : choice->shape->name;
}

bool shape_suits(const struct shape_choice *choice, bool short_side)
{
    return choice->shape->side == SHAPE_NEUTRAL || choice->mirrored == short_side;
}

static bool has_range(const struct bars *bars, size_t first, size_t last)
{
    for (size_t i = first; i <= last; i++)
        if (bars->high[i] == bars->low[i])
            return false;
    return true;
}

bool shape_fits(const struct shape_choice *choice, struct sheet *plain, size_t last,
                struct readings *readings)
{
    struct readings scratch;
    struct readings *kept = readings != NULL ? readings : &scratch;
    kept->count = 0;
    if (last + 1 < choice->shape->bars)
        return false;
    size_t first = last + 1 - choice->shape->bars;
    if (!has_range(sheet_bars(plain), first, last))
        return false;
    struct sheet *sheet = choice->mirrored ? sheet_mirror(plain) : plain;
    if (sheet == NULL)
        return false;
    struct shape_view view = {.sheet = sheet,
                              .first = first,
                              .last = last,
                              .tolerance = price_tolerance(sheet_bars(sheet), first, last),
                              .limits = choice->limits};
    choice->shape->read(&view, kept);
    bool fits = true;
    for (size_t i = 0; i < kept->count; i++) {
        fits = fits && kept->list[i].met == TRUTH_YES;
        if (choice->mirrored)
            kept->list[i] = reading_mirrored(kept->list[i]);
    }
    return fits;
}
