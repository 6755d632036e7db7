/* The margin beside a chart. Private to the layer. */
#ifndef RUSHLIGHT_WEB_BAR_MARGIN_H
#define RUSHLIGHT_WEB_BAR_MARGIN_H

#include "web/chart.h"

/* The bar asked about: its prices and parts, the shapes that it is, and each
 * criterion of the setup with its measured value; nothing without bars. */
void bar_margin_write(struct html *html, const struct chart *chart);

#endif
