#include "desk/size.h"

#include <math.h>
#include <string.h>

/* --- the prices ---------------------------------------------------------------------- */

static struct fraction negative(struct fraction fraction)
{
    return (struct fraction){-fraction.top, fraction.bottom};
}

bool size_on_tick(const struct instrument *instrument, bool up, struct fraction *price)
{
    const struct tick *tick = &instrument->tick;
    struct fraction step = fraction_of(tick->mantissa, 1);
    int64_t count;
    if (!instrument->tick_known)
        return !fraction_failed(*price);
    for (int i = 0; i < tick->digits; i++)
        step = fraction_multiply(step, fraction_of(1, 10));
    struct fraction quotient = fraction_divide(*price, step);
    if (!(up ? fraction_ceiling(quotient, &count) : fraction_floor(quotient, &count)))
        return false;
    *price = fraction_multiply(step, fraction_of(count, 1));
    return true;
}

static int too_large(struct error *error)
{
    return error_set(
        error, ERROR_INPUT,
        "these numbers are too large, or have too many digits, to be reckoned exactly");
}

static int set_prices(const struct size_wish *wish, struct sizing *sizing, struct error *error)
{
    const struct instrument *instrument = &wish->instrument;
    sizing->entry = wish->entry;
    sizing->stop = wish->stop;
    if (fraction_failed(wish->entry) || fraction_failed(wish->stop))
        return too_large(error);
    int side = fraction_compare(wish->entry, wish->stop);
    sizing->is_short = side < 0;
    if (!size_on_tick(instrument, !sizing->is_short, &sizing->entry) ||
        !size_on_tick(instrument, sizing->is_short, &sizing->stop))
        return too_large(error);
    if (side == 0)
        return error_set(error, ERROR_INPUT,
                         "entry and stop are the same price; a stop below the entry (long) or "
                         "above it (short) is allowed");
    sizing->distance = fraction_absolute(fraction_subtract(sizing->entry, sizing->stop));
    return ERROR_NONE;
}

/* --- costs and risk of one unit --------------------------------------------------------- */

/* Both orders, as a length: the spread once, the slippage of those that slip, commission of
 * both fills; the exit at `exit`. */
static struct fraction costs_length(const struct size_wish *wish, const struct sizing *sizing,
                                    struct fraction exit, int slips)
{
    const struct costs *costs = &wish->instrument.costs;
    struct fraction slippage = fraction_of_number(costs->slippage);
    struct fraction percent = fraction_of_number(costs->commission_percent);
    struct fraction unit = fraction_of_number(costs->commission_per_unit);
    struct fraction fills = fraction_add(fraction_absolute(sizing->entry), fraction_absolute(exit));
    struct fraction sum = fraction_of_number(costs->spread);
    sum = fraction_add(sum, fraction_multiply(slippage, fraction_of(slips, 1)));
    sum = fraction_add(sum,
                       fraction_multiply(fraction_divide(percent, fraction_of(100, 1)), fills));
    unit = fraction_divide(unit, fraction_of_number(wish->instrument.point_value));
    return fraction_add(sum, fraction_multiply(unit, fraction_of(2, 1)));
}

/* Money of the account for a length of price and one unit held. */
static struct fraction money_for(const struct size_wish *wish, const struct sizing *sizing,
                                 struct fraction length)
{
    struct fraction value = fraction_of_number(wish->instrument.point_value);
    return fraction_multiply(fraction_multiply(length, value), sizing->rate);
}

/* What is paid once, whatever the size. */
static struct fraction fixed_costs(const struct size_wish *wish, const struct sizing *sizing)
{
    return fraction_multiply(fraction_of_number(wish->instrument.costs.commission_per_trade),
                             sizing->rate);
}

static struct fraction loss_of(const struct size_wish *wish, const struct sizing *sizing,
                               struct fraction size)
{
    return fraction_add(fraction_multiply(sizing->unit_risk, size), fixed_costs(wish, sizing));
}

static struct fraction size_of(const struct size_wish *wish, int64_t steps)
{
    return fraction_multiply(fraction_of_number(wish->instrument.size_step), fraction_of(steps, 1));
}

static struct fraction notional_of(const struct size_wish *wish, const struct sizing *sizing,
                                   struct fraction size)
{
    return fraction_multiply(money_for(wish, sizing, fraction_absolute(sizing->entry)), size);
}

static bool has_leverage(const struct size_wish *wish)
{
    return wish->instrument.leverage > 0;
}

/* The lower one of the instrument's and the person's own; failed where there is neither. */
static struct fraction lower_leverage(const struct size_wish *wish)
{
    struct fraction leverage = fraction_of_number(has_leverage(wish) ? wish->instrument.leverage
                                                                     : NAN);
    if (fraction_failed(leverage))
        return wish->own_leverage;
    bool own = !fraction_failed(wish->own_leverage) &&
               fraction_compare(wish->own_leverage, leverage) < 0;
    return own ? wish->own_leverage : leverage;
}

static int set_rate(const struct size_wish *wish, struct sizing *sizing, struct error *error)
{
    /* What has no currency of its own is quoted in the account's. */
    const char *from = wish->instrument.currency[0] != '\0' ? wish->instrument.currency
                                                            : wish->balance.currency.code;
    int code = rates_between(wish->rates, from, wish->balance.currency.code, &sizing->way, error);
    sizing->rate = sizing->way.rate;
    return code;
}

static int set_unit_risk(const struct size_wish *wish, struct sizing *sizing, struct error *error)
{
    sizing->costs = costs_length(wish, sizing, sizing->stop, 2);
    sizing->unit_risk = money_for(wish, sizing, fraction_add(sizing->distance, sizing->costs));
    return fraction_failed(sizing->unit_risk) ? too_large(error) : ERROR_NONE;
}

static int set_allowed(const struct size_wish *wish, struct sizing *sizing, struct error *error)
{
    struct fraction share = fraction_divide(wish->risk.percent, fraction_of(100, 1));
    sizing->allowed = wish->risk.money;
    if (wish->risk.by_percent &&
        !money_at_most(fraction_multiply(money_fraction(&wish->balance), share),
                       &wish->balance.currency, &sizing->allowed))
        return too_large(error);
    if (sizing->allowed.units <= 0)
        return error_set(error, ERROR_INPUT,
                         wish->balance.units <= 0 ? "the account holds nothing that could be risked"
                                                  : "the risk is less than the smallest coin");
    if (wish->limited && wish->room.units < sizing->allowed.units) {
        sizing->allowed = wish->room;
        sizing->bound = SIZE_BY_ROOM;
    }
    return ERROR_NONE;
}

/* --- the size ----------------------------------------------------------------------------- */

/* How many steps of `each` fit into `whole` less `fixed`; below 0 where the fixed part alone is
 * too much. */
static bool steps_within(struct fraction whole, struct fraction fixed, struct fraction each,
                         int64_t *steps)
{
    return fraction_floor(fraction_divide(fraction_subtract(whole, fixed), each), steps);
}

static bool least_steps(const struct size_wish *wish, int64_t *steps)
{
    struct fraction step = fraction_of_number(wish->instrument.size_step);
    struct fraction least = fraction_of_number(wish->instrument.smallest_size);
    if (!(wish->instrument.smallest_size > 0)) {
        *steps = 1;
        return true;
    }
    return fraction_ceiling(fraction_divide(least, step), steps);
}

static bool bound_by_leverage(const struct size_wish *wish, struct sizing *sizing)
{
    struct fraction leverage = lower_leverage(wish);
    struct fraction most = fraction_multiply(money_fraction(&wish->balance), leverage);
    struct fraction each = notional_of(wish, sizing, size_of(wish, 1));
    int64_t steps;
    if (fraction_failed(leverage))
        return true;
    if (!money_at_most(most, &wish->balance.currency, &sizing->most_notional))
        return false;
    if (fraction_sign(each) == 0 && !fraction_failed(each))
        return true;
    if (!steps_within(money_fraction(&sizing->most_notional), fraction_of(0, 1), each, &steps))
        return false;
    if (steps < sizing->steps) {
        sizing->steps = steps;
        sizing->bound = SIZE_BY_LEVERAGE;
    }
    return true;
}

static int set_steps(const struct size_wish *wish, struct sizing *sizing, struct error *error)
{
    struct fraction each = fraction_multiply(sizing->unit_risk, size_of(wish, 1));
    int64_t least;
    if (!steps_within(money_fraction(&sizing->allowed), fixed_costs(wish, sizing), each,
                      &sizing->steps) ||
        !bound_by_leverage(wish, sizing) || !least_steps(wish, &least) ||
        sizing->steps == INT64_MAX)
        return too_large(error);
    sizing->refused = sizing->steps < least;
    if (sizing->refused)
        sizing->steps = least;
    sizing->size = size_of(wish, sizing->steps);
    sizing->next = size_of(wish, sizing->steps + 1);
    return ERROR_NONE;
}

/* --- what it comes to ------------------------------------------------------------------------ */

static bool set_gapped(const struct size_wish *wish, struct sizing *sizing)
{
    struct fraction gap = sizing->is_short ? wish->gap : negative(wish->gap);
    struct fraction exit = fraction_add(sizing->stop, gap);
    if (fraction_failed(wish->gap))
        return true;
    struct fraction length = fraction_add(fraction_add(sizing->distance, wish->gap),
                                          costs_length(wish, sizing, exit, 2));
    struct fraction loss = fraction_add(fraction_multiply(money_for(wish, sizing, length),
                                                          sizing->size),
                                        fixed_costs(wish, sizing));
    return money_at_least(loss, &wish->balance.currency, &sizing->if_gapped);
}

static int set_money(const struct size_wish *wish, struct sizing *sizing, struct error *error)
{
    const struct currency *currency = &wish->balance.currency;
    struct fraction one_r = fraction_multiply(money_for(wish, sizing, sizing->distance),
                                              sizing->size);
    struct fraction loss = loss_of(wish, sizing, sizing->size);
    struct fraction costs = fraction_subtract(loss, one_r);
    struct fraction notional = notional_of(wish, sizing, sizing->size);
    bool held = money_at_least(loss, currency, &sizing->at_risk) &&
                money_at_least(loss_of(wish, sizing, sizing->next), currency,
                               &sizing->next_at_risk) &&
                money_at_least(costs, currency, &sizing->costs_paid) &&
                money_at_least(notional, currency, &sizing->notional);
    if (held && has_leverage(wish))
        held = money_at_least(fraction_divide(notional,
                                              fraction_of_number(wish->instrument.leverage)),
                              currency, &sizing->margin);
    sizing->costs_r = fraction_divide(costs, one_r);
    return held && set_gapped(wish, sizing) ? ERROR_NONE : too_large(error);
}

struct fraction size_reward(const struct size_wish *wish, const struct sizing *sizing,
                            struct fraction target)
{
    const struct instrument *instrument = &wish->instrument;
    struct fraction way = fraction_subtract(target, sizing->entry);
    struct fraction once = fraction_divide(fraction_of_number(
                                               instrument->costs.commission_per_trade),
                                           fraction_multiply(fraction_of_number(
                                                                 instrument->point_value),
                                                             sizing->size));
    struct fraction paid = fraction_add(costs_length(wish, sizing, target, 1), once);
    way = sizing->is_short ? negative(way) : way;
    return fraction_divide(fraction_subtract(way, paid), sizing->distance);
}

int size_work_out(const struct size_wish *wish, struct sizing *sizing, struct error *error)
{
    *sizing = (struct sizing){.bound = SIZE_BY_RISK};
    int code = set_prices(wish, sizing, error);
    if (code == ERROR_NONE)
        code = set_rate(wish, sizing, error);
    if (code == ERROR_NONE)
        code = set_unit_risk(wish, sizing, error);
    if (code == ERROR_NONE)
        code = set_allowed(wish, sizing, error);
    if (code == ERROR_NONE)
        code = set_steps(wish, sizing, error);
    return code == ERROR_NONE ? set_money(wish, sizing, error) : code;
}
