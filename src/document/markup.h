/* Markup that was kept, before it is shown again: a book may come from anyone. */
#ifndef RUSHLIGHT_DOCUMENT_MARKUP_H
#define RUSHLIGHT_DOCUMENT_MARKUP_H

#include <stdbool.h>

/* Whether it is made only of what the writers of documents and figures make:
 * their elements, closed in order, and their attributes in double quotes, none
 * of which runs, fetches, follows, styles or submits anything. Entities are
 * named or numbered; comments, declarations and anything else are not allowed. */
bool markup_is_drawn(const char *markup);

#endif
