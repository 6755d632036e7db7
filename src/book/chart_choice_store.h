/* What a person has the figure show, kept in the book for each length of bars. */
#ifndef RUSHLIGHT_BOOK_CHART_CHOICE_STORE_H
#define RUSHLIGHT_BOOK_CHART_CHOICE_STORE_H

#include "market/interval.h"
#include "store/book.h"

enum { CHART_CHOICE_SIZE = 160 };

struct chart_choice {
    char panes[CHART_CHOICE_SIZE];    /* names, commas between */
    char averages[CHART_CHOICE_SIZE]; /* lengths and `bands`, commas between */
    bool logarithmic;
};

/* *found is false where nothing is kept for bars of that length. */
int chart_choice_store_find(struct book *book, struct interval interval,
                            struct chart_choice *choice, bool *found, struct error *error);
/* Inside a transaction. */
int chart_choice_store_keep(struct book *book, struct interval interval,
                            const struct chart_choice *choice, struct error *error);

#endif
