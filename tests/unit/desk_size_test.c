/* Sizes worked out by hand, the arithmetic beside each, and what holds of all of
 * them (docs/method.md 9.1 to 9.7). Dividing what may be lost by what a unit loses is
 * common practice, no source. */
#include "base/random.h"
#include "desk/gap.h"
#include "desk/size.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

struct example {
    const char *entry, *stop, *risk, *balance, *account;
    const char *currency, *rates; /* of the instrument; pairs, with blanks between */
    double tick, point_value, size_step, smallest_size, leverage;
    struct costs costs;
    const char *gap, *room, *own_leverage;
    /* What has to come out; NULL: not asked. */
    const char *size, *at_risk, *next_at_risk, *notional, *margin, *costs_paid, *if_gapped;
    bool refused;
    enum size_bound bound;
};

static struct fraction decimal(const char *text)
{
    struct fraction fraction;
    if (!fraction_read(text, strlen(text), &fraction))
        fail_msg("'%s' is no decimal", text);
    return fraction;
}

static struct money amount(const char *text, const char *code)
{
    struct currency currency;
    struct money money;
    struct error error;
    assert_int_equal(currency_find(code, &currency, &error), 0);
    if (money_read("amount", text, &currency, &money, &error) != 0)
        fail_msg("%s", error.text);
    return money;
}

static void read_rates(const char *text, struct rates *rates)
{
    char pair[16], price[32];
    int taken = 0;
    for (; text != NULL && sscanf(text, "%15s %31s%n", pair, price, &taken) == 2; text += taken) {
        struct rate rate = {.price = decimal(price)};
        struct error error;
        assert_true(rate_pair_read(pair, strlen(pair), &rate));
        assert_int_equal(rates_add(rates, &rate, &error), 0);
    }
}

static void read_wish(const struct example *e, struct size_wish *wish)
{
    const char *account = e->account != NULL ? e->account : "EUR";
    assert_true(instrument_init(&wish->instrument, "it"));
    if (e->tick > 0)
        wish->instrument.tick_known = tick_from_number(&wish->instrument.tick, e->tick);
    if (e->point_value > 0)
        wish->instrument.point_value = e->point_value;
    if (e->size_step > 0)
        wish->instrument.size_step = e->size_step;
    wish->instrument.smallest_size = e->smallest_size;
    wish->instrument.leverage = e->leverage;
    wish->instrument.costs = e->costs;
    if (e->currency != NULL)
        strcpy(wish->instrument.currency, e->currency);
    wish->entry = decimal(e->entry);
    wish->stop = decimal(e->stop);
    wish->balance = amount(e->balance != NULL ? e->balance : "25000", account);
    struct error error;
    assert_int_equal(risk_read("risk", e->risk, &wish->balance.currency, &wish->risk, &error), 0);
    wish->gap = e->gap != NULL ? decimal(e->gap) : fraction_of_number(NAN);
    wish->own_leverage = e->own_leverage != NULL ? decimal(e->own_leverage)
                                                 : fraction_of_number(NAN);
    wish->limited = e->room != NULL;
    if (wish->limited)
        wish->room = amount(e->room, account);
}

static int work_out(const struct example *e, struct size_wish *wish, struct sizing *sizing,
                    struct error *error)
{
    static struct rates rates;
    rates = (struct rates){0};
    *wish = (struct size_wish){.rates = &rates};
    read_rates(e->rates, &rates);
    read_wish(e, wish);
    return size_work_out(wish, sizing, error);
}

static void money_is(const struct money *found, const char *expected, const char *what, size_t i)
{
    char text[MONEY_TEXT_SIZE];
    money_format(text, found);
    if (expected != NULL && strcmp(text, expected) != 0)
        fail_msg("example %zu, %s: %s, not %s", i + 1, what, text, expected);
}

/* 9.1 sizes, 9.2 costs, 9.3 leverage and open risk, 9.4 no size, 9.5 rounding. */
static const struct example examples[] = {
    /* 1 % of 25,000 is 250; 250 / (560 - 548.75) = 22.2; 22 x 11.25, 23 x 11.25; 22 x 560 */
    {.entry = "560",
     .stop = "548.75",
     .risk = "1%",
     .size = "22",
     .at_risk = "247.50",
     .next_at_risk = "258.75",
     .notional = "12320.00",
     .costs_paid = "0.00"},
    /* the same sold short: 22 x 548.75 */
    {.entry = "548.75",
     .stop = "560",
     .risk = "250",
     .size = "22",
     .at_risk = "247.50",
     .next_at_risk = "258.75",
     .notional = "12072.50"},
    /* dollars for euros: a unit loses 2 / 1.08; 500 x 1.08 / 2 = 270 just; 271 x 2 / 1.08 =
     * 501.851… */
    {.entry = "50",
     .stop = "48",
     .risk = "500",
     .currency = "USD",
     .rates = "EUR/USD 1.08",
     .size = "270",
     .at_risk = "500.00",
     .next_at_risk = "501.86",
     .notional = "12500.00"},
    /* yen for euros over dollars: 1.10 x 150 = 165 yen; 100 x 165 / 50 = 330; 331 x 50 / 165 =
     * 100.303… */
    {.entry = "3000",
     .stop = "2950",
     .risk = "1%",
     .balance = "10000",
     .currency = "JPY",
     .rates = "EUR/USD 1.10 USD/JPY 150",
     .size = "330",
     .at_risk = "100.00",
     .next_at_risk = "100.31",
     .notional = "6000.00"},
    /* hundredths of a lot of 100,000: 0.005 x 100,000 = 500 a lot; 200 / 500 = 0.4 */
    {.entry = "1.1009",
     .stop = "1.0959",
     .risk = "200",
     .account = "USD",
     .currency = "USD",
     .point_value = 100000,
     .size_step = 0.01,
     .size = "0.4",
     .at_risk = "200.00",
     .next_at_risk = "205.00",
     .notional = "44036.00"},
    /* hundreds: 180 / 0.50 = 360, so 300; 400 would lose 200 */
    {.entry = "12.40",
     .stop = "11.90",
     .risk = "180",
     .size_step = 100,
     .size = "300",
     .at_risk = "150.00",
     .next_at_risk = "200.00"},
    /* one contract loses 20 x 50 = 1,000, and 500 may be lost */
    {.entry = "4500",
     .stop = "4480",
     .risk = "500",
     .point_value = 50,
     .size = "1",
     .at_risk = "1000.00",
     .refused = true},
    /* 95 / 10 = 9, and ten is the least */
    {.entry = "100",
     .stop = "90",
     .risk = "95",
     .smallest_size = 10,
     .size = "10",
     .at_risk = "100.00",
     .refused = true},
    /* the risk allows 100 / 0.4 = 250, twice the balance 20,000 / 100 = 200 */
    {.entry = "100",
     .stop = "99.6",
     .risk = "1%",
     .balance = "10000",
     .leverage = 2,
     .size = "200",
     .at_risk = "80.00",
     .next_at_risk = "80.40",
     .margin = "10000.00",
     .bound = SIZE_BY_LEVERAGE},
    /* the same with a limit of one's own, which is lower, then one that is higher: half of 10,000
     * over 100, and what is asked for stays half of its worth */
    {.entry = "100",
     .stop = "99.6",
     .risk = "1%",
     .balance = "10000",
     .leverage = 2,
     .own_leverage = "0.5",
     .size = "50",
     .notional = "5000.00",
     .margin = "2500.00",
     .bound = SIZE_BY_LEVERAGE},
    {.entry = "100",
     .stop = "99.6",
     .risk = "1%",
     .balance = "10000",
     .leverage = 2,
     .own_leverage = "3",
     .size = "200",
     .margin = "10000.00",
     .bound = SIZE_BY_LEVERAGE},
    {.entry = "100",
     .stop = "99.6",
     .risk = "1%",
     .balance = "10000",
     .own_leverage = "0.5",
     .size = "50",
     .bound = SIZE_BY_LEVERAGE},
    /* 1.5 x 100.01 is 150.015, of which 150.01 can be had: 30,002 of half a cent; 30,003 would be
     * worth 150.015, rounded up 150.02 */
    {.entry = "0.005",
     .stop = "0.004",
     .risk = "100%",
     .balance = "100.01",
     .leverage = 1.5,
     .size = "30002",
     .notional = "150.01",
     .bound = SIZE_BY_LEVERAGE},
    /* one is worth 1,500, and the account holds 1,000 */
    {.entry = "1500",
     .stop = "1490",
     .risk = "10",
     .balance = "1000",
     .leverage = 1,
     .size = "1",
     .notional = "1500.00",
     .refused = true,
     .bound = SIZE_BY_LEVERAGE},
    /* costs of a unit 0.04 + 2 x 0.03 + 0.1 % x (20 + 19) + 2 x 0.01 = 0.159; (200 - 5) / 1.159
     * = 168.2; 168 x 1.159 + 5 = 199.712; 169 x 1.159 + 5 = 200.871; 168 x 0.159 + 5 = 31.712 */
    {.entry = "20",
     .stop = "19",
     .risk = "200",
     .costs = {0.04, 0.03, 0.01, 0.1, 5, 0},
     .size = "168",
     .at_risk = "199.72",
     .next_at_risk = "200.88",
     .costs_paid = "31.72"},
    /* prices below 0: 2.50 x 1,000 a contract; 6,000 / 2,500 = 2.4; worth 2 x 37.60 x 1,000 */
    {.entry = "-37.60",
     .stop = "-40.10",
     .risk = "6000",
     .point_value = 1000,
     .size = "2",
     .at_risk = "5000.00",
     .next_at_risk = "7500.00",
     .notional = "75200.00"},
    /* pence: a point is 0.01 pounds; 100 / 0.345 = 289.8; 289 x 0.345 = 99.705 */
    {.entry = "1234.5",
     .stop = "1200",
     .risk = "100",
     .account = "GBP",
     .currency = "GBP",
     .point_value = 0.01,
     .size = "289",
     .at_risk = "99.71",
     .next_at_risk = "100.05",
     .notional = "3567.71"},
    /* cents a bushel, 5,000 bushels: 50 dollars a point; 11.50 x 50 = 575; 1,200 / 575 = 2.1 */
    {.entry = "560.25",
     .stop = "548.75",
     .risk = "1200",
     .account = "USD",
     .currency = "USD",
     .point_value = 50,
     .tick = 0.25,
     .size = "2",
     .at_risk = "1150.00",
     .next_at_risk = "1725.00"},
    /* between the ticks: 560.10 becomes 560.25 and 548.80 becomes 548.75; 250 / 11.50 = 21.7 */
    {.entry = "560.10",
     .stop = "548.80",
     .risk = "250",
     .tick = 0.25,
     .size = "21",
     .at_risk = "241.50",
     .next_at_risk = "253.00"},
    /* yen have no hundredths: 0.5 % of 1,000,001 is 5,000; 5,000 / 23 = 217.4 */
    {.entry = "1503",
     .stop = "1480",
     .risk = "0.5%",
     .balance = "1000001",
     .account = "JPY",
     .size = "217",
     .at_risk = "4991",
     .next_at_risk = "5014"},
    /* half of all that can be held */
    {.entry = "2",
     .stop = "1",
     .risk = "50%",
     .balance = "92233720368547758.07",
     .size = "46116860184273879",
     .at_risk = "46116860184273879.00"},
    /* the stop jumped by 3: 50 x (2 + 3) */
    {.entry = "100",
     .stop = "98",
     .risk = "100",
     .gap = "3",
     .size = "50",
     .at_risk = "100.00",
     .if_gapped = "250.00"},
    /* short, jumped upwards, 1 % of both fills: 0.98 + 1.00 as it is, 0.98 + 1.03 jumped;
     * 100 / 3.98 = 25.1; 25 x 3.98; 25 x (2 + 3 + 2.01) */
    {.entry = "98",
     .stop = "100",
     .risk = "100",
     .gap = "3",
     .costs = {0, 0, 0, 1, 0, 0},
     .size = "25",
     .at_risk = "99.50",
     .if_gapped = "175.25"},
    /* open positions leave 60 of the 100: 60 / 2 */
    {.entry = "100",
     .stop = "98",
     .risk = "100",
     .room = "60",
     .size = "30",
     .at_risk = "60.00",
     .bound = SIZE_BY_ROOM},
    /* they leave nothing */
    {.entry = "100",
     .stop = "98",
     .risk = "100",
     .room = "-5",
     .size = "1",
     .at_risk = "2.00",
     .refused = true,
     .bound = SIZE_BY_ROOM},
    /* what is paid once is more than may be lost */
    {.entry = "100",
     .stop = "98",
     .risk = "10",
     .costs = {0, 0, 0, 0, 12, 0},
     .size = "1",
     .at_risk = "14.00",
     .refused = true},
};

static void worked_examples(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof examples / sizeof examples[0]; i++) {
        const struct example *e = &examples[i];
        struct size_wish wish;
        struct sizing found;
        struct error error;
        char size[FRACTION_TEXT_SIZE];
        if (work_out(e, &wish, &found, &error) != 0)
            fail_msg("example %zu: %s", i + 1, error.text);
        fraction_format(size, found.size, 0, 10);
        if (strcmp(size, e->size) != 0 || found.refused != e->refused || found.bound != e->bound)
            fail_msg("example %zu: size %s, refused %d, bound %d", i + 1, size, found.refused,
                     (int)found.bound);
        money_is(&found.at_risk, e->at_risk, "at risk", i);
        money_is(&found.next_at_risk, e->next_at_risk, "one step more", i);
        money_is(&found.notional, e->notional, "notional", i);
        money_is(&found.margin, e->margin, "margin", i);
        money_is(&found.costs_paid, e->costs_paid, "costs", i);
        money_is(&found.if_gapped, e->if_gapped, "if gapped", i);
    }
}

static void reward_is(const struct example *e, const char *target, const char *expected)
{
    struct size_wish wish;
    struct sizing found;
    struct error error;
    char text[FRACTION_TEXT_SIZE];
    if (work_out(e, &wish, &found, &error) != 0)
        fail_msg("%s", error.text);
    assert_int_equal(fraction_compare(found.size, decimal(e->size)), 0);
    fraction_format(text, size_reward(&wish, &found, decimal(target)), 0, 10);
    assert_string_equal(text, expected);
}

/* docs/method.md 9.12, of 50 units. To buy: spread 0.04, one slip 0.03, 0.1 % of 100 and of the
 * target, 2 x 0.01, 5 once for all 50. */
static void a_target_is_worth_its_way_less_the_costs(void **state)
{
    (void)state;
    const struct costs costs = {0.04, 0.03, 0.01, 0.1, 5, 0};
    const struct example bought = {.entry = "100",
                                   .stop = "98",
                                   .risk = "122",
                                   .costs = costs,
                                   .size = "50"};
    const struct example sold = {.entry = "100",
                                 .stop = "102",
                                 .risk = "122",
                                 .costs = costs,
                                 .size = "50"};
    /* (5 - 0.04 - 0.03 - 0.205 - 0.02 - 0.1) / 2, (0.1 - 0.3901) / 2, (5 - 0.385) / 2 */
    reward_is(&bought, "105", "2.3025");
    reward_is(&bought, "100.1", "-0.14505");
    reward_is(&sold, "95", "2.3075");
    /* On the side of the stop it is a loss. */
    reward_is(&sold, "101", "-0.6955");
}

static void what_cannot_be_sized_is_an_error(void **state)
{
    (void)state;
    static const struct {
        struct example example;
        const char *says;
    } bad[] = {
        {{.entry = "100", .stop = "100", .risk = "1%"}, "the same price"},
        {{.entry = "100", .stop = "99", .risk = "1%", .balance = "0"}, "holds nothing"},
        {{.entry = "100", .stop = "99", .risk = "1%", .balance = "0.50"}, "smallest coin"},
        {{.entry = "100", .stop = "99", .risk = "1%", .currency = "USD"}, "from USD to EUR"},
        {{.entry = "100",
          .stop = "99",
          .risk = "1%",
          .currency = "USD",
          .rates = "EUR/GBP 0.8 USD/JPY 150"},
         "from USD to EUR"},
        {{.entry = "2", .stop = "1", .risk = "100%", .balance = "92233720368547758.07"},
         "too large"},
        {{.entry = "2",
          .stop = "1.9999",
          .risk = "100%",
          .balance = "92233720368547758.07",
          .size_step = 0.0001},
         "too large"},
        {{.entry = "1e35", .stop = "-1e35", .risk = "1%", .point_value = 1000}, "too large"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        struct size_wish wish;
        struct sizing found;
        struct error error;
        assert_int_equal(work_out(&bad[i].example, &wish, &found, &error), ERROR_INPUT);
        if (strstr(error.text, bad[i].says) == NULL)
            fail_msg("%zu: '%s' does not say '%s'", i, error.text, bad[i].says);
    }
}

/* --- of all sizes ------------------------------------------------------------------ */

static int64_t drawn(struct random_stream *random, int64_t least, int64_t most)
{
    return least + (int64_t)random_below(random, (uint64_t)(most - least + 1));
}

/* The loss in whole numbers of 10^-13 of the account's unit times 10^4, worked out
 * anew: prices in hundredths, a point in tenths, steps in thousandths, the rate in
 * ten-thousandths, costs in hundredths of a price and of money. */
struct whole_terms {
    int64_t entry, stop, point, step, rate, spread, once;
};

static wide whole_loss(const struct whole_terms *t, int64_t steps)
{
    int64_t away = t->entry > t->stop ? t->entry - t->stop : t->stop - t->entry;
    wide of_size = (wide)(away + t->spread) * t->point * t->step * steps;
    return (of_size + (wide)t->once * 10 * 1000) * t->rate;
}

static void draw_terms(struct random_stream *random, struct whole_terms *t, struct size_wish *wish,
                       struct rates *rates)
{
    struct error error;
    struct rate rate = {"USD", "EUR", {0, 0}, false, 0};
    *t = (struct whole_terms){.entry = drawn(random, -5000, 200000),
                              .point = drawn(random, 1, 2000),
                              .step = drawn(random, 1, 5000),
                              .rate = drawn(random, 100, 200000),
                              .spread = drawn(random, 0, 50),
                              .once = drawn(random, 0, 300)};
    t->stop = t->entry + drawn(random, 1, 3000) * (random_below(random, 2) == 0 ? 1 : -1);
    *wish = (struct size_wish){.entry = fraction_of(t->entry, 100),
                               .stop = fraction_of(t->stop, 100),
                               .balance = amount("25000", "EUR"),
                               .gap = fraction_of_number(NAN),
                               .rates = rates};
    assert_true(instrument_init(&wish->instrument, "it"));
    strcpy(wish->instrument.currency, "USD");
    wish->instrument.point_value = (double)t->point / 10;
    wish->instrument.size_step = (double)t->step / 1000;
    wish->instrument.costs.spread = (double)t->spread / 100;
    wish->instrument.costs.commission_per_trade = (double)t->once / 100;
    wish->risk.money = wish->balance;
    wish->risk.money.units = drawn(random, 1, 10000000);
    *rates = (struct rates){0};
    rate.price = fraction_of(t->rate, 10000);
    assert_int_equal(rates_add(rates, &rate, &error), 0);
}

static void the_stop_never_loses_more_and_one_step_more_would(void **state)
{
    (void)state;
    struct random_stream random;
    size_t sized = 0;
    random_start(&random, 20261128, 0);
    for (int i = 0; i < 20000; i++) {
        struct whole_terms terms;
        struct size_wish wish;
        struct rates rates;
        struct sizing found;
        struct error error;
        draw_terms(&random, &terms, &wish, &rates);
        if (size_work_out(&wish, &found, &error) != 0)
            fail_msg("%s", error.text);
        /* 10^-2 x 10^-1 x 10^-3 x 10^-4, against hundredths of a euro */
        wide allowed = (wide)wish.risk.money.units * 100000000;
        wide of_size = whole_loss(&terms, found.steps);
        wide of_next = whole_loss(&terms, found.steps + 1);
        assert_true(found.refused ? of_size > allowed : of_size <= allowed && of_next > allowed);
        assert_true(found.refused == (found.at_risk.units > wish.risk.money.units));
        assert_true(found.next_at_risk.units > wish.risk.money.units);
        assert_true((wide)found.at_risk.units * 100000000 >= of_size);
        assert_true((wide)(found.at_risk.units - 1) * 100000000 < of_size);
        sized += !found.refused;
    }
    assert_true(sized > 6000 && sized < 19800);
}

/* --- rates and gaps --------------------------------------------------------------------- */

/* 9.6 */
static void the_shortest_way_between_currencies_is_taken(void **state)
{
    (void)state;
    struct rates rates = {0};
    struct rate_way way;
    struct error error;
    read_rates("EUR/USD 1.08 USD/JPY 150 GBP/USD 1.25 EUR/JPY 160 USD/EUR 2", &rates);
    assert_int_equal(rates.count, 4); /* the other way round it is there already */
    assert_int_equal(rates_between(&rates, "EUR", "JPY", &way, &error), 0);
    assert_int_equal(way.count, 1);
    assert_int_equal(fraction_compare(way.rate, decimal("160")), 0);
    assert_int_equal(rates_between(&rates, "JPY", "GBP", &way, &error), 0);
    assert_int_equal(way.count, 2);
    assert_true(way.turned[0] && way.turned[1]);
    assert_int_equal(fraction_compare(way.rate, fraction_of(10, 1875)), 0); /* 1 / (150 x 1.25) */
    assert_int_equal(rates_between(&rates, "GBP", "GBP", &way, &error), 0);
    assert_int_equal(way.count, 0);
    assert_int_equal(fraction_compare(way.rate, fraction_of(1, 1)), 0);
    assert_int_equal(rates_between(&rates, "CHF", "GBP", &way, &error), ERROR_INPUT);
}

/* 9.7. Bars of range 3, which no gap widens, so that the ATR stays 3, each opening where
 * the one before closed but for four, of which none is like another: the 284th of 286 is the
 * second smallest of them, 0.5 (0.99 x 286 = 283.14). */
static void the_gap_is_the_one_in_a_hundred(void **state)
{
    (void)state;
    struct bars bars;
    struct gap gap;
    struct error error;
    static const double down[] = {1, 0.25, 0.75, 0.5};
    bars_init(&bars);
    for (int i = 0; i < 300; i++) {
        double open = i >= 100 && i % 50 == 0 ? 100 - down[i / 50 - 2] : 100;
        struct bar bar = {i * 86400, open, 101, 98, 100, NAN};
        assert_int_equal(bars_append(&bars, &bar, &error), 0);
    }
    assert_int_equal(gap_measure(&bars, false, &gap, &error), 0);
    assert_true(gap.known);
    /* Wilder's first mean of 14 is on bar 14: gaps from bar 15 to 300. */
    assert_int_equal(gap.count, 286);
    assert_true(fabs(gap.atrs - 0.5 / 3) < 1e-12 && fabs(gap.length - 0.5) < 1e-12);
    assert_int_equal(gap_measure(&bars, true, &gap, &error), 0);
    assert_true(gap.known && gap.length == 0); /* none was upwards */
    bars.count = 100;
    assert_int_equal(gap_measure(&bars, false, &gap, &error), 0);
    assert_false(gap.known);
    bars_free(&bars);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples),
        cmocka_unit_test(a_target_is_worth_its_way_less_the_costs),
        cmocka_unit_test(what_cannot_be_sized_is_an_error),
        cmocka_unit_test(the_stop_never_loses_more_and_one_step_more_would),
        cmocka_unit_test(the_shortest_way_between_currencies_is_taken),
        cmocka_unit_test(the_gap_is_the_one_in_a_hundred),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
