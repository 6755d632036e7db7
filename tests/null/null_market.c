#include "null_market.h"

#include "base/calendar.h"
#include "base/random.h"

#include <math.h>
#include <stdlib.h>

enum { WORD = 64, MOST_STEPS = 1280, MOST_WORDS = MOST_STEPS / WORD, COMMON_TASK = 1 << 20 };

static const double start_price = 100000;

/* Bits that are 1 with chance 198/256 = 0.773, near sqrt(0.6), so that two
 * instruments have a correlation of 0.6: from the binary digits of the chance,
 * the last one first. */
static uint64_t common_mask(struct random_stream *stream)
{
    enum { CHANCE = 198, DIGITS = 8 };
    uint64_t mask = 0;
    for (unsigned digit = 0; digit < DIGITS; digit++) {
        uint64_t bits = random_bits(stream);
        mask = CHANCE >> digit & 1 ? mask | bits : mask & bits;
    }
    return mask;
}

struct day_plan {
    size_t *steps;    /* by date */
    uint64_t *common; /* MOST_WORDS a date */
};

static bool plan_days(struct day_plan *plan, const struct null_kind *kind, uint64_t seed)
{
    static const double keep = 0.97;
    struct random_stream stream;
    double v = 0;
    plan->steps = calloc(kind->dates, sizeof *plan->steps);
    plan->common = calloc(kind->dates * MOST_WORDS, sizeof *plan->common);
    if (plan->steps == NULL || plan->common == NULL)
        return false;
    random_start(&stream, seed, COMMON_TASK);
    for (size_t d = 0; d < kind->dates; d++) {
        v = keep * v + sqrt(1 - keep * keep) * 0.8 * random_normal(&stream);
        double steps = kind->clustered ? 200 * exp(v) : 200;
        plan->steps[d] = (size_t)fmin(fmax(steps, 40), MOST_STEPS);
        for (size_t w = 0; w < MOST_WORDS; w++)
            plan->common[d * MOST_WORDS + w] = random_bits(&stream);
    }
    return true;
}

/* A finer bar that is being made from steps. */
struct step_bar {
    struct bar bar;
    bool open;
};

static bool close_step(struct bars *steps, struct step_bar *now, int64_t time)
{
    struct error error;
    if (steps == NULL || !now->open)
        return true;
    now->open = false;
    now->bar.time = time;
    return bars_append(steps, &now->bar, &error) == ERROR_NONE;
}

static void widen(struct bar *bar, double price)
{
    bar->high = fmax(bar->high, price);
    bar->low = fmin(bar->low, price);
    bar->close = price;
}

static bool walk_day(struct bars *daily, struct bars *steps, double *price, int64_t day,
                     const uint64_t *words, size_t count)
{
    enum { WIDEST = 3 };
    struct error error;
    int64_t time = day * SECONDS_PER_DAY;
    struct bar bar = {time, *price, *price, *price, *price, NAN};
    struct step_bar now = {.open = false};
    for (size_t s = 0; s < count; s++) {
        double next = *price + (words[s / WORD] >> s % WORD & 1 ? 1 : -1);
        bool too_wide = now.open && (next - now.bar.low > WIDEST || now.bar.high - next > WIDEST);
        if (too_wide) {
            if (!close_step(steps, &now, time))
                return false;
            time += 60;
        }
        if (!now.open)
            now = (struct step_bar){{0, *price, *price, *price, *price, NAN}, true};
        widen(&now.bar, next);
        widen(&bar, next);
        *price = next;
    }
    return close_step(steps, &now, time) && bars_append(daily, &bar, &error) == ERROR_NONE;
}

static bool walk_instrument(struct null_market *market, const struct null_kind *kind,
                            const struct day_plan *plan, uint64_t seed, size_t i, bool with_steps)
{
    struct random_stream stream;
    double price = start_price;
    random_start(&stream, seed, i);
    market->daily[i].interval = (struct interval){INTERVAL_DAY, 1};
    market->steps[i].interval = (struct interval){INTERVAL_MINUTE, 1};
    for (size_t d = 0; d < kind->dates; d++) {
        uint64_t words[MOST_WORDS];
        for (size_t w = 0; w * WORD < plan->steps[d]; w++) {
            uint64_t own = random_bits(&stream);
            uint64_t mask = kind->instruments > 1 ? common_mask(&stream) : 0;
            words[w] = (mask & plan->common[d * MOST_WORDS + w]) | (~mask & own);
        }
        if (!walk_day(&market->daily[i], with_steps ? &market->steps[i] : NULL, &price, (int64_t)d,
                      words, plan->steps[d]))
            return false;
    }
    return true;
}

bool null_market_init(struct null_market *market, const struct null_kind *kind, uint64_t seed,
                      bool with_steps)
{
    struct day_plan plan = {0};
    market->count = kind->instruments;
    market->daily = calloc(kind->instruments, sizeof *market->daily);
    market->steps = calloc(kind->instruments, sizeof *market->steps);
    bool whole = market->daily != NULL && market->steps != NULL && plan_days(&plan, kind, seed);
    for (size_t i = 0; whole && i < kind->instruments; i++)
        whole = walk_instrument(market, kind, &plan, seed, i, with_steps);
    free(plan.steps);
    free(plan.common);
    return whole;
}

void null_market_free(struct null_market *market)
{
    for (size_t i = 0; i < market->count; i++) {
        if (market->daily != NULL)
            bars_free(&market->daily[i]);
        if (market->steps != NULL)
            bars_free(&market->steps[i]);
    }
    free(market->daily);
    free(market->steps);
}
