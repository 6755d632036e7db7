/* The engine against the naive implementation in tests/naive, which was written
 * from the method page alone, on random markets and random setups.
 *
 *   engine_against_naive_test [CASES [SEED [FIRST]]]
 *
 * Every case is drawn from the seed and its own number, so that one case can be
 * run again alone: CASES 1, and FIRST its number. A case that differs is cut
 * down to the bars that are needed and printed. */
#include "engine_run.h"
#include "naive.h"
#include "random_market.h"
#include "random_setup.h"
#include "tally.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static unsigned long long case_count = 1000;
static unsigned long long seed = 20260704;
static unsigned long long first_case = 0;

enum { LONGEST = 260, SHOWN = 5 };

/* One setup on one market, on both sides of the comparison. */
struct duel {
    const struct random_market *market;
    const struct bars *bars;
    const char *yaml;
    struct engine_run run;
    struct naive_market naive;
    struct naive_bars naive_finer;
    struct naive_event events[RANDOM_EVENTS];
    struct naive_mark marks[RANDOM_MARKS];
    struct naive_other other;
    char other_name[INTERVAL_TEXT_SIZE];
    struct text *difference;
};

/* --- the naive side --------------------------------------------------------------- */

static struct naive_bars naive_bars_of(const struct bars *bars, char name[INTERVAL_TEXT_SIZE])
{
    interval_format(name, bars->interval);
    return (struct naive_bars){.count = bars->count,
                               .time = bars->time,
                               .open = bars->open,
                               .high = bars->high,
                               .low = bars->low,
                               .close = bars->close,
                               .volume = bars->volume,
                               .interval = name};
}

static void prepare_naive(struct duel *duel, char name[INTERVAL_TEXT_SIZE],
                          char finer_name[INTERVAL_TEXT_SIZE])
{
    const struct random_market *market = duel->market;
    duel->naive = (struct naive_market){.bars = naive_bars_of(duel->bars, name),
                                        .tick = market->tick.value,
                                        .events = duel->events,
                                        .event_count = market->around.event_count,
                                        .marks = duel->marks,
                                        .mark_count = market->around.mark_count,
                                        .others = &duel->other,
                                        .other_count = 1,
                                        .ended = market->ended};
    duel->other = (struct naive_other){RANDOM_OTHER,
                                       naive_bars_of(&market->other, duel->other_name)};
    for (size_t i = 0; i < market->around.event_count; i++)
        duel->events[i] = (struct naive_event){market->events[i].time, market->events[i].kind,
                                               market->events[i].known_later,
                                               market->events[i].known};
    for (size_t i = 0; i < market->around.mark_count; i++)
        duel->marks[i] = (struct naive_mark){market->marks[i].made,      market->marks[i].price,
                                             market->marks[i].slope,     market->marks[i].bar,
                                             market->marks[i].withdrawn, market->marks[i].until};
    if (market->finer.count == 0)
        return;
    duel->naive_finer = naive_bars_of(&market->finer, finer_name);
    duel->naive.finer = &duel->naive_finer;
}

static int run_engine(struct duel *duel, struct error *error)
{
    const struct random_market *market = duel->market;
    struct trade_terms terms = {.tick = market->tick,
                                .point_value = 1,
                                .ended = market->ended,
                                .finer = market->finer.count > 0 ? &market->finer : NULL};
    return engine_run_open(&duel->run, duel->yaml, duel->bars, &terms, &market->around, error);
}

/* --- comparing --------------------------------------------------------------------- */

static bool same_price(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

/* Excursions and results are quotients of sums that the two sides add up in
 * different orders: equal to 1e-9, not to the bit. So is the average of several
 * exits. */
static bool same_sum(double a, double b)
{
    return same_price(a, b) || fabs(a - b) <= 1e-9 * fmax(1, fmax(fabs(a), fabs(b)));
}

static bool same_row(const struct trade *trade, const struct naive_row *row)
{
    bool filled = trade_filled(trade->reason);
    const char *reason = trade->reason == TRADE_WAITING ? "unfilled"
                                                        : trade_reason_name(trade->reason);
    if (trade->signal.candle.at != row->candle || trade->signal.at != row->signal ||
        strcmp(reason, row->reason) != 0 || filled != row->entered ||
        trade->same_bar != (row->same_bar != 0))
        return false;
    if (!filled)
        return true;
    return trade->entry_bar == row->entry_bar && same_price(trade->entry, row->entry) &&
           same_price(trade->stop, row->stop) && same_price(trade->target, row->target) &&
           trade_closed(trade->reason) == row->exited &&
           (!row->exited || trade->exit_bar == row->exit_bar) && same_sum(trade->exit, row->exit) &&
           same_sum(trade->r, row->r) && same_sum(trade->mae_r, row->mae_r) &&
           same_sum(trade->mfe_r, row->mfe_r) && trade->bars == row->bars_held;
}

static void say_trade(struct text *text, const struct trade *trade)
{
    text_append_format(text,
                       "  engine %zu %zu %s entry %zu %.17g stop %.17g target %.17g exit %zu %.17g "
                       "r %.17g mae %.17g mfe %.17g bars %zu same_bar %d (%s)\n",
                       trade->signal.candle.at, trade->signal.at, trade_reason_name(trade->reason),
                       trade->entry_bar, trade->entry, trade->stop, trade->target, trade->exit_bar,
                       trade->exit, trade->r, trade->mae_r, trade->mfe_r, trade->bars,
                       trade->same_bar, trade->note);
}

static void say_row(struct text *text, const struct naive_row *row)
{
    text_append_format(text,
                       "  naive  %zu %zu %s entry %zu %.17g stop %.17g target %.17g exit %zu %.17g "
                       "r %.17g mae %.17g mfe %.17g bars %zu same_bar %d\n",
                       row->candle, row->signal, row->reason, row->entry_bar, row->entry, row->stop,
                       row->target, row->exit_bar, row->exit, row->r, row->mae_r, row->mfe_r,
                       row->bars_held, row->same_bar);
}

static void compare_rows(struct duel *duel)
{
    struct naive_row *rows = NULL;
    size_t count = 0;
    char message[200] = "";
    if (naive_trades(&duel->naive, duel->yaml, &rows, &count, message, sizeof message) != 0) {
        text_append_format(duel->difference, "  naive: %s\n", message);
        return;
    }
    for (size_t i = 0; i < count || i < duel->run.trades.count; i++) {
        if (i < count && i < duel->run.trades.count &&
            same_row(&duel->run.trades.list[i], &rows[i]))
            continue;
        text_append_format(duel->difference, "  row %zu of %zu (engine), %zu (naive)\n", i,
                           duel->run.trades.count, count);
        if (i < duel->run.trades.count)
            say_trade(duel->difference, &duel->run.trades.list[i]);
        if (i < count)
            say_row(duel->difference, &rows[i]);
        break;
    }
    free(rows);
}

static void compare_candidates(struct duel *duel)
{
    size_t *bars = NULL;
    size_t count = 0;
    size_t next = 0;
    char message[200] = "";
    if (naive_candidates(&duel->naive, duel->yaml, &bars, &count, message, sizeof message) != 0) {
        text_append_format(duel->difference, "  naive: %s\n", message);
        return;
    }
    for (size_t at = 0; at < sheet_count(duel->run.sheet); at++) {
        struct candle candle;
        bool engine = candidate_at(&duel->run.view, at, &candle);
        bool naive = next < count && bars[next] == at;
        next += naive;
        if (engine == naive)
            continue;
        text_append_format(duel->difference, "  bar %zu is a candidate for the %s only\n", at,
                           engine ? "engine" : "naive side");
        break;
    }
    free(bars);
}

static void compare_signals(struct duel *duel)
{
    struct signals signals;
    struct error error;
    size_t *candles = NULL;
    size_t *bars = NULL;
    size_t count = 0;
    char message[200] = "";
    if (signals_find(&duel->run.view, 0, sheet_count(duel->run.sheet), true, &signals, &error) !=
            0 ||
        naive_signals(&duel->naive, duel->yaml, &candles, &bars, &count, message, sizeof message) !=
            0) {
        text_append_format(duel->difference, "  signals: %s\n", message);
        return;
    }
    for (size_t i = 0; i < count || i < signals.count; i++) {
        if (i < count && i < signals.count && signals.list[i].candle.at == candles[i] &&
            signals.list[i].at == bars[i])
            continue;
        text_append_format(duel->difference, "  signal %zu of %zu (engine), %zu (naive) differs\n",
                           i, signals.count, count);
        break;
    }
    signals_free(&signals);
    free(candles);
    free(bars);
}

/* Appends the first difference, if there is one, to `difference`. */
static void compare(const struct random_market *market, const struct bars *bars, const char *yaml,
                    struct tally *tally, struct text *difference)
{
    struct duel duel = {.market = market, .bars = bars, .yaml = yaml, .difference = difference};
    struct error error;
    char name[INTERVAL_TEXT_SIZE];
    char finer_name[INTERVAL_TEXT_SIZE];
    prepare_naive(&duel, name, finer_name);
    if (run_engine(&duel, &error) != ERROR_NONE) {
        text_append_format(difference, "  engine: %s\n", error.text);
    } else {
        compare_rows(&duel);
        if (difference->length == 0)
            compare_candidates(&duel);
        if (difference->length == 0)
            compare_signals(&duel);
        if (tally != NULL)
            tally_setup(tally, &duel.run.view, &duel.run.terms, &duel.run.trades);
        engine_run_close(&duel.run);
    }
}

/* --- cutting down --------------------------------------------------------------------- */

static bool differs(const struct random_market *market, const char *yaml, size_t first, size_t last)
{
    struct bars cut;
    struct error error;
    struct text difference;
    text_init(&difference);
    if (bars_slice(&cut, &market->bars, first, last, &error) != ERROR_NONE)
        return false;
    compare(market, &cut, yaml, NULL, &difference);
    bool found = difference.length > 0;
    text_free(&difference);
    bars_free(&cut);
    return found;
}

/* Prints the case with no more bars than it takes to differ. */
static void show_reduced(const struct random_market *market, const char *yaml)
{
    size_t first = 0;
    size_t last = market->bars.count;
    for (size_t step = last / 2; step > 0; step /= 2) {
        while (last > first + step && differs(market, yaml, first, last - step))
            last -= step;
        while (first + step < last && differs(market, yaml, first + step, last))
            first += step;
    }
    struct bars cut;
    struct error error;
    struct text difference;
    text_init(&difference);
    if (bars_slice(&cut, &market->bars, first, last, &error) != ERROR_NONE)
        return;
    compare(market, &cut, yaml, NULL, &difference);
    printf("%s\nreduced to bars %zu to %zu, tick %g:\n", yaml, first, last - 1, market->tick.value);
    for (size_t i = 0; i < cut.count; i++)
        printf("  %3zu %lld %g %g %g %g %g\n", i, (long long)cut.time[i], cut.open[i], cut.high[i],
               cut.low[i], cut.close[i], cut.volume[i]);
    printf("%s\n", difference.bytes);
    text_free(&difference);
    bars_free(&cut);
}

/* --- the test -------------------------------------------------------------------------- */

static bool run_case(unsigned long long number, struct tally *tally, bool show)
{
    struct random_stream stream;
    struct random_market market;
    struct text yaml;
    struct text difference;
    random_start(&stream, seed, number);
    text_init(&yaml);
    text_init(&difference);
    assert_true(random_market_init(&market, &stream, LONGEST));
    /* No tick is known of one in eight: nothing is rounded on either side. */
    if (number % 8 == 7)
        market.tick = (struct tick){0};
    random_setup(&yaml, &stream, market.bars.interval, (unsigned)number);
    compare(&market, &market.bars, yaml.bytes, tally, &difference);
    bool same = difference.length == 0;
    if (!same)
        printf("case %llu of seed %llu differs:\n%s", number, seed, difference.bytes);
    if (!same && show)
        show_reduced(&market, yaml.bytes);
    text_free(&yaml);
    text_free(&difference);
    random_market_free(&market);
    return same;
}

static void engine_and_naive_agree(void **state)
{
    (void)state;
    struct tally *tally = malloc(sizeof *tally);
    unsigned long long different = 0;
    assert_non_null(tally);
    tally_init(tally);
    printf("seed %llu, cases %llu to %llu\n", seed, first_case, first_case + case_count - 1);
    for (unsigned long long i = 0; i < case_count; i++)
        different += !run_case(first_case + i, tally, different < SHOWN);
    bool whole = tally_print(tally);
    free(tally);
    printf("%llu of %llu cases differ\n", different, case_count);
    assert_int_equal(different, 0);
    if (case_count >= 1000)
        assert_true(whole);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(engine_and_naive_agree)};
    if (argc > 1)
        case_count = strtoull(argv[1], NULL, 10);
    if (argc > 2)
        seed = strtoull(argv[2], NULL, 10);
    if (argc > 3)
        first_case = strtoull(argv[3], NULL, 10);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
