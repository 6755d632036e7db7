/* Words that somebody mistyped. */
#include "base/words.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

static const char *near(const char *word)
{
    static const char *const known[] = {"import", "scan", "trades", "hammer", "candle_low", "doji"};
    return nearest_word(word, known, sizeof known / sizeof known[0]);
}

/* One insertion, deletion, change and swap: the four edits of Damerau 1964,
 * which he found behind four in five misspellings. */
static void each_kind_of_slip_is_recognised(void **state)
{
    (void)state;
    assert_string_equal(near("imort"), "import");
    assert_string_equal(near("immport"), "import");
    assert_string_equal(near("inport"), "import");
    assert_string_equal(near("scna"), "scan");
    assert_string_equal(near("candle-low"), "candle_low");
    assert_string_equal(near("hammer"), "hammer");
}

static void other_words_are_left_alone(void **state)
{
    (void)state;
    assert_null(near("xyzzy"));
    assert_null(near(""));
    assert_null(near("sc"));
    assert_null(near("scram")); /* two edits in five letters */
    assert_null(nearest_word("scan", NULL, 0));
    char longest[200];
    memset(longest, 'a', sizeof longest);
    longest[sizeof longest - 1] = '\0';
    assert_null(near(longest));
    const char *const known[] = {longest, "bars"};
    assert_string_equal(nearest_word("bar", known, 2), "bars");
}

static void the_first_of_equals_wins(void **state)
{
    (void)state;
    const char *const known[] = {"rsi_above", "rsi_below", "rsi_abode"};
    assert_string_equal(nearest_word("rsi_abose", known, 3), "rsi_above");
    const char *const turned[] = {"rsi_abode", "rsi_above"};
    assert_string_equal(nearest_word("rsi_abose", turned, 2), "rsi_abode");
}

/* A third of the longer word's letters: "kitten" and "sitting", the usual
 * pair, are three edits apart (Levenshtein 1966), too far for seven letters. */
static void near_is_a_third_of_the_letters(void **state)
{
    (void)state;
    const char *const known[] = {"sitting"};
    assert_null(nearest_word("kitten", known, 1));
    assert_string_equal(nearest_word("kitting", known, 1), "sitting");
    const char *const longer[] = {"sittings here"};
    assert_string_equal(nearest_word("kittens hare", longer, 1), "sittings here");
}

static void a_word_is_counted(void **state)
{
    (void)state;
    assert_string_equal(count_word(0, "trade", "trades"), "trades");
    assert_string_equal(count_word(1, "trade", "trades"), "trade");
    assert_string_equal(count_word(2, "trade", "trades"), "trades");
    assert_string_equal(count_word(UINT64_MAX, "trade", "trades"), "trades");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_kind_of_slip_is_recognised),
        cmocka_unit_test(other_words_are_left_alone),
        cmocka_unit_test(the_first_of_equals_wins),
        cmocka_unit_test(a_word_is_counted),
        cmocka_unit_test(near_is_a_third_of_the_letters),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
