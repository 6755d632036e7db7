#include "evidence/uniform.h"

#include "base/array.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

double uniform_distance(const double *sorted, size_t count)
{
    double distance = 0;
    for (size_t i = 0; i < count; i++) {
        distance = fmax(distance, sorted[i] - (double)i / (double)count);
        distance = fmax(distance, (double)(i + 1) / (double)count - sorted[i]);
    }
    return distance;
}

/* A square matrix times 10^exponent: the powers outgrow a double. */
struct scaled {
    double *cells;
    int exponent;
};

static void multiply(double *product, const double *a, const double *b, size_t m)
{
    for (size_t i = 0; i < m; i++) {
        for (size_t j = 0; j < m; j++) {
            double sum = 0;
            for (size_t k = 0; k < m; k++)
                sum += a[i * m + k] * b[k * m + j];
            product[i * m + j] = sum;
        }
    }
}

static void rescale(struct scaled *matrix, size_t m)
{
    static const double large = 1e140;
    if (matrix->cells[(m / 2) * m + m / 2] <= large)
        return;
    for (size_t i = 0; i < m * m; i++)
        matrix->cells[i] /= large;
    matrix->exponent += 140;
}

/* power = base^n by squaring; `base` and `room` are used up. */
static void raise_matrix(struct scaled *power, struct scaled *base, double *room, size_t m,
                         size_t n)
{
    size_t bytes = m * m * sizeof *room;
    for (size_t i = 0; i < m * m; i++)
        power->cells[i] = i % (m + 1) == 0;
    for (; n > 0; n /= 2) {
        if (n % 2 == 1) {
            multiply(room, power->cells, base->cells, m);
            memcpy(power->cells, room, bytes);
            power->exponent += base->exponent;
            rescale(power, m);
        }
        multiply(room, base->cells, base->cells, m);
        memcpy(base->cells, room, bytes);
        base->exponent *= 2;
        rescale(base, m);
    }
}

/* The matrix H of the paper, for k - h = n d. */
static void fill_matrix(double *cells, size_t m, double h)
{
    for (size_t i = 0; i < m; i++)
        for (size_t j = 0; j < m; j++)
            cells[i * m + j] = i + 1 < j ? 0 : 1;
    for (size_t i = 0; i < m; i++) {
        cells[i * m] -= pow(h, (double)(i + 1));
        cells[(m - 1) * m + i] -= pow(h, (double)(m - i));
    }
    if (2 * h > 1)
        cells[(m - 1) * m] += pow(2 * h - 1, (double)m);
    for (size_t i = 0; i < m; i++)
        for (size_t j = 0; j <= i; j++)
            for (size_t g = 1; g <= i - j + 1; g++)
                cells[i * m + j] /= (double)g;
}

int uniform_distance_below(double *chance, double distance, size_t count, struct error *error)
{
    double nd = (double)count * distance;
    if (nd <= 0.5 || distance >= 1) {
        *chance = distance >= 1 ? 1 : 0;
        return ERROR_NONE;
    }
    size_t k = (size_t)nd + 1;
    size_t m = 2 * k - 1;
    double *room = array_new(3 * m * m, sizeof *room);
    if (room == NULL)
        return error_memory(error);
    struct scaled base = {room, 0};
    struct scaled power = {room + m * m, 0};
    fill_matrix(base.cells, m, (double)k - nd);
    raise_matrix(&power, &base, room + 2 * m * m, m, count);
    double result = power.cells[(k - 1) * m + k - 1];
    double exponent = power.exponent;
    for (size_t i = 1; i <= count; i++) {
        result *= (double)i / (double)count;
        if (result < 1e-140) {
            result *= 1e140;
            exponent -= 140;
        }
    }
    *chance = fmin(fmax(result * pow(10, exponent), 0), 1);
    free(room);
    return ERROR_NONE;
}
