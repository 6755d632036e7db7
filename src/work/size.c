#include "work/size.h"

#include "work/account.h"

#include <math.h>
#include <string.h>

int size_open(struct work *work, struct notices *notices, const char *word,
              struct size_case *opened, struct error *error)
{
    *opened = (struct size_case){.named = word != NULL};
    if (word != NULL)
        return series_open(work, notices, word, &opened->series, error);
    bars_init(&opened->series.bars);
    instrument_init(&opened->series.instrument, "it");
    opened->series.instrument.name[0] = '\0';
    return ERROR_NONE;
}

void size_close(struct size_case *opened)
{
    series_free(&opened->series);
}

/* --- reading ------------------------------------------------------------------------- */

static int read_rate(struct work *work, const char *text, size_t length, struct rates *rates,
                     struct error *error)
{
    char name[INSTRUMENT_NAME_SIZE];
    struct rate rate = {0};
    const char *equals = memchr(text, '=', length);
    size_t head = equals != NULL ? (size_t)(equals - text) : length;
    size_t tail = equals != NULL ? length - head - 1 : 0;
    int code = ERROR_NONE;
    if (!rate_pair_read(text, head, &rate) || tail == 0 || tail >= sizeof name)
        return error_set(error, ERROR_INPUT,
                         "rate: found '%.*s'; a pair and its price, such as EUR/USD=1.08, or an "
                         "instrument of the book in the price's place is allowed",
                         (int)(length < 60 ? length : 60), text);
    memcpy(name, equals + 1, tail);
    name[tail] = '\0';
    if (!fraction_read(name, tail, &rate.price))
        code = rate_of_close(work, name, &rate, error);
    return code == ERROR_NONE ? rates_add(rates, &rate, error) : code;
}

int size_rates_read(struct work *work, const char *text, struct rates *rates, struct error *error)
{
    int code = ERROR_NONE;
    for (const char *at = text; code == ERROR_NONE && *at != '\0';) {
        size_t length = strcspn(at, ",");
        code = read_rate(work, at, length, rates, error);
        at += length + (at[length] == ',');
    }
    return code;
}

/* --- the answer ------------------------------------------------------------------------ */

/* The gap on the tick, up: a length that prices can have. */
static struct fraction gap_length(const struct size_wish *wish, const struct gap *gap)
{
    if (!gap->known)
        return fraction_of_number(NAN);
    return fraction_of_number(wish->instrument.tick_known
                                  ? tick_round_up(&wish->instrument.tick, gap->length)
                                  : gap->length);
}

int size_find(const struct size_case *opened, struct size_found *found, struct error *error)
{
    struct size_wish *wish = &found->wish;
    bool is_short = !fraction_failed(wish->entry) && !fraction_failed(wish->stop) &&
                    fraction_compare(wish->entry, wish->stop) < 0;
    int code = gap_measure(&opened->series.bars, is_short, &found->gap, error);
    wish->gap = gap_length(wish, &found->gap);
    return code == ERROR_NONE ? size_work_out(wish, &found->sizing, error) : code;
}
