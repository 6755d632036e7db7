/* The words that are explained where they stand, of docs/glossary.md, which is in the
 * program itself: one file for the documents, the catalogue and every door. */
#ifndef RUSHLIGHT_ANSWER_GLOSSARY_H
#define RUSHLIGHT_ANSWER_GLOSSARY_H

#include "base/text.h"

#include <stdbool.h>
#include <stddef.h>

enum { GLOSSARY_TERM_SIZE = 48, GLOSSARY_LINE_SIZE = 512 };

/* A word and what is said of it; each a line, cut to its room. */
struct glossary_entry {
    char term[GLOSSARY_TERM_SIZE];
    char meaning[GLOSSARY_LINE_SIZE];
    char formula[GLOSSARY_LINE_SIZE]; /* "": it has none */
    char source[GLOSSARY_LINE_SIZE];
};

/* The file, as it was when the program was built. */
extern const char *const glossary_file;

/* The entry that begins at or behind *place, which goes on behind it; begin with
 * glossary_file. False where there is no more. */
bool glossary_next(const char **place, struct glossary_entry *entry);
/* The anchor of a word on a sheet: "w-mean-r". */
void glossary_anchor(struct text *anchor, const char *term);

#endif
