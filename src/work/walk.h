/* An instrument whose bars stay in the book, looked at a window at a time. */
#ifndef RUSHLIGHT_WORK_WALK_H
#define RUSHLIGHT_WORK_WALK_H

#include "work/rules.h"

/* Hands the signals of each window to `take`, in order: a case whose bars, sheet
 * and view are those of the window, and what was found of it; `more` tells whether
 * another follows. `opened` is one of rules_open_up_to whose bars are unread. */
int rules_walk(struct work *work, const struct rules_case *opened,
               int (*take)(void *context, const struct rules_case *window,
                           const struct signals *signals, bool more, struct error *error),
               void *context, struct error *error);

#endif
