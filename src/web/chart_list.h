/* The list that charts are gone through in, and the marks that a person puts on
 * them: a mark is the list of that name. Private to the layer. */
#ifndef RUSHLIGHT_WEB_CHART_LIST_H
#define RUSHLIGHT_WEB_CHART_LIST_H

#include "book/list_store.h"
#include "book/place_store.h"
#include "web/chart.h"

enum { CHART_MARKS = 3 };

/* "watch", "later", "no": each a list of the book. */
extern const char *const chart_marks[CHART_MARKS];

struct chart_list {
    struct place place; /* of the chart's own on the list, or in the book */
    struct list_row *lists;
    size_t list_count;
    bool marked[CHART_MARKS];
};

/* Free with chart_list_free, also after an error. */
int chart_list_read(struct chart_list *list, struct chart *chart, struct error *error);
void chart_list_free(struct chart_list *list);

/* Where one is in the list, with the ways on, and the buttons that mark. */
void chart_list_write(struct html *html, const struct page *page, const struct chart *chart,
                      const struct chart_list *list, const struct exchange *exchange);
/* The choice of a list, as a field of the form that is open. */
void chart_list_write_choice(struct html *html, const struct chart *chart,
                             const struct chart_list *list);

#endif
