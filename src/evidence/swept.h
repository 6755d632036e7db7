/* What is kept from one cell of a sweep to the next: the measures of every
 * instrument and what each criterion said, so that a moved number does only its
 * own work again. Results do not depend on it. */
#ifndef RUSHLIGHT_EVIDENCE_SWEPT_H
#define RUSHLIGHT_EVIDENCE_SWEPT_H

#include "evidence/study.h"
#include "setup/kept.h"

/* Bytes that measures and criteria may take, each; what is beyond is made anew. */
enum { SWEPT_BYTES = 256 * 1024 * 1024 };

struct swept_series {
    struct sheet *sheet; /* NULL: not made yet, or let go */
    struct criterion_memory *memory;
};

/* Of the series that it was made for, in their order, which must stay. */
struct swept {
    struct swept_series *list;
    size_t count;
    struct criterion_texts texts;
    struct date_grid grid;
};

/* ERROR_MACHINE. To be freed, also after an error; all zeroes: none yet. */
int swept_init(struct swept *swept, const struct study_series *series, size_t count,
               struct error *error);
void swept_free(struct swept *swept);

/* The setup applied to series number `index`; for one thread an instrument. */
int swept_view(struct swept *swept, size_t index, const struct study_series *series,
               const struct setup *setup, struct setup_view *view, struct error *error);
/* Lets sheets go that have grown beyond the bytes. After a cell, by one thread. */
void swept_trim(struct swept *swept);

#endif
