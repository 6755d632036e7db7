/* The tables of the engine: shapes, conditions, entries, stops, exits, measures; and
 * the words of the glossary (answer/glossary.h). */
#ifndef RUSHLIGHT_ANSWER_CATALOGUE_ROWS_H
#define RUSHLIGHT_ANSWER_CATALOGUE_ROWS_H

#include "answer/listing.h"
#include "base/parameter.h"

enum { CATALOGUE_TABLES = 7 };
/* Their names, in order. */
extern const char *const catalogue_tables[CATALOGUE_TABLES];

/* A row of one of the tables, or one side of it. Borrowed, until the call that hands it
 * over ends. */
struct catalogue_entry {
    const char *table; /* one of catalogue_tables, the pointer itself */
    const char *name;
    const char *mirror; /* NULL: none */
    const struct parameter *parameters;
    bool mirrored; /* it is the mirror of the row as written */
    const char *help;
    const char *formula; /* of a word; NULL: none */
    const char *source;
};

/* Hands each entry over, its mirror behind it: of one of catalogue_tables, or of
 * all where `table` is NULL. */
void catalogue_each(const char *table,
                    void (*take)(void *context, const struct catalogue_entry *entry),
                    void *context);

/* One row by its name, in any case of its letters: the glossary's first. False where
 * there is none of it. */
bool catalogue_one(const char *name,
                   void (*take)(void *context, const struct catalogue_entry *entry), void *context);

/* A row for the entry, and one for each of its numbers. */
extern const struct listing catalogue_listing;
void catalogue_put(struct table *table, const struct catalogue_entry *entry);
/* Appends an entry for people, and an empty line. */
void catalogue_words(struct text *text, const struct catalogue_entry *entry);

#endif
