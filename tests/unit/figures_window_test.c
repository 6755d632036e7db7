/* Chart windows of random markets. No published source has such values: ranges
 * and counts are found again by brute force, the SVG is read by GLib's parser
 * (XML 1.0), the JSON by Jansson. */
#include "figures/chart_window.h"
#include "sample_window.h"

#include <glib.h>
#include <jansson.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

enum { WINDOWS = 400, SEED = 12 };

static struct typesetter *typesetter;

static int make_typesetter(void **state)
{
    struct error error;
    (void)state;
    return typesetter_new(&typesetter, &error);
}

static int free_typesetter(void **state)
{
    (void)state;
    typesetter_free(typesetter);
    return 0;
}

/* Any size of window onto any part of a market, or beyond it. */
static struct sample_window random_sample(struct random_stream *stream)
{
    static const double ticks[] = {0.25, 0.01, 0.000001, 100};
    double tick = ticks[random_below(stream, 4)];
    size_t bars = 1 + (size_t)pow(10, 3.3 * random_unit(stream));
    double first = (random_unit(stream) * 1.4 - 0.2) * (double)bars;
    return (struct sample_window){.name = "random",
                                  .width = 240 + floor(1200 * random_unit(stream)),
                                  .height = 160 + floor(800 * random_unit(stream)),
                                  .bars = bars,
                                  .first = first,
                                  .last = first + 1 + (double)bars * random_unit(stream),
                                  .level = (random_unit(stream) - 0.3) * 4000 * tick,
                                  .tick = tick,
                                  .logarithmic = random_below(stream, 2) == 0,
                                  .plain = random_below(stream, 4) == 0};
}

/* --- what is written ---------------------------------------------------------------- */

struct seen {
    size_t elements;
    size_t texts;
};

/* Neither style nor ids without the prefix, no number that is none. */
static void read_element(GMarkupParseContext *context, const char *name, const char **names,
                         const char **values, void *user, GError **error)
{
    struct seen *seen = user;
    (void)context;
    (void)error;
    seen->elements++;
    seen->texts += strcmp(name, "text") == 0;
    assert_string_not_equal(name, "style");
    for (size_t i = 0; names[i] != NULL; i++) {
        assert_string_not_equal(names[i], "style");
        if (strcmp(names[i], "id") == 0)
            assert_int_equal(strncmp(values[i], "win-", 4), 0);
        else if (strlen(names[i]) < 3)
            assert_null(strstr(values[i], "n"));
    }
}

static struct seen read_svg(const struct text *svg)
{
    static const GMarkupParser parser = {.start_element = read_element};
    struct seen seen = {0};
    GMarkupParseContext *context = g_markup_parse_context_new(&parser, 0, &seen, NULL);
    assert_true(g_markup_parse_context_parse(context, svg->bytes, (gssize)svg->length, NULL));
    assert_true(g_markup_parse_context_end_parse(context, NULL));
    g_markup_parse_context_free(context);
    return seen;
}

static void check_letters(struct picture *picture)
{
    size_t count = 0;
    picture_place(picture);
    const struct letters *letters = picture_letters(picture, &count);
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k < i; k++)
            if (letters[i].shown && letters[k].shown &&
                boxes_meet(&letters[i].box, &letters[k].box))
                fail_msg("'%s' and '%s' overlap", letters[i].text, letters[k].text);
}

static void check_written(struct chart_window *window)
{
    struct text svg;
    struct error error;
    text_init(&svg);
    check_letters(window->moving);
    check_letters(window->still);
    assert_int_equal(chart_window_write_moving(window, THEME_AUTO, &svg, &error), ERROR_NONE);
    struct seen moving = read_svg(&svg);
    /* Candles, strips, curves and lines are paths of their own, ticks and rings
     * single marks: some 150 whatever the number of bars, and texts under the
     * hundred that a moving frame can bear. */
    assert_true(moving.elements < 260);
    assert_true(moving.texts < 100);
    text_clear(&svg);
    assert_int_equal(chart_window_write_still(window, THEME_AUTO, &svg, &error), ERROR_NONE);
    read_svg(&svg);
    text_clear(&svg);
    assert_int_equal(chart_window_write_whole(window, THEME_AUTO, &svg, &error), ERROR_NONE);
    read_svg(&svg);
    text_free(&svg);
}

static void check_json(const struct chart_window *window)
{
    struct text json;
    text_init(&json);
    chart_window_append_json(window, &json);
    json_t *read = json_loads(json.bytes, 0, NULL);
    assert_non_null(read);
    json_t *panes = json_object_get(read, "panes");
    assert_int_equal(json_array_size(panes), window->place_count);
    json_t *price = json_array_get(panes, 0);
    assert_string_equal(json_string_value(json_object_get(price, "kind")), "price");
    assert_true(json_number_value(json_object_get(price, "low")) == window->places[0].pane.low);
    assert_true(json_number_value(json_object_get(read, "right")) == window->plot.right);
    json_decref(read);
    text_free(&json);
}

static void test_windows_of_any_kind_can_be_shown(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < WINDOWS; i++) {
        struct random_stream stream;
        struct window_case made;
        struct chart_window window;
        struct error error;
        random_start(&stream, SEED, i);
        struct sample_window sample = random_sample(&stream);
        assert_true(window_case_init(&made, &sample, i));
        assert_int_equal(chart_window_make(&window, typesetter, &made.request, "win", &error),
                         ERROR_NONE);
        check_written(&window);
        check_json(&window);
        chart_window_free(&window);
        window_case_free(&made);
    }
}

/* One bar, in the middle of the window, at its edge or beyond it. */
static void test_windows_onto_one_bar(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 100; i++) {
        struct random_stream stream;
        struct window_case made;
        struct chart_window window;
        struct error error;
        random_start(&stream, SEED + 1, i);
        struct sample_window sample = random_sample(&stream);
        sample.bars = 1;
        sample.first = random_unit(&stream) * 1.4 - 0.9;
        sample.last = sample.first + 1 + (i % 2 == 0 ? 0 : 60 * random_unit(&stream));
        assert_true(window_case_init(&made, &sample, i));
        assert_int_equal(chart_window_make(&window, typesetter, &made.request, "win", &error),
                         ERROR_NONE);
        check_written(&window);
        check_json(&window);
        chart_window_free(&window);
        window_case_free(&made);
    }
}

/* --- what it says ------------------------------------------------------------------- */

/* The range is that of the bars in view and 0.06 of it on each side (of its
 * logarithm, on that scale), whatever lies beyond; found again by brute force. */
static void test_range_is_that_of_the_bars_in_view(void **state)
{
    static const struct sample_window base = {.name = "range",
                                              .width = 900,
                                              .height = 500,
                                              .bars = 500,
                                              .level = 560,
                                              .tick = 0.25,
                                              .plain = true};
    (void)state;
    for (uint64_t i = 0; i < 200; i++) {
        struct sample_window sample = base;
        struct window_case made;
        struct chart_window window;
        struct error error;
        size_t first = (size_t)(i * 7 % 400);
        size_t last = first + 2 + (size_t)(i % 90);
        sample.first = (double)first;
        sample.last = (double)last;
        sample.logarithmic = i % 2 == 1;
        assert_true(window_case_init(&made, &sample, i));
        made.request.over = 0.5;
        assert_int_equal(chart_window_make(&window, typesetter, &made.request, "win", &error),
                         ERROR_NONE);
        double low = made.bars.low[first];
        double high = made.bars.high[first];
        for (size_t k = first; k < last; k++) {
            low = fmin(low, made.bars.low[k]);
            high = fmax(high, made.bars.high[k]);
        }
        const struct pane *pane = &window.places[0].pane;
        double room = sample.logarithmic ? log(high / low) * 0.06 : (high - low) * 0.06;
        double least = sample.logarithmic ? low * exp(-room) : low - room;
        double most = sample.logarithmic ? high * exp(room) : high + room;
        assert_true(fabs(pane->low - least) < 1e-9 * most);
        assert_true(fabs(pane->high - most) < 1e-9 * most);
        assert_true(pane->logarithmic == sample.logarithmic);
        /* And a pointer is read back. */
        double price = low + (high - low) * 0.3;
        assert_true(fabs(pane_y_value(pane, pane_y(pane, price)) - price) < 1e-9 * most);
        chart_window_free(&window);
        window_case_free(&made);
    }
}

static struct chart_window make_named(struct window_case *made, const char *name)
{
    struct chart_window window = {0};
    struct error error;
    for (const struct sample_window *sample = sample_windows; sample->name != NULL; sample++)
        if (strcmp(sample->name, name) == 0) {
            assert_true(window_case_init(made, sample, 7));
            assert_int_equal(chart_window_make(&window, typesetter, &made->request, "win", &error),
                             ERROR_NONE);
            return window;
        }
    fail_msg("no sample %s", name);
    return window;
}

/* Prices at or below zero have no logarithm. */
static void test_a_scale_that_cannot_be_is_plain(void **state)
{
    struct window_case made;
    (void)state;
    struct chart_window window = make_named(&made, "negative");
    assert_true(made.request.logarithmic);
    assert_false(window.places[0].pane.logarithmic);
    chart_window_free(&window);
    window_case_free(&made);
}

static void test_the_description_is_made_from_the_bars(void **state)
{
    struct window_case made;
    struct text svg;
    struct error error;
    char expected[200];
    (void)state;
    struct chart_window window = make_named(&made, "phone");
    size_t low = 366;
    size_t high = 366;
    for (size_t i = 366; i < 400; i++) {
        low = made.bars.low[i] < made.bars.low[low] ? i : low;
        high = made.bars.high[i] > made.bars.high[high] ? i : high;
    }
    text_init(&svg);
    assert_int_equal(chart_window_write_still(&window, THEME_LIGHT, &svg, &error), ERROR_NONE);
    snprintf(expected, sizeof expected, "34 bars. The lowest price is %.2f on ",
             made.bars.low[low]);
    assert_non_null(strstr(svg.bytes, expected));
    snprintf(expected, sizeof expected, ", the highest %.2f on ", made.bars.high[high]);
    assert_non_null(strstr(svg.bytes, expected));
    snprintf(expected, sizeof expected, ", the last close %.2f on ", made.bars.close[399]);
    assert_non_null(strstr(svg.bytes, expected));
    assert_non_null(strstr(svg.bytes, "Line: falling trend line."));
    text_free(&svg);
    chart_window_free(&window);
    window_case_free(&made);
}

static void test_the_table_has_the_bars_in_view(void **state)
{
    struct window_case made;
    struct table table;
    struct error error;
    char expected[32];
    (void)state;
    struct chart_window window = make_named(&made, "phone");
    assert_int_equal(chart_window_table(&table, &made.request, 10, &error), ERROR_NONE);
    assert_int_equal(table.row_count, 10);
    /* The bar, four prices, volume, three curves, RSI and its average. */
    assert_int_equal(table.column_count, 11);
    snprintf(expected, sizeof expected, "%.2f", made.bars.close[390]);
    assert_string_equal(table.columns[9].title, "RSI");
    struct table_walk walk;
    struct cell cell;
    struct text words;
    text_init(&words);
    table_walk(&walk, &table);
    for (size_t i = 0; i <= 4; i++)
        assert_true(table_next(&walk, &cell));
    cell_words(&words, &cell, &table, 4);
    assert_string_equal(words.bytes, expected);
    text_free(&words);
    table_free(&table);
    chart_window_free(&window);
    window_case_free(&made);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_windows_of_any_kind_can_be_shown),
        cmocka_unit_test(test_windows_onto_one_bar),
        cmocka_unit_test(test_range_is_that_of_the_bars_in_view),
        cmocka_unit_test(test_a_scale_that_cannot_be_is_plain),
        cmocka_unit_test(test_the_description_is_made_from_the_bars),
        cmocka_unit_test(test_the_table_has_the_bars_in_view),
    };
    return cmocka_run_group_tests(tests, make_typesetter, free_typesetter);
}
