/* The other instruments that a setup's conditions read. */
#include "base/text.h"
#include "work/rules_parts.h"

#include <stdlib.h>

/* Of the book's bars those of the length asked for: made from shorter ones, if
 * need be, by the other instrument's own session. */
static int open_other(struct work *work, struct notices *notices, const struct setup *setup,
                      const struct setup_other *named, struct interval own, struct series *series,
                      struct error *error)
{
    char interval[INTERVAL_TEXT_SIZE];
    struct text word;
    interval_format(interval, named->interval.unit != INTERVAL_NONE ? named->interval : own);
    text_init(&word);
    text_append_format(&word, "%s@%s", named->name, interval);
    int code = text_failed(&word) ? error_memory(error)
                                  : series_open_named(work, notices, word.bytes, series, error);
    text_free(&word);
    if (code == ERROR_NONE || code == ERROR_MACHINE)
        return code;
    return error_context(error, "setup %s reads '%s'", setup->name, named->name);
}

int rules_open_others(struct work *work, struct notices *notices, const struct setup *setup,
                      struct rules_case *opened, struct error *error)
{
    struct setup_other named[SETUP_OTHERS];
    size_t count = setup_others(setup, named);
    int code = ERROR_NONE;
    if (count == 0)
        return ERROR_NONE;
    opened->others = calloc(count, sizeof *opened->others);
    opened->other_bars = calloc(count, sizeof *opened->other_bars);
    if (opened->others == NULL || opened->other_bars == NULL)
        return error_memory(error);
    for (size_t i = 0; i < count && code == ERROR_NONE; i++) {
        struct series *series = &opened->others[i];
        /* Counted first, so that a half-opened one is closed too. */
        opened->around.other_count = i + 1;
        code = open_other(work, notices, setup, &named[i], opened->series.bars.interval, series,
                          error);
        opened->other_bars[i] = (struct other_bars){&series->bars, &series->instrument};
    }
    opened->around.others = opened->other_bars;
    return code;
}
