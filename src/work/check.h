/* What is odd about the bars of instruments. */
#ifndef RUSHLIGHT_WORK_CHECK_H
#define RUSHLIGHT_WORK_CHECK_H

#include "market/findings.h"
#include "work/series.h"

/* One instrument and what was found. */
struct checked {
    struct instrument instrument;
    struct interval interval;
    size_t bars;
    int64_t last; /* time of the last bar, where there is one */
    size_t set_aside;
    struct findings findings;
};

/* Opens each of the words once, with all threads and only a few at a time, and
 * hands what was found to `take`, in their order and from the calling thread:
 * not before all are looked at, since the newest bar of all says which others
 * have ended. Those that cannot be opened are set aside (asides.h). */
int check_each(struct work *work, char *const *words, size_t count,
               int (*take)(void *context, const struct checked *checked, struct error *error),
               void *context, struct error *error);

#endif
