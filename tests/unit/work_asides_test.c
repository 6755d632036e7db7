/* Instruments set aside: each is said once a work, however many setups meet it. */
#include "work/asides.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

enum { INSTRUMENTS = 10000, SETUPS = 27, SAID_LIMIT = INSTRUMENTS + 1 };
static char said[SAID_LIMIT][48];
static size_t said_count;

static void keep(void *context, const struct error *reason)
{
    (void)context;
    assert_true(said_count < SAID_LIMIT);
    snprintf(said[said_count++], sizeof said[0], "%.47s", reason->text);
}

static struct work *open_work(void)
{
    struct work *work;
    struct wishes wishes;
    struct error error;
    const struct voice voice = {.aside = keep};
    said_count = 0;
    wishes_init(&wishes);
    assert_int_equal(work_open(&work, &wishes, &voice, &error), ERROR_NONE);
    return work;
}

static void shut(struct work *work)
{
    struct error error;
    assert_int_equal(work_close(work, ERROR_NONE, &error), ERROR_NONE);
}

static void set_aside(struct asides *asides, const char *word, const char *why)
{
    struct error reason, error;
    error_set(&reason, ERROR_INPUT, "%s", why);
    assert_int_equal(asides_add(asides, word, &reason, &error), ERROR_NONE);
}

/* Each in the order in which it is met first; which is not that of their names. */
static void says_each_once(void **state)
{
    (void)state;
    struct work *work = open_work();
    for (int setup = 0; setup < SETUPS; setup++) {
        struct asides asides = {.opened = 1};
        struct error error;
        for (int i = 0; i < INSTRUMENTS; i++) {
            char name[16];
            snprintf(name, sizeof name, "m%d", (i * 7919 + setup) % INSTRUMENTS);
            set_aside(&asides, name, "there are no bars of it");
        }
        assert_int_equal(asides_end(&asides, work, ERROR_NONE, &error), ERROR_NONE);
        assert_int_equal(said_count, INSTRUMENTS);
    }
    for (int i = 0; i < INSTRUMENTS; i++) {
        char line[48];
        snprintf(line, sizeof line, "m%d: there are no bars of it", i * 7919 % INSTRUMENTS);
        assert_string_equal(said[i], line);
    }
    shut(work);
}

/* What is part of a line that was said, at its beginning, within it or at its end, is a
 * line of its own; so is another reason of the same instrument. Another work begins anew. */
static void takes_no_part_for_a_line(void **state)
{
    static const char *const lines[][2] = {{"reed bed", "no bars of it"},
                                           {"bed", "no bars of it"},
                                           {"reed bed", "no bars"},
                                           {"bed", "no bars"},
                                           {"reed bed", "no bars of it"}};
    (void)state;
    for (int again = 0; again < 2; again++) {
        struct work *work = open_work();
        for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
            struct asides asides = {.opened = 1};
            struct error error;
            set_aside(&asides, lines[i][0], lines[i][1]);
            assert_int_equal(asides_end(&asides, work, ERROR_NONE, &error), ERROR_NONE);
        }
        assert_int_equal(said_count, 4);
        assert_string_equal(said[0], "reed bed: no bars of it");
        assert_string_equal(said[3], "bed: no bars");
        shut(work);
    }
}

/* Where none could be opened the first is the error, and none is said. */
static void fails_where_none_could_be_opened(void **state)
{
    struct asides asides = {0};
    struct error error;
    (void)state;
    struct work *work = open_work();
    set_aside(&asides, "reed", "no bars of it");
    set_aside(&asides, "bed", "no bars");
    assert_int_equal(asides_end(&asides, work, ERROR_NONE, &error), ERROR_INPUT);
    assert_string_equal(error.text, "no bars of it");
    assert_int_equal(said_count, 0);
    shut(work);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(says_each_once),
        cmocka_unit_test(takes_no_part_for_a_line),
        cmocka_unit_test(fails_where_none_could_be_opened),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
