/* The address of the sheet Charts: which fields it has, and which of them a change
 * of one leaves behind. Links, forms and changes all keep them by one table.
 * Private to the layer. */
#ifndef RUSHLIGHT_WEB_CHART_ADDRESS_H
#define RUSHLIGHT_WEB_CHART_ADDRESS_H

#include "web/page_parts.h"

struct chart;

/* The address of the sheet with another value of one field; NULL leaves it out, and
 * a name that no field has leaves all as it is. What means nothing beside the new
 * value goes too: another instrument has other cases. The caller frees the text. */
void chart_address(struct text *address, const struct chart *chart, const struct exchange *exchange,
                   const char *name, const char *value);
/* That of a case, of whichever instrument, by the time of its candle. */
void chart_address_of_case(struct text *address, const struct exchange *exchange,
                           const char *instrument, const char *moment);

/* Hidden fields of the address, so that a form comes back to the same chart; but those
 * which the form asks for itself, named in `asked`, which ends with NULL. */
void chart_write_fields(struct html *html, const struct chart *chart,
                        const struct exchange *exchange, const char *const *asked);
/* The chart that such fields name, without those named; and back to it. */
void chart_address_back(struct text *address, const struct exchange *exchange,
                        const char *const *without);
int chart_go_back(struct exchange *exchange, const char *const *without, struct error *error);

#endif
