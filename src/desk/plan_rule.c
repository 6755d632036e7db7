#include "desk/plan_rule.h"

#include "market/scale.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void plan_rule_free(struct plan_rule *rule)
{
    free(rule->text);
    *rule = (struct plan_rule){0};
}

/* --- the kind of order --------------------------------------------------------------------- */

const char *plan_kind_word(const struct plan_rule *rule)
{
    if (!rule->kind_known)
        return "";
    return rule->kind == ENTRY_STOP_ORDER ? "stop" : "limit";
}

void plan_kind_read(const char *word, struct plan_rule *rule)
{
    rule->kind = strcmp(word, "stop") == 0 ? ENTRY_STOP_ORDER : ENTRY_LIMIT;
    rule->kind_known = word[0] != '\0';
}

/* --- a setup of three prices ------------------------------------------------------------------ */

static double entry_price(const struct entry_view *view, size_t j)
{
    (void)j;
    return view->values[0];
}

static double stop_price(const struct stop_view *view)
{
    return view->values[0];
}

static double target_price(const struct target_view *view)
{
    return view->value;
}

static const struct entry hand_entries[] = {
    [ENTRY_STOP_ORDER] = {.name = "by_hand", .kind = ENTRY_STOP_ORDER, .level = entry_price},
    [ENTRY_LIMIT] = {.name = "by_hand", .kind = ENTRY_LIMIT, .level = entry_price},
};
static const struct stop hand_stop = {.name = "by_hand",
                                      .stage = STOP_AT_SIGNAL,
                                      .price = stop_price};
static const struct target_kind hand_target = {.name = "by_hand", .price = target_price};

/* An order by hand is good until it is taken back. */
enum { HAND_VALID = 1000000 };

int plan_hand_setup(const struct plan *plan, struct setup *setup, struct error *error)
{
    /* Its rows stand in for those of the plan until the bars are there. */
    static const char *const texts[] = {"setup: by-hand\nside: long\ncandle: {shape: any}\n"
                                        "entry: {on: next_open}\nstop: {at: candle_low}\n"
                                        "exit: {targets: [{r: 1}]}\n",
                                        "setup: by-hand\nside: short\ncandle: {shape: any}\n"
                                        "entry: {on: next_open}\nstop: {at: candle_high}\n"
                                        "exit: {targets: [{r: 1}]}\n"};
    const char *text = texts[plan->is_short];
    return setup_read(setup, "by-hand", text, strlen(text), error);
}

/* A decimal of the plan, as traded on that bar, in prices of the setup's own side. */
static bool own_price(const struct plan *plan, const char *decimal, const struct bars *bars,
                      size_t bar, double *price)
{
    struct fraction fraction;
    if (!fraction_read(decimal, strlen(decimal), &fraction) || fraction_failed(fraction))
        return false;
    *price = bars_viewed(bars, bar, fraction_number(fraction));
    if (plan->is_short && *price != 0)
        *price = -*price;
    return true;
}

bool plan_hand_lines(const struct plan *plan, const struct plan_rule *rule, const struct bars *bars,
                     size_t bar, struct setup *setup)
{
    double entry = NAN;
    struct stop_member *stop = &setup->stop.members[0];
    if (!own_price(plan, plan->entry, bars, bar, &entry) ||
        !own_price(plan, plan->stop, bars, bar, &stop->values[0]))
        return false;
    double close = plan->is_short ? -bars->close[bar] : bars->close[bar];
    enum entry_kind without = entry > close ? ENTRY_STOP_ORDER : ENTRY_LIMIT;
    enum entry_kind kind = rule->kind_known ? rule->kind : without;
    setup->entry.entry = &hand_entries[kind];
    setup->entry.values[0] = entry;
    setup->entry.valid = HAND_VALID;
    stop->stop = &hand_stop;
    setup->exit.target_count = plan->target[0] != '\0';
    setup->exit.targets[0].kind = &hand_target;
    return plan->target[0] == '\0' ||
           own_price(plan, plan->target, bars, bar, &setup->exit.targets[0].value);
}
