/* What both forms of a report share. Private to the layer. */
#ifndef RUSHLIGHT_REPORT_REPORT_PARTS_H
#define RUSHLIGHT_REPORT_REPORT_PARTS_H

#include "report/report.h"

/* The words that a report explains, ended by a row without a term. */
struct report_definition {
    const char *term;
    const char *meaning;
};
extern const struct report_definition report_definitions[];

/* Appends the sentence of how it was made, up to the command. */
void report_making(struct text *text, const struct report_facts *facts);

int report_html(const struct report_target *target, const struct report *report,
                struct error *error);
int report_pages(const struct report_target *target, const struct report *report,
                 struct error *error);

#endif
