/* The sheets and the parts of them that modules ask for, as the table of
 * routes names them. Private to the layer. */
#ifndef RUSHLIGHT_WEB_SHEETS_H
#define RUSHLIGHT_WEB_SHEETS_H

#include "web/page_parts.h"

/* Where a book is empty: files, or the invented market; else on to Today. */
int sheet_start(struct page *page, struct exchange *exchange, struct error *error);
int sheet_today(struct page *page, struct exchange *exchange, struct error *error);
/* Whether what Today says has been found anew, as JSON. */
int part_today(struct page *page, struct exchange *exchange, struct error *error);
/* One of its rows opened, as a piece of HTML. */
int part_today_case(struct page *page, struct exchange *exchange, struct error *error);
int sheet_charts(struct page *page, struct exchange *exchange, struct error *error);
/* The figure anew, as JSON, and the margin of a bar, as a piece of HTML. */
int part_figure(struct page *page, struct exchange *exchange, struct error *error);
int part_bar(struct page *page, struct exchange *exchange, struct error *error);
/* The numbers of the orders on the figure, likewise. */
int part_orders(struct page *page, struct exchange *exchange, struct error *error);
/* The list of setups, or one of them to be changed. */
int sheet_setups(struct page *page, struct exchange *exchange, struct error *error);
/* From the sentence filled in to the sheet of the setup that it says. */
int begin_setup(struct page *page, struct exchange *exchange, struct error *error);
int change_setup(struct page *page, struct exchange *exchange, struct error *error);
/* What followed its cases, which the ledger notes. */
int change_look(struct page *page, struct exchange *exchange, struct error *error);
/* The small figures of its cases, as a piece of HTML. */
int part_cases(struct page *page, struct exchange *exchange, struct error *error);
/* The figure of the longer bars beside it, likewise; names that a typed one may
 * mean, as JSON. */
int part_beside(struct page *page, struct exchange *exchange, struct error *error);
int part_names(struct page *page, struct exchange *exchange, struct error *error);
/* On to the next or previous case of the setup over the list, and to the next or
 * previous bar where what follows is held back. */
int walk_cases(struct page *page, struct exchange *exchange, struct error *error);
int step_bar(struct page *page, struct exchange *exchange, struct error *error);
/* A mark put on an instrument, or taken off; what the figure shows, kept. */
int change_mark(struct page *page, struct exchange *exchange, struct error *error);
int change_shows(struct page *page, struct exchange *exchange, struct error *error);
/* The own levels and lines below the figure, as a piece of HTML; one of them drawn,
 * moved, hidden, removed, or the last change undone. */
int part_lines(struct page *page, struct exchange *exchange, struct error *error);
int change_line(struct page *page, struct exchange *exchange, struct error *error);
/* The answers that are kept and the studies under way; these alone, as JSON; one
 * asked for, one stopped. */
int sheet_evidence(struct page *page, struct exchange *exchange, struct error *error);
int part_jobs(struct page *page, struct exchange *exchange, struct error *error);
int change_run(struct page *page, struct exchange *exchange, struct error *error);
/* All that was tried; the seal closed or opened; a setup frozen. */
int sheet_ledger(struct page *page, struct exchange *exchange, struct error *error);
int change_seal(struct page *page, struct exchange *exchange, struct error *error);
int change_freeze(struct page *page, struct exchange *exchange, struct error *error);
int change_stop(struct page *page, struct exchange *exchange, struct error *error);
int sheet_data(struct page *page, struct exchange *exchange, struct error *error);
/* The form that brings a file in; `alone`: it is the one next step. */
void data_import_form(struct html *html, const struct page *page, const struct exchange *exchange,
                      bool alone);
/* The invented market: asked for, stopped, and how far it is, as JSON. */
int change_market(struct page *page, struct exchange *exchange, struct error *error);
int change_market_stop(struct page *page, struct exchange *exchange, struct error *error);
int part_making(struct page *page, struct exchange *exchange, struct error *error);
int change_import(struct page *page, struct exchange *exchange, struct error *error);
/* Own lines as CSV; the section of the sheet Data about them; a file of them brought in. */
int part_lines_file(struct page *page, struct exchange *exchange, struct error *error);
void lines_file_write(struct html *html, const struct page *page, const struct exchange *exchange);
int change_lines_file(struct page *page, struct exchange *exchange, struct error *error);
/* All words that are explained, and one of them as a piece of HTML. */
int sheet_words(struct page *page, struct exchange *exchange, struct error *error);
int part_word(struct page *page, struct exchange *exchange, struct error *error);
int sheet_keys(struct page *page, struct exchange *exchange, struct error *error);

#endif
