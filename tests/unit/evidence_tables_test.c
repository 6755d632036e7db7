/* Tables of the simulator's and the statistics' figures, whole: drawdowns, losing
 * runs, Kelly, shares, and what blocks of dates give. Values computed exactly or
 * by two separate programs where no other source is named. */
#include "base/random.h"
#include "evidence/blocks.h"
#include "evidence/proportion.h"
#include "evidence/size.h"
#include "evidence/summary.h"

#include <gsl/gsl_randist.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "sample.h"

/* Mean largest drawdown of walks of n steps of 1, from the start on: fair, and
 * with an up-chance of 0.55 and of 0.45 (reflected chain; n = 4, 8, 10 also by
 * all paths). */
static const struct {
    size_t steps;
    double mean[3];
} drawdown_rows[] = {
    {1, {1.0 / 2, 0.4500000000, 0.5500000000}},
    {2, {1, 0.9000000000, 1.1000000000}},
    {3, {11.0 / 8, 1.2386250000, 1.5138750000}},
    {4, {27.0 / 16, 1.5159937500, 1.8664937500}},
    {5, {63.0 / 32, 1.7596715625, 2.1915471875}},
    {8, {171.0 / 64, 2.3483761031, 3.0306267406}},
    {10, {1575.0 / 512, 2.6760667363, 3.5275617863}},
    {20, {4913835.0 / 1048576, 3.9212552064, 5.6095137116}},
    {50, {7.913793076861, 6.1346322395, 10.3506060864}},
    {100, {11.569634813550, 8.2621002739, 16.7460680919}},
    {500, {27.041298469664, 14.4696806451, 58.8290082284}},
    {1000, {38.644830734180, 17.5171419996, 108.9872043455}},
};

static const double up_chances[] = {0.5, 0.55, 0.45};

/* Up to 20 steps: all walks, each with its chance. */
static void test_drawdowns_of_all_walks(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof drawdown_rows / sizeof *drawdown_rows; i++) {
        size_t n = drawdown_rows[i].steps;
        double chance[3][21];
        double mean[3] = {0};
        if (n > 20)
            break;
        for (size_t c = 0; c < 3; c++)
            for (size_t ups = 0; ups <= n; ups++)
                chance[c][ups] = pow(up_chances[c], (double)ups) *
                                 pow(1 - up_chances[c], (double)(n - ups));
        for (size_t walk = 0; walk < (size_t)1 << n; walk++) {
            double steps[20];
            size_t ups = 0;
            for (size_t s = 0; s < n; s++) {
                bool up = walk >> s & 1;
                steps[s] = up ? 1 : -1;
                ups += up;
            }
            double depth = largest_drawdown(steps, n);
            for (size_t c = 0; c < 3; c++)
                mean[c] += chance[c][ups] * depth;
        }
        for (size_t c = 0; c < 3; c++)
            assert_near(mean[c], drawdown_rows[i].mean[c], 1e-9);
    }
}

static void random_walk(double *steps, size_t count, double up, uint64_t seed, uint64_t number)
{
    struct random_stream stream;
    random_start(&stream, seed, number);
    for (size_t s = 0; s < count; s++)
        steps[s] = random_unit(&stream) < up ? 1 : -1;
}

/* Longer ones: random walks, within four standard errors. */
static void test_drawdowns_of_random_walks(void **state)
{
    (void)state;
    enum { WALKS = 4000 };
    static double steps[1000];
    static double depth[WALKS];
    for (size_t i = 0; i < sizeof drawdown_rows / sizeof *drawdown_rows; i++) {
        size_t n = drawdown_rows[i].steps;
        for (size_t c = 0; n > 20 && c < 3; c++) {
            for (size_t walk = 0; walk < WALKS; walk++) {
                random_walk(steps, n, up_chances[c], 100 * i + c, walk);
                depth[walk] = largest_drawdown(steps, n);
            }
            assert_near(mean_of(depth, WALKS), drawdown_rows[i].mean[c],
                        4 * deviation_of(depth, WALKS) / sqrt(WALKS));
        }
    }
}

/* Fair walks of 100 steps: how often the largest drawdown is h or more. */
static void test_law_of_the_drawdown(void **state)
{
    (void)state;
    enum { WALKS = 40000, LEVELS = 8 };
    static const double depth[LEVELS] = {5, 8, 10, 12, 15, 20, 25, 30};
    static const double chance[LEVELS] = {.9799700103, .7730285559, .5878587625, .4253344035,
                                          .2441241216, .0812442667, .0213680238, .0044437164};
    double share[LEVELS] = {0};
    for (size_t walk = 0; walk < WALKS; walk++) {
        double steps[100];
        random_walk(steps, 100, 0.5, 77, walk);
        double found = largest_drawdown(steps, 100);
        for (size_t k = 0; k < LEVELS; k++)
            share[k] += found >= depth[k] ? 1.0 / WALKS : 0;
    }
    for (size_t k = 0; k < LEVELS; k++)
        assert_near(share[k], chance[k], 4 * sqrt(chance[k] * (1 - chance[k]) / WALKS));
}

/* Chance of a run of 2, 3, 4, 5, 6, 7, 8, 10, 12, 15 losses or more in n trades
 * (Feller vol. 1, XIII; recurrence equal to Markov chain and enumeration). */
static const struct {
    double loss;
    size_t count;
    double chance[10];
} run_rows[] = {
    {0.4,
     10,
     {0.7099863040, 0.3141222400, 0.1167376384, 0.0409600000, 0.0139264000, 0.0045875200,
      0.0014417920, 0.0001048576, NAN, NAN}},
    {0.4,
     20,
     {0.9241771963, 0.5623875425, 0.2514416792, 0.1000783460, 0.0382527798, 0.0143937608,
      0.0053719935, 0.0007340032, 0.0000973079, 0.0000042950}},
    {0.4,
     50,
     {0.9986449896, 0.8863370362, 0.5443464872, 0.2564593221, 0.1076870942, 0.0432464311,
      0.0170751200, 0.0026195206, 0.0003992604, 0.0000236222}},
    {0.4,
     100,
     {0.9999983448, 0.9879819370, 0.8007875285, 0.4590736743, 0.2124510345, 0.0894694900,
      0.0362751257, 0.0057541468, 0.0009023126, 0.0000558335}},
    {0.4,
     200,
     {1.0000000000, 0.9998656414, 0.9619214743, 0.7137108507, 0.3865229121, 0.1753240561,
      0.0735573305, 0.0119938751, 0.0019076577, 0.0001202530}},
    {0.4,
     500,
     {1.0000000000, 0.9999999998, 0.9997340678, 0.9575570855, 0.7100249091, 0.3872972961,
      0.1769712778, 0.0304790843, 0.0049176272, 0.0003134865}},
    {0.4,
     1000,
     {1.0000000000, 1.0000000000, 0.9999999321, 0.9982374597, 0.9168304018, 0.6265831468,
      0.3243179288, 0.0605224087, 0.0099140850, 0.0006354595}},
    {0.5,
     10,
     {0.8593750000, 0.5078125000, 0.2451171875, 0.1093750000, 0.0468750000, 0.0195312500,
      0.0078125000, 0.0009765625, NAN, NAN}},
    {0.5,
     20,
     {0.9831094742, 0.7870283127, 0.4780187607, 0.2498703003, 0.1223154068, 0.0581817627,
      0.0272903442, 0.0058593750, 0.0012207031, 0.0001068115}},
    {0.5,
     50,
     {0.9999707334, 0.9827453837, 0.8274140080, 0.5518753230, 0.3145924151, 0.1653333594,
      0.0835622015, 0.0203899722, 0.0048771958, 0.0005645216}},
    {0.5,
     100,
     {0.9999999993, 0.9997382554, 0.9727150423, 0.8101095992, 0.5460936192, 0.3175203875,
      0.1702079624, 0.0441372286, 0.0109416779, 0.0013269199}},
    {0.5,
     200,
     {1.0000000000, 0.9999999398, 0.9993180402, 0.9659033813, 0.8009321842, 0.5437079159,
      0.3196979138, 0.0899186863, 0.0229599928, 0.0028499720}},
    {0.5,
     500,
     {1.0000000000, 1.0000000000, 0.9999999894, 0.9998026050, 0.9832078873, 0.8636350709,
      0.6251138278, 0.2145217796, 0.0581457874, 0.0074052060}},
    {0.5,
     1000,
     {1.0000000000, 1.0000000000, 1.0000000000, 0.9999999632, 0.9997275548, 0.9817833316,
      0.8611448091, 0.3854497524, 0.1139955292, 0.0149510664}},
    {0.6,
     10,
     {0.9466536960, 0.7013606400, 0.4245156864, 0.2332800000, 0.1213056000, 0.0615859200,
      0.0302330880, 0.0060466176, NAN, NAN}},
    {0.6,
     20,
     {0.9977337606, 0.9276818511, 0.7185251127, 0.4776510972, 0.2912281613, 0.1697988401,
      0.0966955239, 0.0302330880, 0.0091424858, 0.0014105550}},
    {0.6,
     100,
     {1.0000000000, 0.9999991444, 0.9990768560, 0.9758397171, 0.8726230656, 0.6890984891,
      0.4897198204, 0.2049098750, 0.0765254154, 0.0163650605}},
    {0.6,
     500,
     {1.0000000000, 1.0000000000, 1.0000000000, 0.9999999949, 0.9999761212, 0.9977100720,
      0.9706450076, 0.7054504833, 0.3506289356, 0.0878495304}},
    {0.6,
     1000,
     {1.0000000000, 1.0000000000, 1.0000000000, 1.0000000000, 0.9999999995, 0.9999950589,
      0.9991729656, 0.9148693875, 0.5818540311, 0.1699444455}},
    {0.7,
     10,
     {0.9859215520, 0.8585907400, 0.6325028731, 0.4201750000, 0.2588278000, 0.1564731700,
      0.0922368160, 0.0282475249, NAN, NAN}},
    {0.7,
     20,
     {0.9998563942, 0.9855823406, 0.8980402203, 0.7307945964, 0.5438222242, 0.3821720432,
      0.2593983161, 0.1129900996, 0.0470603765, 0.0118689038}},
    {0.7,
     50,
     {0.9999999998, 0.9999846978, 0.9978158187, 0.9732624956, 0.8929228950, 0.7578698451,
      0.6008594358, 0.3298738853, 0.1645816556, 0.0540764238}},
    {0.7,
     100,
     {1.0000000000, 0.9999999998, 0.9999963910, 0.9994304835, 0.9904359912, 0.9491817984,
      0.8575350281, 0.5800838478, 0.3291055658, 0.1205277165}},
    {0.7,
     200,
     {1.0000000000, 1.0000000000, 1.0000000000, 0.9999997416, 0.9999236996, 0.9977614845,
      0.9818501702, 0.8351174653, 0.5673322234, 0.2397536012}},
    {0.7,
     500,
     {1.0000000000, 1.0000000000, 1.0000000000, 1.0000000000, 1.0000000000, 0.9999998087,
      0.9999624711, 0.9900181537, 0.8839471953, 0.5089213937}},
    {0.7,
     1000,
     {1.0000000000, 1.0000000000, 1.0000000000, 1.0000000000, 1.0000000000, 1.0000000000,
      0.9999999987, 0.9999068310, 0.9870533486, 0.7629652135}},
};

static void test_runs(void **state)
{
    (void)state;
    static const size_t lengths[] = {2, 3, 4, 5, 6, 7, 8, 10, 12, 15};
    for (size_t i = 0; i < sizeof run_rows / sizeof *run_rows; i++)
        for (size_t k = 0; k < 10; k++)
            if (!isnan(run_rows[i].chance[k]))
                assert_near(losing_run_chance(run_rows[i].loss, run_rows[i].count, lengths[k]),
                            run_rows[i].chance[k], 6e-11);
    assert_near(losing_run_chance(0.5, 6, 2), 43.0 / 64, 1e-15);
    assert_near(losing_run_chance(0.5, 8, 3), 107.0 / 256, 1e-15);
    assert_near(losing_run_chance(0.5, 2, 3), 0, 0);
    assert_near(expected_longest_run(0.5, 100), 5.99178026, 6e-9);
    assert_near(expected_longest_run(0.6, 100), 7.871672, 6e-7);
    assert_near(expected_longest_run(0.5, 200), 6.98420553, 6e-9);
    assert_near(expected_longest_run(0.6, 200), 9.21846429, 6e-9);
}

/* Random trades agree with the table: the longest streak of 100 at 0.6. */
static void test_streaks_of_random_trades(void **state)
{
    (void)state;
    enum { STUDIES = 20000 };
    static double longest[STUDIES];
    double at_least_ten = 0;
    for (size_t i = 0; i < STUDIES; i++) {
        double r[100];
        random_walk(r, 100, 0.4, 78, i);
        longest[i] = (double)longest_losing_streak(r, 100);
        at_least_ten += longest[i] >= 10 ? 1.0 / STUDIES : 0;
    }
    assert_near(mean_of(longest, STUDIES), 7.871672,
                4 * deviation_of(longest, STUDIES) / sqrt(STUDIES));
    assert_near(at_least_ten, 0.2049098750, 4 * sqrt(0.2049 * 0.7951 / STUDIES));
}

/* Growth at twice Kelly's fraction (Kelly 1956): about none is left. */
static void test_growth_beyond_kelly(void **state)
{
    (void)state;
    static const struct {
        size_t wins;
        size_t losses;
        double gain;
        double fraction;
        double growth;
    } rows[] = {
        {3, 2, 1, 0.4, -0.002446907534},      {11, 9, 1, 0.2, -0.000137741855},
        {51, 49, 1, 0.04, -0.000000213607},   {2, 3, 2, 0.2, 0.000702763860},
        {7, 13, 3, 4.0 / 15, 0.004124629318}, {1, 1, 2, 0.5, 0},
        {9, 1, 0.5, 1.4, -INFINITY},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double r[100];
        size_t count = 0;
        for (size_t k = 0; k < rows[i].wins; k++)
            r[count++] = rows[i].gain;
        for (size_t k = 0; k < rows[i].losses; k++)
            r[count++] = -1;
        double growth = growth_rate(r, count, rows[i].fraction);
        if (isinf(rows[i].growth))
            assert_true(growth == -INFINITY);
        else
            assert_near(growth, rows[i].growth, 1e-12);
    }
}

/* Exact coverage of Wilson's interval at n = 20 and a share of 0.1. */
static void test_coverage_of_wilson(void **state)
{
    (void)state;
    double covered = 0;
    for (unsigned won = 0; won <= 20; won++) {
        struct limits limits = wilson_limits(won / 20.0, 20, NORMAL_975);
        if (limits.low <= 0.1 && limits.high >= 0.1)
            covered += gsl_ran_binomial_pdf(won, 0.1, 20);
    }
    assert_near(covered, .9568255047, 1e-10);
}

/* Efron & Tibshirani 1993: the mouse data (printed: 30.63, 25.24, 14.14, 28.93;
 * data from memory, 14.16 computed). Michelson's speed of light as NIST has it
 * (StRD Michelso: certified mean and standard deviation; data of R, morley). */
static void test_published_means(void **state)
{
    (void)state;
    static const double treated[] = {94, 197, 16, 38, 99, 141, 23};
    static const double control[] = {52, 104, 146, 10, 51, 30, 40, 27, 46};
    static const double morley[] = {
        850,  740, 900, 1070, 930, 850, 950, 980, 980, 880, 1000, 980, 930, 650, 760, 810, 1000,
        1000, 960, 960, 960,  940, 960, 940, 880, 800, 850, 880,  900, 840, 830, 790, 810, 880,
        880,  830, 800, 790,  760, 800, 880, 880, 880, 860, 720,  720, 620, 860, 970, 950, 880,
        910,  850, 870, 840,  840, 850, 840, 840, 840, 890, 810,  810, 820, 800, 770, 760, 740,
        750,  760, 910, 920,  890, 860, 880, 720, 840, 850, 850,  780, 890, 840, 780, 810, 760,
        810,  790, 810, 820,  850, 870, 870, 810, 740, 810, 940,  950, 800, 810, 870,
    };
    double speed[100];
    double first = deviation_of(treated, 7) / sqrt(7);
    double second = deviation_of(control, 9) / sqrt(9);
    assert_near(mean_of(treated, 7) - mean_of(control, 9), 30.634921, 6e-7);
    assert_near(first, 25.235490, 6e-7);
    assert_near(second, 14.158603, 6e-7);
    assert_near(sqrt(first * first + second * second), 28.936067, 6e-7);
    for (size_t i = 0; i < 100; i++)
        speed[i] = 299 + morley[i] / 1000;
    assert_near(mean_of(speed, 100), 299.852400000000, 1e-12);
    assert_near(deviation_of(speed, 100), .0790105478190518, 1e-13);
}

/* The stationary bootstrap over 1, 3, 2, 5, 4 by all 5^5 paths with their exact
 * chances: how often the mean is 4 or more, for blocks of mean length 1, 2, 5. */
static void test_law_of_the_blocks(void **state)
{
    (void)state;
    enum { DRAWS = 200000 };
    static const double values[] = {1, 3, 2, 5, 4};
    static const struct {
        double length;
        double chance;
    } rows[] = {{1, 247.0 / 3125}, {2, 603.0 / 12500}, {5, 35607.0 / 1953125}};
    double running[6];
    running_sums(running, values, 5);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double share = 0;
        double mean = 0;
        struct block_law law;
        block_law_init(&law, rows[i].length);
        for (size_t k = 0; k < DRAWS; k++) {
            struct block_draw draw;
            struct block block;
            double sum = 0;
            blocks_start(&draw, 79, k, 5, &law);
            while (blocks_next(&draw, &block))
                sum += block_sum(running, 5, block);
            share += sum >= 20 ? 1.0 / DRAWS : 0;
            mean += sum / 5 / DRAWS;
        }
        double p = rows[i].chance;
        assert_near(share, p, 4 * sqrt(p * (1 - p) / DRAWS));
        /* The variances are 2/5 and less. */
        assert_near(mean, 3, 4 * sqrt(0.4 / DRAWS));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_drawdowns_of_all_walks),
        cmocka_unit_test(test_drawdowns_of_random_walks),
        cmocka_unit_test(test_law_of_the_drawdown),
        cmocka_unit_test(test_runs),
        cmocka_unit_test(test_streaks_of_random_trades),
        cmocka_unit_test(test_growth_beyond_kelly),
        cmocka_unit_test(test_coverage_of_wilson),
        cmocka_unit_test(test_published_means),
        cmocka_unit_test(test_law_of_the_blocks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
