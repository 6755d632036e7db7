/* The invented market as files and in a book: what `demo` and an empty page begin
 * with. */
#ifndef RUSHLIGHT_WORK_DEMO_MARKET_H
#define RUSHLIGHT_WORK_DEMO_MARKET_H

#include "base/error.h"
#include "store/book.h"

#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>

struct demo_wish {
    const char *folder; /* for the price files, in two folders of it; made where it is not there */
    bool keep;          /* the files; else each goes once the book has it */
    const char *book;   /* path of the book; made where there is none */
    int64_t now;        /* UTC seconds: the time of the import */
    const atomic_bool *stop;                       /* NULL: none; set: ERROR_STOPPED soon */
    void (*progress)(void *context, double share); /* NULL: nobody asks */
    void *context;
};

struct demo_made {
    uint64_t bars;
    uint64_t set_aside; /* lines that are wrong on purpose */
};

/* Makes it; a book that has part of it gets the rest. ERROR_MACHINE; ERROR_USAGE for a
 * folder whose path is too long; ERROR_STOPPED, with what was made until then. */
int demo_market_make(const struct demo_wish *wish, struct demo_made *made, struct error *error);

enum demo_part {
    DEMO_NOTHING, /* the book holds no instrument */
    DEMO_PART,    /* some of the invented market, and nothing else */
    DEMO_WHOLE,
    DEMO_MIXED, /* other instruments too */
};

/* How much of the invented market a book holds. NULL is no book. */
int demo_market_look(struct book *book, enum demo_part *part, struct error *error);

#endif
