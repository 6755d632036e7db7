#include "work/check.h"

#include "base/array.h"
#include "book/instrument_store.h"
#include "work/asides.h"

#include <stdlib.h>

/* One instrument on its way. */
struct checking {
    struct checked checked;
    struct notices notices;
    struct error error;
};

/* The grid that the prices should be on. */
static int load_ticks(struct work *work, const struct series *series, struct dated_tick **ticks,
                      size_t *count, struct error *error)
{
    struct book *book = NULL;
    *ticks = NULL;
    *count = 0;
    if (series->instrument.id != 0) {
        int code = work_borrow(work, &book, error);
        if (code == ERROR_NONE)
            code = instrument_store_ticks(book, series->instrument.id, ticks, count, error);
        work_return(work, book);
        return code;
    }
    /* Of a tick seen in the prices themselves nothing can be learnt. */
    if (series->tick_assumed)
        return ERROR_NONE;
    *ticks = array_new(1, sizeof **ticks);
    if (*ticks == NULL)
        return error_memory(error);
    (*ticks)[0] = (struct dated_tick){INT64_MIN, series->instrument.tick};
    *count = series->instrument.tick_known;
    return ERROR_NONE;
}

/* Only the bars that are asked for are looked at. */
static int keep_shown(struct series *series, struct error *error)
{
    struct bars part;
    if (series->first == 0)
        return ERROR_NONE;
    int code = bars_slice(&part, &series->bars, series->first, series->bars.count, error);
    if (code != ERROR_NONE)
        return code;
    bars_free(&series->bars);
    series->bars = part;
    series->first = 0;
    return ERROR_NONE;
}

static int look(struct work *work, const struct series *series, struct checked *checked,
                struct error *error)
{
    struct dated_tick *ticks = NULL;
    size_t count = 0;
    int code = load_ticks(work, series, &ticks, &count, error);
    *checked = (struct checked){.instrument = series->instrument,
                                .interval = series->bars.interval,
                                .bars = series->bars.count,
                                .set_aside = series->set_aside};
    if (series->bars.count > 0)
        checked->last = series->bars.time[series->bars.count - 1];
    if (code == ERROR_NONE)
        code = findings_make(&checked->findings, &series->bars, &series->instrument, ticks, count,
                             checked->last, error);
    if (code != ERROR_NONE)
        error_context(error, "%s", series->instrument.name);
    free(ticks);
    return code;
}

static void check_one(struct work *work, const char *word, struct checking *checking)
{
    struct series series;
    int code = series_open(work, &checking->notices, word, &series, &checking->error);
    if (code == ERROR_NONE && !series.instrument.tick_known && series.bars.count > 0)
        code = notices_add(&checking->notices, &checking->error, NOTICE_NO_TICK,
                           "%s: no tick is known, and the prices show none to believe", word);
    if (code == ERROR_NONE)
        code = keep_shown(&series, &checking->error);
    if (code == ERROR_NONE)
        look(work, &series, &checking->checked, &checking->error);
    series_free(&series);
}

/* Says what there is to say, and keeps those that could not be opened. */
static int settle(struct work *work, struct checking *list, char *const *words, size_t count,
                  int64_t *newest, struct error *error)
{
    struct asides asides = {0};
    int code = ERROR_NONE;
    *newest = INT64_MIN;
    for (size_t i = 0; i < count && code == ERROR_NONE; i++) {
        const struct checked *checked = &list[i].checked;
        notices_say(&list[i].notices, work);
        if (list[i].error.code == ERROR_NONE)
            asides.opened++;
        else
            code = asides_add(&asides, words[i], &list[i].error, error);
        if (checked->bars > 0 && checked->last > *newest)
            *newest = checked->last;
    }
    return asides_end(&asides, work, code, error);
}

int check_each(struct work *work, char *const *words, size_t count,
               int (*take)(void *context, const struct checked *checked, struct error *error),
               void *context, struct error *error)
{
    int64_t newest = INT64_MIN;
    struct checking *list = calloc(count + 1, sizeof *list);
    if (list == NULL)
        return error_memory(error);
#pragma omp parallel for schedule(dynamic, 1) num_threads(work_wishes(work)->threads)
    for (size_t i = 0; i < count; i++)
        check_one(work, words[i], &list[i]);
    int code = settle(work, list, words, count, &newest, error);
    for (size_t i = 0; i < count; i++) {
        struct checked *checked = &list[i].checked;
        bool looked_at = list[i].error.code == ERROR_NONE;
        if (code == ERROR_NONE && checked->bars > 0)
            findings_end(&checked->findings, &checked->instrument, checked->last, newest);
        if (code == ERROR_NONE && looked_at)
            code = take(context, checked, error);
        notices_free(&list[i].notices);
    }
    free(list);
    return code;
}
