#include "trade/plan.h"

#include "trade/position.h"

#include <math.h>

/* From the chart to the own side, and back. */
static double turned(const struct simulation *simulation, double price)
{
    return simulation->short_side && price != 0 ? -price : price;
}

/* A line of the chart on the own side, on its nearest tick. */
static double on_tick(const struct simulation *simulation, double price)
{
    size_t s = simulation->signal.at;
    if (isnan(price))
        return NAN;
    return order_round_down(simulation, s,
                            turned(simulation, price) + order_ticks(simulation, s, 0.5));
}

static double target_of(const struct simulation *simulation, const struct fill *fill, double moved,
                        size_t *count)
{
    struct position position;
    *count = 0;
    if (fill->price > fill->stop) {
        position_begin(&position, simulation, fill, NULL);
        *count = position.target_count;
    }
    if (!isnan(moved))
        return moved;
    return *count > 0 ? position.targets[0].price : NAN;
}

/* Both orders: a target fills at its own price. */
static double costs_at(const struct simulation *simulation, const struct fill *fill, double exit,
                       bool slips)
{
    size_t s = simulation->signal.at;
    return order_costs(simulation, s, fill->price, true, true) +
           order_costs(simulation, s, exit, false, slips);
}

void trade_plan(const struct setup_view *view, const struct trade_terms *terms,
                const struct signal *signal, const struct planned_lines *lines,
                struct planned_orders *orders)
{
    size_t s = signal->at;
    struct simulation simulation = {.view = view,
                                    .terms = terms,
                                    .setup = view->setup,
                                    .bars = sheet_bars(view->own),
                                    .count = s + 1,
                                    .atr = sheet_atr(view->own, 14),
                                    .signal = *signal,
                                    .short_side = view->setup->side == SIDE_SHORT};
    *orders = (struct planned_orders){.note = "out of memory",
                                      .entry = NAN,
                                      .stop = NAN,
                                      .target = NAN,
                                      .risk = NAN,
                                      .at_target = NAN,
                                      .costs_stop = NAN,
                                      .costs_target = NAN,
                                      .close = turned(&simulation, simulation.bars->close[s]),
                                      .atr = NAN,
                                      .tick = order_ticks(&simulation, s, 1)};
    if (simulation.atr == NULL)
        return;
    orders->atr = simulation.atr[s];
    struct fill fill = plan_fill(&simulation, on_tick(&simulation, lines->entry),
                                 on_tick(&simulation, lines->stop));
    bool waits = fill.outcome == TRADE_WAITING;
    orders->note = waits ? "" : fill.note;
    if (!waits)
        return;
    double target = target_of(&simulation, &fill, on_tick(&simulation, lines->target),
                              &orders->targets);
    orders->entry = turned(&simulation, fill.price);
    orders->stop = turned(&simulation, fill.stop);
    orders->target = turned(&simulation, target);
    orders->risk = fill.price > fill.stop ? fill.price - fill.stop : NAN;
    orders->at_target = target - fill.price;
    orders->costs_stop = costs_at(&simulation, &fill, fill.stop, true);
    orders->costs_target = costs_at(&simulation, &fill, target, false);
}
