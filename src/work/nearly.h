/* The candle by which a bar is judged that need not be one, and bars that fail one
 * criterion only. */
#ifndef RUSHLIGHT_WORK_NEARLY_H
#define RUSHLIGHT_WORK_NEARLY_H

#include "setup/checklist.h"

struct near_bar {
    struct candle candle; /* by the shape of the setup that it is nearest to */
    bool untold;          /* nothing that can be told fails (checklist_untold) */
    struct check failed;
    double missed_by; /* prices in ATR, the rest as a share of the limit */
};

/* The candle of the bar: the one that is in its place; where none is, by the shape of
 * the setup with which fewest of all criteria fail, the first of several. False where
 * no shape has as many bars up to there: *candle is then the bar alone. */
bool nearest_candle(const struct setup_view *view, size_t bar, struct candle *candle);

/* Whether the bar, which has a range, is no case but fails one criterion only,
 * by a measured amount. `untold` is filled in any case, the rest where it is. */
bool nearly_at(const struct setup_view *view, size_t bar, struct near_bar *near);

#endif
