/* The setup that an address shows on the page: a version of the book or a
 * shipped one, with what the person has changed since. The changes live in the
 * address, none of them anywhere else until they are kept. Private to the
 * layer. */
#ifndef RUSHLIGHT_WEB_DRAFT_H
#define RUSHLIGHT_WEB_DRAFT_H

#include "setup/faults.h"
#include "setup/fields.h"
#include "web/chart.h"
#include "work/held.h"

struct draft {
    const char *name;               /* as in the address; NULL: a new one, from its text alone */
    struct setup_versions versions; /* of the book; none where it is shipped */
    int64_t version;                /* that it began from; 0: none in the book */
    struct text base;               /* the file that it began from */
    struct text text;               /* the file as it is now */
    struct setup setup;             /* what it says; of `base` where it cannot be read */
    bool has_setup;
    bool base_reads;            /* the setup is that of `base`, since the text has a fault */
    struct error fault;         /* the first of them */
    struct setup_faults faults; /* in what was written */
    struct setup_fields fields;
    struct text moved; /* names of the fields moved, each behind a space */
};

/* Reads the address: setup, version, text, and n.NAME for each number. A fault in
 * what the person wrote is no error but `fault`; ERROR_INPUT where there is no such
 * setup. Free with draft_free, also after an error. */
int draft_read(struct draft *draft, const struct page *page, const struct exchange *exchange,
               struct error *error);
void draft_free(struct draft *draft);
bool draft_is_changed(const struct draft *draft);

/* The instruments of the list asked for, held open from one look to the next;
 * the caller has them until page_held_done. */
int page_held(struct page *page, const struct exchange *exchange, const struct setup *setup,
              struct work **work, struct held **held, struct error *error);
int page_held_done(struct page *page, struct work *work, int code, struct error *error);

/* The small figures of all cases of the draft, or those that fit (cases_sheet.c). */
int cases_write(struct html *html, struct page *page, const struct exchange *exchange,
                struct draft *draft, struct error *error);

#endif
