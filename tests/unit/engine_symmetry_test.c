/* What may not change a trade, over random setups and markets: the chart turned
 * upside down with the setup's mirror, other units of price, writing the setup
 * out and reading it again.
 *
 *   engine_symmetry_test [CASES [SEED]] */
#include "engine_run.h"
#include "random_market.h"
#include "random_setup.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static size_t case_count = 2000;
static unsigned long long seed = 20260707;

struct sample {
    struct random_stream stream;
    struct random_market market;
    struct trade_terms terms;
    struct text yaml;
    struct engine_run run;
};

static size_t trades_compared;

static void sample_open(struct sample *sample, size_t number)
{
    struct error error = {0};
    struct random_market *market = &sample->market;
    random_start(&sample->stream, seed, number);
    text_init(&sample->yaml);
    assert_true(random_market_init(market, &sample->stream, 200));
    random_setup(&sample->yaml, &sample->stream, market->bars.interval, (unsigned)number);
    sample->terms = (struct trade_terms){.tick = market->tick,
                                         .point_value = 1,
                                         .ended = market->ended,
                                         .finer = market->finer.count > 0 ? &market->finer : NULL};
    if (engine_run_open(&sample->run, sample->yaml.bytes, &market->bars, &sample->terms,
                        &market->around, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    for (size_t i = 0; i < sample->run.trades.count; i++)
        trades_compared += trade_filled(sample->run.trades.list[i].reason);
}

static void sample_close(struct sample *sample)
{
    engine_run_close(&sample->run);
    text_free(&sample->yaml);
    random_market_free(&sample->market);
}

/* Runs `other`, whose setup is read, on the bars and terms given; says where it
 * differs from the sample, and whether. */
static bool differs(const struct sample *sample, struct engine_run *other, const struct bars *bars,
                    const struct trade_terms *terms, const struct surroundings *around,
                    double factor, const char *what)
{
    struct error error = {0};
    if (engine_run_trades(other, bars, terms, around, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    long row = engine_runs_differ(&sample->run, other, factor);
    if (row >= 0)
        printf("%s: row %ld differs\n%s\n", what, row, sample->yaml.bytes);
    engine_run_close(other);
    return row >= 0;
}

static void read_again(struct engine_run *run, const char *yaml)
{
    struct error error = {0};
    if (engine_run_read(run, yaml, &error) != ERROR_NONE)
        fail_msg("%s\n%s", error.text, yaml);
}

/* --- mirror ------------------------------------------------------------------------ */

static bool mirror_differs(const struct sample *sample)
{
    struct engine_run mirrored;
    struct error error = {0};
    struct bars bars;
    struct bars finer;
    struct bars other;
    struct own_mark marks[RANDOM_MARKS];
    struct surroundings around = sample->market.around;
    struct other_bars others[1] = {{&other, &sample->market.other_instrument}};
    struct trade_terms terms = sample->terms;
    for (size_t i = 0; i < around.mark_count; i++) {
        marks[i] = around.marks[i];
        marks[i].price = -marks[i].price;
        marks[i].slope = -marks[i].slope;
    }
    around.marks = marks;
    assert_int_equal(bars_mirror(&bars, &sample->market.bars, &error), ERROR_NONE);
    assert_int_equal(bars_mirror(&finer, &sample->market.finer, &error), ERROR_NONE);
    assert_int_equal(bars_mirror(&other, &sample->market.other, &error), ERROR_NONE);
    around.others = others;
    if (terms.finer != NULL)
        terms.finer = &finer;
    read_again(&mirrored, sample->yaml.bytes);
    assert_int_equal(setup_mirror(&mirrored.setup, &error), ERROR_NONE);
    bool found = differs(sample, &mirrored, &bars, &terms, &around, -1, "mirror");
    bars_free(&bars);
    bars_free(&finer);
    bars_free(&other);
    return found;
}

static void mirrored_setups_trade_the_mirrored_market(void **state)
{
    (void)state;
    size_t failed = 0;
    for (size_t i = 0; i < case_count; i++) {
        struct sample sample;
        sample_open(&sample, i);
        failed += mirror_differs(&sample);
        sample_close(&sample);
    }
    assert_int_equal(failed, 0);
}

static void mirroring_twice_gives_the_same_text(void **state)
{
    (void)state;
    for (size_t i = 0; i < case_count; i++) {
        struct sample sample;
        struct text once;
        struct text twice;
        struct error error = {0};
        text_init(&once);
        text_init(&twice);
        sample_open(&sample, i);
        setup_write(&sample.run.setup, &once);
        assert_int_equal(setup_mirror(&sample.run.setup, &error), ERROR_NONE);
        assert_int_equal(setup_mirror(&sample.run.setup, &error), ERROR_NONE);
        setup_write(&sample.run.setup, &twice);
        assert_string_equal(twice.bytes, once.bytes);
        sample_close(&sample);
        text_free(&once);
        text_free(&twice);
    }
}

/* --- scale ------------------------------------------------------------------------- */

static void scale_bars(struct bars *copy, const struct bars *bars, double factor)
{
    struct error error = {0};
    assert_int_equal(bars_slice(copy, bars, 0, bars->count, &error), ERROR_NONE);
    for (size_t i = 0; i < copy->count; i++) {
        copy->open[i] *= factor;
        copy->high[i] *= factor;
        copy->low[i] *= factor;
        copy->close[i] *= factor;
    }
}

static bool scale_differs(const struct sample *sample, int exponent)
{
    double factor = ldexp(1, exponent);
    struct engine_run scaled;
    struct bars bars;
    struct bars finer;
    struct bars other;
    struct own_mark marks[RANDOM_MARKS];
    struct surroundings around = sample->market.around;
    struct other_bars others[1] = {{&other, &sample->market.other_instrument}};
    struct trade_terms terms = sample->terms;
    /* Only where the tick is still a decimal. */
    if (!tick_from_number(&terms.tick, terms.tick.value * factor) ||
        terms.tick.value != sample->terms.tick.value * factor)
        return false;
    for (size_t i = 0; i < around.mark_count; i++) {
        marks[i] = around.marks[i];
        marks[i].price *= factor;
        marks[i].slope *= factor;
    }
    around.marks = marks;
    scale_bars(&bars, &sample->market.bars, factor);
    scale_bars(&finer, &sample->market.finer, factor);
    scale_bars(&other, &sample->market.other, factor);
    around.others = others;
    around.tick = &terms.tick;
    if (terms.finer != NULL)
        terms.finer = &finer;
    read_again(&scaled, sample->yaml.bytes);
    scaled.setup.costs.spread *= factor;
    scaled.setup.costs.slippage *= factor;
    scaled.setup.costs.commission_per_unit *= factor;
    bool found = differs(sample, &scaled, &bars, &terms, &around, 1 / factor, "scale");
    bars_free(&bars);
    bars_free(&finer);
    bars_free(&other);
    return found;
}

static void scaling_changes_nothing_but_prices(void **state)
{
    (void)state;
    size_t failed = 0;
    for (size_t i = 0; i < case_count; i++) {
        struct sample sample;
        sample_open(&sample, i);
        failed += scale_differs(&sample, (int)random_between(&sample.stream, 1, 12));
        failed += scale_differs(&sample, (int)random_between(&sample.stream, -6, -1));
        sample_close(&sample);
    }
    assert_int_equal(failed, 0);
}

/* --- writing ------------------------------------------------------------------------ */

static void written_setups_read_back(void **state)
{
    (void)state;
    size_t failed = 0;
    for (size_t i = 0; i < case_count; i++) {
        struct sample sample;
        struct text once;
        struct text twice;
        struct engine_run again;
        text_init(&once);
        text_init(&twice);
        sample_open(&sample, i);
        setup_write(&sample.run.setup, &once);
        read_again(&again, once.bytes);
        setup_write(&again.setup, &twice);
        assert_string_equal(twice.bytes, once.bytes);
        failed += differs(&sample, &again, &sample.market.bars, &sample.terms,
                          &sample.market.around, 1, "written and read");
        sample_close(&sample);
        text_free(&once);
        text_free(&twice);
    }
    assert_int_equal(failed, 0);
}

static void something_was_compared(void **state)
{
    (void)state;
    printf("%zu trades\n", trades_compared);
    assert_true(trades_compared > case_count);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mirrored_setups_trade_the_mirrored_market),
        cmocka_unit_test(mirroring_twice_gives_the_same_text),
        cmocka_unit_test(scaling_changes_nothing_but_prices),
        cmocka_unit_test(written_setups_read_back),
        cmocka_unit_test(something_was_compared),
    };
    if (argc > 1)
        case_count = strtoull(argv[1], NULL, 10);
    if (argc > 2)
        seed = strtoull(argv[2], NULL, 10);
    printf("seed %llu\n", seed);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
