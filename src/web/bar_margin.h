/* The margin beside a chart. Private to the layer. */
#ifndef RUSHLIGHT_WEB_BAR_MARGIN_H
#define RUSHLIGHT_WEB_BAR_MARGIN_H

#include "web/chart.h"

/* The bar asked about as work/explain.h has it: its prices and parts, the shapes
 * that it is and nearly is, each criterion of the setup with its measured value
 * and what turns it; nothing without bars. Only ERROR_MACHINE. */
int bar_margin_write(struct html *html, const struct chart *chart, struct error *error);

#endif
