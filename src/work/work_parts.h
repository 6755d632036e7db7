/* What a work is made of. Private to the layer. */
#ifndef RUSHLIGHT_WORK_WORK_PARTS_H
#define RUSHLIGHT_WORK_WORK_PARTS_H

#include "base/name_set.h"
#include "work/work.h"

#include <pthread.h>

struct work {
    struct wishes wishes;
    struct voice voice;
    pthread_mutex_t lock;  /* of the readers that nobody has borrowed */
    struct book **readers; /* room for one a thread */
    size_t reader_count;
    size_t reader_room;
    struct book *writer;        /* NULL: not opened yet */
    struct name_set said_aside; /* the lines said of instruments set aside */
};

/* Copies a person's words, one line of `least` (0 or 1) to size - 1 bytes; NULL is the empty
 * line. ERROR_INPUT says what was found; `what` names it. */
int work_copy_words(char *to, size_t size, size_t least, const char *what, const char *words,
                    struct error *error);

#endif
