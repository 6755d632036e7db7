/* Figures: ticks, times, places of marks and labels. No published source has
 * the values; each is worked out beside its check. */
#include "draw/candles.h"
#include "draw/margin.h"
#include "draw/ticks.h"

#include "base/calendar.h"
#include "base/random.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static void assert_near(double value, double expected, double tolerance)
{
    if (!(fabs(value - expected) <= tolerance))
        fail_msg("%.17g instead of %.17g", value, expected);
}

/* --- ticks -------------------------------------------------------------------------- */

static bool is_one_two_five(double step)
{
    double mantissa = step / pow(10, floor(log10(step) + 1e-9));
    return fabs(mantissa - 1) < 1e-6 || fabs(mantissa - 2) < 1e-6 || fabs(mantissa - 5) < 1e-6;
}

static void test_value_ticks_are_honest(void **state)
{
    static const double grids[] = {0, 0.01, 0.25, 0.03125, 5, 0.0001};
    struct random_stream stream;
    (void)state;
    random_start(&stream, 11, 0);
    for (int i = 0; i < 20000; i++) {
        double grid = grids[random_below(&stream, 6)];
        double scale = pow(10, random_unit(&stream) * 15 - 6);
        double low = (random_unit(&stream) - 0.5) * scale;
        double high = low + random_unit(&stream) * scale + 1e-9 * scale;
        size_t most = 1 + (size_t)random_below(&stream, 12);
        struct value_ticks ticks = value_ticks(low, high, most, grid);
        assert_true(ticks.count <= most);
        if (ticks.count == 0)
            continue;
        assert_true(is_one_two_five(ticks.step));
        if (grid > 0)
            assert_true(fabs(ticks.step / grid - round(ticks.step / grid)) < 1e-6);
        double slack = 1e-6 * ticks.step;
        assert_true(value_tick(&ticks, 0) >= low - slack);
        assert_true(value_tick(&ticks, ticks.count - 1) <= high + slack);
        assert_true(value_tick(&ticks, 0) - ticks.step < low + slack);
        assert_true(value_tick(&ticks, ticks.count) > high - slack);
    }
}

static void test_value_ticks_as_a_person_would(void **state)
{
    char text[TICK_TEXT_SIZE];
    (void)state;
    /* 0 to 1 in at most 6: steps of 0.2 give 6 of them. */
    struct value_ticks ticks = value_ticks(0, 1, 6, 0);
    assert_int_equal(ticks.count, 6);
    value_tick_text(&ticks, 1, text);
    assert_string_equal(text, "0.2");
    /* On a grid of quarters 0.2 is no price: the next step that is one is 0.5. */
    ticks = value_ticks(0, 1, 6, 0.25);
    assert_int_equal(ticks.count, 3);
    value_tick_text(&ticks, 1, text);
    assert_string_equal(text, "0.5");
    ticks = value_ticks(-1, 1, 3, 0);
    value_tick_text(&ticks, 0, text);
    assert_string_equal(text, "\u22121");
    value_tick_text(&ticks, 1, text);
    assert_string_equal(text, "0");
    assert_int_equal(value_ticks(1, 1, 5, 0).count, 0);
    assert_int_equal(value_ticks(NAN, 1, 5, 0).count, 0);
}

/* Weekdays from a Thursday on. */
static void fill_days(int64_t *clock, size_t count)
{
    int64_t day = 15340; /* 2012-01-01, a Sunday */
    for (size_t i = 0; i < count; day++)
        if (weekday_of_day(day) < 5)
            clock[i++] = day * SECONDS_PER_DAY;
}

static void test_times_name_months_and_years_once(void **state)
{
    int64_t clock[600];
    struct time_tick ticks[TICK_LIMIT];
    (void)state;
    fill_days(clock, 600);
    for (size_t most = 2; most < 40; most++) {
        size_t count = time_ticks(clock, 0, 600, true, most, ticks);
        size_t years = 0;
        assert_true(count > 0 && count <= most);
        for (size_t i = 0; i < count; i++) {
            years += strstr(ticks[i].major, "2013") != NULL || strcmp(ticks[i].minor, "2013") == 0;
            if (i > 0)
                assert_true(ticks[i].bar > ticks[i - 1].bar);
            if (i > 0 && ticks[i].major[0] != '\0')
                assert_string_not_equal(ticks[i].major, ticks[i - 1].major);
        }
        assert_true(years <= 1);
    }
    /* Closed days take no room: each tick is a bar, and weeks begin on Monday. */
    size_t count = time_ticks(clock, 0, 40, true, 12, ticks);
    for (size_t i = 1; i < count; i++)
        assert_int_equal(weekday_of_day(day_of_time(clock[ticks[i].bar])), 0);
    assert_string_equal(ticks[0].major, "Jan 2012");
}

/* --- marks -------------------------------------------------------------------------- */

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

static void test_marks_sit_where_the_numbers_say(void **state)
{
    /* 10 bars over 200 units, prices 0 to 100 over 100 units: bar 3 has its
     * middle at 10 + 3.5 * 20 = 80, price 25 lies at 5 + 100 - 25 = 80. */
    struct pane pane = {{10, 5, 210, 105}, 0, 10, 0, 100, false};
    struct picture *picture = picture_new(typesetter, 220, 120, "t");
    double open[] = {25};
    double high[] = {75};
    double low[] = {10};
    double close[] = {50};
    struct candle_columns columns = {open, high, low, close};
    struct text svg;
    struct error error;
    (void)state;
    assert_near(pane_bar_x(&pane, 3), 80, 1e-9);
    assert_near(pane_y(&pane, 25), 80, 1e-9);
    assert_near(pane_y_value(&pane, pane_y(&pane, 33.3)), 33.3, 1e-9);
    assert_near(pane_x_value(&pane, pane_x(&pane, 7.25)), 7.25, 1e-9);
    pane_candles(picture, &pane, &columns, 0, 1);
    text_init(&svg);
    assert_int_equal(picture_write(picture, THEME_LIGHT, &svg, &error), ERROR_NONE);
    /* The shadow at the middle of bar 0, 10 + 10 + half a unit for a crisp
     * edge, from 75 (y 30) to the body's top (50, y 55), and from its foot
     * (25, y 80) to 10 (y 95). The body is as wide as 0.68 of 20, odd. */
    assert_non_null(strstr(svg.bytes, "d=\"M20.5 30V55M20.5 80V95\""));
    assert_non_null(strstr(svg.bytes, "d=\"M14.5 55.5H26.5V79.5H14.5z\""));
    text_free(&svg);
    picture_free(picture);
}

/* The starts of the strokes in the first path with this class, at most
 * `room`. */
static size_t read_moves(const char *svg, const char *class_name, double *x, double *y, size_t room)
{
    size_t count = 0;
    const char *at = strstr(svg, class_name);
    assert_non_null(at);
    at = strstr(at, "d=\"");
    assert_non_null(at);
    for (at += 3; *at != '"'; at++)
        if (*at == 'M' && count < room) {
            char *end = NULL;
            x[count] = strtod(at + 1, &end);
            y[count++] = strtod(end, NULL);
        }
    return count;
}

static void test_many_bars_are_joined_on_absolute_multiples(void **state)
{
    enum { BARS = 4000 };
    static double open[BARS];
    static double high[BARS];
    static double low[BARS];
    static double close[BARS];
    struct candle_columns columns = {open, high, low, close};
    struct random_stream stream;
    struct text svg[2];
    struct error error;
    (void)state;
    random_start(&stream, 5, 0);
    for (size_t i = 0; i < BARS; i++) {
        open[i] = random_unit(&stream);
        close[i] = random_unit(&stream);
        high[i] = fmax(open[i], close[i]) + 0.1;
        low[i] = fmin(open[i], close[i]) - 0.1;
    }
    /* 3,000 bars on 600 units: 0.2 units a bar, so 8 bars are one of 1.6. A
     * step to the right by whole groups moves every mark by as much. */
    for (size_t step = 0; step < 2; step++) {
        struct pane pane =
            {{0, 0, 600, 100}, 80 * (double)step, 3000 + 80 * (double)step, -0.2, 1.2, false};
        struct picture *picture = picture_new(typesetter, 600, 100, "t");
        assert_int_equal(pane_group(&pane), 8);
        pane_candles(picture, &pane, &columns, 80 * step, 3000 + 80 * step);
        text_init(&svg[step]);
        assert_int_equal(picture_write(picture, THEME_LIGHT, &svg[step], &error), ERROR_NONE);
        picture_free(picture);
    }
    static double x[2][3000];
    static double y[2][3000];
    size_t count[2];
    for (size_t step = 0; step < 2; step++)
        count[step] = read_moves(svg[step].bytes, "\"rl-line-main\"", x[step], y[step], 3000);
    assert_true(count[0] > 50 && count[0] <= 3000 / 8 + 1);
    /* The groups from bar 80 on are in both: at 80 * 0.2 = 16 in the first
     * picture and at 0 in the second, at the same heights. */
    size_t from = 0;
    while (x[0][from] < 16)
        from++;
    for (size_t i = 0; from + i < count[0]; i++) {
        assert_near(x[1][i], x[0][from + i] - 16, 1e-9);
        assert_near(y[1][i], y[0][from + i], 1e-9);
    }
    text_free(&svg[0]);
    text_free(&svg[1]);
}

/* --- labels ------------------------------------------------------------------------- */

static const char *const texts[] = {
    "38.2 % · 101.34",
    "inverted hammer",
    "Ανάλυση τιμών, πτώση",
    "Цена закрытия выше максимума",
    "日足の始値と終値、安値の切り下げ",
    "ราคาปิดสูงสุดที่ขึ้น",
    "مؤشر القوة النسبية",
    "a very long name of an instrument that goes on and on until it has to be cut somewhere",
    "g",
    "",
};

static void test_labels_never_overlap(void **state)
{
    struct random_stream stream;
    (void)state;
    random_start(&stream, 2027, 0);
    for (int round = 0; round < 2000; round++) {
        double width = 60 + 900 * random_unit(&stream);
        double height = 40 + 500 * random_unit(&stream);
        struct picture *picture = picture_new(typesetter, width, height, "t");
        size_t count = (size_t)random_below(&stream, 60);
        for (size_t i = 0; i < count; i++) {
            struct label label = {.text = texts[random_below(&stream, 10)],
                                  .type = {FACE_REGULAR, 8 + (double)random_below(&stream, 6)},
                                  .priority = (enum priority)random_below(&stream, 6),
                                  .room = random_below(&stream, 3) == 0 ? 40 : 0,
                                  .gap = 4 * random_unit(&stream)};
            label_around(&label, width * random_unit(&stream), height * random_unit(&stream),
                         random_below(&stream, 2) == 0, 6);
            picture_label(picture, &label);
        }
        picture_place(picture);
        const struct letters *letters = picture_letters(picture, &count);
        for (size_t i = 0; i < count; i++) {
            const struct box *box = &letters[i].box;
            if (!letters[i].shown)
                continue;
            assert_true(box->left >= 0 && box->right <= width && box->top >= 0 &&
                        box->bottom <= height);
            for (size_t k = 0; k < i; k++)
                assert_false(letters[k].shown && boxes_meet(box, &letters[k].box));
        }
        picture_free(picture);
    }
}

static void test_the_more_important_label_stays(void **state)
{
    struct picture *picture = picture_new(typesetter, 200, 40, "t");
    size_t count = 0;
    (void)state;
    picture_word(picture, "an axis", (struct type){FACE_REGULAR, 12}, INK_MAIN, PRIORITY_AXIS,
                 (struct spot){20, 20, ALIGN_START}, 0);
    picture_word(picture, "an order", (struct type){FACE_REGULAR, 12}, INK_MAIN, PRIORITY_ORDER,
                 (struct spot){22, 22, ALIGN_START}, 0);
    picture_place(picture);
    const struct letters *letters = picture_letters(picture, &count);
    assert_int_equal(count, 2);
    assert_false(letters[0].shown);
    assert_true(letters[1].shown);
    picture_free(picture);
}

/* The conditions under which a spread is the best one are those of isotonic
 * regression: apart enough, inside, and no label moved that need not be. */
static void test_margin_labels_move_apart_and_no_further(void **state)
{
    double near[] = {50, 52, 54};
    double far[] = {10, 40, 80};
    double low[] = {95, 97};
    (void)state;
    spread(near, 3, 10, 0, 100);
    assert_near(near[0], 42, 1e-9);
    assert_near(near[1], 52, 1e-9);
    assert_near(near[2], 62, 1e-9);
    spread(far, 3, 10, 0, 100);
    assert_near(far[0], 10, 0);
    assert_near(far[1], 40, 1e-9);
    assert_near(far[2], 80, 1e-9);
    spread(low, 2, 10, 0, 100);
    assert_near(low[0], 90, 1e-9);
    assert_near(low[1], 100, 1e-9);
}

/* Twelve prices at one height of the margin: with room for all of them each is
 * there, with less those of the lowest ranks are; none meets another, none leaves
 * the margin. `bottom` of the margin, and how many are shown at least and at most. */
static void expect_twelve(double bottom, size_t least, size_t most)
{
    enum { LABELS = 12 };
    static const char *const numbers[LABELS] = {"0", "1", "2", "3", "4",  "5",
                                                "6", "7", "8", "9", "10", "11"};
    struct picture *picture = picture_new(typesetter, 300, 300, "t");
    const struct margin margin = {200, 210, 10, bottom, 10, 80};
    struct margin_label labels[LABELS];
    size_t count = 0;
    size_t shown = 0;
    for (int i = 0; i < LABELS; i++) /* ranks in no order: 0, 5, 10, 3 … */
        labels[i] = (struct margin_label){.y = 40,
                                          .text = numbers[i * 5 % LABELS],
                                          .rank = i * 5 % LABELS};
    picture_margin(picture, &margin, labels, LABELS);
    picture_place(picture);
    const struct letters *letters = picture_letters(picture, &count);
    for (size_t i = 0; i < count; i++) {
        if (!letters[i].shown)
            continue;
        shown++;
        assert_true(letters[i].box.top >= 0 && letters[i].box.bottom <= bottom + 10);
        for (size_t k = 0; k < i; k++)
            assert_false(letters[k].shown && boxes_meet(&letters[i].box, &letters[k].box));
    }
    assert_in_range(shown, least, most);
    for (size_t i = 0; i < count; i++)
        assert_true(!letters[i].shown || (size_t)atoi(letters[i].text) < shown);
    picture_free(picture);
}

static void test_twelve_labels_at_one_price(void **state)
{
    (void)state;
    expect_twelve(280, 12, 12);
    /* 60 high, letters of 10: no more than six lines, and three at the least. */
    expect_twelve(70, 3, 6);
}

/* However crowded the marks: a label that keeps clear of them stands on none,
 * or is left out; and where there is room within reach it is found. */
static void test_labels_never_stand_on_marks(void **state)
{
    enum { BLOCKS = 60, LABELS = 12 };
    struct random_stream stream;
    size_t shown = 0;
    (void)state;
    random_start(&stream, 31, 0);
    for (int round = 0; round < 300; round++) {
        struct picture *picture = picture_new(typesetter, 400, 300, "t");
        struct box blocks[BLOCKS];
        for (size_t i = 0; i < BLOCKS; i++) {
            double x = 400 * random_unit(&stream);
            double y = 300 * random_unit(&stream);
            blocks[i] = (struct box){x, y, x + 6, y + 40};
            picture_block(picture, blocks[i]);
        }
        for (size_t i = 0; i < LABELS; i++) {
            struct label label = {.text = "twelve in one spot",
                                  .type = {FACE_REGULAR, 11},
                                  .priority = PRIORITY_NOTE,
                                  .gap = 3,
                                  .clear_of_marks = true};
            label_around(&label, 200, 150, i % 2 == 0, 7);
            picture_label(picture, &label);
        }
        size_t count = 0;
        picture_place(picture);
        const struct letters *letters = picture_letters(picture, &count);
        for (size_t i = 0; i < count; i++) {
            shown += letters[i].shown;
            for (size_t k = 0; letters[i].shown && k < BLOCKS; k++)
                assert_false(boxes_meet(&letters[i].box, &blocks[k]));
        }
        picture_free(picture);
    }
    assert_true(shown > 300);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_value_ticks_are_honest),
        cmocka_unit_test(test_value_ticks_as_a_person_would),
        cmocka_unit_test(test_times_name_months_and_years_once),
        cmocka_unit_test(test_marks_sit_where_the_numbers_say),
        cmocka_unit_test(test_many_bars_are_joined_on_absolute_multiples),
        cmocka_unit_test(test_labels_never_overlap),
        cmocka_unit_test(test_labels_never_stand_on_marks),
        cmocka_unit_test(test_the_more_important_label_stays),
        cmocka_unit_test(test_margin_labels_move_apart_and_no_further),
        cmocka_unit_test(test_twelve_labels_at_one_price),
    };
    return cmocka_run_group_tests(tests, make_typesetter, free_typesetter);
}
