/* What the sheet of a setup is made of. Private to the layer. */
#ifndef RUSHLIGHT_WEB_SETUP_PARTS_H
#define RUSHLIGHT_WEB_SETUP_PARTS_H

#include "web/draft.h"

/* What the rule was counted on, and what was. */
struct sieve {
    const struct held *held;
    const struct tally *tally;
    const char *list; /* that they are of; NULL: the whole book */
};

/* The rule as a table, its numbers as fields of the form around it, with what
 * was counted. */
void setup_rows_write(struct html *html, const struct draft *draft, const struct sieve *sieve);

/* The line below the title: whose it is, candidates and signals, ways on, and what
 * keeps it where it was changed (setup_keep.c). `tally` counts where there is a setup. */
void setup_keep_write(struct html *html, const struct page *page, const struct exchange *exchange,
                      const struct draft *draft, const struct tally *tally);

/* The setup in words, as `setup check` says it. */
void setup_said_write(struct html *html, const struct draft *draft);

/* The address of the draft on another path: its name, version, list, the date as
 * of, and the text where it was changed. */
void draft_address(struct text *address, const char *path, const struct draft *draft,
                   const struct exchange *exchange);

/* The form that says a new setup as a sentence (setup_begin.c). */
void setup_begin_form(struct html *html, const struct exchange *exchange);

/* All setups, as a whole sheet (setups_list.c). */
int setups_list_write(struct html *html, const struct page *page, const struct exchange *exchange,
                      struct error *error);

#endif
