#include "work/nearly.h"

#include <math.h>
#include <stdint.h>

static size_t failures_of(const struct setup_view *view, const struct candle *candle)
{
    struct checklist checklist;
    size_t failures = 0;
    checklist_read(view, candle, candle->at, &checklist);
    for (size_t i = 0; i < checklist.count; i++)
        failures += checklist.list[i].holds != TRUTH_YES;
    return failures;
}

bool nearest_candle(const struct setup_view *view, size_t bar, struct candle *candle)
{
    const struct setup *setup = view->setup;
    size_t fewest = SIZE_MAX;
    if (setup->candle_count > 1 && candidate_at(view, bar, candle))
        return true;
    *candle = candle_of_bar(view, bar);
    for (size_t i = 0; i < setup->candle_count; i++) {
        if (bar + 1 < setup->candles[i].shape->bars)
            continue;
        struct candle tried = candle_of_shape(view, i, bar);
        size_t failures = setup->candle_count > 1 ? failures_of(view, &tried) : 0;
        if (failures >= fewest)
            continue;
        fewest = failures;
        *candle = tried;
    }
    return fewest != SIZE_MAX;
}

bool nearly_at(const struct setup_view *view, size_t bar, struct near_bar *near)
{
    const struct bars *bars = sheet_bars(view->plain);
    const struct check *failed = NULL;
    struct checklist checklist;
    near->untold = false;
    if (bars->high[bar] == bars->low[bar])
        return false;
    if (!nearest_candle(view, bar, &near->candle))
        return false;
    checklist_read(view, &near->candle, bar, &checklist);
    near->untold = checklist_untold(&checklist);
    if (!checklist_nearly(&checklist, &failed, &near->missed_by) || isinf(near->missed_by))
        return false;
    near->failed = *failed;
    return true;
}
