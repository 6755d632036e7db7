/* What is written reads back as the same setup, field by field, so that a key left
 * out is seen: random setups of the grammar with titles that YAML 1.2 (5.1, 5.4, 5.7)
 * has its own ideas about, and their mirrors; and names at the limit. */
#include "base/random.h"
#include "random_setup.h"
#include "setup/setup.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { SETUPS = 400, PIECES = 6 };

static const char *const pieces[] = {"~",
                                     "null",
                                     "a",
                                     "Ein Fall",
                                     ": ",
                                     " #",
                                     "\x7f",
                                     "\x1b",
                                     "\xe2\x80\xa8",
                                     "\xe2\x80\xa9",
                                     "\xc2\x85",
                                     "\xe2\x80\xae",
                                     "'",
                                     "\"",
                                     "\\",
                                     "- ",
                                     "? ",
                                     "\n",
                                     "\t",
                                     " ",
                                     "%",
                                     "@",
                                     "`",
                                     "{",
                                     "]",
                                     "é",
                                     "\xef\xbb\xbf",
                                     "\xf0\x9f\x95\xaf",
                                     "\xef\xbf\xbe",
                                     "true",
                                     "*",
                                     "!x",
                                     "|",
                                     ">",
                                     "\r",
                                     "..."};

static char *random_title(struct random_stream *stream)
{
    struct text text;
    text_init(&text);
    for (uint64_t i = 1 + random_below(stream, PIECES); i > 0; i--)
        text_append(&text, pieces[random_below(stream, sizeof pieces / sizeof pieces[0])]);
    return text_take(&text);
}

/* --- the same setup --------------------------------------------------------------------- */

/* What is off by default and was not, somewhere: a draw that never has it proves
 * nothing of it. */
enum written {
    HAS_ANY,
    HAS_NOT,
    HAS_WORD,
    HAS_COMPARE,
    HAS_OF,
    HAS_BARS_AGO,
    HAS_BY,
    HAS_RUN,
    HAS_LONGER,
    HAS_WITHIN,
    HAS_CHOICES,
    HAS_AT_LEAST,
    HAS_WAIT,
    HAS_TICKS,
    HAS_ATR,
    HAS_AT_CLOSE,
    HAS_LATE,
    HAS_GAP,
    HAS_ROOM,
    HAS_SEVERAL,
    HAS_TARGET,
    HAS_TIME_STOP,
    HAS_BREAK_EVEN,
    HAS_TRAIL,
    HAS_WHEN,
    HAS_COSTS,
    HAS_SAME_BAR,
    HAS_OVERLAP,
    HAS_COUNT
};

static unsigned seen[HAS_COUNT];

static void see(enum written what, bool there)
{
    seen[what] += there;
}

static bool same_number(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static void assert_numbers(const struct parameter *parameters, const double *a, const double *b)
{
    for (size_t i = 0; i < parameter_count(parameters); i++)
        if (parameters[i].kind != PARAMETER_WORD && !same_number(a[i], b[i]))
            fail_msg("%s: %.17g, then %.17g", parameters[i].name, a[i], b[i]);
}

static void assert_texts(const char *a, const char *b)
{
    assert_int_equal(a == NULL, b == NULL);
    if (a != NULL)
        assert_string_equal(a, b);
}

static void assert_intervals(struct interval a, struct interval b)
{
    assert_int_equal(a.unit, b.unit);
    assert_int_equal(a.count, b.count);
}

static void assert_sides(const struct compare_side *a, const struct compare_side *b)
{
    assert_ptr_equal(a->what, b->what);
    assert_true(a->what != NULL || same_number(a->number, b->number));
    if (a->what != NULL)
        assert_numbers(comparable_parameters(a->what), a->values, b->values);
    assert_int_equal(a->bars_ago, b->bars_ago);
    assert_intervals(a->interval, b->interval);
    assert_texts(a->of, b->of);
    see(HAS_OF, a->of != NULL);
    see(HAS_BARS_AGO, a->bars_ago > 0);
}

static void assert_compares(const struct compare_rule *a, const struct compare_rule *b)
{
    assert_int_equal(a == NULL, b == NULL);
    if (a == NULL)
        return;
    assert_sides(&a->value, &b->value);
    if (!compare_has_run(a))
        assert_sides(&a->other, &b->other);
    assert_int_equal(a->way, b->way);
    assert_int_equal(a->run, b->run);
    assert_int_equal(a->by_unit, b->by_unit);
    assert_true(same_number(a->by, b->by));
    see(HAS_COMPARE, true);
    see(HAS_RUN, compare_has_run(a));
    see(HAS_BY, a->by_unit != BY_NOTHING);
}

static void assert_criteria(struct criteria a, struct criteria b)
{
    assert_int_equal(a.count, b.count);
    for (size_t i = 0; i < a.count; i++) {
        const struct criterion *one = &a.list[i];
        const struct criterion *other = &b.list[i];
        assert_int_equal(one->kind, other->kind);
        if (one->kind == CRITERION_CONDITION) {
            assert_ptr_equal(one->condition, other->condition);
            assert_int_equal(one->mirrored, other->mirrored);
            assert_numbers(one->condition->parameters, one->values, other->values);
            assert_texts(one->word, other->word);
            assert_compares(one->compare, other->compare);
        }
        assert_intervals(one->interval, other->interval);
        assert_int_equal(one->within, other->within);
        see(HAS_ANY, one->kind == CRITERION_ANY);
        see(HAS_NOT, one->kind == CRITERION_NOT);
        see(HAS_WORD, one->word != NULL);
        see(HAS_LONGER, one->interval.unit != INTERVAL_NONE);
        see(HAS_WITHIN, one->within > 0);
        assert_criteria((struct criteria){one->parts, one->part_count},
                        (struct criteria){other->parts, other->part_count});
    }
}

static void assert_buffers(const struct buffer *a, const struct buffer *b)
{
    assert_true(same_number(a->ticks, b->ticks));
    assert_true(same_number(a->atr, b->atr));
    see(HAS_TICKS, a->ticks > 0);
    see(HAS_ATR, a->atr > 0);
}

static void assert_entries(const struct entry_rule *a, const struct entry_rule *b)
{
    assert_ptr_equal(a->entry, b->entry);
    assert_numbers(a->entry->parameters, a->values, b->values);
    if (a->entry->kind == ENTRY_RETEST)
        assert_int_equal(a->retest_of, b->retest_of);
    assert_int_equal(a->valid, b->valid);
    assert_buffers(&a->buffer, &b->buffer);
    assert_int_equal(a->at_close, b->at_close);
    assert_int_equal(a->late, b->late);
    assert_true(same_number(a->largest_gap_atr, b->largest_gap_atr));
    assert_true(same_number(a->least_room_r, b->least_room_r));
    see(HAS_AT_CLOSE, a->at_close);
    see(HAS_LATE, a->late == LATE_TAKE);
    see(HAS_GAP, !isnan(a->largest_gap_atr));
    see(HAS_ROOM, !isnan(a->least_room_r));
}

static void assert_stops(const struct stop_rule *a, const struct stop_rule *b)
{
    assert_int_equal(a->count, b->count);
    assert_int_equal(a->several, b->several);
    for (size_t i = 0; i < a->count; i++) {
        assert_ptr_equal(a->members[i].stop, b->members[i].stop);
        assert_numbers(a->members[i].stop->parameters, a->members[i].values, b->members[i].values);
    }
    assert_buffers(&a->buffer, &b->buffer);
    see(HAS_SEVERAL, a->several);
}

static void assert_exits(const struct exit_rule *a, const struct exit_rule *b)
{
    assert_int_equal(a->target_count, b->target_count);
    for (size_t i = 0; i < a->target_count; i++) {
        assert_ptr_equal(a->targets[i].kind, b->targets[i].kind);
        assert_true(same_number(a->targets[i].value, b->targets[i].value));
        assert_true(same_number(a->targets[i].share, b->targets[i].share));
    }
    assert_int_equal(a->time_stop, b->time_stop);
    assert_true(same_number(a->break_even_at_r, b->break_even_at_r));
    assert_ptr_equal(a->trail, b->trail);
    assert_true(a->trail == NULL || same_number(a->trail_value, b->trail_value));
    assert_criteria(a->when, b->when);
    see(HAS_TARGET, a->target_count > 0);
    see(HAS_TIME_STOP, a->time_stop > 0);
    see(HAS_BREAK_EVEN, !isnan(a->break_even_at_r));
    see(HAS_TRAIL, a->trail != NULL);
    see(HAS_WHEN, a->when.count > 0);
}

static void assert_costs(const struct setup *a, const struct setup *b)
{
    const struct costs *one = &a->costs;
    const struct costs *other = &b->costs;
    assert_int_equal(a->costs_given, b->costs_given);
    assert_true(same_number(one->spread, other->spread));
    assert_true(same_number(one->slippage, other->slippage));
    assert_true(same_number(one->commission_per_unit, other->commission_per_unit));
    assert_true(same_number(one->commission_percent, other->commission_percent));
    assert_true(same_number(one->commission_per_trade, other->commission_per_trade));
    assert_true(same_number(one->financing_percent_year, other->financing_percent_year));
    see(HAS_COSTS, one->spread > 0 && one->financing_percent_year > 0);
}

static void assert_same_setup(const struct setup *a, const struct setup *b)
{
    assert_string_equal(a->name, b->name);
    assert_string_equal(a->title, b->title);
    assert_string_equal(a->family, b->family);
    assert_int_equal(a->side, b->side);
    assert_intervals(a->interval, b->interval);
    assert_int_equal(a->candle_count, b->candle_count);
    assert_int_equal(a->candle_any_of, b->candle_any_of);
    for (size_t i = 0; i < a->candle_count; i++) {
        assert_ptr_equal(a->candles[i].shape, b->candles[i].shape);
        assert_int_equal(a->candles[i].mirrored, b->candles[i].mirrored);
        assert_numbers(a->candles[i].shape->limits, a->candles[i].limits, b->candles[i].limits);
    }
    assert_criteria(a->place, b->place);
    assert_criteria(a->confirm, b->confirm);
    assert_int_equal(a->confirm_at_least, b->confirm_at_least);
    assert_int_equal(a->confirm_wait, b->confirm_wait);
    assert_entries(&a->entry, &b->entry);
    assert_stops(&a->stop, &b->stop);
    assert_exits(&a->exit, &b->exit);
    assert_costs(a, b);
    assert_int_equal(a->same_bar, b->same_bar);
    assert_int_equal(a->overlap, b->overlap);
    assert_true(same_number(a->least_mean_r, b->least_mean_r));
    see(HAS_CHOICES, a->candle_count > 1);
    see(HAS_AT_LEAST, a->confirm_at_least < a->confirm.count);
    see(HAS_WAIT, a->confirm_wait > 0);
    see(HAS_SAME_BAR, a->same_bar != SAME_BAR_NEAREST);
    see(HAS_OVERLAP, a->overlap != OVERLAP_ONE);
}

/* --- written and read ------------------------------------------------------------------- */

static void read_written(const struct setup *setup, struct setup *again, struct text *written)
{
    struct error error = {0};
    text_clear(written);
    setup_write(setup, written);
    assert_false(text_failed(written));
    if (setup_read(again, "written.yaml", written->bytes, written->length, &error) != ERROR_NONE)
        fail_msg("%s\n%s", error.text, written->bytes);
}

static void assert_reads_back(const struct setup *setup)
{
    struct setup again;
    struct text first;
    struct text second;
    text_init(&first);
    text_init(&second);
    read_written(setup, &again, &first);
    setup_write(&again, &second);
    assert_string_equal(first.bytes, second.bytes);
    assert_same_setup(setup, &again);
    setup_free(&again);
    text_free(&first);
    text_free(&second);
}

static void what_is_written_reads_back(void **state)
{
    (void)state;
    struct random_stream stream;
    random_start(&stream, 20260713, 0);
    for (unsigned i = 0; i < SETUPS; i++) {
        struct setup setup;
        struct text text;
        struct text before;
        struct text after;
        struct error error = {0};
        text_init(&text);
        text_init(&before);
        text_init(&after);
        random_setup(&text, &stream, (struct interval){INTERVAL_DAY, 1}, i);
        assert_int_equal(setup_read(&setup, "random.yaml", text.bytes, text.length, &error),
                         ERROR_NONE);
        free(setup.title);
        setup.title = random_title(&stream);
        assert_non_null(setup.title);
        assert_reads_back(&setup);
        setup_write(&setup, &before);
        assert_int_equal(setup_mirror(&setup, &error), ERROR_NONE);
        assert_reads_back(&setup);
        assert_int_equal(setup_mirror(&setup, &error), ERROR_NONE);
        setup_write(&setup, &after);
        assert_string_equal(before.bytes, after.bytes);
        setup_free(&setup);
        text_free(&text);
        text_free(&before);
        text_free(&after);
    }
    for (int what = 0; what < HAS_COUNT; what++)
        if (seen[what] < 10)
            fail_msg("the %d-th of `enum written` was drawn %u times only", what, seen[what]);
}

static int read_named(struct setup *setup, const char *name)
{
    struct error error = {0};
    struct text text;
    text_init(&text);
    text_append_format(&text,
                       "setup: %s\nside: long\ncandle: {shape: any}\nentry: {on: next_open}\n"
                       "stop: {at: atr, times: 1}\nexit: {time_stop: 2}\n",
                       name);
    int code = setup_read(setup, "named.yaml", text.bytes, text.length, &error);
    text_free(&text);
    return code;
}

/* 60, the longest name, and what its mirror is called. */
static void names_at_the_limit(void **state)
{
    (void)state;
    static const char longest[] = "a23456789-b23456789-c23456789-d23456789-e23456789-f23456789-";
    struct setup setup;
    struct error error = {0};
    char longer[80];
    assert_int_equal(strlen(longest), 60);
    snprintf(longer, sizeof longer, "%sx", longest);
    assert_int_equal(read_named(&setup, longer), ERROR_INPUT);
    snprintf(longer, sizeof longer, "%sx-mirrored", longest);
    assert_int_equal(read_named(&setup, longer), ERROR_INPUT);
    assert_int_equal(read_named(&setup, longest), ERROR_NONE);
    assert_int_equal(setup_mirror(&setup, &error), ERROR_NONE);
    assert_reads_back(&setup);
    assert_int_equal(strlen(setup.name), 69);
    setup_free(&setup);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_written_reads_back),
        cmocka_unit_test(names_at_the_limit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
