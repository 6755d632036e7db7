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

double losing_run_chance(double loss, size_t count, size_t length)
{
    if (count < length)
        return 0;
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

double expected_longest_run(double loss, size_t count)
{
    double sum = 0;
    for (size_t length = 1; length <= count; length++) {
        double chance = losing_run_chance(loss, count, length);
        sum += chance;
        if (chance < 1e-13)
            break;
    }
    return sum;
}
