/* Changes of a person's own lines. The book forgets none: a line that is moved is
 * withdrawn and another is drawn, so that until now the one counts and from now on
 * the other; and what is undone is a change itself. */
#ifndef RUSHLIGHT_WORK_LINE_CHANGES_H
#define RUSHLIGHT_WORK_LINE_CHANGES_H

#include "book/level_store.h"

/* The numbers of the line that went and of that which came; 0: none. */
struct line_change {
    int64_t gone;
    int64_t come;
};

/* All four inside a transaction of the caller's; their errors are those of
 * own_line_enter, level_store_withdraw and level_store_find. */
int line_change_draw(struct book *book, int64_t now, struct own_line *line,
                     struct line_change *change, struct error *error);
/* Points, width and note are those of `to`; kind and how it is shown are kept. One
 * that was dated back stays so: it counts from where it did. */
int line_change_move(struct book *book, int64_t now, int64_t id, struct own_line *to,
                     struct line_change *change, struct error *error);
int line_change_remove(struct book *book, int64_t now, const char *instrument, int64_t id,
                       struct line_change *change, struct error *error);
/* Withdraws what came and enters again what had gone: *again is its new number, 0
 * where nothing had. */
int line_change_undo(struct book *book, int64_t now, const char *instrument,
                     const struct line_change *change, int64_t *again, struct error *error);

#endif
