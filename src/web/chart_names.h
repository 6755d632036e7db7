/* Names of instruments, and which of them a person means. Private to the layer. */
#ifndef RUSHLIGHT_WEB_CHART_NAMES_H
#define RUSHLIGHT_WEB_CHART_NAMES_H

#include "book/instrument_store.h"
#include "work/work.h"

/* Those of all instruments of the book, by name; free with names_free, also after
 * an error. */
int names_all(struct book *book, char ***names, size_t *count, struct error *error);
void names_free(char **names, size_t count);

/* The instrument that a person means by what is typed: of that name, else the
 * one whose name begins with it or, failing that, holds it, in any case of
 * letters. ERROR_INPUT names some where there are several, and says where there
 * is none. */
int chart_name_meant(struct work *work, const char *typed, char name[INSTRUMENT_NAME_SIZE],
                     struct error *error);

#endif
