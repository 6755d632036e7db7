/* The table of shapes: a new one is one row and one function. */
#include "candles/shapes.h"
#include "candles/shape_rows.h"

#include "candles/anatomy.h"

#include <string.h>

/* The limit that many shapes share. */
static const char least_range[] = "range_min_atr";

/* One row a line or two, like a table. */
/* clang-format off */
#define LIMIT(title, value, top, in, text)                                                         \
    {.name = title, .missing = value, .most = top, .unit = in, .help = text}
#define MIRRORED_LIMIT(title, mirror_title, value, top, in, text)                                  \
    {.name = title, .mirror_name = mirror_title, .missing = value, .most = top, .unit = in,        \
     .help = text}
#define LIMIT_OR_OFF(title, value, top, in, text)                                                  \
    {.name = title, .missing = value, .most = top, .unit = in, .help = text "; 0: off",            \
     .said = text, .off_at_zero = true}
#define LONG_LIMIT LIMIT_OR_OFF("long_min_averages", 1.3, 100, "average bodies", "body of the long bar, least")
#define SMALL_BODY_LIMITS                                                                          \
    LIMIT("body_max", 0.34, 1, "of the range", "body, most"),                                      \
        LIMIT_OR_OFF("body_min", 0, 1, "of the range", "body, least"),                             \
        LIMIT_OR_OFF("body_max_average", 0, 100, "average bodies",                                 \
                     "body, most, against the average body of the 10 bars before"),                \
        LIMIT_OR_OFF(least_range, 0.5, 100, "ATR", "range, least, in ATR before")
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
     "Nison 1991 (from memory), Morris 2006 (from memory): one end may be equal, not both.", read_engulfing},
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
/* clang-format on */

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

double shape_least_range(const struct shape_choice *choice)
{
    for (size_t i = 0; i < PARAMETER_LIMIT && choice->shape->limits[i].name != NULL; i++)
        if (choice->shape->limits[i].name == least_range)
            return choice->limits[i];
    return 0;
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
    /* Most bars are no candle; where nobody reads why, the first criterion that is
     * not met settles it. */
    struct readings scratch;
    struct readings *kept = readings != NULL ? readings : &scratch;
    kept->count = 0;
    kept->unread = readings == NULL;
    kept->missed = false;
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
    for (size_t i = 0; i < kept->count && choice->mirrored; i++)
        kept->list[i] = reading_mirrored(kept->list[i]);
    return !kept->missed;
}
