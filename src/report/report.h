/* A document as one file that holds all it needs: words, numbered figures,
 * tables, and how it was made. HTML or pages of a PDF. */
#ifndef RUSHLIGHT_REPORT_REPORT_H
#define RUSHLIGHT_REPORT_REPORT_H

#include "base/error.h"
#include "document/document.h"
#include "draw/typesetter.h"

#include <stdint.h>

/* A setup that the report is about, written out. */
struct report_setup {
    const char *name;
    const char *text;
};

/* What the report says of its own making. */
struct report_facts {
    const char *version;
    const char *command;   /* repeats it */
    const char *data_hash; /* of names and bars; NULL: no data were read */
    const char *range;     /* first to last date of the bars; NULL likewise */
    uint64_t seed;
    size_t resamples; /* 0: none were drawn, and no seed counted */
};

enum report_form { REPORT_HTML, REPORT_PDF };

/* Where a report goes, and what it says of its own making. All is borrowed. */
struct report_target {
    struct text *file; /* appended to */
    enum report_form form;
    struct typesetter *typesetter;
    const struct report_setup *setups; /* that it is about; may be none */
    size_t setup_count;
    struct report_facts facts;
};

/* Writes the document, and below it what its words mean and how it was made.
 * HTML is light or dark by the reader's system, fetches nothing and brings the
 * letters of its figures along; the PDF is A4 with real text. The same document
 * gives the same bytes. ERROR_MACHINE where memory ran out, here or while the
 * document was filled. */
int report_write(const struct report_target *target, const struct document *document,
                 struct error *error);

#endif
