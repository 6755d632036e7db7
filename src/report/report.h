/* One file that holds all it needs: words, numbered figures, tables, and how it
 * was made. HTML or pages of a PDF, from one description. */
#ifndef RUSHLIGHT_REPORT_REPORT_H
#define RUSHLIGHT_REPORT_REPORT_H

#include "draw/chart.h"
#include "draw/typesetter.h"
#include "evidence/section.h"

#include <stdint.h>

/* A figure; what it draws from is borrowed. */
struct report_figure {
    const char *title;       /* for a screen reader */
    const char *description; /* likewise: what is to be seen */
    const char *caption;
    double height;
    void (*draw)(const struct chart *chart, const void *data);
    const void *data;
};

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

struct report {
    struct text title;
    struct text opening; /* paragraphs, ended by newlines */
    struct sections tables;
    const struct report_figure *figures; /* borrowed */
    size_t figure_count;
};

void report_init(struct report *report);
void report_free(struct report *report);

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

/* Writes the report. HTML is light or dark by the reader's system, fetches
 * nothing and brings the letters of its figures along; the PDF is A4 with real
 * text. The same report gives the same bytes. ERROR_MACHINE where memory ran
 * out, here or while the report was filled. */
int report_write(const struct report_target *target, const struct report *report,
                 struct error *error);

/* Heights that figures want: of rows with intervals, and of all others. */
double report_rows_height(size_t count);
double report_plain_height(void);

#endif
