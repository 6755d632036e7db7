/* Entry, stop and target of a case, as ruled lines on its figure and as numbers
 * beside it. Private to the layer. */
#ifndef RUSHLIGHT_WEB_ORDERS_MARGIN_H
#define RUSHLIGHT_WEB_ORDERS_MARGIN_H

#include "web/chart.h"

/* Works them out as the candle's close has them, where the chart shows a case,
 * with the way in and the lines that the request names. ERROR_USAGE where a line
 * is no price. */
int orders_read(struct chart *chart, const struct exchange *exchange, struct error *error);
/* Their numbers; nothing where the chart has none. */
int orders_margin_write(struct html *html, struct chart *chart, const struct exchange *exchange,
                        struct error *error);

#endif
