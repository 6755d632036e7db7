/* What a size is and how it comes about, once for every door. */
#ifndef RUSHLIGHT_ANSWER_SIZE_H
#define RUSHLIGHT_ANSWER_SIZE_H

#include "base/json.h"
#include "document/document.h"
#include "work/size.h"

/* The size or the reasoned no, the reckoning line by line, the cautions. */
void answer_size(struct document *document, const struct size_found *found);
/* The same as members of the object that is open, and as figure,value,unit. */
void size_json(struct json *json, const struct size_found *found);
void size_csv(struct text *text, const struct size_found *found);

/* Appends money with its currency, and a price with the decimals of its tick. */
void text_append_money(struct text *text, const struct money *money);
void text_append_price(struct text *text, const struct instrument *instrument,
                       struct fraction price);

#endif
