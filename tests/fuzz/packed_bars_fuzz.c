/* Packed bars of a book that may be damaged: whatever is taken for them has the
 * bars that were asked for, and packed again gives the same bit for bit. */
#include "book/bars_pack.h"

#include <math.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* A negative zero comes back as zero, what is not known as not known. */
static bool same(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static void check_again(const struct bars *bars)
{
    static unsigned char bytes[PACK_ROOM];
    struct bars again;
    struct error error = {0};
    size_t length = bars_pack(bars, 0, bars->count, bytes);
    bars_init(&again);
    if (length > PACK_ROOM ||
        bars_unpack(&again, bytes, length, bars->count, &error) != ERROR_NONE ||
        again.count != bars->count)
        abort();
    for (size_t i = 0; i < bars->count; i++)
        if (bars->time[i] != again.time[i] || !same(bars->open[i], again.open[i]) ||
            !same(bars->high[i], again.high[i]) || !same(bars->low[i], again.low[i]) ||
            !same(bars->close[i], again.close[i]) || !same(bars->volume[i], again.volume[i]))
            abort();
    bars_free(&again);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct bars bars;
    struct error error = {0};
    if (size < 2)
        return 0;
    /* How many are asked for stands in front. */
    size_t count = 1 + (data[0] + 256u * data[1]) % PACK_MOST;
    bars_init(&bars);
    if (bars_unpack(&bars, data + 2, size - 2, count, &error) != ERROR_NONE) {
        if (error.text[0] == '\0')
            abort();
    } else if (bars.count != count) {
        abort();
    } else {
        check_again(&bars);
    }
    bars_free(&bars);
    return 0;
}
