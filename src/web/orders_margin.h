/* Entry, stop and target of a case, as ruled lines on its figure and as numbers
 * beside it. Private to the layer. */
#ifndef RUSHLIGHT_WEB_ORDERS_MARGIN_H
#define RUSHLIGHT_WEB_ORDERS_MARGIN_H

#include "web/chart.h"

/* The numbers; nothing where the chart has none. */
int orders_margin_write(struct html *html, struct chart *chart, const struct exchange *exchange,
                        struct error *error);

#endif
