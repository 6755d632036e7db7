/* The versions of the book's schema, oldest first. */
#ifndef RUSHLIGHT_STORE_SCHEMA_H
#define RUSHLIGHT_STORE_SCHEMA_H

#include "store/book.h"

/* The present version: the number of steps in schema.c. */
extern const int schema_version;

/* Brings a book of version `from` (0: an empty file) to the present one inside
 * the transaction that is open. */
int schema_migrate(struct book *book, int from, struct error *error);

#endif
