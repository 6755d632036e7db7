/* A bar that fails one criterion only. */
#ifndef RUSHLIGHT_WORK_NEARLY_H
#define RUSHLIGHT_WORK_NEARLY_H

#include "setup/checklist.h"

struct near_bar {
    struct candle candle; /* by the shape of the setup that it is nearest to */
    bool untold;          /* nothing that can be told fails (checklist_untold) */
    struct check failed;
    double missed_by; /* prices in ATR, the rest as a share of the limit */
};

/* Whether the bar, which has a range, is no case but fails one criterion only,
 * by a measured amount. `untold` is filled in any case, the rest where it is. */
bool nearly_at(const struct setup_view *view, size_t bar, struct near_bar *near);

#endif
