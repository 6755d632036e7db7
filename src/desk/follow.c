#include "desk/follow.h"

#include "base/array.h"
#include "candles/anatomy.h"
#include "market/scale.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

size_t plan_step_bar(const struct bars *bars, const struct plan_step *step)
{
    return step->at == INT64_MIN ? bars->count : bars_find(bars, step->at);
}

static const struct plan_step *last_step(const struct follow_question *question,
                                         enum plan_step_kind kind)
{
    for (size_t i = question->step_count; i-- > 0;)
        if (question->steps[i].kind == kind)
            return &question->steps[i];
    return NULL;
}

/* A decimal as traded on a bar, in prices of the newest bars; NaN of the empty text. A bar
 * that is not known yet trades as the newest. */
static double viewed(const struct bars *bars, size_t bar, const char *decimal)
{
    struct fraction fraction;
    if (!fraction_read(decimal, strlen(decimal), &fraction) || fraction_failed(fraction))
        return NAN;
    double price = fraction_number(fraction);
    return bar < bars->count ? bars_viewed(bars, bar, price) : price;
}

static bool near_price(const struct follow_question *question, double stands, double wanted)
{
    const struct bars *bars = sheet_bars(question->view->plain);
    return fabs(stands - wanted) <= price_tolerance(bars, bars->count - 1, bars->count - 1);
}

/* --- words for the simulation ---------------------------------------------------------------- */

static enum trade_word_kind word_kind(enum plan_step_kind kind)
{
    switch (kind) {
    case STEP_FILLED: return WORD_FILLED;
    case STEP_MOVED_STOP: return WORD_STOP;
    case STEP_MOVED_TARGET: return WORD_TARGET;
    default: return WORD_CLOSED;
    }
}

/* A fill without a price is the rules' own, where they have one by now; else it is the
 * plan's entry. */
static bool take_word(const struct follow_question *question, const struct bars *bars,
                      const struct plan_step *step, struct followed *followed,
                      struct trade_word *word)
{
    bool priced = step->price[0] != '\0';
    if (step->kind != STEP_MOVED_STOP && step->kind != STEP_MOVED_TARGET &&
        step->kind != STEP_CLOSED && step->kind != STEP_FILLED)
        return false;
    if (step->kind == STEP_FILLED && !priced && trade_filled(followed->rules.reason))
        return false;
    word->kind = word_kind(step->kind);
    word->bar = plan_step_bar(bars, step);
    word->price = viewed(bars, priced ? word->bar : followed->made_bar,
                         priced ? step->price : question->plan->entry);
    word->stop = followed->stop;
    if (word->bar >= sheet_count(question->view->plain) && step->kind == STEP_FILLED)
        followed->fill_to_come = step->at;
    if (word->bar >= sheet_count(question->view->plain) && step->kind == STEP_CLOSED)
        followed->close_to_come = step->at;
    return isfinite(word->price);
}

static int compare_words(const void *a, const void *b)
{
    const struct trade_word *x = a;
    const struct trade_word *y = b;
    return (x->bar > y->bar) - (x->bar < y->bar);
}

/* In the order of their bars, those of one bar as they were said. A later fill corrects the
 * one before it, whatever its bar. */
static int take_words(const struct follow_question *question, const struct bars *bars,
                      struct followed *followed, struct trade_words *words, struct error *error)
{
    struct trade_word *list = array_new(question->step_count, sizeof *list);
    size_t count = 0;
    if (list == NULL)
        return error_memory(error);
    for (size_t i = 0; i < question->step_count; i++) {
        const struct plan_step *step = &question->steps[i];
        bool corrected = (step->kind == STEP_FILLED || step->kind == STEP_CLOSED) &&
                         last_step(question, step->kind) != step;
        if (!corrected && take_word(question, bars, step, followed, &list[count]))
            count++;
    }
    for (size_t i = 1; i < count; i++) /* stays in the order in which they were said */
        for (size_t j = i; j > 0 && compare_words(&list[j - 1], &list[j]) > 0; j--) {
            struct trade_word swapped = list[j];
            list[j] = list[j - 1];
            list[j - 1] = swapped;
        }
    *words = (struct trade_words){list, count};
    return ERROR_NONE;
}

/* --- the state ------------------------------------------------------------------------------ */

static enum plan_state state_of_trade(enum trade_reason reason)
{
    if (reason == TRADE_WAITING)
        return PLAN_WAITING;
    if (reason == TRADE_OPEN)
        return PLAN_IN_TRADE;
    return trade_closed(reason) ? PLAN_DONE : PLAN_LAPSED;
}

/* What a person said comes before what the bars say. */
static void settle_state(const struct follow_question *question, struct followed *followed)
{
    const struct plan_step *done = last_step(question, STEP_DONE);
    enum plan_state said = question->plan->state;
    followed->state = state_of_trade(followed->trade.reason);
    followed->note = followed->state == PLAN_LAPSED ? followed->trade.note : "";
    if (said == PLAN_LAPSED || said == PLAN_WITHDRAWN || said == PLAN_PASSED) {
        followed->state = said;
        followed->note = "";
    } else if (done != NULL) {
        followed->state = PLAN_DONE;
        snprintf(followed->result, sizeof followed->result, "%s", done->result);
    }
}

static bool same_price(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static bool same_trade(const struct trade *a, const struct trade *b)
{
    return a->reason == b->reason && a->entry_bar == b->entry_bar && a->exit_bar == b->exit_bar &&
           same_price(a->entry, b->entry) && same_price(a->exit, b->exit) &&
           same_price(a->r, b->r) && same_price(a->target, b->target);
}

/* --- what to do ------------------------------------------------------------------------------ */

static void add_task(struct followed *followed, enum task_kind kind, double price, double share)
{
    followed->tasks[followed->task_count++] = (struct plan_task){kind, price, share};
}

static void entry_tasks(const struct follow_question *question, struct followed *followed)
{
    const struct trade_awaited *awaited = &followed->path.awaited;
    bool placed = question->plan->placed;
    switch (awaited->what) {
    case AWAITS_TOUCH:
    case AWAITS_PULLBACK:
        if (!placed)
            add_task(followed, TASK_PLACE, awaited->price, 1);
        break;
    case AWAITS_OPEN:
        /* After a close that was waited for nothing can have been placed before. */
        if (!placed || question->view->setup->entry.entry->kind != ENTRY_MARKET)
            add_task(followed, TASK_PLACE, NAN, 1);
        break;
    case AWAITS_CLOSE:
    case AWAITS_BREAK:
    case AWAITS_RETURN: add_task(followed, TASK_WAIT, awaited->price, 1); break;
    case AWAITS_NOTHING: break;
    }
}

/* The price that the step told of. */
static double told_price(const struct follow_question *question, const struct plan_step *step)
{
    const struct bars *bars = sheet_bars(question->view->plain);
    return viewed(bars, plan_step_bar(bars, step), step->price);
}

/* Whether a part has left since that bar. */
static bool left_since(const struct followed *followed, size_t bar)
{
    for (size_t i = 0; i < followed->path.count; i++)
        if (followed->path.steps[i].share > 0 && followed->path.steps[i].bar > bar)
            return true;
    return false;
}

/* A stop told of before a part left was for more than is held now. */
static bool stop_has_to_move(const struct follow_question *question,
                             const struct followed *followed)
{
    const struct bars *bars = sheet_bars(question->view->plain);
    const struct plan_step *step = last_step(question, STEP_MOVED_STOP);
    double stands = step != NULL ? told_price(question, step) : followed->stop;
    size_t since = step != NULL ? plan_step_bar(bars, step) : followed->made_bar;
    bool resized = left_since(followed, since);
    return resized || !near_price(question, stands, followed->standing.stop);
}

/* The line that was typed had the nearest target for the whole size. */
static void target_tasks(const struct follow_question *question, struct followed *followed)
{
    const struct trade_standing *standing = &followed->standing;
    const struct plan_step *step = last_step(question, STEP_MOVED_TARGET);
    if (standing->target_count == 0)
        return;
    bool whole = followed->path.target_count == 1 && standing->shares[0] >= standing->remaining &&
                 followed->trade.exits == 0;
    if (step != NULL
            ? !whole || near_price(question, told_price(question, step), standing->targets[0])
            : whole && near_price(question, followed->target, standing->targets[0]))
        return;
    add_task(followed, TASK_MOVE_TARGET, standing->targets[0], standing->shares[0]);
    for (size_t i = 1; i < standing->target_count; i++)
        add_task(followed, TASK_PLACE_TARGET, standing->targets[i], standing->shares[i]);
}

/* By the bars it was filled, and nobody said that there was an order. */
static void ask_placed(const struct follow_question *question, struct followed *followed)
{
    if (!question->plan->placed && last_step(question, STEP_FILLED) == NULL)
        add_task(followed, TASK_SAY_PLACED, NAN, 1);
}

static void position_tasks(const struct follow_question *question, struct followed *followed)
{
    const struct trade_standing *standing = &followed->standing;
    ask_placed(question, followed);
    if (standing->leave_at_open) {
        add_task(followed, TASK_LEAVE_AT_OPEN, NAN, standing->remaining);
        return;
    }
    if (stop_has_to_move(question, followed))
        add_task(followed, TASK_MOVE_STOP, standing->stop, standing->remaining);
    target_tasks(question, followed);
    if (standing->bars_left == 1)
        add_task(followed, TASK_LEAVE_AT_CLOSE, NAN, standing->remaining);
}

static void settle_tasks(const struct follow_question *question, struct followed *followed)
{
    const struct plan *plan = question->plan;
    if (followed->state == PLAN_WAITING)
        entry_tasks(question, followed);
    else if (followed->state == PLAN_IN_TRADE)
        position_tasks(question, followed);
    else if (followed->state == PLAN_LAPSED && plan->state != PLAN_LAPSED && plan->placed)
        add_task(followed, TASK_CANCEL, NAN, 1);
    else if (followed->state == PLAN_DONE && plan->state != PLAN_DONE) {
        ask_placed(question, followed);
        add_task(followed, TASK_SAY_CLOSED, NAN, 1);
    }
}

/* --- following -------------------------------------------------------------------------------- */

static void take_lines(const struct plan *plan, const struct plan_rule *rule,
                       const struct bars *bars, struct followed *followed)
{
    const struct price_scale *scale = bars_scale(bars, rule->signal);
    followed->entry = viewed(bars, followed->made_bar, plan->entry);
    followed->stop = viewed(bars, followed->made_bar, plan->stop);
    followed->target = viewed(bars, followed->made_bar, plan->target);
    followed->rescaled = scale != NULL;
    if (scale != NULL)
        followed->scale = *scale;
}

static bool take_signal(const struct follow_question *question, const struct followed *followed,
                        struct signal *signal)
{
    const struct plan_rule *rule = question->rule;
    const struct setup_view *view = question->view;
    const struct bars *bars = sheet_bars(view->plain);
    bool by_hand = rule->text == NULL || rule->text[0] == '\0';
    size_t candle = by_hand ? followed->made_bar : bars_find(bars, rule->candle);
    *signal = (struct signal){.at = followed->made_bar, .state = SIGNAL_GIVEN};
    if (by_hand) {
        signal->candle = candle_of_bar(view, candle);
        return true;
    }
    if (candle > followed->made_bar || bars->time[candle] != rule->candle ||
        rule->choice >= view->setup->candle_count ||
        candle + 1 < view->setup->candles[rule->choice].shape->bars)
        return false;
    signal->candle = candle_of_shape(view, rule->choice, candle);
    return true;
}

int plan_follow(const struct follow_question *question, struct followed *followed,
                struct error *error)
{
    const struct plan *plan = question->plan;
    const struct plan_rule *rule = question->rule;
    const struct bars *bars = sheet_bars(question->view->plain);
    struct trade_words words = {0};
    struct signal signal;
    *followed = (struct followed){.state = plan->state,
                                  .note = "",
                                  .fill_to_come = INT64_MIN,
                                  .close_to_come = INT64_MIN,
                                  .made_bar = bars_find(bars, rule->signal)};
    if (rule->signal == INT64_MIN || followed->made_bar == bars->count ||
        bars->time[followed->made_bar] != rule->signal || !take_signal(question, followed, &signal))
        return ERROR_NONE;
    followed->known = true;
    take_lines(plan, rule, bars, followed);
    followed->rules = trade_of_signal(question->view, question->terms, &signal, NULL);
    int code = take_words(question, bars, followed, &words, error);
    if (code == ERROR_NONE) {
        followed->trade = trade_follow(question->view, question->terms, &signal, &words,
                                       &followed->path, &followed->standing);
        if (followed->fill_to_come != INT64_MIN)
            followed->standing.open_r = NAN; /* the last close is older than the fill */
        followed->restated = !isnan(followed->path.stop) &&
                             !near_price(question, followed->path.stop, followed->stop);
        followed->differs = !same_trade(&followed->trade, &followed->rules);
        settle_state(question, followed);
        settle_tasks(question, followed);
    }
    free((void *)words.list);
    return code != ERROR_NONE || !sheet_failed(question->view->plain) ? code : error_memory(error);
}

bool followed_is_own(const struct followed *followed)
{
    bool aside = followed->state == PLAN_WITHDRAWN || followed->state == PLAN_PASSED ||
                 (followed->state == PLAN_LAPSED && followed->note[0] == '\0');
    return followed->known && !aside && followed->result[0] == '\0';
}

void plan_settle(struct plan *plan, const struct followed *followed, const struct bars *bars)
{
    const struct trade *trade = &followed->trade;
    char r[FRACTION_TEXT_SIZE];
    if (!followed->known)
        return;
    plan->state = followed->state;
    if (trade_filled(trade->reason) && plan->filled == INT64_MIN)
        plan->filled = bars->time[trade->entry_bar];
    if (plan->state == PLAN_LAPSED)
        plan->since = bars->time[trade->entry_bar];
    if (plan->state != PLAN_DONE || !trade_closed(trade->reason))
        return;
    plan->since = bars->time[trade->exit_bar];
    fraction_format(r, fraction_of_number(trade->r), 2, 4);
    snprintf(plan->result, sizeof plan->result, "%s", r);
}
