/* The list that charts are gone through in, and the marks that a person puts on
 * them: a mark is the list of that name. Private to the layer. */
#ifndef RUSHLIGHT_WEB_CHART_LIST_H
#define RUSHLIGHT_WEB_CHART_LIST_H

#include "book/instrument_store.h"
#include "web/chart.h"

enum { CHART_MARKS = 3 };

/* "watch", "later", "no": each a list of the book. */
extern const char *const chart_marks[CHART_MARKS];

struct chart_list {
    char **names; /* of the list, or of the book, in order */
    size_t count;
    size_t at; /* of the chart's own; SIZE_MAX: it is not among them */
    struct list_row *lists;
    size_t list_count;
    bool marked[CHART_MARKS];
};

/* Free with chart_list_free, also after an error. */
int chart_list_read(struct chart_list *list, struct chart *chart, struct error *error);
void chart_list_free(struct chart_list *list);

/* The name before or after, NULL where there is none; from outside the list its
 * first member comes next. */
const char *chart_list_beside(const struct chart_list *list, bool next);

/* Where one is in the list, with the ways on, and the buttons that mark. */
void chart_list_write(struct html *html, const struct page *page, const struct chart *chart,
                      const struct chart_list *list, const struct exchange *exchange);
/* The choice of a list, as a field of the form that is open. */
void chart_list_write_choice(struct html *html, const struct chart *chart,
                             const struct chart_list *list);

#endif
