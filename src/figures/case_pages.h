/* The case sheet laid out for a paper, a slide or a phone: on each letters are as
 * large as there they must be, and what does not fit beside stands below or on the
 * next page. */
#ifndef RUSHLIGHT_FIGURES_CASE_PAGES_H
#define RUSHLIGHT_FIGURES_CASE_PAGES_H

#include "figures/case_sheet.h"

enum case_form {
    CASE_WIDE,    /* case_sheet_make: one page, broader than high */
    CASE_UPRIGHT, /* two pages: the figure and its words; candle and checklist */
    CASE_SLIDES,  /* 16 to 9, large letters, one thing a slide */
    CASE_PHONE    /* one column, as long as it is */
};

enum { CASE_PAGE_LIMIT = 5 };

/* Makes the pages of one case in reading order, CASE_PAGE_LIMIT at most; the caller
 * frees each with picture_free, those made before an error too. `height` over width
 * is that of the paper between its margins (upright pages and slides). Only
 * ERROR_MACHINE, for want of memory. */
int case_pages_make(struct picture *pages[CASE_PAGE_LIMIT], size_t *count,
                    struct typesetter *typesetter, const struct case_request *request,
                    enum case_form form, double height, struct error *error);

#endif
