#include "desk/rates.h"

#include <string.h>

static bool is_code(const char *bytes)
{
    for (size_t i = 0; i < 3; i++)
        if (bytes[i] < 'A' || bytes[i] > 'Z')
            return false;
    return true;
}

bool rate_pair_read(const char *bytes, size_t length, struct rate *rate)
{
    if (length != 7 || bytes[3] != '/' || !is_code(bytes) || !is_code(bytes + 4) ||
        memcmp(bytes, bytes + 4, 3) == 0)
        return false;
    memcpy(rate->base, bytes, 3);
    memcpy(rate->quote, bytes + 4, 3);
    rate->base[3] = rate->quote[3] = '\0';
    return true;
}

bool rate_same_pair(const struct rate *a, const struct rate *b)
{
    return (strcmp(a->base, b->base) == 0 && strcmp(a->quote, b->quote) == 0) ||
           (strcmp(a->base, b->quote) == 0 && strcmp(a->quote, b->base) == 0);
}

int rates_add(struct rates *rates, const struct rate *rate, struct error *error)
{
    if (fraction_failed(rate->price) || fraction_sign(rate->price) <= 0)
        return error_set(error, ERROR_INPUT,
                         "%s/%s: its rate is not above 0, or has more than 36 digits; a price such "
                         "as 1.08 is allowed",
                         rate->base, rate->quote);
    for (size_t i = 0; i < rates->count; i++)
        if (rate_same_pair(&rates->list[i], rate))
            return ERROR_NONE;
    if (rates->count == RATE_LIMIT)
        return error_set(error, ERROR_INPUT, "%s/%s: at most %d rates are allowed", rate->base,
                         rate->quote, RATE_LIMIT);
    rates->list[rates->count++] = *rate;
    return ERROR_NONE;
}

/* A search in the breadth: the currencies come to, each by one rate. */
struct search {
    const struct rates *rates;
    const char *codes[RATE_LIMIT + 1];
    const struct rate *by[RATE_LIMIT + 1];
    size_t before[RATE_LIMIT + 1]; /* where it came from */
    size_t count;
};

static size_t find_code(const struct search *search, const char *code)
{
    size_t i = 0;
    while (i < search->count && strcmp(search->codes[i], code) != 0)
        i++;
    return i;
}

static void go_on(struct search *search, size_t from)
{
    for (size_t i = 0; i < search->rates->count; i++) {
        const struct rate *rate = &search->rates->list[i];
        bool base = strcmp(rate->base, search->codes[from]) == 0;
        if (!base && strcmp(rate->quote, search->codes[from]) != 0)
            continue;
        const char *code = base ? rate->quote : rate->base;
        /* Each rate brings one new currency at most, so there is room. */
        if (find_code(search, code) < search->count)
            continue;
        search->codes[search->count] = code;
        search->by[search->count] = rate;
        search->before[search->count++] = from;
    }
}

static void multiply_out(const struct search *search, size_t end, struct rate_way *way)
{
    for (size_t at = end; at != 0; at = search->before[at])
        way->count++;
    size_t leg = way->count;
    for (size_t at = end; at != 0; at = search->before[at]) {
        way->legs[--leg] = search->by[at];
        way->turned[leg] = strcmp(search->by[at]->base, search->codes[at]) == 0;
    }
    for (; leg < way->count; leg++)
        way->rate = way->turned[leg] ? fraction_divide(way->rate, way->legs[leg]->price)
                                     : fraction_multiply(way->rate, way->legs[leg]->price);
}

int rates_between(const struct rates *rates, const char *from, const char *to, struct rate_way *way,
                  struct error *error)
{
    struct search search = {.rates = rates, .codes = {from}, .count = 1};
    *way = (struct rate_way){.rate = fraction_of(1, 1)};
    for (size_t i = 0; i < search.count && find_code(&search, to) == search.count; i++)
        go_on(&search, i);
    size_t end = find_code(&search, to);
    if (end == search.count)
        return error_because(error, ERROR_INPUT, ERROR_REASON_NO_RATE,
                             "no rate leads from %s to %s", from, to);
    multiply_out(&search, end, way);
    if (fraction_failed(way->rate))
        return error_set(error, ERROR_INPUT,
                         "the rates from %s to %s have too many digits to be multiplied exactly",
                         from, to);
    return ERROR_NONE;
}
