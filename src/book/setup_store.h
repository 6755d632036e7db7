/* Setups in the book: every version that was ever kept, oldest first, none
 * changed and none removed. A version is the text of a setup file; what it says
 * is read by the layer of setups. */
#ifndef RUSHLIGHT_BOOK_SETUP_STORE_H
#define RUSHLIGHT_BOOK_SETUP_STORE_H

#include "store/book.h"

enum { SETUP_NAME_SIZE = 61 };

struct setup_version {
    char name[SETUP_NAME_SIZE];
    int64_t number; /* from 1 */
    int64_t made;   /* UTC seconds */
    char *text;     /* the file as it was written; never NULL once read */
};

struct setup_versions {
    struct setup_version *list;
    size_t count;
    size_t room;
};

/* Keeps a text as the version after the newest, inside a transaction; *number is
 * its number. `expected` is the newest version that whoever wrote it had seen (0:
 * none; below 0: never mind): ERROR_INPUT where another has been kept meanwhile. A text equal to the
 * newest one is not kept again, *number is that one's. ERROR_INPUT too for a name
 * that is no setup's. */
int setup_store_keep(struct book *book, const char *name, const char *text, int64_t expected,
                     int64_t now, int64_t *number, struct error *error);

/* The newest version of each, by name; or of one, all versions, oldest first
 * (none: an empty list). To be freed, also after an error. */
int setup_store_newest(struct book *book, struct setup_versions *versions, struct error *error);
int setup_store_versions(struct book *book, const char *name, struct setup_versions *versions,
                         struct error *error);
void setup_versions_free(struct setup_versions *versions);

/* The text of one version, or of the newest (number 0); NULL without an error
 * where there is none. The caller frees it. */
int setup_store_text(struct book *book, const char *name, int64_t number, char **text,
                     struct error *error);

#endif
