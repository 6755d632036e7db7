#include "market/readjust.h"

#include <math.h>

enum { LEAST_BARS = 5, LARGEST_DENOMINATOR = 1000 };

static const double powers[PRICE_PLACES + 1] = {1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9};

int price_places(double price, int places)
{
    while (places < PRICE_PLACES &&
           fabs(price * powers[places] - round(price * powers[places])) > 1e-6)
        places++;
    return places;
}

int prices_places(const struct bar *bar, int places)
{
    places = price_places(bar->open, places);
    places = price_places(bar->high, places);
    places = price_places(bar->low, places);
    return price_places(bar->close, places);
}

double price_to_places(double price, int places, double room)
{
    double rounded = round(price * powers[places]) / powers[places];
    return fabs(rounded - price) <= room ? rounded : price;
}

/* Half of the last of so many decimals, with room for rounding. */
static double half_of(int places)
{
    return 0.5000001 / powers[places];
}

void readjust_begin(struct readjust_search *search)
{
    *search = (struct readjust_search){.count = 0};
    for (int p = 0; p <= PRICE_PLACES; p++)
        search->ratios[p] = search->differences[p] = (struct value_range){-INFINITY, INFINITY};
}

static void narrow(struct value_range *range, double a, double b)
{
    range->low = fmax(range->low, fmin(a, b));
    range->high = fmin(range->high, fmax(a, b));
}

/* Rounding leaves each price a range of values; all must share one. */
static void note_price(struct readjust_search *search, double stored, double other)
{
    search->no_ratio = search->no_ratio || stored == 0;
    for (int p = search->places; p <= PRICE_PLACES; p++) {
        double room = half_of(p) + 1e-12 * fabs(other);
        narrow(&search->differences[p], other - room - stored, other + room - stored);
        narrow(&search->ratios[p], (other - room) / stored, (other + room) / stored);
    }
}

void readjust_note(struct readjust_search *search, const struct bar *stored,
                   const struct bar *other)
{
    search->count++;
    search->stored_places = prices_places(stored, search->stored_places);
    search->places = prices_places(other, search->places);
    note_price(search, stored->open, other->open);
    note_price(search, stored->high, other->high);
    note_price(search, stored->low, other->low);
    note_price(search, stored->close, other->close);
}

/* The fraction of the smallest denominator in a range above 0; its middle where
 * that has more than LARGEST_DENOMINATOR. By continued fractions. */
static double simplest_fraction(const struct value_range *range)
{
    double low = range->low;
    double high = range->high;
    double p[] = {0, 1}; /* the last two convergents, p / q */
    double q[] = {1, 0};
    while (true) {
        double whole = ceil(low) <= high ? ceil(low) : floor(low);
        double next_p = whole * p[1] + p[0];
        double next_q = whole * q[1] + q[0];
        if (next_q > LARGEST_DENOMINATOR || !isfinite(next_p))
            return range->low + (range->high - range->low) / 2;
        if (whole >= low)
            return next_p / next_q;
        p[0] = p[1];
        q[0] = q[1];
        p[1] = next_p;
        q[1] = next_q;
        double rest = low - whole;
        low = 1 / (high - whole);
        high = 1 / rest;
    }
}

/* The decimal of the fewest places in a range; its middle where there is none. */
static double shortest_decimal(const struct value_range *range)
{
    double middle = range->low + (range->high - range->low) / 2;
    for (int p = 0; p <= PRICE_PLACES; p++) {
        double rounded = round(middle * powers[p]) / powers[p];
        if (rounded >= range->low && rounded <= range->high)
            return rounded;
    }
    return middle;
}

bool readjust_found(const struct readjust_search *search, struct readjustment *found)
{
    double half = half_of(search->places);
    const struct value_range *difference = &search->differences[search->places];
    const struct value_range *ratio = &search->ratios[search->places];
    *found = (struct readjustment){.places = search->stored_places};
    if (search->count < LEAST_BARS)
        return false;
    if (difference->low <= difference->high) {
        found->value = shortest_decimal(difference);
    } else if (!search->no_ratio && ratio->low <= ratio->high && ratio->low > 0) {
        found->ratio = true;
        found->value = simplest_fraction(ratio);
    } else {
        return false;
    }
    found->grain = 2.0000001 * (found->ratio ? half / found->value : half);
    return true;
}

void bars_undo_readjustment(struct bars *bars, const struct readjustment *adjusted)
{
    double *columns[] = {bars->open, bars->high, bars->low, bars->close};
    for (size_t i = 0; i < bars->count && bars->time[i] < adjusted->before; i++) {
        for (int c = 0; c < 4; c++) {
            double price = columns[c][i];
            price = adjusted->ratio ? price / adjusted->value : price - adjusted->value;
            columns[c][i] = price_to_places(price, adjusted->places, adjusted->grain);
        }
    }
}
