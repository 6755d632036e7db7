/* What criteria said, bar by bar, kept by the text of each criterion: a setup of
 * which one number was moved finds what its other criteria said as it was, and
 * does only its own work again. Results do not depend on it.
 *
 * What is kept of an instrument is true of its bars as they were when it was
 * made (data, date as of, adjustment) and of what was known beside them (events,
 * levels, other instruments): whoever keeps it drops it when one of these
 * moves. */
#ifndef RUSHLIGHT_SETUP_KEPT_H
#define RUSHLIGHT_SETUP_KEPT_H

#include "setup/setup.h"

/* Numbers for texts, the same for all instruments; for one thread at a time. */
struct criterion_texts {
    char **list; /* the number of list[i] is i + 1 */
    size_t count;
    size_t room;
};

void criterion_texts_free(struct criterion_texts *texts);
/* Gives each shape and condition of the setup the number of its text, by which
 * it is found again in a memory (struct criterion_memory). `within` is no part
 * of the text: it only looks at more bars. ERROR_MACHINE. */
int criterion_texts_number(struct criterion_texts *texts, struct setup *setup, struct error *error);

/* What was said on the bars of one instrument, one byte a bar and criterion.
 * For one thread at a time. */
struct criterion_memory;

/* `bars`: how many there are; `limit`: bytes that may be held, beyond which the
 * oldest criteria are let go. NULL without memory. */
struct criterion_memory *criterion_memory_new(size_t bars, size_t limit);
void criterion_memory_free(struct criterion_memory *memory);
/* The bytes of a criterion for candles of `span` bars more than one: 0 where it
 * was not asked yet, else 1 + enum truth. NULL where it is not kept, for want of
 * a number or of memory. Good until the next call. */
unsigned char *criterion_memory_bytes(struct criterion_memory *memory, size_t number, size_t span);
/* Bytes held. */
size_t criterion_memory_size(const struct criterion_memory *memory);

#endif
