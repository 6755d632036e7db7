/* Dates that a person marked by hand against the rule. */
#ifndef RUSHLIGHT_WORK_AGREE_H
#define RUSHLIGHT_WORK_AGREE_H

#include "setup/agreement.h"
#include "work/rules.h"

struct agreed {
    char **words; /* instruments, in the order of `cases` */
    size_t count;
    struct rules_case *cases;
    struct agreement agreement;
};

/* Reads the dates (a CSV: date and, if wanted, instrument), opens the
 * instruments wished for from word `first_word` on, else those that the file
 * names, and looks for the limits that would agree best. A date that has no bar
 * is a notice. The setup must stay; `agreed` is the caller's to free with
 * agreed_free, also after an error. */
int agree_find(struct work *work, const struct setup *setup, const char *file, size_t first_word,
               struct agreed *agreed, struct error *error);
void agreed_free(struct agreed *agreed);

#endif
