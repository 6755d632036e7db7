/* Asking a bar: the prices at which its criteria turn.
 *
 * By hand: one inverted hammer, its turns worked out with pencil and paper (the
 * arithmetic stands beside each). By brute force: random bars under random
 * setups, each turn asked again of a bar changed to just before and just beyond
 * it, and where no turn is named, bars changed at random in between.
 *
 *   work_explain_test [CASES [SEED]] */
#include "random_market.h"
#include "random_setup.h"
#include "work/explain.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static size_t cases = 800;
static unsigned long long seed = 20261128;

enum { TRIES_BETWEEN = 12 };

static struct {
    size_t turns;
    size_t none;
    size_t together;
} seen;

/* --- by hand -------------------------------------------------------------------------- */

static const char hammer[] = "setup: hand\n"
                             "side: long\n"
                             "candle: {shape: inverted-hammer}\n"
                             "place:\n"
                             "  - lowest_low: {bars: 10}\n"
                             "entry: {on: break_of_high, valid: 3}\n"
                             "stop: {at: candle_low}\n"
                             "exit:\n"
                             "  targets: [{r: 2, share: 1}]\n";

/* Twenty bars of range 10 each, falling by 2, whose ATR(14) is 10 (each true
 * range is 10: the gap to the close before is less); the lowest low is 552. */
static void fill_by_hand(struct bars *bars)
{
    struct error error = {0};
    bars_init(bars);
    for (int i = 0; i < 20; i++) {
        double low = 590 - 2 * i;
        struct bar bar = {i * 86400LL, low + 6, low + 10, low, low + 5, NAN};
        assert_int_equal(bars_append(bars, &bar, &error), ERROR_NONE);
    }
    struct bar asked = {20 * 86400LL, 551.5, 559.75, 549, 549, NAN};
    assert_int_equal(bars_append(bars, &asked, &error), ERROR_NONE);
    assert_true(interval_parse("1d", &bars->interval));
}

static const struct turn *turn_of(const struct explained *explained, enum bar_price price)
{
    for (size_t i = 0; i < explained->turn_count; i++)
        if (explained->turns[i].price == price)
            return &explained->turns[i];
    return NULL;
}

static void expect_turn(const struct explained *explained, enum bar_price price, double at,
                        double first)
{
    const struct turn *turn = turn_of(explained, price);
    assert_non_null(turn);
    assert_float_equal(turn->at, at, 1e-6);
    assert_float_equal(turn->first, first, 1e-9);
}

static void expect_nearly(const struct nearly *nearly, const char *shape, double value,
                          double missed_by)
{
    assert_true(nearly->found);
    assert_string_equal(shape_name(&nearly->choice), shape);
    assert_float_equal(nearly->missed.value, value, 1e-12);
    assert_float_equal(nearly->missed_by, missed_by, 1e-12);
}

static void open_case(struct rules_case *opened, const struct setup *setup, struct bars *bars,
                      double tick)
{
    struct error error = {0};
    *opened = (struct rules_case){.series = {.bars = *bars}};
    assert_true(instrument_init(&opened->series.instrument, "asked"));
    opened->series.instrument.tick_known = tick > 0;
    opened->series.instrument.tick.value = tick;
    opened->sheet = sheet_of_instrument(&opened->series.bars, &opened->series.instrument);
    assert_non_null(opened->sheet);
    assert_int_equal(setup_view_init(&opened->view, setup, opened->sheet, &opened->around, &error),
                     ERROR_NONE);
}

static void test_by_hand(void **state)
{
    struct bars bars;
    struct setup setup;
    struct rules_case opened;
    struct explanation found;
    struct error error = {0};
    (void)state;
    fill_by_hand(&bars);
    if (setup_read(&setup, "hand", hammer, strlen(hammer), &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    open_case(&opened, &setup, &bars, 0.25);
    assert_int_equal(explain_bar(&opened, true, 20, &found, &error), ERROR_NONE);
    assert_true(found.over);
    assert_true(found.checklist.met);
    assert_int_equal(found.shape_count, 2);
    assert_string_equal(shape_name(&found.shapes[0]), "inverted-hammer");
    assert_string_equal(shape_name(&found.shapes[1]), "shooting-star");
    /* Upper shadow 8.25, body 2.5, at least 2 bodies: high - 551.5 = 5. */
    expect_turn(&found.criteria[0], BAR_HIGH, 556.5, 556.25);
    /* Lower shadow at most a tenth: 549 - L = (559.75 - L) / 10, L = 493.025 / 0.9. */
    expect_turn(&found.criteria[1], BAR_LOW, 493.025 / 0.9, 547.75);
    /* Body at most 0.34 of the range: H = 549 + 2.5 / 0.34. */
    expect_turn(&found.criteria[2], BAR_HIGH, 549 + 2.5 / 0.34, 556.25);
    /* Range at least half the ATR before, which is 10: H = 549 + 5. */
    expect_turn(&found.criteria[3], BAR_HIGH, 554, 553.75);
    /* The low at or below 552, the lowest before; open and close go along. */
    expect_turn(&found.criteria[4], BAR_LOW, 552, 552.25);
    assert_true(turn_of(&found.criteria[4], BAR_LOW)->stretches);
    assert_null(turn_of(&found.criteria[4], BAR_CLOSE));
    /* The least missed first, by the share of the limit: a bearish marubozu's body of at
     * least 0.95 of the range is 2.5 / 10.75, a spinning top's lower shadow of at least
     * one body is nothing. A gravestone's body of at most 0.05 is missed by more than
     * three times that, and so it is not nearly one. */
    expect_nearly(&found.nearly[0], "bearish-marubozu", 2.5 / 10.75, 0.95 - 2.5 / 10.75);
    expect_nearly(&found.nearly[1], "spinning-top", 0, 1);
    sheet_free(opened.sheet);
    setup_free(&setup);
    bars_free(&bars);
}

/* --- by brute force --------------------------------------------------------------------- */

static double price_of(const struct bar *bar, enum bar_price price)
{
    const double prices[] = {bar->open, bar->high, bar->low, bar->close};
    return prices[price];
}

/* The criteria of the moved bar, read afresh. */
static void read_moved(const struct rules_case *opened, const struct explanation *found,
                       size_t choice, const struct bar *moved, bool met[CHECK_LIMIT])
{
    struct bars bars;
    struct readings readings;
    struct error error = {0};
    size_t at = found->bar;
    assert_int_equal(bars_slice(&bars, &opened->series.bars, 0, at + 1, &error), ERROR_NONE);
    bars.open[at] = moved->open;
    bars.high[at] = moved->high;
    bars.low[at] = moved->low;
    bars.close[at] = moved->close;
    struct sheet *sheet = sheet_new(&bars, NULL);
    assert_non_null(sheet);
    struct setup_view view;
    struct candle candle = {.choice = choice,
                            .first = at + 1 - opened->view.setup->candles[choice].shape->bars,
                            .at = at};
    assert_int_equal(setup_view_init(&view, opened->view.setup, sheet, &opened->around, &error),
                     ERROR_NONE);
    shape_fits(&opened->view.setup->candles[choice], sheet, at, &readings);
    const struct setup *setup = opened->view.setup;
    size_t rest = setup->place.count + setup->confirm.count;
    for (size_t i = 0; i < found->count - rest; i++)
        met[i] = i < readings.count && readings.list[i].met == TRUTH_YES;
    for (size_t i = 0; i < rest; i++) {
        const struct criterion *criterion = i < setup->place.count
                                                ? &setup->place.list[i]
                                                : &setup->confirm.list[i - setup->place.count];
        met[found->count - rest + i] = criterion_holds(&view, criterion, &candle, at) == TRUTH_YES;
    }
    sheet_free(sheet);
    bars_free(&bars);
}

struct asking {
    const struct rules_case *opened;
    const struct explanation *found;
    size_t choice;
    size_t count; /* criteria of the candle */
    double room;  /* around a turn */
};

static void met_at(const struct asking *asking, enum bar_price price, double at,
                   bool met[CHECK_LIMIT])
{
    struct bar moved = explain_moved(asking->found->prices, price, at);
    read_moved(asking->opened, asking->found, asking->choice, &moved, met);
}

/* The turn of a criterion above or below the bar's own price; NULL: none. */
static const struct turn *turn_towards(const struct asking *asking, size_t number,
                                       enum bar_price price, bool up)
{
    const struct explained *explained = &asking->found->criteria[number];
    for (size_t i = 0; i < explained->turn_count; i++)
        if (explained->turns[i].price == price && explained->turns[i].up == up)
            return &explained->turns[i];
    return NULL;
}

static void check_turn(const struct asking *asking, size_t number, const struct turn *turn)
{
    bool before[CHECK_LIMIT];
    bool beyond[CHECK_LIMIT];
    double here = price_of(&asking->found->prices, turn->price);
    bool up = turn->up;
    bool own = asking->found->criteria[number].check.holds == TRUTH_YES;
    double step = up ? asking->room : -asking->room;
    double near = turn->at - step;
    if (up ? near < here : near > here)
        near = here;
    met_at(asking, turn->price, near, before);
    met_at(asking, turn->price, turn->at + step, beyond);
    /* A body against one of no length at all: it turns on that price only. */
    if (beyond[number] == own)
        met_at(asking, turn->price, turn->at, beyond);
    if (before[number] != own || beyond[number] == own)
        fail_msg("%s of %.17g: criterion %zu of %s does not turn at %.17g",
                 bar_price_words[turn->price], here, number,
                 asking->found->criteria[number].check.rule, turn->at);
    seen.turns++;
    for (size_t i = 0; i < asking->count; i++) {
        const struct turn *other = turn_towards(asking, i, turn->price, up);
        if (i == number || before[i] == beyond[i])
            continue;
        /* It turns here too; or it turned before, and now turns back. */
        assert_non_null(other);
        assert_true(fabs(other->at - turn->at) <= 2 * asking->room ||
                    fabs(other->at - here) < fabs(turn->at - here));
        seen.together++;
    }
}

/* Between the bar's own price and the turn, or as far as is looked, the answer
 * stays. */
static void check_between(const struct asking *asking, size_t number, enum bar_price price, bool up,
                          struct random_stream *stream)
{
    const struct bar *own = &asking->found->prices;
    const struct turn *turn = turn_towards(asking, number, price, up);
    double here = price_of(own, price);
    double scale = fmax(isnan(asking->found->atr) ? 0 : asking->found->atr,
                        asking->found->parts.range);
    double end = here + (up ? 1 : -1) * TURN_REACH * scale;
    if (turn != NULL)
        end = turn->at + (up ? -1 : 1) * asking->room;
    else
        seen.none++;
    double range = TURN_LEAST_RANGE * fmax(fabs(own->high), fabs(own->low));
    if (!up && price == BAR_HIGH)
        end = fmax(end, own->low + range);
    if (up && price == BAR_LOW)
        end = fmin(end, own->high - range);
    if (own->low > 0 && end <= 0)
        end = own->low * 1e-3;
    if (up ? end <= here : end >= here)
        return;
    for (int i = 0; i < TRIES_BETWEEN; i++) {
        bool met[CHECK_LIMIT];
        double share = (double)random_between(stream, 1, 9999) / 10000;
        met_at(asking, price, here + (end - here) * share * share, met);
        if (met[number] != (asking->found->criteria[number].check.holds == TRUTH_YES))
            fail_msg("criterion %zu (%s), %s %.17g of own %.17g, turn %.17g", number,
                     asking->found->criteria[number].check.rule, bar_price_words[price],
                     here + (end - here) * share * share, here, turn != NULL ? turn->at : NAN);
    }
}

static size_t choice_of(const struct setup *setup, const char *name)
{
    for (size_t i = 0; i < setup->candle_count; i++)
        if (strcmp(shape_name(&setup->candles[i]), name) == 0)
            return i;
    return 0;
}

static void check_case(const struct rules_case *opened, size_t bar, struct random_stream *stream)
{
    struct explanation found;
    struct error error = {0};
    struct asking asking = {.opened = opened, .found = &found};
    if (explain_bar(opened, true, bar, &found, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    while (asking.count < found.count && found.criteria[asking.count].check.section == CHECK_CANDLE)
        asking.count++;
    if (asking.count == 0)
        return;
    /* Of two choices of one name the limits may differ: no telling which. */
    asking.choice = choice_of(opened->view.setup, found.criteria[0].check.rule);
    double largest = fmax(fabs(found.prices.high), fabs(found.prices.low));
    asking.room = 2 * TURN_TOLERANCE * (largest + TURN_REACH * found.parts.range);
    for (size_t i = 0; i < found.count; i++)
        for (size_t k = 0; k < found.criteria[i].turn_count; k++)
            check_turn(&asking, i, &found.criteria[i].turns[k]);
    for (size_t i = 0; i < asking.count; i++) {
        for (int price = 0; price < BAR_PRICES; price++) {
            check_between(&asking, i, (enum bar_price)price, true, stream);
            check_between(&asking, i, (enum bar_price)price, false, stream);
        }
    }
}

static bool one_name_each(const struct setup *setup)
{
    for (size_t i = 0; i < setup->candle_count; i++)
        if (choice_of(setup, shape_name(&setup->candles[i])) != i)
            return false;
    return true;
}

/* Random bars up to `most`, asked under random setups. */
static void ask_many(size_t first, size_t last, size_t most)
{
    for (size_t number = first; number < last; number++) {
        struct random_stream stream;
        struct random_market market;
        struct setup setup;
        struct rules_case opened;
        struct error error = {0};
        struct text yaml;
        random_start(&stream, seed, number);
        assert_true(random_market_init(&market, &stream, most));
        text_init(&yaml);
        random_setup(&yaml, &stream, market.bars.interval, (unsigned)number);
        if (setup_read(&setup, "random", yaml.bytes, yaml.length, &error) != ERROR_NONE)
            fail_msg("%s", error.text);
        open_case(&opened, &setup, &market.bars, market.tick.value);
        opened.around = market.around;
        size_t bar = (size_t)random_between(&stream, 15, (int64_t)market.bars.count - 1);
        if (bar < bars_complete(&market.bars) && one_name_each(&setup))
            check_case(&opened, bar, &stream);
        sheet_free(opened.sheet);
        setup_free(&setup);
        text_free(&yaml);
        random_market_free(&market);
    }
}

static void test_random(void **state)
{
    (void)state;
    ask_many(0, cases, 90);
    printf("%zu turns, %zu of them with others, %zu times none\n", seen.turns, seen.together,
           seen.none);
    assert_true(seen.turns > cases);
    assert_true(seen.none > cases);
}

/* Of a long past only the end is taken; the turns are those of all of it. */
static void test_long_past(void **state)
{
    (void)state;
    ask_many(1000000, 1000000 + cases / 25, 4000);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_by_hand),
        cmocka_unit_test(test_random),
        cmocka_unit_test(test_long_past),
    };
    if (argc > 1)
        cases = strtoul(argv[1], NULL, 10);
    if (argc > 2)
        seed = strtoull(argv[2], NULL, 10);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
