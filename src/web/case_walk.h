/* From case to case over a whole list, and from bar to bar with what follows
 * held back. Private to the layer. */
#ifndef RUSHLIGHT_WEB_CASE_WALK_H
#define RUSHLIGHT_WEB_CASE_WALK_H

#include "web/chart.h"

/* The ways on, as links of the line that is open. */
void case_walk_write(struct html *html, const struct chart *chart, const struct exchange *exchange);
/* The part that holds back what follows the bar asked about. */
void case_walk_write_bars(struct html *html, const struct chart *chart,
                          const struct exchange *exchange);

#endif
