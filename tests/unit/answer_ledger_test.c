/* What is said of a ledger made by hand: entries of one trial are counted once, a p that an
 * interval does not bear out is told apart, by definition. */
#include "answer/answer.h"
#include "answer/ledger_trials.h"
#include "document/document_write.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#define RULE(r)                                                                                    \
    "setup: a\nside: long\ncandle: {shape: any}\nentry: {on: next_open}\n"                         \
    "stop: {at: candle_low}\nexit: {targets: [{r: " r ", share: 1}]}\n"

static char study_word[] = "study";
static char moved_word[] = "sensitivity";
static char name[] = "a";
static char rule[] = RULE("2");
static char moved[] = RULE("3");
static char rule_hash[] = "two";
static char moved_hash[] = "three";
static char instruments[] = "ferries\n";
static char others[] = "lamps\n";
static char nothing[] = "";
static char data[] = "bars";

static struct ledger_line line_of(int64_t id, double mean, double low, double p)
{
    return (struct ledger_line){.id = id,
                                .at = 86400 * id,
                                .kind = TRIAL_STUDY,
                                .command = study_word,
                                .setup = name,
                                .text = rule,
                                .hash = rule_hash,
                                .family = name,
                                .instruments = instruments,
                                .data_hash = data,
                                .former_hash = nothing,
                                .finished = !isnan(mean),
                                .closed = isnan(mean) ? 0 : 30,
                                .mean_r = mean,
                                .low = low,
                                .high = 1,
                                .p = p};
}

/* A study, it again, one of its numbers moved, and one of other instruments stopped. */
static void make(struct ledger_line lines[4])
{
    lines[0] = line_of(1, 0.5, 0.1, 0.01);
    lines[1] = line_of(2, 0.5, 0.1, 0.01);
    lines[2] = line_of(3, 0.4, -0.01, 0.03);
    lines[2].kind = TRIAL_SENSITIVITY;
    lines[2].command = moved_word;
    lines[2].text = moved;
    lines[2].hash = moved_hash;
    lines[3] = line_of(4, NAN, NAN, NAN);
    lines[3].instruments = others;
}

static void one_trial_however_often(void **state)
{
    (void)state;
    struct ledger_line lines[4];
    struct ledger_trial trials[4];
    make(lines);
    const struct ledger ledger = {.lines = lines, .count = 4};
    assert_int_equal(ledger_trials_of(&ledger, trials), 3);
    assert_int_equal(trials[0].line->id, 2);
    assert_int_equal(trials[0].entries, 2);
    assert_int_equal(trials[1].line->id, 3);
    /* A cell of a sensitivity does not stand for a study of the same rule. */
    lines[2].text = rule;
    lines[2].hash = rule_hash;
    assert_int_equal(ledger_trials_of(&ledger, trials), 2);
    assert_int_equal(trials[0].line->id, 2);
    assert_int_equal(trials[0].entries, 3);
    /* Nor one without a mean for one with it. */
    lines[3].instruments = instruments;
    assert_int_equal(ledger_trials_of(&ledger, trials), 1);
    assert_int_equal(trials[0].line->id, 2);
}

static void what_was_tried(void **state)
{
    (void)state;
    struct ledger_line lines[4];
    struct text text;
    make(lines);
    const struct ledger ledger = {.lines = lines, .count = 4};
    text_init(&text);
    ledger_say(&text, &ledger, &lines[0]);
    assert_string_equal(text.bytes, "study of a");
    text_clear(&text);
    ledger_say(&text, &ledger, &lines[2]);
    assert_string_equal(text.bytes, "exit.targets.1.r 3 of a");
    text_clear(&text);
    lines[2].text = rule;
    ledger_say(&text, &ledger, &lines[2]);
    assert_string_equal(text.bytes, "sensitivity of a");
    text_free(&text);
}

static void said_of_all(void **state)
{
    (void)state;
    struct ledger_line lines[4];
    const double adjusted[] = {0.02, 0.02, 0.04, NAN};
    struct document document;
    struct text text;
    make(lines);
    const struct ledger ledger = {.lines = lines, .count = 4};
    document_init(&document);
    answer_ledger(&document, &ledger, adjusted);
    text_init(&text);
    for (size_t i = 0; i < document.count; i++)
        if (document.blocks[i]->kind == BLOCK_OPENING) {
            text_append(&text, document.blocks[i]->words);
            text_append_char(&text, '\n');
        }
    assert_non_null(strstr(text.bytes,
                           "4 entries, of 3 different trials: the same rule tried again "
                           "on the same bars is the same trial. 1 was stopped"));
    assert_non_null(strstr(text.bytes, "2 have a p below 0.05, where 0.1 would if there were "
                                       "nothing in any of them; of 1 of these the 95% interval "
                                       "lies above 0 too"));
    assert_non_null(strstr(text.bytes, "the smallest p becomes 0.020"));
    text_free(&text);
    document_clear(&document);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_trial_however_often),
        cmocka_unit_test(what_was_tried),
        cmocka_unit_test(said_of_all),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
