/* Sentences gathered by one thread, to be said later in the right order. */
#ifndef RUSHLIGHT_WORK_NOTICES_H
#define RUSHLIGHT_WORK_NOTICES_H

#include "work/work.h"

struct notice {
    enum notice_kind kind;
    char *sentence;
};

/* All zeroes: none yet. */
struct notices {
    struct notice *list;
    size_t count;
    size_t room;
};

/* Only ERROR_MACHINE. */
int notices_add(struct notices *notices, struct error *error, enum notice_kind kind,
                const char *format, ...) __attribute__((format(printf, 4, 5)));
/* Hands them to the work's voice, in order, and frees them. */
void notices_say(struct notices *notices, const struct work *work);
void notices_free(struct notices *notices);

#endif
