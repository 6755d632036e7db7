/* What a person says of a plan, by a clock that is handed in: what is kept, what is refused
 * (docs/method.md 9.17), the R that is reckoned, and what was known as of a day. */
#define _DEFAULT_SOURCE /* mkdtemp */
#include "base/calendar.h"
#include "book/import.h"
#include "work/plan.h"
#include "work/plan_follow.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

/* Monday 2021-03-01; daily bars of five days. */
enum { FIRST_DAY = 18687 };

/* Bought at 102 on the fourth day, with the stop at 99. */
static const char *const rows[] = {"100,101,99,100", "100,101,99,100", "100,101,99,100",
                                   "101,103,100.5,102.5", "102,104,101,103.5"};

static char folder[64], path[128];

/* At 20:00 of the n-th day. */
static int64_t evening(int day)
{
    return (FIRST_DAY + day - 1) * (int64_t)SECONDS_PER_DAY + 20 * 3600;
}

static void import_days(int first, int last)
{
    char prices[128], date[CALENDAR_TEXT_SIZE];
    struct import_options options = {.instrument = "reed",
                                     .tick = 0.01,
                                     .whole = true,
                                     .now = evening(last)};
    struct import_result result;
    struct book *book;
    struct error error;
    snprintf(prices, sizeof prices, "%s/reed.csv", folder);
    FILE *out = fopen(prices, "w");
    assert_non_null(out);
    fputs("date,open,high,low,close\n", out);
    for (int day = first; day <= last; day++) {
        time_format(date, evening(day), true);
        fprintf(out, "%s,%s\n", date, rows[day - 1]);
    }
    fclose(out);
    assert_int_equal(book_open(&book, path, BOOK_WRITE, 10, &error), 0);
    if (import_file(book, prices, &options, &(struct import_watch){0}, &result, &error) != 0)
        fail_msg("%s", error.text);
    assert_int_equal(book_close(book, &error), 0);
}

static struct work *open_work(int64_t now, int64_t as_of)
{
    static const struct voice silent;
    struct wishes wishes;
    struct work *work;
    struct error error;
    wishes_init(&wishes);
    wishes.book = path;
    wishes.now = now;
    wishes.as_of = as_of;
    if (work_open(&work, &wishes, &silent, &error) != 0)
        fail_msg("%s", error.text);
    return work;
}

static int say_wish(int64_t now, const struct plan_word_wish *wish, struct error *error)
{
    struct notices notices = {0};
    struct error closing;
    struct work *work = open_work(now, INT64_MAX);
    int code = plan_say(work, &notices, wish, error);
    notices_free(&notices);
    work_close(work, ERROR_NONE, &closing);
    return code;
}

static int say(int64_t now, enum plan_step_kind kind, const char *price, int64_t date,
               bool corrects, struct error *error)
{
    const struct plan_word_wish wish = {.number = "1",
                                        .kind = kind,
                                        .price = price,
                                        .at = date,
                                        .at_is_date = true,
                                        .corrects = corrects};
    return say_wish(now, &wish, error);
}

static void said(int64_t now, enum plan_step_kind kind, const char *price)
{
    struct error error;
    if (say(now, kind, price, INT64_MIN, false, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
}

static void corrected(int64_t now, enum plan_step_kind kind, const char *price)
{
    struct error error;
    if (say(now, kind, price, INT64_MIN, true, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
}

static void nothing_to_correct(int64_t now, enum plan_step_kind kind, const char *price)
{
    struct error error;
    assert_int_equal(say(now, kind, price, INT64_MIN, true, &error), ERROR_INPUT);
    assert_non_null(strstr(error.text, "nothing to correct"));
}

/* It says so, and why. */
static void refused(int64_t now, enum plan_step_kind kind, const char *price, int64_t at,
                    const char *why)
{
    struct error error;
    assert_int_equal(say(now, kind, price, at, false, &error), ERROR_INPUT);
    if (strstr(error.text, why) == NULL)
        fail_msg("'%s' does not say '%s'", error.text, why);
}

/* The plan as it is then, or as of a day: its state and R, and how many steps are known. */
static void shown(int64_t now, int64_t as_of, enum plan_state state, double r, size_t steps)
{
    struct notices notices = {0};
    struct error error;
    struct plan_case one;
    struct work *work = open_work(now, as_of);
    if (plan_case_open(work, &notices, "1", &one, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    assert_int_equal(one.followed.state, state);
    assert_int_equal(one.step_count, steps);
    assert_true(isnan(r) ? isnan(one.followed.trade.r) : fabs(one.followed.trade.r - r) < 1e-9);
    plan_case_close(&one);
    notices_free(&notices);
    work_close(work, ERROR_NONE, &error);
}

/* An account, three bars, and a plan made on the evening of the third. */
static int make(void **state)
{
    static const char *const texts[TERM_COUNT] = {[TERM_RISK] = "1%"};
    static const char *const labels[TERM_COUNT] = {NULL};
    const struct account_movement movement = {MOVED_IN, "10000", INT64_MIN, NULL};
    const struct plan_wish wish = {.word = "reed",
                                   .account = "own",
                                   .entry = "102",
                                   .stop = "99",
                                   .reason = "a test",
                                   .taken = true};
    struct plan_made *made = calloc(1, sizeof *made);
    struct notices notices = {0};
    struct error error;
    (void)state;
    strcpy(folder, "/tmp/rushlight-say-XXXXXX");
    if (made == NULL || mkdtemp(folder) == NULL)
        return -1;
    snprintf(path, sizeof path, "%s/book.sqlite", folder);
    import_days(1, 3);
    struct work *work = open_work(evening(3), INT64_MAX);
    if (account_make(work, "own", "EUR", &error) != 0 ||
        account_move(work, "own", &movement, &error) != 0 ||
        account_set_terms(work, "own", texts, labels, &error) != 0 ||
        plan_look(work, &notices, &wish, made, &error) != 0 ||
        plan_keep(work, &wish, made, &error) != 0) {
        print_error("%s\n", error.text);
        return -1;
    }
    plan_made_clear(made);
    free(made);
    notices_free(&notices);
    return work_close(work, ERROR_NONE, &error);
}

static int drop(void **state)
{
    char command[128];
    (void)state;
    snprintf(command, sizeof command, "rm -rf %s", folder);
    return system(command);
}

static void each_word_is_kept_where_it_can_be(void **state)
{
    int64_t date = FIRST_DAY * (int64_t)SECONDS_PER_DAY;
    (void)state;
    refused(evening(3), STEP_MOVED_STOP, "100", INT64_MIN, "is waiting");
    refused(evening(3), STEP_CLOSED, "100", INT64_MIN, "is waiting");
    refused(evening(3), STEP_FILLED, "102", date + 2 * SECONDS_PER_DAY, "no later than the bar");
    said(evening(3), STEP_PLACED, NULL);
    refused(evening(3), STEP_PLACED, NULL, INT64_MIN, "is waiting and placed");
    import_days(4, 4);
    shown(evening(4), INT64_MAX, PLAN_IN_TRADE, NAN, 1);
    refused(evening(4), STEP_WITHDRAWN, NULL, INT64_MIN, "is in trade");
    refused(evening(4), STEP_MOVED_STOP, "102.5", INT64_MIN, "has reached");
    refused(evening(4), STEP_MOVED_TARGET, "102", INT64_MIN, "has reached");
    refused(evening(4), STEP_MOVED_STOP, "100.005", INT64_MIN, "tick");
    refused(evening(4), STEP_FILLED, "99", date + 3 * SECONDS_PER_DAY, "beyond its stop");
    refused(evening(4), STEP_CLOSED, "102", date + 5 * SECONDS_PER_DAY, "still to come");
    said(evening(4), STEP_MOVED_STOP, "101.5");
    /* Closed the next day, before its bar is there: 103 less 102 over 3. */
    said(evening(5) - 8 * 3600, STEP_CLOSED, "103");
    shown(evening(5), INT64_MAX, PLAN_DONE, 1 / 3.0, 3);
    refused(evening(5), STEP_MOVED_STOP, "102", INT64_MIN, "is done");
    refused(evening(5), STEP_LAPSED, NULL, INT64_MIN, "is done");
    /* Put right: it was 103.5. The rules alone are still in trade. */
    import_days(5, 5);
    refused(evening(5), STEP_CLOSED, "103.5", INT64_MIN, "said to be closed before");
    corrected(evening(5), STEP_CLOSED, "103.5");
    shown(evening(5), INT64_MAX, PLAN_DONE, 0.5, 4);
    /* A fill that nobody told of has none to correct. */
    nothing_to_correct(evening(5), STEP_FILLED, "102.5");
    /* As of the days before, with what was said by then. */
    shown(evening(5), date + 3 * SECONDS_PER_DAY, PLAN_IN_TRADE, NAN, 2);
    shown(evening(5), date + 2 * SECONDS_PER_DAY, PLAN_WAITING, NAN, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_word_is_kept_where_it_can_be),
    };
    return cmocka_run_group_tests(tests, make, drop);
}
