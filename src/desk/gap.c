#include "desk/gap.h"

#include "measures/sheet.h"

#include <math.h>
#include <stdlib.h>

static int by_size(const void *a, const void *b)
{
    double left = *(const double *)a;
    double right = *(const double *)b;
    return (left > right) - (left < right);
}

/* The gaps in ATR into `list`, which has room for all; returns their count. */
static size_t collect(const struct bars *bars, const double *atr, size_t count, bool is_short,
                      double *list)
{
    size_t found = 0;
    for (size_t i = 1; i < count; i++) {
        double against = bars->open[i] - bars->close[i - 1];
        against = is_short ? against : -against;
        if (atr[i - 1] > 0)
            list[found++] = against > 0 ? against / atr[i - 1] : 0;
    }
    return found;
}

int gap_measure(const struct bars *bars, bool is_short, struct gap *gap, struct error *error)
{
    size_t count = bars_complete(bars);
    *gap = (struct gap){.length = NAN, .atrs = NAN};
    if (count <= GAP_LEAST_BARS)
        return ERROR_NONE;
    struct sheet *sheet = sheet_new(bars, NULL);
    double *list = malloc(count * sizeof *list);
    const double *atr = sheet != NULL ? sheet_atr(sheet, 14) : NULL;
    if (atr == NULL || list == NULL) {
        free(list);
        sheet_free(sheet);
        return error_memory(error);
    }
    gap->count = collect(bars, atr, count, is_short, list);
    gap->known = gap->count >= GAP_LEAST_BARS && atr[count - 1] > 0;
    if (gap->known) {
        qsort(list, gap->count, sizeof *list, by_size);
        /* Nearest rank: the smallest whole number not below 0.99 of the count. */
        gap->atrs = list[(gap->count * 99 + 99) / 100 - 1];
        gap->length = gap->atrs * atr[count - 1];
    }
    free(list);
    sheet_free(sheet);
    return ERROR_NONE;
}
