/* Own levels and lines below the figure: drawn, listed, moved, undone. Private to the
 * layer. */
#ifndef RUSHLIGHT_WEB_OWN_LINES_H
#define RUSHLIGHT_WEB_OWN_LINES_H

#include "draw/ticks.h"
#include "web/chart.h"
#include "work/line_changes.h"

/* What was changed last stands in the address, so that it can be undone: the newest
 * at the end. */
enum { UNDO_LIMIT = 20, UNDO_TEXT_SIZE = UNDO_LIMIT * 42 };

struct undo_list {
    struct line_change changes[UNDO_LIMIT];
    size_t count;
};

/* That of the address; ERROR_USAGE for what is none. */
int undo_read(struct undo_list *undo, const struct exchange *exchange, struct error *error);
/* Puts one more at its end; the oldest goes where there is no room. */
void undo_push(struct undo_list *undo, const struct line_change *change);
/* As an address has it; empty where there is nothing to undo. */
void undo_write(const struct undo_list *undo, char text[UNDO_TEXT_SIZE]);

/* The prices of a field, and back: as the list shows them, to the step of prices. */
void own_line_price_text(const struct chart *chart, double price, char text[TICK_TEXT_SIZE]);

/* A form that changes lines, with the token and the address to come back to; left
 * open. */
void own_lines_begin_form(struct html *html, const struct chart *chart,
                          const struct exchange *exchange, const char *class, const char *id);
/* A table of those that stand; without a field or button where nothing can be changed. */
void own_lines_write_list(struct html *html, const struct chart *chart,
                          const struct exchange *exchange, bool may_change);

/* The section: what can be drawn, the form of what is being drawn, the list. */
int own_lines_write(struct html *html, const struct page *page, const struct chart *chart,
                    const struct exchange *exchange, struct error *error);
/* Where the lines lie, for the module: a JSON array. */
void own_lines_append_json(struct text *json, const struct chart *chart);

#endif
