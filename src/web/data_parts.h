/* What the sheet Data is made of. Private to the layer. */
#ifndef RUSHLIGHT_WEB_DATA_PARTS_H
#define RUSHLIGHT_WEB_DATA_PARTS_H

#include "web/page_parts.h"
#include "work/work.h"

/* The instruments asked for, each with its bars, and what can be said of those of
 * unknown kind and of those that have no bars any more (data_table.c). */
int data_table_write(struct html *html, const struct exchange *exchange,
                     const struct wishes *wishes, struct book *book, struct error *error);

#endif
