/* Steps on one book, each all or nothing, through power cuts and failing
 * writes. What was said to be kept is kept, the step under way is there whole
 * or not at all, what was said not to be kept is not there, and the book is
 * sound. */
#ifndef RUSHLIGHT_TESTS_POWER_RUN_H
#define RUSHLIGHT_TESTS_POWER_RUN_H

#include "power_vfs.h"
#include "store/book.h"

enum { POWER_MOST_STEPS = 7 };

/* The book's path in the file system of power_vfs.h. */
#define POWER_BOOK "book-in-memory"

struct power_run {
    /* Step `which`, with a transaction of its own. */
    int (*step)(struct book *book, int which, struct error *error);
    int count;
    bool fill;  /* the book is opened as for one long write (BOOK_FILL) */
    bool every; /* trouble at every place, not at some hundreds of them */
    /* Filled by power_run_learn: everything in the book as text before the first
     * step and behind each, and the writes and syncs of all steps. */
    char *states[POWER_MOST_STEPS + 1];
    long writes;
    struct error failure; /* what was not as it must be */
};

/* Does all steps once while nothing goes wrong; false where one fails or changes
 * nothing. Forget the run in any case. */
bool power_run_learn(struct power_run *run);
void power_run_forget(struct power_run *run);

/* Does all steps with the trouble at one write or sync after another, a cut with
 * `seeds` draws of what lasts. */
bool power_run_survives(struct power_run *run, enum power_trouble trouble, int seeds);

#endif
