/* Closing words on what could not be told, and on levels dated back. */
#ifndef RUSHLIGHT_ANSWER_UNTOLD_H
#define RUSHLIGHT_ANSWER_UNTOLD_H

#include "base/text.h"
#include "document/table.h"

#include <stddef.h>

/* Candles that nothing told against, and some criterion of which cannot be told
 * (struct signals, untold); nothing for 0. */
void text_append_untold(struct text *text, size_t candles);
/* Signals, or trades, that rest on a level brought in with an older date; nothing
 * for 0. `what` is the word for one of them. */
void text_append_dated_back(struct text *text, size_t count, const char *what);

/* Both counts beside the rows, for programs. */
void table_set_untold(struct table *table, size_t untold, size_t dated_back);

#endif
