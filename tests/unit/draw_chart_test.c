/* Statistical figures: words have room whatever the data, marks sit where the
 * numbers say, the SVG is XML. */
#include "base/array.h"
#include "draw/chart.h"
#include "draw/ticks.h"
#include "reader.h"
#include "sample_chart.h"

#include <math.h>
#include <pthread.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static struct typesetter *typesetter;

static int set_up(void **state)
{
    struct error error;
    (void)state;
    return typesetter_new(&typesetter, &error);
}

static int tear_down(void **state)
{
    (void)state;
    typesetter_free(typesetter);
    return 0;
}

/* The ink of a text as Pango measures it anew, not as the picture kept it. */
static struct box measured(const struct letters *letters)
{
    struct extent extent = typesetter_measure(typesetter, letters->type, letters->text);
    double left = letters->spot.x - extent.left;
    if (letters->spot.align == ALIGN_MIDDLE)
        left -= extent.width / 2;
    if (letters->spot.align == ALIGN_END)
        left -= extent.width;
    return (struct box){left, letters->spot.y - extent.above, left + extent.left + extent.width,
                        letters->spot.y + extent.below};
}

static void assert_words_have_room(const struct picture *picture, const char *what)
{
    size_t count = 0;
    const struct letters *letters = picture_letters(picture, &count);
    struct box *boxes = array_new(count, sizeof *boxes);
    size_t shown = 0;
    assert_non_null(boxes);
    for (size_t i = 0; i < count; i++) {
        if (!letters[i].shown)
            continue;
        struct box box = measured(&letters[i]);
        bool inside = box.left >= 0 && box.top >= 0 && box.right <= picture_width(picture) &&
                      box.bottom <= picture_height(picture);
        if (!inside)
            print_error("%s: '%s' leaves the picture\n", what, letters[i].text);
        assert_true(inside);
        for (size_t k = 0; k < shown; k++)
            if (boxes_meet(&boxes[k], &box)) {
                print_error("%s: '%s' overlaps another\n", what, letters[i].text);
                fail();
            }
        boxes[shown++] = box;
    }
    free(boxes);
}

/* Prices from 1e-6 to 1e9, a few values to thousands, any shape of picture. */
static void words_have_room(void **state)
{
    enum { FIGURES = 2000 };
    (void)state;
    for (uint64_t i = 0; i < FIGURES; i++) {
        struct random_stream stream;
        struct error error;
        struct text svg;
        char what[64];
        random_start(&stream, 20260721, i);
        const struct sample_chart *sample = &sample_charts[i % 8];
        double width = 160 + floor(random_unit(&stream) * 1000);
        double height = 110 + floor(random_unit(&stream) * 700);
        double scale = pow(10, -6 + 15 * random_unit(&stream));
        size_t size = (size_t)(20 * pow(250, random_unit(&stream)));
        struct picture *picture = picture_new(typesetter, width, height, "t");
        struct chart chart = {picture,
                              {8, 8, width - 8, height - 8},
                              sample->x_name,
                              random_unit(&stream) < 0.3 ? sample_name(&stream) : sample->y_name};
        snprintf(what, sizeof what, "%s, figure %d", sample->name, (int)i);
        picture_describe(picture, what, sample_name(&stream));
        sample->draw(&chart, &stream, size, scale);
        text_init(&svg);
        assert_int_equal(picture_write(picture, THEME_LIGHT, &svg, &error), ERROR_NONE);
        assert_words_have_room(picture, what);
        assert_null(strstr(svg.bytes, "nan"));
        if (i < 32) {
            struct text answer;
            text_init(&answer);
            assert_int_equal(read_with("xmllint --noout \"$file\" 2>&1", &svg, &answer), 0);
            text_free(&answer);
        }
        text_free(&svg);
        picture_free(picture);
    }
}

struct drawn {
    struct picture *picture;
    struct text svg;
};

static struct drawn begin(struct chart *chart)
{
    struct drawn drawn = {.picture = picture_new(typesetter, 500, 400, "t")};
    text_init(&drawn.svg);
    *chart = (struct chart){drawn.picture, {10, 10, 490, 390}, "x", "y"};
    return drawn;
}

static void finish(struct drawn *drawn)
{
    struct error error;
    assert_int_equal(picture_write(drawn->picture, THEME_LIGHT, &drawn->svg, &error), ERROR_NONE);
}

static void end(struct drawn *drawn)
{
    text_free(&drawn->svg);
    picture_free(drawn->picture);
}

/* Where the axis below names this number. */
static double axis_position(const struct drawn *drawn, const char *name, enum align align, bool x)
{
    size_t count = 0;
    const struct letters *letters = picture_letters(drawn->picture, &count);
    for (size_t i = 0; i < count; i++)
        if (letters[i].shown && letters[i].spot.align == align &&
            strcmp(letters[i].text, name) == 0)
            return x ? letters[i].spot.x : letters[i].spot.y - 0.36 * AXIS_SIZE;
    print_error("no '%s' on the axis\n", name);
    fail();
    return NAN;
}

/* A dot's place read against the names of the axes, as a reader would with a
 * ruler. Ticks are set on half pixels: half a unit each way. */
static void points_sit_where_the_axes_say(void **state)
{
    (void)state;
    struct chart chart;
    struct drawn drawn = begin(&chart);
    const struct chart_bin bins[] = {{0.25, 0.4, 0.3, 0.5, 10}, {0.75, 0.6, 0.5, 0.7, 10}};
    chart_reliability(&chart, bins, 2);
    finish(&drawn);
    double x0 = axis_position(&drawn, "0.0", ALIGN_MIDDLE, true);
    double x1 = axis_position(&drawn, "1.0", ALIGN_MIDDLE, true);
    double y0 = axis_position(&drawn, "0.0", ALIGN_END, false);
    double y1 = axis_position(&drawn, "1.0", ALIGN_END, false);
    const char *at = drawn.svg.bytes;
    for (size_t i = 0; i < 2; i++) {
        double x;
        double y;
        at = strstr(at, "cx=\"");
        assert_non_null(at);
        assert_int_equal(sscanf(at, "cx=\"%lf\" cy=\"%lf\"", &x, &y), 2);
        assert_true(fabs((x - x0) / (x1 - x0) - bins[i].forecast) < 1 / (x1 - x0));
        assert_true(fabs((y - y0) / (y1 - y0) - bins[i].observed) < 1 / fabs(y1 - y0));
        at++;
    }
    end(&drawn);
}

/* Every value is in one class, and heights are their numbers: the areas of the
 * bars, in units of the axes, sum to the count. */
static void histogram_counts_everything(void **state)
{
    (void)state;
    enum { COUNT = 500 };
    double values[COUNT];
    struct random_stream stream;
    struct chart chart;
    struct drawn drawn = begin(&chart);
    random_start(&stream, 7, 0);
    for (size_t i = 0; i < COUNT; i++)
        values[i] = random_normal(&stream);
    chart_histogram(&chart, &(struct chart_values){values, COUNT, NAN, NAN}, NULL, 0);
    finish(&drawn);
    double y0 = axis_position(&drawn, "0", ALIGN_END, false);
    double y1 = axis_position(&drawn, "20", ALIGN_END, false);
    double sum = 0;
    for (const char *at = strstr(drawn.svg.bytes, "<rect class=\"rl-fill-main\""); at != NULL;
         at = strstr(at + 1, "<rect class=\"rl-fill-main\"")) {
        double height;
        const char *word = strstr(at, "height=\"");
        assert_int_equal(sscanf(word, "height=\"%lf\"", &height), 1);
        sum += height / (y0 - y1) * 20;
    }
    assert_true(fabs(sum - COUNT) < 0.02 * COUNT);
    end(&drawn);
}

/* By hand: 40 results of -1 R, 10 of -0.9, 10 of 2.5: the highest column is that of
 * -1 R, and a column a quarter of its height stands right of it, not in it. */
static void a_value_stands_apart(void **state)
{
    (void)state;
    double values[60];
    struct chart chart;
    struct drawn drawn = begin(&chart);
    for (size_t i = 0; i < 60; i++)
        values[i] = i < 40 ? -1 + (double)(i % 3) * 0.002 : i < 50 ? -0.9 : 2.5;
    chart_histogram(&chart, &(struct chart_values){values, 60, 0, -1}, NULL, 0);
    finish(&drawn);
    double y0 = axis_position(&drawn, "0", ALIGN_END, false);
    double y1 = axis_position(&drawn, "20", ALIGN_END, false);
    static const double numbers[] = {10, 10, 40}; /* the one set apart is drawn last */
    size_t found = 0;
    for (const char *at = strstr(drawn.svg.bytes, "<rect class=\"rl-fill-main\""); at != NULL;
         at = strstr(at + 1, "<rect class=\"rl-fill-main\"")) {
        double height;
        assert_int_equal(sscanf(strstr(at, "height=\""), "height=\"%lf\"", &height), 1);
        assert_true(found < 3);
        assert_true(fabs(height / (y0 - y1) * 20 - numbers[found++]) < 0.5);
    }
    assert_int_equal(found, 3);
    end(&drawn);
}

/* 20 values far apart and 2000 in one spot: in so narrow a chart columns are
 * fractions of a unit wide and high, and still each is at least one unit. */
static void no_column_vanishes(void **state)
{
    (void)state;
    enum { COUNT = 2080 };
    double values[COUNT];
    struct chart chart;
    struct drawn drawn = begin(&chart);
    for (size_t i = 0; i < COUNT; i++)
        values[i] = i < 80 ? 1.5 * (double)i + 0.5 : 0.5;
    chart.box.right = chart.box.left + 90;
    chart_histogram(&chart, &(struct chart_values){values, COUNT, NAN, NAN}, NULL, 0);
    finish(&drawn);
    size_t found = 0;
    for (const char *at = strstr(drawn.svg.bytes, "<rect class=\"rl-fill-main\""); at != NULL;
         at = strstr(at + 1, "<rect class=\"rl-fill-main\"")) {
        double width;
        double height;
        assert_int_equal(sscanf(strstr(at, "width=\""), "width=\"%lf\"", &width), 1);
        assert_int_equal(sscanf(strstr(at, "height=\""), "height=\"%lf\"", &height), 1);
        assert_true(width >= 1 && height >= 1);
        found++;
    }
    assert_true(found >= 40);
    end(&drawn);
}

/* The line ends at the sum of the steps. */
static void cumulated_line_ends_at_the_sum(void **state)
{
    (void)state;
    const double steps[] = {1, -1, 2.5, -1, NAN, 2.5};
    struct chart chart;
    struct drawn drawn = begin(&chart);
    chart_cumulated(&chart, &(struct chart_line){.y = steps, .count = 6, .cumulate = true}, NULL,
                    0);
    finish(&drawn);
    double y0 = axis_position(&drawn, "0.0", ALIGN_END, false);
    double y1 = axis_position(&drawn, "2.0", ALIGN_END, false);
    const char *path = strstr(drawn.svg.bytes, "<path class=\"rl-line-main\"");
    assert_non_null(path);
    const char *last = strchr(path, '/');
    while (*last != 'L')
        last--;
    double x;
    double y;
    assert_int_equal(sscanf(last, "L%lf %lf", &x, &y), 2);
    assert_true(fabs((y0 - y) / (y0 - y1) * 2 - 4) < 0.05);
    end(&drawn);
}

/* A hundred thousand points make a path that is no longer than the picture is
 * wide, and keep the extremes. */
static void long_lines_are_thinned(void **state)
{
    (void)state;
    enum { COUNT = 100000 };
    double *values = array_new(COUNT, sizeof *values);
    struct chart chart;
    struct drawn drawn = begin(&chart);
    assert_non_null(values);
    for (size_t i = 0; i < COUNT; i++)
        values[i] = i == 54321 ? 100 : sin((double)i);
    chart_cumulated(&chart, &(struct chart_line){.y = values, .count = COUNT}, NULL, 0);
    finish(&drawn);
    assert_true(drawn.svg.length < 80000);
    double y0 = axis_position(&drawn, "0", ALIGN_END, false);
    double y100 = axis_position(&drawn, "100", ALIGN_END, false);
    double least = INFINITY;
    const char *path = strstr(drawn.svg.bytes, "<path class=\"rl-line-main\"");
    for (const char *at = strchr(path, 'L'); at != NULL && *at != '/'; at = strpbrk(at + 1, "L/")) {
        double x;
        double y;
        if (sscanf(at, "L%lf %lf", &x, &y) == 2)
            least = fmin(least, y);
    }
    assert_true(fabs(least - y100) < 1.1 && y0 > y100);
    free(values);
    end(&drawn);
}

static void nothing_is_said_to_be_nothing(void **state)
{
    (void)state;
    const double none[] = {NAN, INFINITY};
    const char *const names[] = {"a", "b"};
    struct chart chart;
    for (int kind = 0; kind < 7; kind++) {
        struct drawn drawn = begin(&chart);
        switch (kind) {
        case 0: chart_histogram(&chart, &(struct chart_values){none, 2, 0, -1}, NULL, 0); break;
        case 1:
            chart_cumulated(&chart, &(struct chart_line){.y = none, .count = 2}, NULL, 0);
            break;
        case 2: chart_scatter(&chart, none, none, NULL, 2); break;
        case 3: chart_intervals(&chart, NULL, 0, 0, 2); break;
        case 4: chart_strips(&chart, &(struct chart_strip){"a", none, 2}, 1); break;
        case 5: chart_map(&chart, &(struct chart_map){none, names, names, 1, 2, 2}); break;
        default: chart_fan(&chart, &(struct chart_fan){.count = 0}); break;
        }
        finish(&drawn);
        assert_non_null(strstr(drawn.svg.bytes, ">nothing to show</text>"));
        end(&drawn);
    }
}

enum { THREADS = 4, FIGURES_EACH = 24 };

struct worker {
    struct text svg; /* all its figures, one after the other */
    int code;
};

static void *draw_all(void *argument)
{
    struct worker *worker = argument;
    struct typesetter *own = NULL;
    struct error error;
    worker->code = typesetter_new(&own, &error);
    for (uint64_t i = 0; i < FIGURES_EACH && worker->code == ERROR_NONE; i++) {
        struct random_stream stream;
        const struct sample_chart *sample = &sample_charts[i % 8];
        struct picture *picture = picture_new(own, 500, 300, "t");
        struct chart chart = {picture, {8, 8, 492, 292}, sample->x_name, sample->y_name};
        random_start(&stream, 3, i);
        sample->draw(&chart, &stream, 60, 1);
        worker->code = picture_write(picture, THEME_LIGHT, &worker->svg, &error);
        picture_free(picture);
    }
    typesetter_free(own);
    return NULL;
}

/* A typesetter for each thread, and all draw the same. */
static void threads_draw_alike(void **state)
{
    pthread_t threads[THREADS];
    struct worker workers[THREADS];
    (void)state;
    for (size_t i = 0; i < THREADS; i++) {
        text_init(&workers[i].svg);
        assert_int_equal(pthread_create(&threads[i], NULL, draw_all, &workers[i]), 0);
    }
    for (size_t i = 0; i < THREADS; i++)
        pthread_join(threads[i], NULL);
    for (size_t i = 0; i < THREADS; i++) {
        assert_int_equal(workers[i].code, ERROR_NONE);
        assert_int_equal(workers[i].svg.length, workers[0].svg.length);
        assert_string_equal(workers[i].svg.bytes, workers[0].svg.bytes);
    }
    for (size_t i = 0; i < THREADS; i++)
        text_free(&workers[i].svg);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(words_have_room),
        cmocka_unit_test(points_sit_where_the_axes_say),
        cmocka_unit_test(histogram_counts_everything),
        cmocka_unit_test(a_value_stands_apart),
        cmocka_unit_test(no_column_vanishes),
        cmocka_unit_test(cumulated_line_ends_at_the_sum),
        cmocka_unit_test(long_lines_are_thinned),
        cmocka_unit_test(nothing_is_said_to_be_nothing),
        cmocka_unit_test(threads_draw_alike),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
