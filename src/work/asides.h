/* Instruments that cannot be looked at while others can: no bars of them yet,
 * a file that cannot be read, no finer bars. */
#ifndef RUSHLIGHT_WORK_ASIDES_H
#define RUSHLIGHT_WORK_ASIDES_H

#include "work/work.h"

struct aside {
    char *word;
    struct error reason;
};

/* All zeroes: none yet. For one thread. */
struct asides {
    struct aside *list;
    size_t count;
    size_t room;
    size_t opened; /* instruments that could be looked at; the caller counts them */
};

/* Keeps why the instrument of this word could not be opened, and returns
 * ERROR_NONE. Anything but ERROR_INPUT is not the instrument's own: it goes to
 * `error` and is returned. */
int asides_add(struct asides *asides, const char *word, const struct error *reason,
               struct error *error);
/* Ends what came to `code`, and frees. Where other instruments could be opened,
 * those kept are handed to the voice, each once a work; where none could, the
 * first of them is the error. */
int asides_end(struct asides *asides, struct work *work, int code, struct error *error);

#endif
