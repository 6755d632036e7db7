/* Bars as traded, adjusted for splits, rolls and dividends and written with some
 * decimals, as files hold them, are taken back to what was traded: exactly where
 * the decimals leave but one price of the tick, else within what they leave open.
 *
 *   market_unadjust_test [CASES [SEED]] */
#include "market/scale.h"
#include "market/unadjust.h"
#include "random_market.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

static unsigned long long case_count = 2000;
static unsigned long long seed = 20260711;

enum { MOST_ACTIONS = 5, LONGEST = 200, EXACT = 10 };

static size_t exact;
static size_t near_enough;

static struct action draw_action(struct random_stream *stream, const struct random_market *market,
                                 int64_t date)
{
    static const double splits[] = {2, 3, 1.5, 0.5, 0.1, 7};
    struct action action = {date, (enum action_kind)random_below(stream, 3), 0};
    double ticks = (double)random_between(stream, -200, 200);
    if (action.kind == ACTION_SPLIT)
        action.value = splits[random_below(stream, 6)];
    else if (action.kind == ACTION_ROLL)
        action.value = tick_multiple(&market->tick, ticks);
    else
        action.value = tick_multiple(&market->tick, fabs(ticks) / 10);
    return action;
}

/* Each comes with a bar, some with the same. */
static size_t draw_actions(struct random_stream *stream, const struct random_market *market,
                           struct action *actions)
{
    size_t count = (size_t)random_between(stream, 1, MOST_ACTIONS);
    size_t at = 0;
    for (size_t i = 0; i < count; i++) {
        at += (size_t)random_between(stream, i == 0 ? 5 : 0, 40);
        at = at < market->bars.count ? at : market->bars.count - 1;
        actions[i] = draw_action(stream, market, market->bars.time[at]);
    }
    return count;
}

static void write_out(struct bars *bars, int places)
{
    double *columns[] = {bars->open, bars->high, bars->low, bars->close};
    double scale = pow(10, places);
    for (int c = 0; c < 4 && places < EXACT; c++)
        for (size_t i = 0; i < bars->count; i++)
            columns[c][i] = round(columns[c][i] * scale) / scale;
}

/* As a file is read: in two blocks, the newer one first for some. */
static void look_through(struct unadjust *unadjust, const struct bars *file, size_t cut,
                         bool newest_first)
{
    struct bars older;
    struct bars newer;
    struct error error;
    assert_int_equal(bars_slice(&older, file, 0, cut, &error), ERROR_NONE);
    assert_int_equal(bars_slice(&newer, file, cut, file->count, &error), ERROR_NONE);
    unadjust_look(unadjust, newest_first ? &newer : &older);
    unadjust_look(unadjust, newest_first ? &older : &newer);
    unadjust_settle(unadjust);
    bars_free(&older);
    bars_free(&newer);
}

/* The room of the scale of a bar; a double's own rounding where there is none. */
static double room_of(const struct unadjust *unadjust, const struct bars *traded, size_t bar)
{
    double size = fabs(traded->high[bar]) + fabs(traded->low[bar]);
    for (size_t s = 0; s < unadjust->scale_count; s++)
        if (traded->time[bar] < unadjust->scales[s].before)
            return unadjust_room(unadjust, s) + 1e-13 * size;
    return 0.5000001 * pow(10, -unadjust->places) + 1e-13 * size;
}

static void compare(const struct unadjust *unadjust, const struct bars *traded,
                    const struct bars *back, bool prices_exact)
{
    char reason[BAR_REASON_SIZE];
    const double *from[] = {traded->open, traded->high, traded->low, traded->close};
    const double *to[] = {back->open, back->high, back->low, back->close};
    for (size_t i = 0; i < traded->count; i++) {
        struct bar bar = bars_at(back, i);
        /* Off by the room and rounded by as much again; the share of a dividend
         * comes from a close of so many decimals too. */
        double room = room_of(unadjust, traded, i);
        room *= unadjust->adjustment == ADJUST_ALL ? 64 : 2;
        for (int c = 0; c < 4; c++) {
            double off = fabs(from[c][i] - to[c][i]);
            if (off != 0 && (prices_exact || off > room))
                fail_msg("bar %zu: %.17g came back as %.17g (room %g)", i, from[c][i], to[c][i],
                         room);
            exact += off == 0;
            near_enough += off != 0;
        }
        assert_null(bar_fault(&bar, reason));
        if (!isnan(traded->volume[i]))
            assert_true(fabs(traded->volume[i] - back->volume[i]) < 1e-9 * traded->volume[i]);
    }
}

static void run_case(unsigned long long number)
{
    struct random_stream stream;
    struct random_market market;
    struct action actions[MOST_ACTIONS];
    struct bars file;
    struct unadjust unadjust;
    struct error error;
    random_start(&stream, seed, number);
    assert_true(random_market_init(&market, &stream, LONGEST));
    size_t count = draw_actions(&stream, &market, actions);
    enum adjustment adjustment = random_percent(&stream, 50) ? ADJUST_ALL : ADJUST_SPLITS;
    int places = random_percent(&stream, 50) ? EXACT : (int)random_between(&stream, 2, 6);
    assert_int_equal(bars_slice(&file, &market.bars, 0, market.bars.count, &error), ERROR_NONE);
    assert_int_equal(bars_adjust(&file, actions, count, adjustment, file.time[file.count - 1],
                                 &error),
                     ERROR_NONE);
    write_out(&file, places);
    assert_int_equal(unadjust_begin(&unadjust, actions, count, adjustment, &error), ERROR_NONE);
    unadjust.tick = &market.tick;
    look_through(&unadjust, &file, random_below(&stream, file.count), random_percent(&stream, 30));
    unadjust_bars(&unadjust, &file);
    compare(&unadjust, &market.bars, &file, places == EXACT);
    unadjust_free(&unadjust);
    bars_free(&file);
    random_market_free(&market);
}

static void comes_back_to_what_was_traded(void **state)
{
    (void)state;
    for (unsigned long long i = 0; i < case_count; i++)
        run_case(i);
    print_message("%zu prices exact, %zu within what the decimals leave open\n", exact,
                  near_enough);
    assert_true(exact > near_enough);
}

int main(int argc, char **argv)
{
    if (argc > 1)
        case_count = strtoull(argv[1], NULL, 10);
    if (argc > 2)
        seed = strtoull(argv[2], NULL, 10);
    const struct CMUnitTest tests[] = {cmocka_unit_test(comes_back_to_what_was_traded)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
