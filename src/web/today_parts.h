/* The parts of the sheet Today. Private to the layer. */
#ifndef RUSHLIGHT_WEB_TODAY_PARTS_H
#define RUSHLIGHT_WEB_TODAY_PARTS_H

#include "base/name_set.h"
#include "document/html.h"
#include "web/page_parts.h"
#include "work/evening.h"
#include "work/plan_study.h"

/* Why some of it was not looked at: one reason, and whom it concerns. */
struct left_out {
    struct text reason;
    struct text names;    /* the first few */
    struct name_set seen; /* all */
    size_t count;
};

enum { TODAY_NAMED = 3 };

struct today {
    struct setup *setups;       /* those looked at */
    char **names;               /* and what the page calls them */
    struct plan_study *studies; /* and the newest of each */
    size_t count;
    char **all; /* the names of all there are to choose from */
    bool *chosen;
    size_t all_count;
    struct evening evening;
    size_t kinds[EVENING_NEARLY + 1];
    struct left_out *left_out;
    size_t left_out_count;
    size_t left_out_room;
    size_t left_out_more; /* told of more reasons than are written out */
    struct list_row *lists;
    size_t list_count;
    const struct voice *voice; /* told of all setups together */
    size_t passed;             /* setups that are done */
};

/* What the page calls the setup of a row. */
const char *today_setup_name(const struct today *today, const struct evening_row *row);

/* The heading of one kind with its count, and its table (today_rows.c).
 * ERROR_MACHINE. */
void today_write_heading(struct html *html, const struct today *today, enum evening_kind kind);
int today_write_rows(struct html *html, const struct exchange *exchange, const struct today *today,
                     enum evening_kind kind, struct error *error);
/* Those left out for one reason are told together, and each once, whatever setup met
 * it (today_left_out.c). Without memory for it, nothing is said. */
void today_leave_out(struct today *today, const char *name, const char *reason);
void today_left_out_write(struct html *html, const struct today *today);
void today_left_out_free(struct today *today);
/* What to do, in order, and what was not looked at (today_steps.c). */
void today_write_margin(struct html *html, const struct page *page, const struct exchange *exchange,
                        const struct today *today);

/* A row opened: its small figure, its checklist, what a study says of such
 * (today_case.c). `figure` is its number on the sheet; 0: it stands in a table. */
struct today_case {
    const char *instrument;
    const char *setup;
    const char *moment; /* of the candle, as an address has it */
    int figure;
};

int today_case_write(struct html *html, const struct page *page, const struct exchange *exchange,
                     const struct today_case *one, struct error *error);

/* A row's instrument, which leads to its chart. */
void today_write_name(struct html *html, const struct exchange *exchange, const struct today *today,
                      const struct evening_row *row);
/* The address of the chart of a row, and of the part that opens it. */
void today_row_address(struct text *address, const char *path, const struct exchange *exchange,
                       const char *setup, const struct evening_row *row);

#endif
