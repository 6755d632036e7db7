#include "demo/market.h"

#include "base/array.h"
#include "base/random.h"
#include "demo/days.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Random streams: instruments by their index, common parts from here on. */
enum { FIRST_COMMON_TASK = 1000, VOLATILITY_TASK = 2000 };

size_t demo_find(const char *name)
{
    size_t index = 0;
    while (index < demo_roster_count && strcmp(demo_roster[index].name, name) != 0)
        index++;
    return index;
}

/* An autoregressive walk with variance 1: the common log volatility. */
static void walk_volatility(struct demo_market *market)
{
    static const double persistence = 0.975;
    struct random_stream stream;
    random_start(&stream, market->seed, VOLATILITY_TASK);
    double value = random_normal(&stream);
    for (size_t d = 0; d < market->day_count; d++) {
        market->log_volatility[d] = value;
        value = persistence * value + sqrt(1 - persistence * persistence) * random_normal(&stream);
    }
}

int demo_market_init(struct demo_market *market, uint64_t seed, struct error *error)
{
    *market = (struct demo_market){.seed = seed};
    for (int64_t day = demo_first_day(); day <= demo_last_day(); day++)
        market->day_count += demo_day_open(day, true);
    market->day = array_new(market->day_count, sizeof *market->day);
    market->log_volatility = array_new(market->day_count, sizeof *market->log_volatility);
    if (market->day == NULL || market->log_volatility == NULL)
        return error_memory(error);
    size_t d = 0;
    for (int64_t day = demo_first_day(); day <= demo_last_day(); day++)
        if (demo_day_open(day, true))
            market->day[d++] = day;
    walk_volatility(market);
    size_t count = market->day_count * (DEMO_STEPS_A_DAY + 1);
    for (size_t g = 0; g <= DEMO_GROUP_COUNT; g++) {
        market->steps[g] = array_new(count, sizeof **market->steps);
        if (market->steps[g] == NULL)
            return error_memory(error);
        struct random_stream stream;
        random_start(&stream, seed, FIRST_COMMON_TASK + g);
        for (size_t i = 0; i < count; i++)
            market->steps[g][i] = random_normal(&stream);
    }
    return ERROR_NONE;
}

void demo_market_free(struct demo_market *market)
{
    free(market->day);
    free(market->log_volatility);
    for (size_t g = 0; g <= DEMO_GROUP_COUNT; g++)
        free(market->steps[g]);
    *market = (struct demo_market){0};
}
