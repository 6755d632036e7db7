/* A study as one file that holds all it needs: HTML or PDF. */
#ifndef RUSHLIGHT_REPORT_STUDY_REPORT_H
#define RUSHLIGHT_REPORT_STUDY_REPORT_H

#include "draw/typesetter.h"
#include "evidence/study_words.h"

/* What the report says of its own making. */
struct report_facts {
    const char *version;
    const char *setup_text; /* the setup file, written out */
    const char *command;    /* repeats the study */
    const char *data_hash;  /* of names and bars */
    uint64_t seed;
    size_t resamples;
};

/* Appends the report: the opening paragraph, numbered figures with captions,
 * all tables, definitions, seed, data and the command that repeats it. Light
 * and dark by the reader's system; nothing is fetched. `tries` may be NULL. */
int study_report_html(struct text *html, const struct study *study, const struct setup *setup,
                      const struct study_tries *tries, const struct report_facts *facts,
                      struct typesetter *typesetter, struct error *error);

/* The same as pages of A4 with real text. */
int study_report_pdf(struct text *pdf, const struct study *study, const struct setup *setup,
                     const struct study_tries *tries, const struct report_facts *facts,
                     struct typesetter *typesetter, struct error *error);

/* The words that a report explains, ended by a row without a term. */
struct report_definition {
    const char *term;
    const char *meaning;
};
extern const struct report_definition report_definitions[];

#endif
