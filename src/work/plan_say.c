#include "base/array.h"
#include "base/calendar.h"
#include "candles/anatomy.h"
#include "desk/follow_store.h"
#include "market/scale.h"
#include "market/session.h"
#include "work/plan.h"
#include "work/plan_follow.h"
#include "work/work_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- the bar it is about ------------------------------------------------------------------- */

static bool moves(enum plan_step_kind kind)
{
    return kind == STEP_MOVED_STOP || kind == STEP_MOVED_TARGET;
}

/* The start of the bar that holds the moment. */
static int find_bucket(const struct plan_case *one, int64_t time, bool is_date, int64_t *start,
                       struct error *error)
{
    struct session session;
    int code = session_open(&session, &one->opened.series.instrument, error);
    if (code == ERROR_NONE)
        *start = session_bucket(&session, one->opened.series.bars.interval, time, is_date).start;
    session_close(&session);
    return code;
}

/* What is moved stands from the bar after the newest one that is known; a fill and a close
 * are of the bar that holds their moment. */
static int find_bar(const struct plan_case *one, const struct plan_word_wish *wish, int64_t now,
                    int64_t *at, struct error *error)
{
    const struct bars *bars = &one->opened.series.bars;
    size_t count = bars_complete(bars);
    char found[CALENDAR_TEXT_SIZE];
    if (wish->at == INT64_MIN && moves(wish->kind) && count > 0) {
        *at = bars->time[count - 1];
        return ERROR_NONE;
    }
    int64_t newest = 0;
    int64_t time = wish->at != INT64_MIN ? wish->at : now;
    int code = find_bucket(one, time, wish->at_is_date, at, error);
    if (code == ERROR_NONE)
        code = find_bucket(one, now, false, &newest, error);
    if (code != ERROR_NONE)
        return code;
    time_format(found, time, wish->at_is_date);
    size_t bar = bars_find(bars, *at);
    if (*at > newest || (bar < bars->count && bars->time[bar] != *at))
        return error_set(error, ERROR_INPUT, "plan %lld: found '%s'; %s", (long long)one->plan.id,
                         found,
                         *at > newest ? "that is still to come"
                                      : "there is no bar then; the day of a bar is allowed");
    if (*at <= one->rule.signal)
        return error_set(error, ERROR_INPUT,
                         "plan %lld: found '%s'; that is no later than the bar it was made on, and "
                         "nothing came of it before",
                         (long long)one->plan.id, found);
    return ERROR_NONE;
}

/* A close before the fill that the bars, or the person, have. */
static int check_order(const struct plan_case *one, const struct plan_step *step,
                       struct error *error)
{
    const struct bars *bars = &one->opened.series.bars;
    const struct trade *trade = &one->followed.trade;
    bool later = step->kind == STEP_CLOSED || moves(step->kind);
    char date[CALENDAR_TEXT_SIZE];
    if (!later || !trade_filled(trade->reason))
        return ERROR_NONE;
    int64_t told = one->followed.fill_to_come;
    int64_t filled = told != INT64_MIN ? told : bars->time[trade->entry_bar];
    size_t count = bars_complete(bars);
    bool newest = count > 0 && step->at == bars->time[count - 1];
    /* What is moved on the day of a fill whose bar is to come stands from that bar on. */
    if (step->at >= filled || (moves(step->kind) && newest))
        return ERROR_NONE;
    time_format(date, filled, interval_is_dated(bars->interval));
    return error_set(error, ERROR_INPUT, "plan %lld: it was filled on %s only",
                     (long long)one->plan.id, date);
}

/* --- its price ------------------------------------------------------------------------------- */

static int check_tick(const struct plan_case *one, const struct plan_step *step, double price,
                      struct error *error)
{
    const struct tick *tick = terms_tick(&one->opened.terms, step->at);
    if (tick->value == 0 || tick_round_up(tick, price) == tick_round_down(tick, price))
        return ERROR_NONE;
    return error_set(error, ERROR_INPUT,
                     "plan %lld: found the price '%.40s'; whole multiples of the tick %g are "
                     "allowed",
                     (long long)one->plan.id, step->price, tick->value);
}

/* An order that the last price has reached already would fill at once. */
static int check_side(const struct plan_case *one, const struct plan_step *step, double price,
                      struct error *error)
{
    const struct bars *bars = &one->opened.series.bars;
    size_t bar = plan_step_bar(bars, step);
    if (!moves(step->kind) || bar >= bars->count)
        return ERROR_NONE;
    double side = one->plan.is_short ? -1 : 1;
    double close = bars_traded(bars, bar, bars->close[bar]);
    double room = side * (close - price) * (step->kind == STEP_MOVED_STOP ? 1 : -1);
    if (room > price_tolerance(bars, bar, bar))
        return ERROR_NONE;
    return error_set(error, ERROR_INPUT,
                     "plan %lld: found the price '%.40s', which the close of %.10g has reached: a "
                     "%s %s it is allowed; what is closed now is said with its price",
                     (long long)one->plan.id, step->price, close,
                     step->kind == STEP_MOVED_STOP ? "stop" : "target",
                     (step->kind == STEP_MOVED_STOP) != one->plan.is_short ? "below" : "above");
}

static int check_fill(const struct plan_case *one, const struct plan_step *step, double price,
                      struct error *error)
{
    double side = one->plan.is_short ? -1 : 1;
    const struct bars *bars = &one->opened.series.bars;
    size_t bar = plan_step_bar(bars, step);
    double viewed = bar < bars->count ? bars_viewed(bars, bar, price) : price;
    if (step->kind != STEP_FILLED || !one->followed.known ||
        side * (viewed - one->followed.stop) > 0)
        return ERROR_NONE;
    return error_set(error, ERROR_INPUT,
                     "plan %lld: found a fill at '%.40s', which is at or beyond its stop, so that "
                     "there is no R; a price on its side is allowed, or say that it lapsed",
                     (long long)one->plan.id, step->price);
}

static int take_price(const struct plan_case *one, const struct plan_word_wish *wish,
                      struct plan_step *step, struct error *error)
{
    struct fraction fraction;
    bool wanted = moves(wish->kind) || wish->kind == STEP_CLOSED;
    if (wish->price == NULL && !wanted)
        return ERROR_NONE;
    const char *text = wish->price != NULL ? wish->price : "";
    if (strlen(text) >= sizeof step->price || !fraction_read(text, strlen(text), &fraction) ||
        fraction_failed(fraction))
        return error_set(error, ERROR_INPUT,
                         "plan %lld: found the price '%.40s'; one such as 101.35 is allowed",
                         (long long)one->plan.id, text);
    fraction_format(step->price, fraction, 0, FRACTION_PLACES);
    double price = fraction_number(fraction);
    int code = check_tick(one, step, price, error);
    if (code == ERROR_NONE)
        code = check_side(one, step, price, error);
    return code == ERROR_NONE ? check_fill(one, step, price, error) : code;
}

/* --- R ----------------------------------------------------------------------------------------- */

static int read_result(const char *result, struct plan_step *step, struct error *error)
{
    struct fraction r;
    if (step->kind != STEP_DONE && result != NULL)
        return error_set(error, ERROR_INPUT,
                         "the result: found '%.40s'; only a plan that is done has one", result);
    if (step->kind != STEP_DONE)
        return ERROR_NONE;
    if (result != NULL && strlen(result) < sizeof step->result &&
        fraction_read(result, strlen(result), &r) && !fraction_failed(r)) {
        strcpy(step->result, result);
        return ERROR_NONE;
    }
    return error_set(
        error, ERROR_INPUT,
        "the result: found '%.40s'; what it came to in R, such as 2.1 or -1, is needed",
        result != NULL ? result : "nothing");
}

/* R of a plan that is closed by this step: the trade with it. */
static int reckon_result(const struct plan_case *one, struct plan_step *step, struct error *error)
{
    struct followed after;
    struct plan_step *steps = array_new(one->step_count + 1, sizeof *steps);
    if (steps == NULL)
        return error_memory(error);
    if (one->step_count > 0)
        memcpy(steps, one->steps, one->step_count * sizeof *steps);
    steps[one->step_count] = *step;
    const struct follow_question question = {.plan = &one->plan,
                                             .rule = &one->rule,
                                             .view = &one->opened.view,
                                             .terms = &one->opened.terms,
                                             .steps = steps,
                                             .step_count = one->step_count + 1};
    int code = plan_follow(&question, &after, error);
    free(steps);
    if (code != ERROR_NONE)
        return code;
    if (!trade_closed(after.trade.reason))
        return error_set(error, ERROR_INPUT, "plan %lld: it was never filled, and cannot be closed",
                         (long long)one->plan.id);
    char text[FRACTION_TEXT_SIZE];
    fraction_format(text, fraction_of_number(after.trade.r), 2, 4);
    snprintf(step->result, sizeof step->result, "%s", text);
    return ERROR_NONE;
}

/* --- keeping it --------------------------------------------------------------------------------- */

static enum plan_state state_now(const struct plan_case *one)
{
    return one->followed.known ? one->followed.state : one->plan.state;
}

static bool is_dated(enum plan_step_kind kind)
{
    return moves(kind) || kind == STEP_FILLED || kind == STEP_CLOSED;
}

static int make_step(const struct plan_case *one, const struct plan_word_wish *wish, int64_t now,
                     struct plan_step *step, struct error *error)
{
    *step = (struct plan_step){.kind = wish->kind, .made = now, .at = INT64_MIN};
    int code = plan_step_check(&one->plan, state_now(one), wish->kind, wish->corrects, error);
    if (code == ERROR_NONE)
        code = work_copy_words(step->note, sizeof step->note, 0, "note", wish->note, error);
    if (code == ERROR_NONE && is_dated(wish->kind) && !one->followed.known)
        code = error_set(error, ERROR_INPUT,
                         "plan %lld: the bar that it was made on is not in the book, so that it "
                         "cannot be followed; done with its R ends it",
                         (long long)one->plan.id);
    if (code == ERROR_NONE && is_dated(wish->kind))
        code = find_bar(one, wish, now, &step->at, error);
    if (code == ERROR_NONE)
        code = check_order(one, step, error);
    if (code == ERROR_NONE)
        code = take_price(one, wish, step, error);
    if (code == ERROR_NONE)
        code = read_result(wish->result, step, error);
    if (code == ERROR_NONE && wish->kind == STEP_CLOSED)
        code = reckon_result(one, step, error);
    return code;
}

/* Whether somebody else said something meanwhile. */
static int check_again(struct book *book, const struct plan_case *one, struct error *error)
{
    struct plan_step *steps;
    size_t count;
    int code = plan_step_store_read(book, one->plan.id, INT64_MAX, &steps, &count, error);
    free(steps);
    if (code == ERROR_NONE && count != one->step_count)
        code = error_set(error, ERROR_INPUT,
                         "plan %lld: something was said of it meanwhile; look again",
                         (long long)one->plan.id);
    return code;
}

int plan_say(struct work *work, struct notices *notices, const struct plan_word_wish *wish,
             struct error *error)
{
    struct plan_case one;
    struct plan_step step;
    struct book *book = NULL;
    int code = plan_case_open(work, notices, wish->number, &one, error);
    if (code == ERROR_NONE)
        code = make_step(&one, wish, work_wishes(work)->now, &step, error);
    if (code == ERROR_NONE)
        code = work_writer(work, &book, error);
    if (code == ERROR_NONE)
        code = book_begin(book, "a step of a plan", error);
    if (code == ERROR_NONE) {
        code = check_again(book, &one, error);
        if (code == ERROR_NONE)
            code = plan_step_store_keep(book, one.plan.id, &step, error);
        code = book_settle(book, code, error);
    }
    plan_case_close(&one);
    return code;
}
