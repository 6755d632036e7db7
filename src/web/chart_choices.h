/* The line of choices above a chart: instrument, list, length of bars, setup, date.
 * Private to the layer. */
#ifndef RUSHLIGHT_WEB_CHART_CHOICES_H
#define RUSHLIGHT_WEB_CHART_CHOICES_H

#include "web/chart_list.h"

/* One form holds every choice, so that it works without a module too. */
int chart_choices_write(struct html *html, const struct page *page, struct chart *chart,
                        const struct chart_list *list, const struct exchange *exchange,
                        struct error *error);

#endif
