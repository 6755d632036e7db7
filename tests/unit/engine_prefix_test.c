/* No look-ahead: what is decided on the bars up to a cut is the same, bit for
 * bit, when the later bars are not there. Cuts through the demo market for
 * every shipped setup, and through random markets for random setups.
 *
 *   engine_prefix_test [CUTS [CASES [SEED]]]     of each shipped setup; random setups */
#include "demo/market.h"
#include "engine_run.h"
#include "random_market.h"
#include "random_setup.h"
#include "setup/checklist.h"

#include <dirent.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static size_t shipped_cuts = 200;
static size_t random_cases = 2000;
static unsigned long long seed = 20260706;

enum { CUTS_PER_CASE = 4, READ_BACK = 6, INSTRUMENTS = 4 };

static struct {
    size_t cuts;
    size_t rows;
    size_t undecided;
    size_t awaited;
    size_t candidates;
    size_t readings;
} compared;

/* --- rows ------------------------------------------------------------------------------ */

static bool same_bits(double a, double b)
{
    return memcmp(&a, &b, sizeof a) == 0;
}

/* A row of the short history against that of the whole one. What the cut left
 * open must be decided on a later bar, and so far be the same. */
static bool row_holds(const struct trade *cut, const struct trade *whole, size_t bars)
{
    if (cut->signal.candle.at != whole->signal.candle.at || cut->signal.at != whole->signal.at)
        return false;
    if (cut->reason == TRADE_WAITING) {
        compared.undecided++;
        return whole->reason == TRADE_WAITING || whole->entry_bar >= bars;
    }
    if (cut->reason == TRADE_OPEN) {
        compared.undecided++;
        return trade_filled(whole->reason) && cut->entry_bar == whole->entry_bar &&
               same_bits(cut->entry, whole->entry) && same_bits(cut->stop, whole->stop) &&
               same_bits(cut->target, whole->target) && same_bits(cut->risk, whole->risk) &&
               (whole->reason == TRADE_OPEN || whole->exit_bar >= bars);
    }
    return whole->exit_bar < bars && engine_rows_equal(cut, whole, 1);
}

/* What a waiting entry is said to wait for is what then happens: an order is
 * filled on the first coming bar that reaches its price, and within the bars it
 * was given. */
static bool awaited_holds(const struct engine_run *cut, const struct trade *waiting,
                          const struct engine_run *whole, const struct trade *later, size_t bars)
{
    struct trade_path path;
    const struct bars *all = sheet_bars(whole->sheet);
    const struct trade again = trade_of_signal(&cut->view, &cut->terms, &waiting->signal, &path);
    const struct trade_awaited *awaited = &path.awaited;
    bool is_short = cut->setup.side == SIDE_SHORT;
    if (again.reason != TRADE_WAITING || awaited->what == AWAITS_NOTHING || awaited->bars_left < 1)
        return false;
    compared.awaited++;
    if (!trade_filled(later->reason))
        return true;
    if (awaited->what == AWAITS_OPEN)
        return later->entry_bar == bars;
    if (awaited->what != AWAITS_TOUCH)
        return isfinite(awaited->price);
    double room = 1e-9 * fmax(fabs(awaited->price), 1);
    for (size_t i = bars; i <= later->entry_bar; i++) {
        bool reached = is_short ? all->low[i] <= awaited->price + room
                                : all->high[i] >= awaited->price - room;
        if (reached != (i == later->entry_bar))
            return false;
    }
    return later->entry_bar < bars + awaited->bars_left;
}

static bool rows_hold(const struct engine_run *cut, const struct engine_run *whole, size_t bars)
{
    size_t count = 0;
    while (count < whole->trades.count && whole->trades.list[count].signal.at < bars)
        count++;
    if (count != cut->trades.count)
        return false;
    for (size_t i = 0; i < count; i++) {
        compared.rows++;
        if (!row_holds(&cut->trades.list[i], &whole->trades.list[i], bars))
            return false;
        if (cut->trades.list[i].reason == TRADE_WAITING &&
            whole->trades.list[i].reason != TRADE_PASSED &&
            !awaited_holds(cut, &cut->trades.list[i], whole, &whole->trades.list[i], bars))
            return false;
    }
    return true;
}

/* --- candidates and readings ------------------------------------------------------------ */

static bool same_reading(const struct check *a, const struct check *b)
{
    const struct reading *x = &a->reading;
    const struct reading *y = &b->reading;
    bool names = x->name == y->name ||
                 (x->name != NULL && y->name != NULL && strcmp(x->name, y->name) == 0);
    compared.readings++;
    return a->section == b->section && strcmp(a->rule, b->rule) == 0 && a->negated == b->negated &&
           a->holds == b->holds && names && x->met == y->met && same_bits(x->value, y->value) &&
           same_bits(x->limit, y->limit);
}

static bool checklist_holds(const struct engine_run *cut, const struct engine_run *whole, size_t at)
{
    struct checklist a;
    struct checklist b;
    struct candle candle;
    if (!candle_at(&whole->view, at, &candle))
        candle = candle_of_bar(&whole->view, at);
    checklist_read(&cut->view, &candle, at, &a);
    checklist_read(&whole->view, &candle, at, &b);
    if (a.count != b.count || a.confirmed != b.confirmed || a.met != b.met)
        return false;
    for (size_t i = 0; i < a.count; i++)
        if (!same_reading(&a.list[i], &b.list[i]))
            return false;
    return true;
}

static bool is_candidate(const struct engine_run *run, size_t at, struct candle *candle)
{
    return candidate_at(&run->view, at, candle);
}

static bool candidates_hold(const struct engine_run *cut, const struct engine_run *whole,
                            size_t bars)
{
    for (size_t at = bars > 250 ? bars - 250 : 0; at < bars; at++) {
        struct candle a = {0};
        struct candle b = {0};
        bool is = is_candidate(cut, at, &a);
        if (is != is_candidate(whole, at, &b))
            return false;
        compared.candidates += is;
        if (is && (a.choice != b.choice || a.first != b.first || !same_bits(a.high, b.high) ||
                   !same_bits(a.low, b.low)))
            return false;
        if (at + READ_BACK >= bars && !checklist_holds(cut, whole, at))
            return false;
    }
    return true;
}

/* --- one cut ------------------------------------------------------------------------------ */

static bool cut_holds(const struct engine_run *whole, const char *yaml, const struct bars *bars,
                      const struct trade_terms *terms, const struct surroundings *around,
                      size_t length)
{
    struct bars prefix;
    struct engine_run cut;
    struct error error = {0};
    assert_int_equal(bars_slice(&prefix, bars, 0, length, &error), ERROR_NONE);
    if (engine_run_open(&cut, yaml, &prefix, terms, around, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    compared.cuts++;
    bool holds = rows_hold(&cut, whole, length) && candidates_hold(&cut, whole, length);
    engine_run_close(&cut);
    bars_free(&prefix);
    return holds;
}

/* `cuts` random cuts; returns how many did not hold. */
static size_t cuts_of(const char *yaml, const struct bars *bars, const struct trade_terms *terms,
                      const struct surroundings *around, size_t cuts, struct random_stream *stream)
{
    struct engine_run whole;
    struct error error = {0};
    size_t failed = 0;
    if (engine_run_open(&whole, yaml, bars, terms, around, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    for (size_t i = 0; i < cuts; i++) {
        size_t length = (size_t)random_between(stream, 1, (int64_t)bars->count - 1);
        if (cut_holds(&whole, yaml, bars, terms, around, length))
            continue;
        failed++;
        printf("%s: differs when cut after %zu of %zu bars\n%s\n", whole.setup.name, length,
               bars->count, yaml);
    }
    engine_run_close(&whole);
    return failed;
}

static void random_setups_keep_their_past(void **state)
{
    (void)state;
    size_t failed = 0;
    for (size_t i = 0; i < random_cases; i++) {
        struct random_stream stream;
        struct random_market market;
        struct text yaml;
        random_start(&stream, seed, i);
        text_init(&yaml);
        assert_true(random_market_init(&market, &stream, 200));
        random_setup(&yaml, &stream, market.bars.interval, (unsigned)i);
        struct trade_terms terms = {.tick = market.tick,
                                    .point_value = 1,
                                    .finer = market.finer.count > 0 ? &market.finer : NULL};
        failed += cuts_of(yaml.bytes, &market.bars, &terms, &market.around, CUTS_PER_CASE, &stream);
        text_free(&yaml);
        random_market_free(&market);
    }
    assert_int_equal(failed, 0);
}

/* --- shipped setups --------------------------------------------------------------------------- */

/* The setup as one text, also where the file is the mirror of another. */
static void read_shipped(const char *file, struct text *yaml)
{
    char path[1024];
    struct setup setup;
    struct error error = {0};
    snprintf(path, sizeof path, "%s/%s", SHIPPED_SETUPS, file);
    if (setup_read_file(&setup, path, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    text_clear(yaml);
    setup_write(&setup, yaml);
    setup_free(&setup);
}

/* Levels of one's own, for the setups that ask for them. */
static void mark_levels(const struct bars *bars, struct own_mark marks[8])
{
    for (size_t i = 0; i < 8; i++) {
        size_t at = (i + 1) * bars->count / 10;
        marks[i] = (struct own_mark){.price = bars->low[at], .made = bars->time[at]};
    }
}

static size_t cuts_of_shipped(const char *yaml, const struct demo_series *series, size_t cuts,
                              struct random_stream *stream)
{
    struct own_mark marks[8];
    bool hourly = strstr(yaml, "interval: 1h\n") != NULL;
    const struct bars *bars = hourly ? &series->hourly : &series->daily;
    mark_levels(bars, marks);
    struct surroundings around = {.marks = marks, .mark_count = 8};
    struct trade_terms terms = {.tick = series->instrument.tick, .point_value = 1};
    if (!hourly && series->hourly.count > 0)
        terms.finer = &series->hourly;
    return cuts_of(yaml, bars, &terms, &around, cuts, stream);
}

static void shipped_setups_keep_their_past(void **state)
{
    (void)state;
    struct demo_market market;
    struct demo_series series[INSTRUMENTS];
    struct error error = {0};
    struct text yaml;
    size_t made = 0;
    size_t failed = 0;
    size_t setups = 0;
    text_init(&yaml);
    assert_int_equal(demo_market_init(&market, DEMO_SEED, &error), ERROR_NONE);
    for (size_t i = 0; i < demo_roster_count && made < INSTRUMENTS; i++)
        if (demo_roster[i].hourly)
            assert_int_equal(demo_series_make(&market, i, &series[made++], &error), ERROR_NONE);
    assert_int_equal(made, INSTRUMENTS);
    DIR *folder = opendir(SHIPPED_SETUPS);
    assert_non_null(folder);
    for (struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        if (strstr(entry->d_name, ".yaml") == NULL)
            continue;
        struct random_stream stream;
        random_start(&stream, seed, 1000000 + setups++);
        read_shipped(entry->d_name, &yaml);
        for (size_t i = 0; i < INSTRUMENTS; i++)
            failed += cuts_of_shipped(yaml.bytes, &series[i], shipped_cuts / INSTRUMENTS, &stream);
    }
    closedir(folder);
    for (size_t i = 0; i < made; i++)
        demo_series_free(&series[i]);
    demo_market_free(&market);
    text_free(&yaml);
    printf("%zu shipped setups\n", setups);
    assert_int_equal(failed, 0);
    assert_true(setups > 0);
}

static void something_was_compared(void **state)
{
    (void)state;
    printf("%zu cuts: %zu rows, %zu of them undecided at the cut, %zu candidates, %zu readings\n",
           compared.cuts, compared.rows, compared.undecided, compared.candidates,
           compared.readings);
    assert_true(compared.rows > compared.cuts && compared.undecided > 0);
    assert_true(compared.candidates > compared.cuts && compared.readings > compared.cuts);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(random_setups_keep_their_past),
                                       cmocka_unit_test(shipped_setups_keep_their_past),
                                       cmocka_unit_test(something_was_compared)};
    if (argc > 1)
        shipped_cuts = strtoull(argv[1], NULL, 10);
    if (argc > 2)
        random_cases = strtoull(argv[2], NULL, 10);
    if (argc > 3)
        seed = strtoull(argv[3], NULL, 10);
    printf("seed %llu\n", seed);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
