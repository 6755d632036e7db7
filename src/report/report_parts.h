/* What both forms of a report share. Private to the layer. */
#ifndef RUSHLIGHT_REPORT_REPORT_PARTS_H
#define RUSHLIGHT_REPORT_REPORT_PARTS_H

#include "report/report.h"

int report_html(const struct report_target *target, const struct document *document,
                const struct document *end, struct error *error);
int report_pages(const struct report_target *target, const struct document *document,
                 const struct document *end, struct error *error);

/* A page that needs nothing else: head, these rules behind the common ones, this
 * body. */
void report_page(struct text *page, const char *title, const struct text *css,
                 const struct text *body);

#endif
