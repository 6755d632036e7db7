/* Candle shapes: vectors that just meet and just miss every limit, on both
 * sides, the explicit readings of the literature, and how often shapes come
 * about by chance. */
#include "base/random.h"
#include "candles/shapes.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "sample.h"

enum { BEFORE = 14, PATTERN = 3, SETTINGS = 4 };

struct setting {
    const char *limit; /* NULL ends the list */
    double value;
};

/* Whether a shape fits at the end of bars, with some limits set. */
static bool fits_at(const char *name, const struct setting *settings, struct bars *bars, size_t at)
{
    struct shape_choice choice;
    assert_true(shape_find(name, &choice));
    for (size_t i = 0; settings != NULL && settings[i].limit != NULL; i++) {
        size_t index = parameter_find(choice.shape->limits, settings[i].limit, choice.mirrored);
        if (index == parameter_count(choice.shape->limits))
            fail_msg("%s has no limit '%s'", name, settings[i].limit);
        choice.limits[index] = settings[i].value;
    }
    struct sheet *sheet = sheet_new(bars, NULL);
    bool fits = shape_fits(&choice, sheet, at, NULL);
    sheet_free(sheet);
    return fits;
}

/* A bar, upside down about 105 where `flip`. */
static void add_flipped(struct bars *bars, const double p[4], bool flip)
{
    if (flip)
        add_bar(bars, 210 - p[0], 210 - p[2], 210 - p[1], 210 - p[3]);
    else
        add_bar(bars, p[0], p[1], p[2], p[3]);
}

/* Fourteen bars of body 2 and true range 4, so that a long body is 2.6 and ATR
 * is 4. */
static void add_before(struct bars *bars, bool flip)
{
    static const double plain[4] = {100, 103, 99, 102};
    for (int i = 0; i < BEFORE; i++)
        add_flipped(bars, plain, flip);
}

struct vector {
    const char *shape;
    const char *limit; /* the limit it is about; "" for the rule itself */
    bool fits;
    struct setting settings[SETTINGS]; /* of the row's own side; others default */
    double bars[PATTERN][4];           /* open, high, low, close; all 0 ends them */
    bool flip;                         /* the bars are to be turned upside down first */
};

/* clang-format off */
#define IH "inverted-hammer"
#define HA "hammer"
static const struct vector vectors[] = {
    {"any", "", true, {{0}}, {{101, 110, 100, 104}}, false},
    {"any", "", false, {{0}}, {{101, 101, 101, 101}}, false},

    /* Range 10, upper shadow 6 = 2 x 3, lower shadow 1 = a tenth. */
    {IH, "upper_min_bodies", true, {{0}}, {{101, 110, 100, 104}}, false},
    {IH, "upper_min_bodies", false, {{0}}, {{101, 110, 100, 104.1}}, false},
    {IH, "lower_max", true, {{0}}, {{101, 110, 100, 104}}, false},
    {IH, "lower_max", false, {{0}}, {{101.1, 110, 100, 104}}, false},
    {IH, "body_max", true, {{"upper_min_bodies", 1}}, {{100, 110, 100, 103.4}}, false},
    {IH, "body_max", false, {{"upper_min_bodies", 1}}, {{100, 110, 100, 103.5}}, false},
    {IH, "body_min", true, {{"body_min", 0.2}}, {{101, 110, 100, 103}}, false},
    {IH, "body_min", false, {{"body_min", 0.2}}, {{101, 110, 100, 102.9}}, false},
    {IH, "body_max_average", true, {{"body_max_average", 1}}, {{101, 110, 100, 103}}, false},
    {IH, "body_max_average", false, {{"body_max_average", 1}}, {{101, 110, 100, 103.1}}, false},
    {IH, "range_min_atr", true, {{0}}, {{100.2, 102, 100, 100.8}}, false},
    {IH, "range_min_atr", false, {{0}}, {{100.1, 101.9, 100, 100.6}}, false},

    {HA, "lower_min_bodies", true, {{0}}, {{101, 110, 100, 104}}, true},
    {HA, "lower_min_bodies", false, {{0}}, {{101, 110, 100, 104.1}}, true},
    {HA, "upper_max", true, {{0}}, {{101, 110, 100, 104}}, true},
    {HA, "upper_max", false, {{0}}, {{101.1, 110, 100, 104}}, true},
    {HA, "body_max", true, {{"lower_min_bodies", 1}}, {{100, 110, 100, 103.4}}, true},
    {HA, "body_max", false, {{"lower_min_bodies", 1}}, {{100, 110, 100, 103.5}}, true},
    {HA, "body_min", true, {{"body_min", 0.2}}, {{101, 110, 100, 103}}, true},
    {HA, "body_min", false, {{"body_min", 0.2}}, {{101, 110, 100, 102.9}}, true},
    {HA, "body_max_average", true, {{"body_max_average", 1}}, {{101, 110, 100, 103}}, true},
    {HA, "body_max_average", false, {{"body_max_average", 1}}, {{101, 110, 100, 103.1}}, true},
    {HA, "range_min_atr", true, {{0}}, {{100.2, 102, 100, 100.8}}, true},
    {HA, "range_min_atr", false, {{0}}, {{100.1, 101.9, 100, 100.6}}, true},

    {"doji", "body_max", true, {{0}}, {{104, 110, 100, 104.5}}, false},
    {"doji", "body_max", false, {{0}}, {{104, 110, 100, 104.6}}, false},

    {"gravestone", "body_max", true, {{0}}, {{101, 110, 100, 101.5}}, false},
    {"gravestone", "body_max", false, {{0}}, {{101, 110, 100, 101.6}}, false},
    {"gravestone", "lower_max", true, {{0}}, {{101, 110, 100, 101.5}}, false},
    {"gravestone", "lower_max", false, {{0}}, {{101.1, 110, 100, 101.5}}, false},

    {"long-legged", "body_max", true, {{0}}, {{103, 110, 100, 103.5}}, false},
    {"long-legged", "body_max", false, {{0}}, {{103, 110, 100, 103.6}}, false},
    {"long-legged", "shadow_min", true, {{0}}, {{103, 110, 100, 103.5}}, false},
    {"long-legged", "shadow_min", false, {{0}}, {{102.9, 110, 100, 103.3}}, false},
    {"long-legged", "shadow_min", true, {{0}}, {{106.5, 110, 100, 107}}, false},
    {"long-legged", "shadow_min", false, {{0}}, {{106.6, 110, 100, 107.1}}, false},

    {"spinning-top", "body_max", true, {{0}}, {{103.2, 110, 100, 106.2}}, false},
    {"spinning-top", "body_max", false, {{0}}, {{103.2, 110, 100, 106.3}}, false},
    {"spinning-top", "shadow_min_bodies", true, {{0}}, {{103, 110, 100, 106}}, false},
    {"spinning-top", "shadow_min_bodies", false, {{0}}, {{102.9, 110, 100, 105.9}}, false},
    {"spinning-top", "shadow_min_bodies", true, {{0}}, {{104, 110, 100, 107}}, false},
    {"spinning-top", "shadow_min_bodies", false, {{0}}, {{104.1, 110, 100, 107.1}}, false},
    {"spinning-top", "doji_max", false, {{0}}, {{104, 110, 100, 104.5}}, false},
    {"spinning-top", "doji_max", true, {{0}}, {{104, 110, 100, 104.6}}, false},

    {"bullish-marubozu", "body_min", true, {{0}}, {{100, 110, 100, 109.5}}, false},
    {"bullish-marubozu", "body_min", false, {{0}}, {{100, 110, 100, 109.4}}, false},
    {"bullish-marubozu", "long_min_averages", true, {{0}}, {{100, 102.6, 100, 102.6}}, false},
    {"bullish-marubozu", "long_min_averages", false, {{0}}, {{100, 102.5, 100, 102.5}}, false},
    {"bullish-marubozu", "", false, {{0}}, {{109.5, 110, 100, 100}}, false},

    {"bullish-belt-hold", "lower_max", true, {{0}}, {{104, 105, 101, 102}, {100.2, 110, 100, 109}}, false},
    {"bullish-belt-hold", "lower_max", false, {{0}}, {{104, 105, 101, 102}, {100.3, 110, 100, 109}}, false},
    {"bullish-belt-hold", "long_min_averages", true, {{0}}, {{104, 105, 101, 102}, {98, 100.6, 98, 100.6}}, false},
    {"bullish-belt-hold", "long_min_averages", false, {{0}}, {{104, 105, 101, 102}, {98, 100.5, 98, 100.5}}, false},
    {"bullish-belt-hold", "", true, {{0}}, {{104, 105, 101, 102}, {100.9, 110, 100.9, 109}}, false},
    {"bullish-belt-hold", "", false, {{0}}, {{104, 105, 101, 102}, {101, 110, 101, 109}}, false},
    {"bullish-belt-hold", "", false, {{"lower_max", 1}}, {{104, 105, 101, 102}, {100, 110, 90, 95}}, false},

    {"bullish-engulfing", "", true, {{0}}, {{104, 105, 101, 102}, {102, 105, 101, 104.1}}, false},
    {"bullish-engulfing", "", true, {{0}}, {{104, 105, 101, 102}, {101.9, 105, 101, 104}}, false},
    {"bullish-engulfing", "", false, {{0}}, {{104, 105, 101, 102}, {102, 105, 101, 104}}, false},
    {"bullish-engulfing", "", false, {{0}}, {{104, 105, 101, 102}, {102.1, 108, 101, 107}}, false},
    {"bullish-engulfing", "", false, {{0}}, {{104, 105, 101, 102}, {101, 105, 101, 103.9}}, false},
    {"bullish-engulfing", "", false, {{0}}, {{102, 105, 101, 104}, {101, 106, 101, 105}}, false},
    {"bullish-engulfing", "", false, {{0}}, {{104, 105, 101, 102}, {105, 106, 100, 101}}, false},

    {"bullish-harami", "long_min_averages", true, {{0}}, {{104, 104.5, 101, 101.4}, {102, 103.5, 101.8, 103}}, false},
    {"bullish-harami", "long_min_averages", false, {{0}}, {{104, 104.5, 101, 101.5}, {102, 103.5, 101.8, 103}}, false},
    {"bullish-harami", "", true, {{0}}, {{104, 105, 100, 101}, {101, 104, 100, 103}}, false},
    {"bullish-harami", "", true, {{0}}, {{104, 105, 100, 101}, {102, 104, 100, 104}}, false},
    {"bullish-harami", "", false, {{0}}, {{104, 105, 100, 101}, {101, 104, 100, 104}}, false},
    {"bullish-harami", "", false, {{0}}, {{104, 105, 100, 101}, {100.9, 104, 100, 103}}, false},
    {"bullish-harami", "", false, {{0}}, {{104, 105, 100, 101}, {102, 105, 100, 104.1}}, false},
    {"bullish-harami", "", false, {{0}}, {{104, 105, 100, 101}, {103, 104, 100, 102}}, false},
    {"bullish-harami", "", false, {{0}}, {{101, 105, 100, 104}, {102, 104, 100, 103}}, false},

    {"bullish-harami-cross", "long_min_averages", true, {{0}}, {{104, 104.5, 101, 101.4}, {102, 107, 97, 102.5}}, false},
    {"bullish-harami-cross", "long_min_averages", false, {{0}}, {{104, 104.5, 101, 101.5}, {102, 107, 97, 102.5}}, false},
    {"bullish-harami-cross", "body_max", true, {{0}}, {{104, 105, 100, 101}, {102.5, 107, 97, 102}}, false},
    {"bullish-harami-cross", "body_max", false, {{0}}, {{104, 105, 100, 101}, {102, 107, 97, 102.6}}, false},

    {"piercing-line", "long_min_averages", true, {{0}}, {{104, 105, 101, 101.4}, {100, 104, 99.5, 103}}, false},
    {"piercing-line", "long_min_averages", false, {{0}}, {{104, 105, 101, 101.5}, {100, 104, 99.5, 103}}, false},
    {"piercing-line", "", true, {{0}}, {{104, 105, 99, 100}, {98.9, 104, 98, 102.1}}, false},
    {"piercing-line", "", false, {{0}}, {{104, 105, 99, 100}, {98.9, 104, 98, 102}}, false},
    {"piercing-line", "", false, {{0}}, {{104, 105, 99, 100}, {99, 104, 98, 103}}, false},
    {"piercing-line", "", true, {{0}}, {{104, 105, 99, 100}, {98.9, 104, 98, 103.9}}, false},
    {"piercing-line", "", false, {{0}}, {{104, 105, 99, 100}, {98.9, 104, 98, 104}}, false},

    {"morning-star", "long_min_averages", true, {{0}}, {{104, 105, 101, 101.4}, {100.5, 101, 100, 100.8}, {101, 104, 100.8, 103.5}}, false},
    {"morning-star", "long_min_averages", false, {{0}}, {{104, 105, 101, 101.5}, {100.5, 101, 100, 100.8}, {101, 104, 100.8, 103.5}}, false},
    {"morning-star", "star_max_bodies", true, {{0}}, {{110, 111, 99, 100}, {98, 99, 95, 95}, {96, 107, 95, 106}}, false},
    {"morning-star", "star_max_bodies", false, {{0}}, {{110, 111, 99, 100}, {98, 99, 94, 94.9}, {96, 107, 95, 106}}, false},
    {"morning-star", "", false, {{0}}, {{110, 111, 99, 100}, {100, 101, 97, 98}, {96, 107, 95, 106}}, false},
    {"morning-star", "", true, {{0}}, {{110, 111, 99, 100}, {99.9, 101, 97, 98}, {96, 107, 95, 105.1}}, false},
    {"morning-star", "", false, {{0}}, {{110, 111, 99, 100}, {99.9, 101, 97, 98}, {96, 107, 95, 105}}, false},
    {"morning-star", "", false, {{0}}, {{110, 111, 99, 100}, {99, 101, 97, 98}, {107, 107, 95, 106}}, false},

    {"three-inside-up", "long_min_averages", true, {{0}}, {{104, 104.5, 101, 101.4}, {102, 103.5, 101.8, 103}, {103, 105, 102.5, 104.1}}, false},
    {"three-inside-up", "long_min_averages", false, {{0}}, {{104, 104.5, 101, 101.5}, {102, 103.5, 101.8, 103}, {103, 105, 102.5, 104.1}}, false},
    {"three-inside-up", "", false, {{0}}, {{104, 104.5, 101, 101.4}, {102, 103.5, 101.8, 103}, {103, 105, 102.5, 104}}, false},

    {"three-outside-up", "", true, {{0}}, {{104, 105, 101, 102}, {102, 106, 101, 105}, {105, 106, 104, 105.1}}, false},
    {"three-outside-up", "", false, {{0}}, {{104, 105, 101, 102}, {102, 106, 101, 105}, {104, 106, 104, 105}}, false},

    {"three-white-soldiers", "long_min_averages", true, {{0}}, {{100, 102.7, 100, 102.6}, {101, 103.9, 101, 103.6}, {102, 104.9, 102, 104.6}}, false},
    {"three-white-soldiers", "long_min_averages", false, {{0}}, {{100, 102.7, 100, 102.6}, {101, 103.9, 101, 103.6}, {102, 104.9, 102, 104.5}}, false},
    {"three-white-soldiers", "long_min_averages", false, {{0}}, {{100, 102.7, 100, 102.5}, {101, 103.9, 101, 103.6}, {102, 104.9, 102, 104.6}}, false},
    {"three-white-soldiers", "long_min_averages", false, {{0}}, {{100, 102.7, 100, 102.6}, {101, 103.9, 101, 103.5}, {102, 104.9, 102, 104.6}}, false},
    {"three-white-soldiers", "close_max", true, {{0}}, {{100, 102.7, 100, 102.6}, {101, 103.9, 101, 103.6}, {102, 107, 102, 106}}, false},
    {"three-white-soldiers", "close_max", false, {{0}}, {{100, 102.7, 100, 102.6}, {101, 103.9, 101, 103.6}, {102, 107.1, 102, 106}}, false},
    {"three-white-soldiers", "", false, {{0}}, {{100, 104, 100, 104}, {100, 105, 100, 105}, {102, 106, 102, 106}}, false},
    {"three-white-soldiers", "", false, {{0}}, {{100, 104, 100, 104}, {104, 107, 104, 107}, {105, 109, 105, 109}}, false},
    {"three-white-soldiers", "", false, {{0}}, {{100, 104, 100, 104}, {101, 104, 101, 104}, {102, 106, 102, 106}}, false},

    {"tweezer-bottom", "apart_max_atr", true, {{0}}, {{103, 104, 100, 101}, {101, 103, 100.2, 102}}, false},
    {"tweezer-bottom", "apart_max_atr", false, {{0}}, {{103, 104, 100, 101}, {101, 103, 100.3, 102}}, false},
    {"tweezer-bottom", "apart_max_atr", true, {{0}}, {{103, 104, 100, 101}, {101, 103, 99.8, 102}}, false},
    {"tweezer-bottom", "apart_max_atr", false, {{0}}, {{103, 104, 100, 101}, {101, 103, 99.7, 102}}, false},
    {"tweezer-bottom", "", false, {{0}}, {{101, 104, 100, 103}, {101, 103, 100, 102}}, false},
    {"tweezer-bottom", "", false, {{0}}, {{103, 104, 100, 101}, {102, 103, 100, 101}}, false},

    {"inside-bar", "", true, {{0}}, {{102, 104, 100, 103}, {102, 104, 101, 103}}, false},
    {"inside-bar", "", true, {{0}}, {{102, 104, 100, 103}, {102, 103, 100, 103}}, false},
    {"inside-bar", "", false, {{0}}, {{102, 104, 100, 103}, {102, 104, 100, 103}}, false},
    {"inside-bar", "", false, {{0}}, {{102, 104, 100, 103}, {102, 104.1, 101, 103}}, false},
    {"outside-bar", "", true, {{0}}, {{102, 104, 100, 103}, {102, 104, 99, 103}}, false},
    {"outside-bar", "", true, {{0}}, {{102, 104, 100, 103}, {102, 105, 100, 103}}, false},
    {"outside-bar", "", false, {{0}}, {{102, 104, 100, 103}, {102, 104, 100, 103}}, false},
    {"outside-bar", "", false, {{0}}, {{102, 104, 100, 103}, {102, 105, 100.1, 103}}, false},
};
/* clang-format on */

enum { VECTOR_COUNT = sizeof vectors / sizeof *vectors };

static size_t pattern_bars(const struct vector *v)
{
    size_t count = 0;
    while (count < PATTERN && v->bars[count][1] != 0)
        count++;
    return count;
}

/* The vector's bars, those of `flat` replaced by a bar without a range. */
static void vector_bars(const struct vector *v, bool mirrored, size_t flat, struct bars *bars)
{
    bars_init(bars);
    add_before(bars, mirrored);
    for (size_t i = 0; i < pattern_bars(v); i++) {
        const double *p = v->bars[i];
        const double level[4] = {p[0], p[0], p[0], p[0]};
        add_flipped(bars, i == flat ? level : p, v->flip != mirrored);
    }
}

/* The name of the shape and the settings' limits on the other side. */
static const char *mirror_of(const struct vector *v, struct setting settings[SETTINGS])
{
    struct shape_choice choice;
    memcpy(settings, v->settings, sizeof v->settings);
    assert_true(shape_find(v->shape, &choice));
    for (size_t i = 0; settings[i].limit != NULL; i++) {
        const struct parameter *
            row = &choice.shape->limits[parameter_find(choice.shape->limits, settings[i].limit, 0)];
        settings[i].limit = parameter_name(row, 1);
    }
    return choice.shape->mirror_name != NULL ? choice.shape->mirror_name : v->shape;
}

/* On both sides, upside down being another chart with other roundings. */
static void test_limits(void **state)
{
    size_t wrong = 0;
    (void)state;
    for (size_t i = 0; i < VECTOR_COUNT; i++) {
        const struct vector *v = &vectors[i];
        for (int side = 0; side < 2; side++) {
            struct setting settings[SETTINGS];
            struct bars bars;
            const char *mirror = mirror_of(v, settings);
            const char *name = side == 0 ? v->shape : mirror;
            vector_bars(v, side == 1, SIZE_MAX, &bars);
            bool fits = fits_at(name, side == 0 ? v->settings : settings, &bars, bars.count - 1);
            if (fits != v->fits)
                print_error("vector %zu: %s, limit '%s': %s\n", i, name, v->limit,
                            fits ? "fits and should not" : "does not fit and should");
            wrong += fits != v->fits;
            bars_free(&bars);
        }
    }
    assert_int_equal(wrong, 0);
}

/* A limit without a vector on either side of it would go unnoticed. */
static void test_every_limit_has_vectors(void **state)
{
    (void)state;
    for (const struct shape *row = shapes; row->name != NULL; row++) {
        size_t count = parameter_count(row->limits);
        for (size_t k = 0; k < count || k == 0; k++) {
            const char *limit = count > 0 ? row->limits[k].name : "";
            bool met = false;
            bool missed = false;
            for (size_t i = 0; i < VECTOR_COUNT; i++) {
                bool about = strcmp(vectors[i].shape, row->name) == 0 &&
                             strcmp(vectors[i].limit, limit) == 0;
                met = met || (about && vectors[i].fits);
                missed = missed || (about && !vectors[i].fits);
            }
            if (!met || !missed)
                fail_msg("%s: limit '%s' has no vector that %s it", row->name, limit,
                         met ? "misses" : "meets");
        }
    }
}

/* A bar with high = low belongs to no shape, at any place in a pattern. */
static void test_bars_without_range(void **state)
{
    (void)state;
    for (size_t i = 0; i < VECTOR_COUNT; i++) {
        const struct vector *v = &vectors[i];
        for (size_t flat = 0; v->fits && flat < pattern_bars(v); flat++) {
            struct bars bars;
            vector_bars(v, false, flat, &bars);
            assert_false(fits_at(v->shape, v->settings, &bars, bars.count - 1));
            bars_free(&bars);
        }
    }
}

/* What a shape asks of the bars before it is undefined where they are missing,
 * and a limit that is off asks for nothing. */
static void test_bars_before(void **state)
{
    static const struct setting off[] = {{"range_min_atr", 0}, {NULL, 0}};
    static const struct setting not_long[] = {{"long_min_averages", 0}, {NULL, 0}};
    struct bars bars;
    (void)state;
    bars_init(&bars);
    add_bar(&bars, 101, 110, 100, 104);
    assert_false(fits_at("inverted-hammer", NULL, &bars, 0));
    assert_true(fits_at("inverted-hammer", off, &bars, 0));
    bars_free(&bars);
    bars_init(&bars);
    add_bar(&bars, 100, 110, 100, 110);
    assert_false(fits_at("bullish-marubozu", NULL, &bars, 0));
    assert_true(fits_at("bullish-marubozu", not_long, &bars, 0));
    assert_false(fits_at("bullish-engulfing", NULL, &bars, 0));
    bars_free(&bars);
}

/* --- explicit readings ---------------------------------------------------- */

struct reading_row {
    const char *shape;
    bool fits;
    struct setting settings[SETTINGS];
    double bars[PATTERN][4];
};

/* Readings of Nison 1991, Morris and Bulkowski 2008 (verbal rules, all from memory)
 * made explicit; results computed. They are of shapes alone: no bar before, a
 * body above 0, any size. */
#define ALONE                                                                                      \
    {"range_min_atr", 0},                                                                          \
    {                                                                                              \
        "body_min", 1e-6                                                                           \
    }
#define ANY_LENGTH                                                                                 \
    {                                                                                              \
        "long_min_averages", 0                                                                     \
    }
/* clang-format off */
static const struct reading_row readings[] = {
    {"hammer", true, {ALONE}, {{100, 101, 90, 101}}},
    {"hammer", true, {ALONE}, {{106, 110, 100, 109}}},
    {"hammer", false, {ALONE}, {{106, 110, 100, 109.1}}},
    {"hammer", false, {ALONE}, {{105, 110, 100, 108.5}}},
    {"hammer", false, {ALONE}, {{109, 110, 100, 109}}},
    {"inverted-hammer", true, {ALONE}, {{101, 110, 100, 104}}},
    {"inverted-hammer", false, {ALONE, {"upper_min_bodies", 3}}, {{101, 110, 100, 104}}},
    {"inverted-hammer", true, {ALONE, {"upper_min_bodies", 3}}, {{101, 110, 100, 103}}},
    {"doji", true, {{"body_max", 0.10}}, {{100, 105, 95, 101}}},
    {"doji", false, {{"body_max", 0.05}}, {{100, 105, 95, 101}}},
    {"doji", false, {{0}}, {{100, 100, 100, 100}}},
    {"bullish-marubozu", true, {ANY_LENGTH, {"body_min", 1}}, {{100, 110, 100, 110}}},
    {"bullish-marubozu", false, {ANY_LENGTH, {"body_min", 1}}, {{100, 110.1, 100, 110}}},
    {"bullish-marubozu", true, {ANY_LENGTH, {"body_min", 0.99}}, {{100, 110.1, 100, 110}}},
    {"bullish-engulfing", true, {{0}}, {{105, 106, 99, 100}, {99.5, 107, 99, 106}}},
    {"bullish-engulfing", true, {{0}}, {{105, 106, 99, 100}, {100, 107, 99, 106}}},
    {"bullish-engulfing", false, {{0}}, {{105, 106, 99, 100}, {100, 107, 99, 105}}},
    {"bullish-harami", true, {ANY_LENGTH}, {{105, 106, 99, 100}, {101, 104, 100.5, 103}}},
    {"bullish-harami", false, {ANY_LENGTH}, {{105, 106, 99, 100}, {101, 106, 100.5, 105.5}}},
    {"piercing-line", true, {ANY_LENGTH}, {{105, 106, 99, 100}, {98, 104, 97, 103}}},
    {"piercing-line", false, {ANY_LENGTH}, {{105, 106, 99, 100}, {98, 104, 97, 102.5}}},
    {"piercing-line", false, {ANY_LENGTH}, {{105, 106, 99, 100}, {99.5, 104, 97, 103}}},
    {"piercing-line", false, {ANY_LENGTH}, {{105, 106, 99, 100}, {98, 106, 97, 105.5}}},
    {"dark-cloud-cover", true, {ANY_LENGTH}, {{100, 106, 99, 105}, {107, 108, 101, 102}}},
    {"morning-star", true, {ANY_LENGTH}, {{110, 111, 100, 101}, {99, 100, 97, 98}, {100, 108, 99, 107}}},
    {"morning-star", false, {ANY_LENGTH}, {{110, 111, 100, 101}, {99, 102, 97, 101.5}, {100, 108, 99, 107}}},
    {"three-white-soldiers", true, {ANY_LENGTH}, {{100, 106, 99.5, 105}, {102, 109, 101.5, 108}, {105, 112, 104.5, 111}}},
    {"three-white-soldiers", false, {ANY_LENGTH}, {{100, 106, 99.5, 105}, {102, 109, 101.5, 108}, {108, 115, 107.5, 114}}},
    {"three-black-crows", true, {ANY_LENGTH}, {{110, 110.5, 104, 105}, {108, 108.5, 101, 102}, {105, 105.5, 98, 99}}},
};
/* clang-format on */

static void test_readings(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof readings / sizeof *readings; i++) {
        struct bars bars;
        bars_init(&bars);
        for (size_t k = 0; k < PATTERN && readings[i].bars[k][1] != 0; k++)
            add_flipped(&bars, readings[i].bars[k], false);
        if (fits_at(readings[i].shape, readings[i].settings, &bars, bars.count - 1) !=
            readings[i].fits)
            fail_msg("reading %zu, %s", i, readings[i].shape);
        bars_free(&bars);
    }
}

/* --- by chance ------------------------------------------------------------ */

/* Shapes counted over all bars of a sheet. */
struct counter {
    const char *shape;
    struct setting settings[SETTINGS + 1];
};

/* A hammer of any size with a body, whatever its share of the range. */
#define FREE                                                                                       \
    ALONE,                                                                                         \
    {                                                                                              \
        "body_max", 1                                                                              \
    }
static const struct counter counters[] = {
    {"doji", {{"body_max", 0}}},
    {"doji", {{"body_max", 0.05}}},
    {"doji", {{"body_max", 0.10}}},
    {"bullish-marubozu", {ANY_LENGTH, {"body_min", 1}}},
    {"bearish-marubozu", {ANY_LENGTH, {"body_min", 1}}},
    {"hammer", {FREE}},
    {"inverted-hammer", {FREE}},
    {"shooting-star", {FREE}},
    {"hanging-man", {FREE}},
    {"spinning-top", {{"body_max", 1}, {"doji_max", 0}}},
};

enum { COUNTERS = sizeof counters / sizeof *counters };

static void count_shapes(struct bars *bars, size_t counts[COUNTERS])
{
    struct sheet *sheet = sheet_new(bars, NULL);
    for (size_t i = 0; i < COUNTERS; i++) {
        struct shape_choice choice;
        assert_true(shape_find(counters[i].shape, &choice));
        for (const struct setting *s = counters[i].settings; s->limit != NULL; s++)
            choice
                .limits[parameter_find(choice.shape->limits, s->limit, choice.mirrored)] = s->value;
        counts[i] = 0;
        for (size_t at = 0; at < bars->count; at++)
            counts[i] += shape_fits(&choice, sheet, at, NULL);
    }
    sheet_free(sheet);
}

/* The bar of a walk of +-1 steps given by the bits of `path`. */
static void add_walk(struct bars *bars, uint64_t path, int steps)
{
    int price = 0;
    int high = 0;
    int low = 0;
    for (int i = 0; i < steps; i++) {
        price += (path >> i) & 1 ? 1 : -1;
        high = price > high ? price : high;
        low = price < low ? price : low;
    }
    add_bar(bars, 1000, 1000 + high, 1000 + low, 1000 + price);
}

/* Exact counts over all 2^n paths (computed by dynamic programming, n = 10 also
 * by enumeration), and the mean range and body. */
static const struct {
    int steps;
    size_t doji;
    size_t white; /* marubozu */
    size_t hammer;
    size_t spinning;
    double range;
    double body;
} walk_rows[] = {
    {4, 6, 3, 0, 0, 19.0 / 8, 3.0 / 2},
    {6, 20, 9, 0, 0, 49.0 / 16, 15.0 / 8},
    {8, 70, 28, 0, 0, 467.0 / 128, 35.0 / 16},
    {10, 252, 91, 2, 2, 1067.0 / 256, 315.0 / 128},
    {12, 924, 307, 22, 24, 4751.0 / 1024, 693.0 / 256},
};

static void test_walk_bars_enumerated(void **state)
{
    (void)state;
    for (size_t row = 0; row < sizeof walk_rows / sizeof *walk_rows; row++) {
        struct bars bars;
        size_t counts[COUNTERS];
        double range = 0;
        double body = 0;
        bars_init(&bars);
        for (uint64_t path = 0; path < 1ULL << walk_rows[row].steps; path++) {
            add_walk(&bars, path, walk_rows[row].steps);
            range += bars.high[path] - bars.low[path];
            body += fabs(bars.close[path] - bars.open[path]);
        }
        count_shapes(&bars, counts);
        const size_t expected[COUNTERS] = {walk_rows[row].doji,   walk_rows[row].doji,
                                           walk_rows[row].doji,   walk_rows[row].white,
                                           walk_rows[row].white,  walk_rows[row].hammer,
                                           walk_rows[row].hammer, walk_rows[row].hammer,
                                           walk_rows[row].hammer, walk_rows[row].spinning};
        for (size_t i = 0; i < COUNTERS; i++)
            assert_int_equal(counts[i], expected[i]);
        assert_near(range / (double)bars.count, walk_rows[row].range, 1e-12);
        assert_near(body / (double)bars.count, walk_rows[row].body, 1e-12);
        bars_free(&bars);
    }
}

/* Shares over longer walks (computed by dynamic programming, six decimals):
 * within four standard errors of 100,000 bars, and half a unit of the sixth
 * decimal. The doji limits are left to the shorter walks. */
static void test_walk_bars_drawn(void **state)
{
    enum { DRAWN = 100000 };
    static const struct {
        int steps;
        double doji;
        double white;
        double hammer;
        double spinning;
    } rows[] = {{20, 0.176197, 0.046838, 0.020044, 0.031672},
                {40, 0.125371, 0.024195, 0.029395, 0.088726}};
    (void)state;
    for (size_t row = 0; row < 2; row++) {
        struct random_stream stream;
        struct bars bars;
        size_t counts[COUNTERS];
        bars_init(&bars);
        random_start(&stream, 40, row);
        for (int i = 0; i < DRAWN; i++)
            add_walk(&bars, random_bits(&stream), rows[row].steps);
        count_shapes(&bars, counts);
        const double expected[COUNTERS] = {rows[row].doji,    rows[row].doji,   rows[row].doji,
                                           rows[row].white,   rows[row].white,  rows[row].hammer,
                                           rows[row].hammer,  rows[row].hammer, rows[row].hammer,
                                           rows[row].spinning};
        for (size_t i = 0; i < COUNTERS; i++) {
            double p = expected[i];
            assert_near_named((double)counts[i] / DRAWN, p, 4 * sqrt(p * (1 - p) / DRAWN) + 5e-7,
                              counters[i].shape);
        }
        bars_free(&bars);
    }
}

/* A bar of a body and no shadows, `gap` after the close before. */
static void add_body(struct bars *bars, double gap, double body)
{
    double open = (bars->count > 0 ? bars->close[bars->count - 1] : 1000) + gap;
    double close = open + body;
    add_bar(bars, open, fmax(open, close), fmin(open, close), close);
}

/* Pairs of bars, each pair on its own. */
static double share_of_pairs(const char *name, const struct setting *settings, struct bars *bars)
{
    struct shape_choice choice;
    size_t count = 0;
    assert_true(shape_find(name, &choice));
    for (const struct setting *s = settings; s->limit != NULL; s++)
        choice.limits[parameter_find(choice.shape->limits, s->limit, choice.mirrored)] = s->value;
    struct sheet *sheet = sheet_new(bars, NULL);
    for (size_t at = 1; at < bars->count; at += 2)
        count += shape_fits(&choice, sheet, at, NULL);
    sheet_free(sheet);
    return (double)count / (double)(bars->count / 2);
}

/* Bodies iid N(0,1), gap N(0,tau^2): P(bullish engulfing) = P(bullish harami) =
 * 1/8 - [asin(1/sqrt(2+tau^2)) + asin(tau/sqrt(2+tau^2))]/(4 pi) (derived and
 * simulated elsewhere). By symmetry the same for the bearish ones. */
static void test_engulfing_and_harami_with_gaps(void **state)
{
    enum { PAIRS = 100000 };
    static const struct {
        double tau;
        double chance;
    } rows[] = {{0.25, .04978231}, {0.5, .03988676}, {1, .02704336}, {2, .01551326}};
    static const struct setting none[] = {{NULL, 0}};
    static const struct setting any_length[] = {ANY_LENGTH, {NULL, 0}};
    (void)state;
    for (size_t row = 0; row < 4; row++) {
        struct random_stream stream;
        struct bars bars;
        double tau = rows[row].tau;
        double root = sqrt(2 + tau * tau);
        double p = 0.125 - (asin(1 / root) + asin(tau / root)) / (4 * acos(-1));
        double error = 4 * sqrt(p * (1 - p) / PAIRS);
        assert_near(p, rows[row].chance, 5e-9);
        bars_init(&bars);
        random_start(&stream, 34, row);
        for (int i = 0; i < PAIRS; i++) {
            add_body(&bars, 0, random_normal(&stream));
            add_body(&bars, tau * random_normal(&stream), random_normal(&stream));
        }
        assert_near(share_of_pairs("bullish-engulfing", none, &bars), p, error);
        assert_near(share_of_pairs("bearish-engulfing", none, &bars), p, error);
        assert_near(share_of_pairs("bullish-harami", any_length, &bars), p, error);
        assert_near(share_of_pairs("bearish-harami", any_length, &bars), p, error);
        bars_free(&bars);
    }
}

/* Where every bar opens at the close before, one end of the bodies always
 * touches: engulfing and harami, which allow that, come to 1/8 each, none
 * reaches beyond both ends, and shapes that need a gap never come about. */
static void test_without_gaps(void **state)
{
    enum { PAIRS = 100000 };
    static const struct setting none[] = {{NULL, 0}};
    static const struct setting any_length[] = {ANY_LENGTH, {NULL, 0}};
    static const char *const gapping[] = {"piercing-line",     "dark-cloud-cover",
                                          "morning-star",      "evening-star",
                                          "bullish-belt-hold", "bearish-belt-hold"};
    struct random_stream stream;
    struct bars bars;
    struct shape_choice engulfing;
    double error = 4 * sqrt(0.125 * 0.875 / PAIRS);
    (void)state;
    bars_init(&bars);
    random_start(&stream, 35, 0);
    for (int i = 0; i < 2 * PAIRS; i++)
        add_body(&bars, 0, random_normal(&stream));
    assert_near(share_of_pairs("bullish-engulfing", none, &bars), 0.125, error);
    assert_near(share_of_pairs("bullish-harami", any_length, &bars), 0.125, error);
    struct sheet *sheet = sheet_new(&bars, NULL);
    assert_true(shape_find("bullish-engulfing", &engulfing));
    size_t found = 0;
    for (size_t at = 1; at < bars.count; at++)
        if (shape_fits(&engulfing, sheet, at, NULL)) {
            found++;
            assert_false(bars.open[at] < bars.close[at - 1] && bars.close[at] > bars.open[at - 1]);
        }
    assert_true(found > PAIRS / 10);
    for (size_t i = 0; i < sizeof gapping / sizeof *gapping; i++) {
        struct shape_choice choice;
        assert_true(shape_find(gapping[i], &choice));
        choice.limits[parameter_find(choice.shape->limits, "long_min_averages", 0)] = 0;
        for (size_t at = 0; at < bars.count; at++)
            assert_false(shape_fits(&choice, sheet, at, NULL));
    }
    sheet_free(sheet);
    bars_free(&bars);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_limits),
        cmocka_unit_test(test_every_limit_has_vectors),
        cmocka_unit_test(test_bars_without_range),
        cmocka_unit_test(test_bars_before),
        cmocka_unit_test(test_readings),
        cmocka_unit_test(test_walk_bars_enumerated),
        cmocka_unit_test(test_walk_bars_drawn),
        cmocka_unit_test(test_engulfing_and_harami_with_gaps),
        cmocka_unit_test(test_without_gaps),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
