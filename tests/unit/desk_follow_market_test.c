/* Every signal of every shipped setup on the demo market, made a plan and followed: bar by
 * bar, and in twenty seeded splits of the bars into updates, by a person who types what he
 * is told and says so. Each time only the bars known by then are there, adjusted as seen
 * from the newest. It ends in exactly the trade that the simulation of all bars reports,
 * and nothing that was told before is told otherwise later. */
#define _DEFAULT_SOURCE /* scandir */
#include "base/array.h"
#include "base/calendar.h"
#include "base/random.h"
#include "desk/follow.h"
#include "market/adjust.h"
#include "trade/plan.h"

#include <dirent.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "demo_sample.h"

/* The first way has every bar; of the others each takes one in four. */
enum { WAYS = 21, STEPS = 128, ACTIONS = 64 };
static const uint64_t seed = 20261128;

static struct {
    size_t signals;
    size_t trades;
    size_t follows;
    size_t moves;
    size_t rescaled;
    size_t dividends;
} counted;

/* One plan, as one of the ways has it. */
struct way {
    struct plan plan;
    struct plan_step steps[STEPS];
    size_t step_count;
    struct trade_path path; /* at the last update, with prices of that day */
    size_t entry_bar;       /* SIZE_MAX: not filled by then */
    bool over;
};

struct case_of_signal {
    struct signal signal;
    struct plan_rule rule;
    struct way ways[WAYS];
};

/* A market seen from the day of its last bar. */
struct seen {
    struct bars bars;
    bool adjusted; /* and so its own */
    struct sheet *sheet;
    struct setup_view view;
    struct trade_terms terms;
    struct cash_flow flows[ACTIONS];
};

static size_t actions_of(const struct demo_series *series, struct action actions[ACTIONS])
{
    size_t count = 0;
    for (size_t i = 0; i < series->event_count; i++) {
        const struct demo_event *event = &series->events[i];
        if (event->kind > DEMO_ROLL)
            continue;
        assert_true(count < ACTIONS);
        actions[count++] = (struct action){event->day * SECONDS_PER_DAY,
                                           event->kind == DEMO_SPLIT      ? ACTION_SPLIT
                                           : event->kind == DEMO_DIVIDEND ? ACTION_DIVIDEND
                                                                          : ACTION_ROLL,
                                           event->value};
    }
    return count;
}

static void look(struct seen *seen, struct demo_series *series, const struct bars *all_bars,
                 const struct setup *setup, size_t count)
{
    struct action actions[ACTIONS];
    struct error error;
    size_t action_count = actions_of(series, actions);
    memset(seen, 0, sizeof *seen);
    int64_t last = all_bars->time[count - 1];
    for (size_t i = 0; i < action_count; i++)
        seen->adjusted = seen->adjusted || action_counts(&actions[i], ADJUST_SPLITS, last);
    seen->bars = bars_window(all_bars, 0, count);
    if (seen->adjusted) {
        assert_int_equal(bars_slice(&seen->bars, all_bars, 0, count, &error), 0);
        assert_int_equal(bars_adjust(&seen->bars, actions, action_count, ADJUST_SPLITS, last,
                                     &error),
                         0);
    }
    seen->terms = (struct trade_terms){.tick = series->instrument.tick,
                                       .point_value = series->instrument.point_value,
                                       .costs = &series->instrument.costs,
                                       .flows = seen->flows};
    for (size_t i = 0; i < action_count; i++)
        if (actions[i].kind == ACTION_DIVIDEND && actions[i].date <= last)
            seen->flows[seen->terms.flow_count++] = (struct cash_flow){actions[i].date,
                                                                       actions[i].value};
    seen->sheet = sheet_of_instrument(&seen->bars, &series->instrument);
    assert_non_null(seen->sheet);
    assert_int_equal(setup_view_init(&seen->view, setup, seen->sheet, NULL, &error), 0);
}

static void look_away(struct seen *seen)
{
    sheet_free(seen->sheet);
    if (seen->adjusted)
        bars_free(&seen->bars);
}

/* --- a person --------------------------------------------------------------------------------- */

static void write_price(char text[PLAN_DECIMAL_SIZE], double price)
{
    fraction_format(text, fraction_of_number(price), 0, FRACTION_PLACES);
}

/* On the day of the signal, with nothing later known. */
static void make_plan(struct case_of_signal *one, const struct seen *seen)
{
    static const struct planned_lines unmoved = {NAN, NAN, NAN};
    struct planned_orders orders;
    trade_plan(&seen->view, &seen->terms, &one->signal, &unmoved, &orders);
    one->rule = (struct plan_rule){.text = (char *)"a setup",
                                   .signal = seen->bars.time[one->signal.at],
                                   .candle = seen->bars.time[one->signal.candle.at],
                                   .choice = one->signal.candle.choice};
    for (size_t w = 0; w < WAYS; w++) {
        struct way *way = &one->ways[w];
        *way = (struct way){.plan = {.state = PLAN_WAITING,
                                     .taken = true,
                                     .is_short = seen->view.setup->side == SIDE_SHORT},
                            .entry_bar = SIZE_MAX};
        write_price(way->plan.entry, orders.entry);
        write_price(way->plan.stop, orders.stop);
        write_price(way->plan.target, orders.target);
    }
}

static void say(struct way *way, enum plan_step_kind kind, int64_t at, double price)
{
    struct plan_step *step = &way->steps[way->step_count++];
    assert_true(way->step_count < STEPS);
    *step = (struct plan_step){.kind = kind, .at = at};
    write_price(step->price, price);
    plan_step_take(&way->plan, step);
}

/* Types what he is told and says so; the last of several targets is the nearest, so that it
 * is said once. */
static void obey(struct way *way, const struct followed *followed, int64_t newest)
{
    for (size_t i = 0; i < followed->task_count; i++) {
        const struct plan_task *task = &followed->tasks[i];
        counted.moves += task->kind == TASK_MOVE_STOP || task->kind == TASK_MOVE_TARGET;
        if ((task->kind == TASK_PLACE || task->kind == TASK_SAY_PLACED) && !way->plan.placed)
            say(way, STEP_PLACED, INT64_MIN, NAN);
        else if (task->kind == TASK_MOVE_STOP)
            say(way, STEP_MOVED_STOP, newest, task->price);
        else if (task->kind == TASK_MOVE_TARGET)
            say(way, STEP_MOVED_TARGET, newest, task->price);
    }
}

/* --- what is told ------------------------------------------------------------------------------- */

static void follow(const struct case_of_signal *one, const struct way *way, const struct seen *seen,
                   struct followed *followed)
{
    struct error error;
    const struct follow_question question = {.plan = &way->plan,
                                             .rule = &one->rule,
                                             .view = &seen->view,
                                             .terms = &seen->terms,
                                             .steps = way->steps,
                                             .step_count = way->step_count};
    assert_int_equal(plan_follow(&question, followed, &error), 0);
    assert_true(followed->known);
    counted.follows++;
}

/* What happened before stays: the same bars, reasons and shares; prices may have been
 * adjusted since. */
static void check_past(const struct way *way, const struct followed *followed)
{
    if (way->entry_bar != SIZE_MAX)
        assert_int_equal(followed->trade.entry_bar, way->entry_bar);
    assert_true(followed->path.count >= way->path.count);
    for (size_t i = 0; i < way->path.count; i++) {
        const struct trade_step *then = &way->path.steps[i];
        const struct trade_step *now = &followed->path.steps[i];
        assert_int_equal(now->bar, then->bar);
        assert_int_equal(now->reason, then->reason);
        assert_true(now->share == then->share);
        assert_true(followed->rescaled || now->price == then->price);
    }
}

/* Once he has said what he did there is nothing left but what the coming bar decides. */
static void check_done(const struct case_of_signal *one, const struct way *way,
                       const struct seen *seen)
{
    struct followed followed;
    follow(one, way, seen, &followed);
    for (size_t i = 0; i < followed.task_count; i++) {
        enum task_kind kind = followed.tasks[i].kind;
        assert_true(kind != TASK_MOVE_STOP && kind != TASK_MOVE_TARGET &&
                    kind != TASK_PLACE_TARGET && kind != TASK_SAY_PLACED);
        assert_true(kind != TASK_PLACE || isnan(followed.tasks[i].price));
    }
}

static bool ended(enum plan_state state)
{
    return state == PLAN_DONE || state == PLAN_LAPSED;
}

static void update(const struct case_of_signal *one, struct way *way, const struct seen *seen)
{
    struct followed followed;
    follow(one, way, seen, &followed);
    check_past(way, &followed);
    counted.rescaled += followed.rescaled;
    if (trade_filled(followed.trade.reason))
        way->entry_bar = followed.trade.entry_bar;
    way->path = followed.path;
    way->over = ended(followed.state);
    obey(way, &followed, seen->bars.time[seen->bars.count - 1]);
    if (!way->over)
        check_done(one, way, seen);
}

/* --- against the trades --------------------------------------------------------------------------- */

static bool same_number(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static void assert_same(const struct trade *a, const struct trade *b)
{
    assert_int_equal(a->reason, b->reason);
    assert_string_equal(a->note, b->note);
    assert_int_equal(a->entry_bar, b->entry_bar);
    assert_int_equal(a->exit_bar, b->exit_bar);
    assert_int_equal(a->exits, b->exits);
    assert_int_equal(a->same_bar, b->same_bar);
    assert_true(same_number(a->entry, b->entry) && same_number(a->stop, b->stop));
    assert_true(same_number(a->target, b->target) && same_number(a->exit, b->exit));
    assert_true(same_number(a->r, b->r) && same_number(a->risk, b->risk));
    assert_true(same_number(a->mae_r, b->mae_r) && same_number(a->mfe_r, b->mfe_r));
}

static const struct trade *row_of(const struct trades *trades, const struct signal *signal)
{
    for (size_t i = 0; i < trades->count; i++)
        if (trades->list[i].signal.at == signal->at &&
            trades->list[i].signal.candle.at == signal->candle.at &&
            trades->list[i].reason != TRADE_BROKEN)
            return &trades->list[i];
    return NULL;
}

/* The row of the signal, or, where the setup was busy, what it would have been. */
static void check_end(const struct case_of_signal *one, const struct seen *seen,
                      const struct trades *trades)
{
    const struct trade *row = row_of(trades, &one->signal);
    struct trade alone;
    assert_non_null(row);
    if (row->reason == TRADE_PASSED) {
        alone = trade_of_signal(&seen->view, &seen->terms, &one->signal, NULL);
        row = &alone;
    }
    counted.trades += trade_closed(row->reason);
    for (size_t w = 0; w < WAYS; w++) {
        struct followed followed;
        follow(one, &one->ways[w], seen, &followed);
        assert_same(&followed.trade, row);
        assert_same(&followed.rules, row);
        assert_false(followed.differs);
    }
}

/* --- the run ----------------------------------------------------------------------------------------- */

static bool takes(size_t way, size_t count)
{
    struct random_stream stream;
    if (way == 0)
        return true;
    random_start(&stream, seed + way, count);
    return random_below(&stream, 4) == 0;
}

static void follow_cases(struct case_of_signal *cases, size_t count, struct demo_series *series,
                         const struct bars *bars, const struct setup *setup)
{
    size_t begun = 0;
    size_t live = 0; /* those before it are over in every way */
    for (size_t n = 1; n <= bars->count; n++) {
        struct seen seen;
        while (live < begun) {
            bool over = true;
            for (size_t w = 0; w < WAYS; w++)
                over = over && cases[live].ways[w].over;
            if (!over)
                break;
            live++;
        }
        bool begins = begun < count && cases[begun].signal.at + 1 == n;
        if (live == begun && !begins)
            continue;
        look(&seen, series, bars, setup, n);
        for (; begun < count && cases[begun].signal.at + 1 == n; begun++)
            make_plan(&cases[begun], &seen);
        for (size_t i = live; i < begun; i++)
            for (size_t w = 0; w < WAYS; w++)
                if (!cases[i].ways[w].over && takes(w, n))
                    update(&cases[i], &cases[i].ways[w], &seen);
        look_away(&seen);
    }
}

static void run(struct demo_series *series, const struct bars *bars, struct setup *setup)
{
    struct seen seen;
    struct error error;
    struct trades trades;
    struct signals signals;
    if (bars->count == 0)
        return;
    look(&seen, series, bars, setup, bars->count);
    counted.dividends += seen.terms.flow_count;
    assert_int_equal(trades_find(&seen.view, &seen.terms, 0, SIZE_MAX, true, &trades, &error), 0);
    assert_int_equal(signals_find(&seen.view, 0, SIZE_MAX, true, &signals, &error), 0);
    struct case_of_signal *cases = calloc(signals.count + 1, sizeof *cases);
    assert_non_null(cases);
    for (size_t i = 0; i < signals.count; i++)
        cases[i].signal = signals.list[i];
    counted.signals += signals.count;
    follow_cases(cases, signals.count, series, bars, setup);
    for (size_t i = 0; i < signals.count; i++)
        check_end(&cases[i], &seen, &trades);
    free(cases);
    signals_free(&signals);
    trades_free(&trades);
    look_away(&seen);
}

static int is_setup(const struct dirent *entry)
{
    return strstr(entry->d_name, ".yaml") != NULL;
}

static const char *only; /* a setup's file, where one is asked for */

static void ends_in_the_trade_of_the_simulation(void **state)
{
    struct dirent **files;
    int count = scandir(SHIPPED_SETUPS, &files, is_setup, alphasort);
    (void)state;
    assert_true(count > 10);
    for (int f = 0; f < count; f++) {
        char path[512];
        struct setup setup;
        struct error error;
        snprintf(path, sizeof path, SHIPPED_SETUPS "/%s", files[f]->d_name);
        assert_int_equal(setup_read_file(&setup, path, &error), 0);
        bool hours = setup.interval.unit == INTERVAL_HOUR;
        for (size_t i = 0; i < demo_roster_count; i++)
            if (only == NULL || strcmp(only, files[f]->d_name) == 0)
                run(&all[i], hours ? &all[i].hourly : &all[i].daily, &setup);
        setup_free(&setup);
        free(files[f]);
    }
    free(files);
    print_message("%zu signals, %zu closed trades, %zu times followed, %zu orders moved, %zu "
                  "rescaled, %zu dividends\n",
                  counted.signals, counted.trades, counted.follows, counted.moves, counted.rescaled,
                  counted.dividends);
    assert_true(only != NULL || (counted.signals > 1000 && counted.trades > 500));
    assert_true(only != NULL || (counted.moves > 100 && counted.rescaled > 10));
}

int main(int argument_count, char **arguments)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(ends_in_the_trade_of_the_simulation)};
    only = argument_count > 1 ? arguments[1] : NULL;
    return cmocka_run_group_tests(tests, make_all, free_all);
}
