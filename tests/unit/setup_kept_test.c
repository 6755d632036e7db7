/* What criteria said, kept by their text: signals and truths found with it are
 * those found without it, for random setups on random markets, for the same setup
 * with one number after another moved, and where so little may be held that most
 * of it is let go. The reference is the same engine with nothing kept.
 *
 *   setup_kept_test [CASES [SEED]] */
#include "random_market.h"
#include "random_setup.h"
#include "setup/fields.h"
#include "setup/kept.h"
#include "setup/signals.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static size_t random_cases = 400;
static unsigned long long seed = 20260711;
static size_t found_signals;

static struct signals find(const struct setup_view *view)
{
    struct signals signals;
    struct error error = {0};
    assert_int_equal(signals_find(view, 0, SIZE_MAX, false, &signals, &error), ERROR_NONE);
    return signals;
}

static void same_signals(const struct setup_view *plain, const struct setup_view *kept)
{
    struct signals a = find(plain);
    struct signals b = find(kept);
    assert_int_equal(a.count, b.count);
    assert_int_equal(a.candidates, b.candidates);
    assert_int_equal(a.untold, b.untold);
    for (size_t i = 0; i < a.count; i++) {
        assert_int_equal(a.list[i].at, b.list[i].at);
        assert_int_equal(a.list[i].state, b.list[i].state);
        assert_int_equal(a.list[i].candle.first, b.list[i].candle.first);
        assert_int_equal(a.list[i].candle.choice, b.list[i].candle.choice);
        assert_int_equal(a.list[i].dated_back, b.list[i].dated_back);
    }
    found_signals += a.count;
    signals_free(&a);
    signals_free(&b);
}

/* Moves one number to somewhere that is allowed; false where it stays. */
static bool move_number(struct setup *setup, struct random_stream *stream)
{
    struct setup_fields fields;
    struct error error = {0};
    char text[32];
    assert_int_equal(setup_fields_find(setup, &fields, &error), ERROR_NONE);
    const struct setup_field
        *field = &fields.list[random_between(stream, 0, (int64_t)fields.count - 1)];
    double least = isfinite(field->least) ? field->least : 0;
    double most = isfinite(field->most) && field->most < least + 60 ? field->most : least + 60;
    double value = least + (most - least) * (double)random_between(stream, 0, 20) / 20;
    snprintf(text, sizeof text, "%.9g", field->whole ? floor(value) : value);
    bool moved = setup_field_set(field, text, &error) == ERROR_NONE;
    setup_fields_free(&fields);
    return moved;
}

static void moved_setups_are_read_alike(void **state)
{
    struct random_stream stream;
    (void)state;
    for (size_t i = 0; i < random_cases; i++) {
        struct random_market market;
        struct setup setup;
        struct text text;
        struct error error = {0};
        struct criterion_texts texts = {0};
        struct setup_view plain, kept;
        random_start(&stream, seed, i);
        assert_true(random_market_init(&market, &stream, 160));
        text_init(&text);
        random_setup(&text, &stream, market.bars.interval, (unsigned)i);
        assert_int_equal(setup_read(&setup, "random", text.bytes, text.length, &error), ERROR_NONE);
        struct sheet *sheet = sheet_new(&market.bars, NULL);
        /* Every fourth holds room for three columns alone. */
        size_t limit = i % 4 == 0 ? 3 * (market.bars.count + 1) : 1 << 20;
        struct criterion_memory *memory = criterion_memory_new(market.bars.count, limit);
        for (size_t moves = 0; moves < 6; moves++) {
            assert_int_equal(criterion_texts_number(&texts, &setup, &error), ERROR_NONE);
            if (setup_view_init(&plain, &setup, sheet, &market.around, &error) != ERROR_NONE)
                break;
            kept = plain;
            kept.memory = memory;
            same_signals(&plain, &kept);
            assert_true(criterion_memory_size(memory) <= limit);
            move_number(&setup, &stream);
        }
        criterion_memory_free(memory);
        criterion_texts_free(&texts);
        sheet_free(sheet);
        setup_free(&setup);
        text_free(&text);
        random_market_free(&market);
    }
    assert_true(found_signals > random_cases);
}

/* What is written into a field is what is written into the file: the setup read
 * again from its text has the same number there. */
static void fields_are_the_file(void **state)
{
    struct random_stream stream;
    (void)state;
    for (size_t i = 0; i < random_cases; i++) {
        struct setup setup, again;
        struct setup_fields fields, read;
        struct text text, a, b;
        struct error error = {0};
        random_start(&stream, seed + 1, i);
        text_init(&text);
        random_setup(&text, &stream, (struct interval){INTERVAL_DAY, 1}, (unsigned)i);
        assert_int_equal(setup_read(&setup, "random", text.bytes, text.length, &error), ERROR_NONE);
        text_clear(&text);
        setup_write(&setup, &text);
        assert_int_equal(setup_read(&again, "random", text.bytes, text.length, &error), ERROR_NONE);
        assert_int_equal(setup_fields_find(&setup, &fields, &error), ERROR_NONE);
        assert_int_equal(setup_fields_find(&again, &read, &error), ERROR_NONE);
        assert_int_equal(fields.count, read.count);
        for (size_t k = 0; k < fields.count; k++) {
            text_init(&a);
            text_init(&b);
            setup_field_write(&fields.list[k], &a);
            setup_field_write(&read.list[k], &b);
            assert_string_equal(fields.list[k].name, read.list[k].name);
            assert_string_equal(a.bytes, b.bytes);
            /* Putting in what is there changes nothing. */
            assert_int_equal(setup_field_set(&read.list[k], a.bytes, &error), ERROR_NONE);
            text_free(&a);
            text_free(&b);
        }
        text_init(&a);
        setup_write(&again, &a);
        assert_string_equal(a.bytes, text.bytes);
        text_free(&a);
        setup_fields_free(&fields);
        setup_fields_free(&read);
        setup_free(&setup);
        setup_free(&again);
        text_free(&text);
    }
}

static void a_field_says_what_is_allowed(void **state)
{
    static const char yaml[] = "setup: low\nside: long\ncandle: {shape: hammer}\nplace:\n  - "
                               "lowest_low: {bars: 10}\nentry: {on: next_open}\nstop: {at: "
                               "candle_low}\nexit: {targets: [{r: 2, share: 1}]}\n";
    struct setup setup;
    struct setup_fields fields;
    struct error error = {0};
    const struct setup_field *bars = NULL;
    (void)state;
    assert_int_equal(setup_read(&setup, "low", yaml, strlen(yaml), &error), ERROR_NONE);
    assert_int_equal(setup_fields_find(&setup, &fields, &error), ERROR_NONE);
    for (size_t i = 0; i < fields.count; i++)
        if (strcmp(fields.list[i].name, "place.1.bars") == 0)
            bars = &fields.list[i];
    assert_non_null(bars);
    static const char *const wrong[] = {"", "0", "2001", "3.5", "ten", "1e400", "nan"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        assert_int_equal(setup_field_set(bars, wrong[i], &error), ERROR_INPUT);
        assert_non_null(strstr(error.text, "place.1.bars: found '"));
        assert_non_null(strstr(error.text, "a whole number from 1 to 2000 is allowed"));
        assert_true(*bars->number == 10);
    }
    assert_int_equal(setup_field_set(bars, "2000", &error), ERROR_NONE);
    assert_true(setup.place.list[0].values[0] == 2000);
    setup_fields_free(&fields);
    setup_free(&setup);
}

int main(int count, char **arguments)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(moved_setups_are_read_alike),
        cmocka_unit_test(fields_are_the_file),
        cmocka_unit_test(a_field_says_what_is_allowed),
    };
    if (count > 1)
        random_cases = strtoul(arguments[1], NULL, 10);
    if (count > 2)
        seed = strtoull(arguments[2], NULL, 10);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
