/* The contact sheet and the average path. Values are worked out by brute force
 * beside each check; no published source has them. */
#include "figures/average_path.h"
#include "figures/contact_sheet.h"
#include "sample_window.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

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

enum { CASES = 60 };

static void make_cases(struct window_case *made, struct small_case cases[CASES])
{
    static const struct sample_window sample = {.name = "cases",
                                                .width = 600,
                                                .height = 400,
                                                .bars = 900,
                                                .last = 900,
                                                .level = 560,
                                                .tick = 0.25,
                                                .plain = true};
    assert_true(window_case_init(made, &sample, 3));
    for (size_t i = 0; i < CASES; i++)
        cases[i] = (struct small_case){.bars = &made->bars,
                                       .is_short = i % 4 == 3,
                                       .candle_first = 20 + 14 * i,
                                       .candle = 20 + 14 * i + i % 3,
                                       .end = i % 5 == 0 ? 21 + 14 * i + i % 3 : 900,
                                       .atr = 4 + (double)(i % 7),
                                       .entry = made->bars.high[20 + 14 * i],
                                       .stop = i % 6 == 0 ? NAN : made->bars.low[20 + 14 * i],
                                       .exit_bar = i % 2 == 0 ? SIZE_MAX : 26 + 14 * i,
                                       .exit_price = made->bars.close[26 + 14 * i],
                                       .name = i % 3 == 0
                                                   ? "an instrument with a long name of many "
                                                     "letters"
                                                   : "cut-rush",
                                       .when = "12 Mar 2020",
                                       .result = i % 2 == 0 ? "not filled" : "+2.7 R",
                                       .closed = i % 2 != 0};
}

/* How far one case reaches above its extreme, in ATR. */
static double reach_above(const struct small_case *one)
{
    size_t first = one->candle > SMALL_BEFORE ? one->candle - SMALL_BEFORE : 0;
    double extreme = one->bars->low[one->candle_first];
    double top = -INFINITY;
    if (one->is_short)
        extreme = one->bars->high[one->candle_first];
    for (size_t i = one->candle_first; i <= one->candle; i++)
        extreme = one->is_short ? fmax(extreme, one->bars->high[i])
                                : fmin(extreme, one->bars->low[i]);
    for (size_t i = first; i < one->end && i < one->candle + SMALL_BARS - SMALL_BEFORE; i++)
        top = fmax(top, one->bars->high[i]);
    return (top - extreme) / one->atr;
}

static void test_nine_in_ten_fit(void **state)
{
    struct window_case made;
    struct small_case cases[CASES];
    (void)state;
    make_cases(&made, cases);
    struct small_scale scale = small_scale_of(cases, CASES);
    size_t fitting = 0;
    for (size_t i = 0; i < CASES; i++)
        fitting += reach_above(&cases[i]) * scale.pixels <= scale.line;
    assert_true(fitting >= CASES * 9 / 10 && fitting < CASES);
    assert_true(small_scale_of(cases, 0).pixels > 0);
    window_case_free(&made);
}

/* Every candle's extreme stands on the line: the shadow of a long case ends
 * there, at 7 pixels a bar in the 23rd column, as whole pixels. */
static void test_candle_stands_under_candle(void **state)
{
    struct window_case made;
    struct small_case cases[CASES];
    struct text svg;
    struct error error;
    (void)state;
    make_cases(&made, cases);
    struct small_scale scale = small_scale_of(cases, CASES);
    text_init(&svg);
    size_t looked_at = 0;
    for (size_t i = 0; i < CASES; i++) {
        struct picture *picture;
        char end[32];
        const struct small_case *one = &cases[i];
        /* One bar whose body ends above its low, so that there is a shadow. */
        if (one->is_short || one->candle != one->candle_first ||
            (fmin(made.bars.open[one->candle], made.bars.close[one->candle]) -
             made.bars.low[one->candle]) /
                    one->atr * scale.pixels <
                3)
            continue;
        assert_int_equal(small_case_make(&picture, typesetter, one, &scale, "s", &error),
                         ERROR_NONE);
        text_clear(&svg);
        assert_int_equal(picture_write_bare(picture, THEME_LIGHT, &(struct picture_form){0}, &svg,
                                            &error),
                         ERROR_NONE);
        /* A stroke across follows where open and close are alike. */
        snprintf(end, sizeof end, "V%.0f", round(scale.line));
        const char *accent = strstr(svg.bytes, "rl-line-accent");
        assert_non_null(accent);
        const char *found = strstr(accent, end);
        if (found == NULL || found - accent >= 120)
            fail_msg("no %s in %.200s", end, accent);
        assert_non_null(strstr(accent, "M157.5"));
        assert_null(strstr(svg.bytes, "style"));
        looked_at++;
        picture_free(picture);
    }
    assert_true(looked_at > 5);
    text_free(&svg);
    window_case_free(&made);
}

static void test_words_of_a_sheet_never_overlap(void **state)
{
    (void)state;
    for (size_t count = 0; count <= CASES; count += 13) {
        struct window_case made;
        struct small_case cases[CASES];
        struct picture *picture;
        struct error error;
        size_t shown = 0;
        size_t letters_count;
        make_cases(&made, cases);
        struct contact_sheet sheet = {.cases = cases,
                                      .count = count,
                                      .width = 300 + 17 * (double)count,
                                      .title = "All cases of a setup in a list of instruments",
                                      .subtitle = "every case, none left out",
                                      .caption = "Soft bars followed. Not advice."};
        assert_int_equal(contact_sheet_make(&picture, typesetter, &sheet, "c", &error), ERROR_NONE);
        picture_place(picture);
        const struct letters *letters = picture_letters(picture, &letters_count);
        for (size_t i = 0; i < letters_count; i++) {
            shown += letters[i].shown;
            for (size_t k = 0; letters[i].shown && k < i; k++)
                assert_false(letters[k].shown && boxes_meet(&letters[i].box, &letters[k].box));
        }
        /* Three words a case, all of them there. */
        assert_true(shown >= 3 * count);
        picture_free(picture);
        window_case_free(&made);
    }
}

/* Closes 100, 103, 99, 106 with an ATR of 2, and of 4 for the mirrored one. */
static void test_moves_and_their_mean(void **state)
{
    struct bars bars;
    struct error error;
    static const double closes[] = {100, 103, 99, 106};
    double moves[8];
    double means[4];
    size_t numbers[4];
    (void)state;
    bars_init(&bars);
    for (size_t i = 0; i < 4; i++) {
        struct bar bar = {(int64_t)i * 86400, closes[i], closes[i], closes[i], closes[i], NAN};
        assert_int_equal(bars_append(&bars, &bar, &error), ERROR_NONE);
    }
    /* docs/method.md 10.34: in ATR, the short side turned round. */
    path_moves(&bars, 0, 4, 2, false, 3, moves);
    path_moves(&bars, 1, 4, 4, true, 3, moves + 4);
    assert_true(moves[0] == 0 && moves[1] == 1.5 && moves[2] == -0.5 && moves[3] == 3);
    assert_true(moves[5] == 1 && moves[6] == -0.75 && isnan(moves[7]));
    path_means(moves, 2, 3, means, numbers);
    assert_true(means[1] == 1.25 && means[2] == -0.625 && means[3] == 3);
    assert_true(numbers[2] == 2 && numbers[3] == 1);
    bars_free(&bars);
}

static void test_the_path_says_its_mean(void **state)
{
    static const double moves[] = {0, 1.5, -0.5, 3, 0, 1, -0.75, NAN};
    static const double means[] = {0, 1.25, -0.625, 3};
    static const double lows[] = {0, 0.5, -2, 1};
    static const double highs[] = {0, 2, 0.5, NAN};
    struct average_path path = {moves, 2, 3, means, lows, highs, 640, 320, "After the candle", 2};
    struct picture *picture;
    struct text svg;
    struct error error;
    (void)state;
    text_init(&svg);
    assert_int_equal(average_path_make(&picture, typesetter, &path, "p", &error), ERROR_NONE);
    assert_int_equal(picture_write(picture, THEME_LIGHT, &svg, &error), ERROR_NONE);
    assert_non_null(strstr(svg.bytes, ">mean +3.00 ATR<"));
    assert_non_null(strstr(svg.bytes, "2 cases. The close had moved by +3.00 ATR on average after "
                                      "3 bars"));
    assert_null(strstr(svg.bytes, "nan"));
    picture_free(picture);
    text_free(&svg);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_nine_in_ten_fit),
        cmocka_unit_test(test_candle_stands_under_candle),
        cmocka_unit_test(test_words_of_a_sheet_never_overlap),
        cmocka_unit_test(test_moves_and_their_mean),
        cmocka_unit_test(test_the_path_says_its_mean),
    };
    return cmocka_run_group_tests(tests, make_typesetter, free_typesetter);
}
