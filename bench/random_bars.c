#define _POSIX_C_SOURCE 200809L
#include "random_bars.h"

#include "base/random.h"

#include <math.h>
#include <time.h>

double seconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

void die(const char *what)
{
    fprintf(stderr, "bench: %s\n", what);
    exit(4);
}

void make_bars(struct bars *bars, size_t count, uint64_t task)
{
    struct random_stream stream;
    struct error error;
    random_start(&stream, 20240229, task);
    double price = 10000;
    bars_init(bars);
    bars->interval = (struct interval){INTERVAL_DAY, 1};
    for (size_t i = 0; i < count; i++) {
        double open = price + round(5 * random_normal(&stream));
        double high = open;
        double low = open;
        price = open;
        for (int step = 0; step < 8; step++) {
            price += round(20 * random_normal(&stream));
            high = fmax(high, price);
            low = fmin(low, price);
        }
        struct bar bar = {(int64_t)i * 86400, open / 100, high / 100, low / 100, price / 100, NAN};
        if (bars_append(bars, &bar, &error) != ERROR_NONE)
            die(error.text);
    }
}
