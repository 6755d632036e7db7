/* Orders that stand on a person's own line and follow it. Private to the layer. */
#ifndef RUSHLIGHT_WEB_ORDER_BOUND_H
#define RUSHLIGHT_WEB_ORDER_BOUND_H

#include "web/chart.h"

/* Of the order `which` (entry, stop, target): to what the address binds it, as
 * `stop-on=7`, or `7.2` for the third price that line 7 marks. ERROR_USAGE for what is
 * none. */
int order_bound_read(struct chart *chart, const struct exchange *exchange, int which,
                     struct error *error);
/* The choice of a line for it; nothing where there is none. */
void order_bound_write(struct html *html, const struct chart *chart, int which);
/* What the bound orders follow, in sentences; empty without any. */
void order_bound_say(const struct chart *chart, struct text *words);

#endif
