#include "measures/beside.h"

#include "base/array.h"
#include "market/longer.h"

#include <stdint.h>
#include <stdlib.h>

static void release(void *data)
{
    struct beside *beside = data;
    sheet_free(beside->sheet);
    free(beside->closed);
    free(beside);
}

/* Both in order of time: one walk along the two. */
static int map_closed(struct beside *beside, struct sheet *sheet,
                      const struct instrument *instrument, struct error *error)
{
    const struct bars *bars = sheet_bars(sheet);
    const struct bars *other = sheet_bars(beside->sheet);
    struct session own = {.start = 0};
    struct session theirs = {.start = 0};
    size_t next = 0;
    int code = sheet_session(sheet, &own, error);
    if (code == ERROR_NONE)
        code = session_open(&theirs, instrument, error);
    for (size_t i = 0; i < sheet_count(sheet) && code == ERROR_NONE; i++) {
        int64_t now = bar_known(&own, bars->interval, bars->time[i]);
        while (next < sheet_count(beside->sheet) &&
               bar_known(&theirs, other->interval, other->time[next]) <= now)
            next++;
        beside->closed[i] = next > 0 ? next - 1 : SIZE_MAX;
    }
    session_close(&own);
    session_close(&theirs);
    return code;
}

const struct beside *sheet_beside(struct sheet *sheet, const struct bars *bars,
                                  const struct instrument *instrument)
{
    static const double no_values[PARAMETER_LIMIT];
    struct error error;
    struct beside *beside = sheet_kept(sheet, bars, no_values);
    if (beside != NULL)
        return beside;
    beside = calloc(1, sizeof *beside);
    if (beside == NULL) {
        sheet_fail(sheet);
        return NULL;
    }
    beside->sheet = sheet_of_instrument(bars, instrument);
    beside->closed = array_new(sheet_count(sheet), sizeof *beside->closed);
    if (beside->sheet == NULL || beside->closed == NULL ||
        map_closed(beside, sheet, instrument, &error) != ERROR_NONE) {
        release(beside);
        sheet_fail(sheet);
        return NULL;
    }
    return sheet_keep(sheet, bars, no_values, beside, release) ? beside : NULL;
}
