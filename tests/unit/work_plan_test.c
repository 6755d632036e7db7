/* Plans kept beside what another one puts into the same book meanwhile, words for a breach
 * (docs/method.md 9.11), and what holds a size down. The sums are worked out by hand. */
#define _DEFAULT_SOURCE /* mkdtemp */
#include "base/calendar.h"
#include "book/import.h"
#include "work/plan.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { FIRST_DAY = 18628 /* 2021-01-01 */, DAYS = 20 };
static const int64_t now = (FIRST_DAY + 30) * SECONDS_PER_DAY;

static char folder[64], path[128];

static struct work *open_work(void)
{
    static const struct voice silent;
    struct wishes wishes;
    struct work *work;
    struct error error;
    wishes_init(&wishes);
    wishes.book = path;
    wishes.now = now;
    if (work_open(&work, &wishes, &silent, &error) != 0)
        fail_msg("%s", error.text);
    return work;
}

static void done(struct work *work)
{
    struct error error;
    assert_int_equal(work_close(work, ERROR_NONE, &error), 0);
}

/* Twenty bars that all close at this price. */
static void import_closes(const char *name, double tick, const char *close)
{
    char prices[128], date[CALENDAR_TEXT_SIZE];
    struct import_options options = {.instrument = name, .tick = tick, .now = now};
    struct import_result result;
    struct book *book;
    struct error error;
    snprintf(prices, sizeof prices, "%s/%s.csv", folder, name);
    FILE *out = fopen(prices, "w");
    assert_non_null(out);
    fputs("date,open,high,low,close\n", out);
    for (int day = 0; day < DAYS; day++) {
        time_format(date, (FIRST_DAY + day) * SECONDS_PER_DAY, true);
        fprintf(out, "%s,%s,%s,%s,%s\n", date, close, close, close, close);
    }
    fclose(out);
    assert_int_equal(book_open(&book, path, BOOK_WRITE, 10, &error), 0);
    if (import_file(book, prices, &options, &(struct import_watch){0}, &result, &error) != 0)
        fail_msg("%s", error.text);
    assert_int_equal(book_close(book, &error), 0);
}

/* An account with 10,000 euros of these terms; "" leaves one unset. */
static void make_account(const char *name, const char *money, const char *open_risk,
                         const char *leverage, const char *day_trades)
{
    const char *const texts[TERM_COUNT] = {[TERM_RISK] = "1%",
                                           [TERM_OPEN_RISK] = open_risk,
                                           [TERM_LEVERAGE] = leverage,
                                           [TERM_DAY_TRADES] = day_trades};
    const char *const labels[TERM_COUNT] = {NULL};
    const struct account_movement movement = {MOVED_IN, money, INT64_MIN, NULL};
    struct error error;
    struct work *work = open_work();
    assert_int_equal(account_make(work, name, "EUR", &error), 0);
    if (account_move(work, name, &movement, &error) != 0 ||
        account_set_terms(work, name, texts, labels, &error) != 0)
        fail_msg("%s", error.text);
    done(work);
}

static int make(void **state)
{
    (void)state;
    strcpy(folder, "/tmp/rushlight-plan-XXXXXX");
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/book.sqlite", folder);
    import_closes("marsh", 0.01, "95");
    import_closes("mote", 0, "1e-40");
    return 0;
}

static int drop(void **state)
{
    char command[128];
    (void)state;
    snprintf(command, sizeof command, "rm -rf %s", folder);
    return system(command);
}

/* Bought at 100 with the stop at 99: 1 euro a unit, and 100 may be lost. */
static struct plan_wish wish_of(const char *account)
{
    return (struct plan_wish){.word = "marsh",
                              .account = account,
                              .entry = "100",
                              .stop = "99",
                              .reason = "a test",
                              .taken = true};
}

static int look(struct work *work, const struct plan_wish *wish, struct plan_made *made,
                struct error *error)
{
    struct notices notices = {0};
    int code = plan_look(work, &notices, wish, made, error);
    notices_free(&notices);
    return code;
}

/* What taking it comes to: ERROR_NONE, or the error with the text that it says. */
static int take(const struct plan_wish *wish, struct plan_made *made, const char *says)
{
    struct error error = {0};
    struct work *work = open_work();
    int code = look(work, wish, made, &error);
    if (code == ERROR_NONE)
        code = plan_keep(work, wish, made, &error);
    done(work);
    if (code != ERROR_NONE && (says == NULL || strstr(error.text, says) == NULL))
        fail_msg("'%s' does not say '%s'", error.text, says != NULL ? says : "nothing");
    return code;
}

static void limits_hold_beside_what_came_meanwhile(void **state)
{
    (void)state;
    make_account("two", "10000", "1.5", "", "");
    static struct plan_made first, second;
    struct plan_wish wish = wish_of("two");
    struct error error = {0};
    struct work *one = open_work();
    struct work *other = open_work();
    /* Each risks 100, 1 % of the balance; both looked before either was kept. */
    assert_int_equal(look(one, &wish, &first, &error), 0);
    assert_int_equal(look(other, &wish, &second, &error), 0);
    assert_int_equal(first.breach_count + second.breach_count, 0);
    assert_int_equal(plan_keep(one, &wish, &first, &error), 0);
    assert_int_equal(plan_keep(other, &wish, &second, &error), ERROR_INPUT);
    assert_int_equal(error.reason, ERROR_REASON_LIMIT);
    assert_non_null(strstr(error.text, "the open risk would be 2 %, and the limit is 1.5 %"));
    done(one);
    done(other);
}

static void a_word_for_a_breach_is_a_word(void **state)
{
    (void)state;
    make_account("words", "10000", "", "", "1");
    static struct plan_made made;
    char longest[PLAN_REASON_SIZE], longer[PLAN_REASON_SIZE + 1];
    memset(longest, 'x', sizeof longest - 1);
    memset(longer, 'x', sizeof longer - 1);
    longest[sizeof longest - 1] = longer[sizeof longer - 1] = '\0';
    struct plan_wish wish = wish_of("words");
    wish.breach = "never mind";
    assert_int_equal(take(&wish, &made, "'never mind', and the plan breaks no limit"), ERROR_INPUT);
    wish.breach = NULL;
    assert_int_equal(take(&wish, &made, NULL), 0);
    assert_int_equal(take(&wish, &made, "today's trades would be 2"), ERROR_INPUT);
    wish.breach = "";
    assert_int_equal(take(&wish, &made, "breach: found ''; one line of 1 to"), ERROR_INPUT);
    wish.breach = longer;
    assert_int_equal(take(&wish, &made, "xxx' and more; one line of 1 to 299"), ERROR_INPUT);
    wish.breach = longest;
    wish.reason = longest;
    assert_int_equal(take(&wish, &made, NULL), 0);
    assert_non_null(strstr(made.plan.breach, longest));
    assert_non_null(strstr(made.plan.breach, "and the limit is 1: x"));
}

/* The size of the plan of this wish, and how many limits it breaks. */
static void sized(const struct plan_wish *wish, const char *size, size_t breaches)
{
    static struct plan_made made;
    struct error error;
    struct work *work = open_work();
    if (look(work, wish, &made, &error) != 0)
        fail_msg("%s", error.text);
    assert_string_equal(made.plan.size, size);
    assert_int_equal(made.breach_count, breaches);
    done(work);
}

static void a_word_lifts_only_what_it_is_for(void **state)
{
    (void)state;
    static struct plan_made made;
    make_account("held", "10000", "1.5", "", "2");
    struct plan_wish wish = wish_of("held");
    assert_int_equal(take(&wish, &made, NULL), 0);
    /* 1.5 % less the 1 % that is open is 50; with a word for it, 100 again. */
    sized(&wish, "50", 0);
    wish.breach = "larger, just once";
    sized(&wish, "100", 1);
    wish.breach = NULL;
    wish.risk = "10";
    assert_int_equal(take(&wish, &made, NULL), 0);
    /* A third trade today: the word is for that, and 40 are left. */
    wish.risk = NULL;
    wish.breach = "one more";
    sized(&wish, "40", 1);
}

static void the_leverage_of_the_account_holds(void **state)
{
    (void)state;
    /* Half of 10,000 over 100; else 100 of 1 euro each. */
    make_account("half", "10000", "", "0.5", "");
    struct plan_wish wish = wish_of("half");
    sized(&wish, "50", 0);
    wish.breach = "larger, just once";
    sized(&wish, "100", 1);
}

static void a_plan_needs_a_balance(void **state)
{
    (void)state;
    static struct plan_made made;
    make_account("empty", "1", "5", "3", "");
    const struct account_movement out = {MOVED_OUT, "2", INT64_MIN, NULL};
    struct error error;
    struct work *work = open_work();
    assert_int_equal(account_move(work, "empty", &out, &error), 0);
    done(work);
    struct plan_wish wish = wish_of("empty");
    assert_int_equal(take(&wish, &made, "its balance is -1.00 EUR"), ERROR_INPUT);
    wish.risk = "10";
    assert_int_equal(take(&wish, &made, "its balance is -1.00 EUR"), ERROR_INPUT);
    wish.taken = false;
    assert_int_equal(take(&wish, &made, NULL), 0);
    assert_int_equal(made.plan.state, PLAN_PASSED);
    wish.risk = NULL;
    assert_int_equal(take(&wish, &made, "a risk that is a share of it"), ERROR_INPUT);
}

/* What is typed for such a plan by hand. */
static void typed(const struct plan_wish *wish, const char *expected)
{
    static struct plan_made made;
    struct error error;
    struct work *work = open_work();
    if (look(work, wish, &made, &error) != 0)
        fail_msg("%s", error.text);
    if (strncmp(made.plan.lines, expected, strlen(expected)) != 0)
        fail_msg("'%s' does not begin with '%s'", made.plan.lines, expected);
    done(work);
}

/* docs/method.md 9.13 */
static void orders_by_hand_are_at_their_price(void **state)
{
    (void)state;
    make_account("hand", "10000", "", "", "");
    struct plan_wish wish = wish_of("hand");
    typed(&wish, "buy stop 100 at 100.00; once");
    wish.entry = "90", wish.stop = "89";
    typed(&wish, "buy limit 100 at 90.00; once");
    wish.stop = "91";
    typed(&wish, "sell stop 100 at 90.00; once");
    wish.entry = "95", wish.stop = "94";
    typed(&wish, "buy limit 100 at 95.00; once");
    wish.stop = "96";
    typed(&wish, "sell limit 100 at 95.00; once");
    /* A close that no fraction holds. */
    wish.word = "mote";
    typed(&wish,
          "sell 100 at 95 (a stop order while the market is above it, a limit order while it is "
          "below)");
}

static void a_target_by_hand_is_beyond_the_entry_on_the_tick(void **state)
{
    (void)state;
    static struct plan_made made;
    make_account("target", "10000", "", "", "");
    struct plan_wish wish = wish_of("target");
    wish.target = "102.001";
    assert_int_equal(take(&wish, &made, NULL), 0);
    assert_string_equal(made.plan.target, "102.01");
    assert_true(fraction_compare(made.reward_r, fraction_of(201, 100)) == 0);
    wish.stop = "101", wish.target = "97.999";
    assert_int_equal(take(&wish, &made, NULL), 0);
    assert_string_equal(made.plan.target, "97.99");
    /* The entry goes up to 100.01, and so does the target. */
    wish.entry = "100.001", wish.stop = "99", wish.target = "100.004";
    assert_int_equal(take(&wish, &made, "a price above the entry"), ERROR_INPUT);
    wish.stop = "101", wish.target = "100.5";
    assert_int_equal(take(&wish, &made, "a price below the entry"), ERROR_INPUT);
    wish.stop = "100.001", wish.target = "102";
    assert_int_equal(take(&wish, &made, "entry and stop are the same price"), ERROR_INPUT);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(limits_hold_beside_what_came_meanwhile),
        cmocka_unit_test(a_word_for_a_breach_is_a_word),
        cmocka_unit_test(a_word_lifts_only_what_it_is_for),
        cmocka_unit_test(the_leverage_of_the_account_holds),
        cmocka_unit_test(a_plan_needs_a_balance),
        cmocka_unit_test(orders_by_hand_are_at_their_price),
        cmocka_unit_test(a_target_by_hand_is_beyond_the_entry_on_the_tick),
    };
    return cmocka_run_group_tests(tests, make, drop);
}
