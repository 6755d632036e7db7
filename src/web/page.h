/* What all sheets of the page share: the book, the limits, the letters. */
#ifndef RUSHLIGHT_WEB_PAGE_H
#define RUSHLIGHT_WEB_PAGE_H

#include "document/html.h"
#include "web/exchange.h"

#include <stdbool.h>

struct page_options {
    const char *book;    /* path of the book; need not be there yet */
    const char *version; /* of the program */
    const char *folder;  /* the server's own, for files handed over */
    const char *setups;  /* folder of the shipped setups; NULL: there are none */
    bool read_only;
    int threads;
    uint64_t seed;
    int64_t (*clock)(void); /* UTC seconds: the door's */
};

struct page;

/* All of `options` is borrowed and must stay. ERROR_MACHINE. */
int page_new(struct page **page, const struct page_options *options, struct error *error);
void page_free(struct page *page);

/* For server_options: answers by the table of routes, and refuses. */
int page_answer(void *page, struct exchange *exchange, struct error *error);

/* Puts what the page can do about an error behind its text: also where an instrument is
 * set aside for it. */
void page_advise(struct error *error);
void page_refuse(void *page, struct exchange *exchange, const char *sentence);

#endif
