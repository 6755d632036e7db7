/* The versions of the book's schema, oldest first. */
#ifndef RUSHLIGHT_STORE_SCHEMA_H
#define RUSHLIGHT_STORE_SCHEMA_H

/* The present version: the number of steps. */
extern const int schema_version;
/* SQL that brings a book of the version of its index to the next one; version 0
 * is an empty file. */
extern const char *const schema_steps[];

#endif
