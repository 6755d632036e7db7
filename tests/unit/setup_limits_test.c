/* Limits of a setup's lists: the last that is allowed is read, checked and
 * listed; one more is refused, never left out in silence. */
#include "setup/checklist.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>

#include <cmocka.h>

#include "sample.h"

enum { ROOM = 4000 };

static void append_conditions(char *text, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        size_t used = strlen(text);
        snprintf(text + used, ROOM - used, "%slowest_low: {bars: %zu}", i > 0 ? ", " : "", i + 1);
    }
}

static int read_lists(struct setup *setup, size_t place, size_t confirm, struct error *error)
{
    char text[ROOM] = "setup: long-lists\nside: long\ncandle: {shape: inverted-hammer}\nplace: [";
    append_conditions(text, place);
    strcat(text, "]\nconfirm: {at_least: 1, of: [");
    append_conditions(text, confirm);
    strcat(text, "]}\nentry: {on: next_open}\nstop: {at: candle_low}\nexit: {time_stop: 1}\n");
    return setup_read(setup, "test", text, strlen(text), error);
}

static void test_the_longest_lists_are_read_whole(void **state)
{
    struct setup setup;
    struct setup_view view;
    struct checklist checklist;
    struct error error = {0};
    struct bars bars;
    (void)state;
    assert_int_equal(read_lists(&setup, PLACE_LIMIT, CONFIRM_LIMIT, &error), ERROR_NONE);
    bars_of_fixture(&bars);
    struct sheet *sheet = sheet_new(&bars, NULL);
    assert_int_equal(setup_view_init(&view, &setup, sheet, NULL, &error), ERROR_NONE);
    struct candle candle = candle_of_bar(&view, 50);
    checklist_read(&view, &candle, 50, &checklist);
    size_t place = 0;
    size_t confirm = 0;
    for (size_t i = 0; i < checklist.count; i++) {
        place += checklist.list[i].section == CHECK_PLACE;
        confirm += checklist.list[i].section == CHECK_CONFIRM;
    }
    assert_int_equal(place, PLACE_LIMIT);
    assert_int_equal(confirm, CONFIRM_LIMIT);
    sheet_free(sheet);
    setup_free(&setup);
    bars_free(&bars);
}

static void test_one_more_is_refused(void **state)
{
    struct setup setup;
    struct error error = {0};
    (void)state;
    assert_int_equal(read_lists(&setup, PLACE_LIMIT + 1, 1, &error), ERROR_INPUT);
    assert_non_null(strstr(error.text, "place: found 33 conditions; at most 32 are allowed"));
    assert_int_equal(read_lists(&setup, 1, CONFIRM_LIMIT + 1, &error), ERROR_INPUT);
    assert_non_null(strstr(error.text, "confirm: of: found 17 conditions; at most 16 are allowed"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_longest_lists_are_read_whole),
        cmocka_unit_test(test_one_more_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
