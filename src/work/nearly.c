#include "work/nearly.h"

#include <math.h>
#include <stdint.h>

/* The checklist of a bar by the shape of the setup that it is nearest to, and its
 * candle; empty where no shape fits into the bars up to there. */
static void nearest_checklist(const struct setup_view *view, size_t bar, struct candle *candle,
                              struct checklist *best)
{
    size_t fewest = SIZE_MAX;
    best->count = 0;
    for (size_t i = 0; i < view->setup->candle_count; i++) {
        size_t bars = view->setup->candles[i].shape->bars;
        struct checklist checklist;
        size_t failures = 0;
        if (bar + 1 < bars)
            continue;
        struct candle tried = candle_of_shape(view, i, bar);
        checklist_read(view, &tried, bar, &checklist);
        for (size_t k = 0; k < checklist.count; k++)
            failures += checklist.list[k].holds != TRUTH_YES;
        if (failures >= fewest)
            continue;
        fewest = failures;
        *best = checklist;
        *candle = tried;
    }
}

bool nearly_at(const struct setup_view *view, size_t bar, struct near_bar *near)
{
    const struct bars *bars = sheet_bars(view->plain);
    const struct check *failed = NULL;
    struct checklist checklist;
    near->untold = false;
    if (bars->high[bar] == bars->low[bar])
        return false;
    nearest_checklist(view, bar, &near->candle, &checklist);
    near->untold = checklist_untold(&checklist);
    if (checklist.count == 0 || !checklist_nearly(&checklist, &failed, &near->missed_by) ||
        isinf(near->missed_by))
        return false;
    near->failed = *failed;
    return true;
}
