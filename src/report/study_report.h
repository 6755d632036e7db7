/* A study as one HTML file that holds all it needs. */
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

#endif
