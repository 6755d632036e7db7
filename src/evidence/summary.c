#include "evidence/summary.h"

#include <math.h>
#include <stdlib.h>

double mean_of(const double *values, size_t count)
{
    if (count == 0)
        return NAN;
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += values[i] - values[0];
    return values[0] + sum / (double)count;
}

double deviation_of(const double *values, size_t count)
{
    if (count < 2)
        return NAN;
    double mean = mean_of(values, count);
    double squares = 0;
    double rest = 0;
    for (size_t i = 0; i < count; i++) {
        double apart = values[i] - mean;
        squares += apart * apart;
        rest += apart;
    }
    /* The second term takes out what rounding left in the mean (Chan, Golub &
     * LeVeque 1983, Am. Stat. 37, 242). */
    return sqrt((squares - rest * rest / (double)count) / (double)(count - 1));
}

double quantile_sorted(const double *sorted, size_t count, double q)
{
    if (count == 0)
        return NAN;
    double place = q * (double)(count - 1);
    size_t below = (size_t)floor(place);
    if (below + 1 >= count)
        return sorted[count - 1];
    double rest = place - (double)below;
    if (rest == 0 || sorted[below] == sorted[below + 1])
        return sorted[below];
    return sorted[below] + rest * (sorted[below + 1] - sorted[below]);
}

static int compare_numbers(const void *a, const void *b)
{
    double x = *(const double *)a;
    double y = *(const double *)b;
    return (x > y) - (x < y);
}

void sort_numbers(double *values, size_t count)
{
    if (count > 1)
        qsort(values, count, sizeof *values, compare_numbers);
}

size_t wins_of(const double *values, size_t count)
{
    size_t wins = 0;
    for (size_t i = 0; i < count; i++)
        wins += values[i] > 0;
    return wins;
}

/* Sum of the values on one side of 0 and their number. */
static double sum_of_side(const double *values, size_t count, int winning, size_t *found)
{
    double sum = 0;
    *found = 0;
    for (size_t i = 0; i < count; i++) {
        if ((values[i] > 0) != winning)
            continue;
        sum += values[i];
        ++*found;
    }
    return sum;
}

double mean_win(const double *values, size_t count)
{
    size_t found = 0;
    double sum = sum_of_side(values, count, 1, &found);
    return found > 0 ? sum / (double)found : NAN;
}

double mean_loss(const double *values, size_t count)
{
    size_t found = 0;
    double sum = sum_of_side(values, count, 0, &found);
    return found > 0 ? sum / (double)found : NAN;
}

double profit_factor(const double *values, size_t count)
{
    size_t found = 0;
    double won = sum_of_side(values, count, 1, &found);
    double lost = -sum_of_side(values, count, 0, &found);
    if (lost == 0)
        return won > 0 ? INFINITY : NAN;
    return won / lost;
}

double largest_drawdown(const double *values, size_t count)
{
    double level = 0;
    double peak = 0;
    double largest = 0;
    for (size_t i = 0; i < count; i++) {
        level += values[i];
        peak = fmax(peak, level);
        largest = fmax(largest, peak - level);
    }
    return largest;
}

size_t longest_losing_streak(const double *values, size_t count)
{
    size_t now = 0;
    size_t longest = 0;
    for (size_t i = 0; i < count; i++) {
        now = values[i] > 0 ? 0 : now + 1;
        if (now > longest)
            longest = now;
    }
    return longest;
}

/* Feller vol. 1, XIII.7, (7.11): without[n] is nearly c / x^(n+1), where x = 1 + e
 * is the root next to 1 of 1 - x + q p^k x^(k+1) = 0, p the chance of a loss, q
 * of a win. What it leaves out falls as p^n. */
static double run_chance_of_many(double loss, size_t count, size_t length)
{
    double win = 1 - loss;
    double k = (double)length;
    double scale = win * pow(loss, k);
    /* Then x is not below 1/p, and a run all but certain. */
    if ((k + 1) * win <= 1)
        return 1;
    double e = 0;
    for (int i = 0; i < 200; i++) {
        /* From the left, where the function is convex, Newton stays left. */
        double power = scale * exp((k + 1) * log1p(e));
        double step = (power - e) / (1 - (k + 1) * power / (1 + e));
        e += step;
        if (!(step > 1e-16 * e))
            break;
    }
    double none = log1p(-loss / win * e) - log1p(-k * e) - ((double)count + 1) * log1p(e);
    return -expm1(none);
}

/* Up to FEW trades the recurrence is quick enough. */
enum { FEW = 5000 };
/* With more wins p^n is under 1e-21. */
static const double many_wins = 50;

double losing_run_chance(double loss, size_t count, size_t length)
{
    if (count < length)
        return 0;
    if (count > FEW && (1 - loss) * (double)count > many_wins)
        return fmin(fmax(run_chance_of_many(loss, count, length), 0), 1);
    double run = pow(loss, (double)length);
    double *without = malloc((count + 1) * sizeof *without);
    if (without == NULL)
        return NAN;
    for (size_t m = 0; m < length; m++)
        without[m] = 1;
    without[length] = 1 - run;
    for (size_t m = length + 1; m <= count; m++)
        without[m] = without[m - 1] - (1 - loss) * run * without[m - length - 1];
    double chance = 1 - without[count];
    free(without);
    return fmin(fmax(chance, 0), 1);
}

/* Few wins w among many trades cut the losses into w+1 parts. The longest of
 * w+1 parts of a length cut at random is (1 + 1/2 + ... + 1/(w+1)) / (w+1) of it
 * on average (Feller vol. 2, I.9, problem; from memory); whole trades fall short
 * of that by half of one, over a length that is half of one longer a part. */
static double longest_run_between_few(double loss, size_t count)
{
    double n = (double)count;
    double mean = (1 - loss) * n;
    double chance = pow(loss, n);
    double harmonic = 0;
    double sum = 0;
    for (double w = 0; w <= n && (w <= mean || chance > 1e-17); w++) {
        double parts = w + 1;
        harmonic += 1 / parts;
        sum += chance * ((n - w + parts / 2) * harmonic / parts - 0.5);
        chance *= (n - w) / parts * (1 - loss) / loss;
    }
    return sum;
}

double expected_longest_run(double loss, size_t count)
{
    double sum = 0;
    if (count > FEW && (1 - loss) * (double)count <= many_wins)
        return longest_run_between_few(loss, count);
    for (size_t length = 1; length <= count; length++) {
        double chance = losing_run_chance(loss, count, length);
        sum += chance;
        if (chance < 1e-13)
            break;
    }
    return sum;
}
