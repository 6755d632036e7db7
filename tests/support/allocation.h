/* Memory that runs out on request.
 *
 * A test linked with allocation.c has its own malloc, calloc, realloc and
 * free, which the libraries it is linked with (SQLite, libyaml, ICU) use as
 * well. While armed they count allocations, let one fail, and remember which
 * blocks are still held. Not for builds with sanitizers, which have their own. */
#ifndef RUSHLIGHT_TESTS_ALLOCATION_H
#define RUSHLIGHT_TESTS_ALLOCATION_H

#include <stdbool.h>

struct allocation_report {
    long count;  /* allocations asked for while armed */
    long held;   /* blocks allocated while armed and not freed */
    bool failed; /* the one that was to fail was asked for */
};

enum allocation_failure { FAIL_ONCE, FAIL_FROM_THEN_ON };

/* From now on the nth allocation (from 1; 0 for none) of any thread fails,
 * and with FAIL_FROM_THEN_ON all after it. */
void allocation_arm(long nth, enum allocation_failure failure);
struct allocation_report allocation_disarm(void);

#endif
