/* Case sheets of random markets: whatever is drawn, no two texts overlap, none
 * leaves the sheet, and the SVG is well-formed XML, as GLib's parser reads it
 * (XML 1.0; it knows no document types, which the sheets have none of). */
#include "base/random.h"
#include "draw/output.h"
#include "figures/case_pages.h"

#include <glib.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

enum { SHEETS = 1000, SEVERAL = 200, FORMS = 150, SEED = 4 };

static const char *const setups[] = {
    "setup: a\nside: long\ncandle: {shape: any}\n"
    "place: [{downtrend: {bars: 10, fall_atr: 1}}, {lowest_low: {bars: 10}},\n"
    "  {at_support: {bars: 250, swing: 3, width_atr: 0.5, touches: 2}}]\n"
    "confirm: {at_least: 1, wait: 2, of: [{rsi_below: {length: 14, level: 30, within: 3}},\n"
    "  {rsi_crosses_above_average: {length: 14, average: 9, within: 2, from_below: 40}},\n"
    "  {macd_turns_up: {fast: 12, slow: 26, signal: 9}}]}\n"
    "entry: {on: break_of_high, valid: 3, buffer_ticks: 1}\n"
    "stop: {at: candle_low, buffer_ticks: 1}\n"
    "exit: {targets: [{r: 1, share: 0.5}, {r: 2.5, share: 0.5}], time_stop: 40,\n"
    "  break_even_at_r: 1}\n",
    "setup: b\nside: short\ncandle: {shape: any}\n"
    "title: a title that goes on for far longer than any line of the sheet has room for, so that "
    "it has to be cut somewhere or it would leave the sheet at its right edge, 日足の始値と終値\n"
    "entry: {on: next_open}\nstop: {at: atr, times: 2}\n"
    "exit: {trail: {atr: {times: 3}}, time_stop: 60}\n",
    "setup: c\nside: long\ncandle: {shape: morning-star}\n"
    "entry: {on: close_above_high, valid: 5}\nstop: {at: lowest_low, bars: 5}\n"
    "exit: {targets: [{level: 0.618, share: 0.5}, {extension: 1.618, share: 0.5}], trail: {swing_low: {swing: 3}}}\n",
    "setup: d\nside: long\ncandle: {shape: any}\n"
    "place: [{rsi_crosses_above_average: {from_below: 60, interval: 1w}},\n"
    "  {rsi_below: {level: 45, interval: 1w}}, {macd_turns_up: {interval: 1w}}]\n"
    "entry: {on: next_open}\nstop: {at: candle_low}\nexit: {time_stop: 9}\n",
};
enum { SETUPS = sizeof setups / sizeof *setups };

static const char *const names[] = {
    "amber",         "an instrument with a name of more than sixty letters, as some have",
    "Ανάλυση τιμών", "日足の始値と終値",
    "ราคาปิดสูงสุดที่ขึ้น", "مؤشر القوة النسبية",
    "<&\"'>",
};

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

/* A walk on the tick's grid, of any size and sign, with falls and flat bars;
 * daily, or hourly round the clock. */
static void make_bars(struct bars *bars, struct random_stream *stream, const struct tick *tick)
{
    size_t count = 20 + (size_t)pow(10, 1 + 2.7 * random_unit(stream));
    bool hourly = random_below(stream, 3) == 0;
    double level = (random_unit(stream) - 0.4) * 4000;
    struct error error;
    bars_init(bars);
    bars->interval = (struct interval){hourly ? INTERVAL_HOUR : INTERVAL_DAY, 1};
    for (size_t i = 0; i < count; i++) {
        double open = level + floor(3 * random_normal(stream));
        double close = open + floor(10 * random_normal(stream));
        double high = fmax(open, close) + floor(12 * random_unit(stream));
        double low = fmin(open, close) - floor(12 * random_unit(stream));
        if (random_below(stream, 60) == 0)
            close = high = low = open;
        struct bar bar = {.time = (int64_t)(i + 20000) * (hourly ? 3600 : 86400),
                          .open = tick_multiple(tick, round(open)),
                          .high = tick_multiple(tick, round(high)),
                          .low = tick_multiple(tick, round(low)),
                          .close = tick_multiple(tick, round(close)),
                          .volume = random_below(stream, 9) == 0 ? NAN : 1e6 * random_unit(stream)};
        level = close;
        assert_int_equal(bars_append(bars, &bar, &error), ERROR_NONE);
    }
}

static void check_letters(struct picture *picture, size_t least)
{
    size_t count = 0;
    picture_place(picture);
    const struct letters *letters = picture_letters(picture, &count);
    assert_true(count > least);
    for (size_t i = 0; i < count; i++) {
        const struct box *box = &letters[i].box;
        if (!letters[i].shown)
            continue;
        if (box->left < 0 || box->top < 0 || box->right > picture_width(picture) ||
            box->bottom > picture_height(picture))
            fail_msg("'%s' leaves the sheet", letters[i].text);
        for (size_t k = 0; k < i; k++)
            if (letters[k].shown && boxes_meet(box, &letters[k].box))
                fail_msg("'%s' and '%s' overlap", letters[i].text, letters[k].text);
    }
}

/* No number that is none has been written: as text, or as the far end of what
 * coordinates can be. */
static void check_numbers(const char *svg)
{
    static const char *const signs[] = {"nan",        ">inf",       " inf",       "=\"100000000",
                                        "M100000000", "V100000000", "L100000000", "H100000000"};
    for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++) {
        const char *found = strstr(svg, signs[i]);
        if (found != NULL)
            fail_msg("…%.60s", found - 30);
    }
}

static void check_xml(struct picture *picture, enum theme theme)
{
    static const GMarkupParser parser = {0};
    GMarkupParseContext *context = g_markup_parse_context_new(&parser, 0, NULL, NULL);
    struct text svg;
    struct error error;
    text_init(&svg);
    assert_int_equal(picture_write(picture, theme, &svg, &error), ERROR_NONE);
    assert_true(g_markup_parse_context_parse(context, svg.bytes, (gssize)svg.length, NULL));
    assert_true(g_markup_parse_context_end_parse(context, NULL));
    check_numbers(svg.bytes);
    g_markup_parse_context_free(context);
    text_free(&svg);
}

/* One market with a setup applied to it. */
struct market {
    struct bars bars;
    struct sheet *sheet;
    struct setup setup;
    struct setup_view view;
    struct trade_terms terms;
    const char *name;
};

static void make_market(struct market *market, struct random_stream *stream)
{
    static const double steps[] = {1e-6, 0.01, 0.25, 5, 100000, 0.0001};
    const char *text = setups[random_below(stream, SETUPS)];
    struct error error;
    *market = (struct market){.name = names[random_below(stream, 7)]};
    assert_true(tick_from_number(&market->terms.tick, steps[random_below(stream, 6)]));
    market->terms.point_value = 1;
    make_bars(&market->bars, stream, &market->terms.tick);
    assert_int_equal(setup_read(&market->setup, "random", text, strlen(text), &error), ERROR_NONE);
    market->sheet = sheet_new(&market->bars, NULL);
    assert_non_null(market->sheet);
    assert_int_equal(setup_view_init(&market->view, &market->setup, market->sheet, NULL, &error),
                     ERROR_NONE);
}

static void free_market(struct market *market)
{
    sheet_free(market->sheet);
    setup_free(&market->setup);
    bars_free(&market->bars);
}

/* Any bar taken for the candle, with the signal there or a little later. */
static struct case_request random_case(const struct market *market, struct random_stream *stream)
{
    size_t count = market->bars.count;
    struct candle candle = candle_of_bar(&market->view,
                                         3 + (size_t)random_below(stream, count - 6));
    size_t wait = (size_t)random_below(stream, 3);
    return (struct case_request){.view = &market->view,
                                 .terms = &market->terms,
                                 .instrument = market->name,
                                 .signal = {candle, candle.at + wait, SIGNAL_GIVEN},
                                 .outcome = random_below(stream, 4) != 0,
                                 .number = 1};
}

static void test_texts_of_a_sheet_never_overlap(void **state)
{
    static const double ranked[] = {-1, 0.5, 2.5};
    (void)state;
    for (uint64_t i = 0; i < SHEETS; i++) {
        struct random_stream stream;
        struct market market;
        struct picture *picture = NULL;
        struct error error;
        random_start(&stream, SEED, i);
        make_market(&market, &stream);
        struct case_request request = random_case(&market, &stream);
        request.ranked = ranked;
        request.ranked_count = 3;
        assert_int_equal(case_sheet_make(&picture, typesetter, &request, "t", &error), ERROR_NONE);
        check_letters(picture, 20);
        check_xml(picture, (enum theme)(i % 3));
        picture_free(picture);
        free_market(&market);
    }
}

/* The same for every form; pages and slides have the shape of their paper, so that
 * nothing is made smaller to fit, unless a checklist of many rows makes them longer. */
static void test_forms_are_laid_out(void **state)
{
    static const struct {
        enum case_form form;
        enum paper paper;
        size_t least, most;
        double width;
    } forms[] = {{CASE_UPRIGHT, PAPER_A4, 2, 2, 680},
                 {CASE_UPRIGHT, PAPER_LETTER, 2, 2, 680},
                 {CASE_SLIDES, PAPER_SLIDE, 3, 5, 680},
                 {CASE_PHONE, PAPER_PHONE, 1, 1, 390}};
    (void)state;
    for (uint64_t i = 0; i < FORMS; i++) {
        struct random_stream stream;
        struct market market;
        struct picture *pages[CASE_PAGE_LIMIT];
        struct error error;
        size_t count;
        size_t at = i % (sizeof forms / sizeof *forms);
        double shape = paper_shape(forms[at].paper);
        random_start(&stream, SEED + 3, i);
        make_market(&market, &stream);
        struct case_request request = random_case(&market, &stream);
        assert_int_equal(case_pages_make(pages, &count, typesetter, &request, forms[at].form, shape,
                                         &error),
                         ERROR_NONE);
        assert_in_range(count, forms[at].least, forms[at].most);
        for (size_t k = 0; k < count; k++) {
            check_letters(pages[k], 2);
            check_xml(pages[k], THEME_LIGHT);
            assert_true(picture_width(pages[k]) == forms[at].width);
            if (shape > 0 && k == 0 &&
                fabs(picture_height(pages[k]) / forms[at].width - shape) > 0.002)
                fail_msg("form %zu, sheet %d: %.0f high", at, (int)i, picture_height(pages[k]));
            picture_free(pages[k]);
        }
        free_market(&market);
    }
}

static void test_texts_of_several_cases_never_overlap(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < SEVERAL; i++) {
        struct random_stream stream;
        struct market market;
        struct picture *picture = NULL;
        struct case_request requests[5];
        struct error error;
        random_start(&stream, SEED + 1, i);
        make_market(&market, &stream);
        size_t count = 2 + (size_t)random_below(&stream, 4);
        for (size_t k = 0; k < count; k++) {
            requests[k] = random_case(&market, &stream);
            requests[k].before = 36;
        }
        assert_int_equal(case_sheet_make_several(&picture, typesetter, requests, count, "t",
                                                 &error),
                         ERROR_NONE);
        check_letters(picture, 20);
        check_xml(picture, THEME_LIGHT);
        picture_free(picture);
        free_market(&market);
    }
}

/* Of one bar alone: no bar before it, no measure, no range but its own. */
static void test_a_market_of_one_bar(void **state)
{
    size_t sheets = 0;
    (void)state;
    for (uint64_t i = 0; i < 150; i++) {
        struct random_stream stream;
        struct market market;
        struct picture *pages[CASE_PAGE_LIMIT];
        struct error error;
        random_start(&stream, SEED + 4, i);
        make_market(&market, &stream);
        if (market.setup.candles[0].shape->bars == 1) {
            size_t count;
            sheet_free(market.sheet);
            market.bars.count = 1;
            market.sheet = sheet_new(&market.bars, NULL);
            assert_int_equal(setup_view_init(&market.view, &market.setup, market.sheet, NULL,
                                             &error),
                             ERROR_NONE);
            struct case_request request = {.view = &market.view,
                                           .terms = &market.terms,
                                           .instrument = market.name,
                                           .signal = {candle_of_bar(&market.view, 0), 0,
                                                      SIGNAL_GIVEN},
                                           .outcome = i % 2 == 0,
                                           .number = 1};
            enum case_form form = i % 3 == 0 ? CASE_PHONE : CASE_UPRIGHT;
            double shape = paper_shape(form == CASE_PHONE ? PAPER_PHONE : PAPER_A4);
            assert_int_equal(case_pages_make(pages, &count, typesetter, &request, form, shape,
                                             &error),
                             ERROR_NONE);
            for (size_t k = 0; k < count; k++, sheets++) {
                check_letters(pages[k], 2);
                check_xml(pages[k], THEME_LIGHT);
                picture_free(pages[k]);
            }
        }
        free_market(&market);
    }
    assert_true(sheets > 100);
}

/* What is after the signal cannot be read off a sheet without outcome: it is
 * the same, to the byte, on bars that end at the signal. */
static void test_no_outcome_means_none(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 100; i++) {
        struct random_stream stream;
        struct market market;
        struct text svg[2];
        struct error error;
        random_start(&stream, SEED + 2, i);
        make_market(&market, &stream);
        struct case_request request = random_case(&market, &stream);
        request.outcome = false;
        for (int cut = 0; cut < 2; cut++) {
            struct picture *picture = NULL;
            if (cut == 1) {
                sheet_free(market.sheet);
                market.bars.count = request.signal.at + 1;
                market.sheet = sheet_new(&market.bars, NULL);
                assert_int_equal(setup_view_init(&market.view, &market.setup, market.sheet, NULL,
                                                 &error),
                                 ERROR_NONE);
            }
            text_init(&svg[cut]);
            assert_int_equal(case_sheet_make(&picture, typesetter, &request, "t", &error),
                             ERROR_NONE);
            assert_int_equal(picture_write(picture, THEME_LIGHT, &svg[cut], &error), ERROR_NONE);
            picture_free(picture);
        }
        assert_string_equal(svg[0].bytes, svg[1].bytes);
        text_free(&svg[0]);
        text_free(&svg[1]);
        free_market(&market);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_texts_of_a_sheet_never_overlap),
        cmocka_unit_test(test_forms_are_laid_out),
        cmocka_unit_test(test_texts_of_several_cases_never_overlap),
        cmocka_unit_test(test_a_market_of_one_bar),
        cmocka_unit_test(test_no_outcome_means_none),
    };
    return cmocka_run_group_tests(tests, make_typesetter, free_typesetter);
}
