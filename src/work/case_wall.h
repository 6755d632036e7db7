/* Every case of a setup for one sheet of small figures, and, where what followed is
 * asked for, the average path after the candle. What is said of them is made in
 * answer/wall_pictures.h. */
#ifndef RUSHLIGHT_WORK_CASE_WALL_H
#define RUSHLIGHT_WORK_CASE_WALL_H

#include "figures/contact_sheet.h"
#include "work/held.h"
#include "work/trial.h"

enum wall_order {
    WALL_DATE,     /* the oldest first */
    WALL_NEARNESS, /* those first that were met by least */
    WALL_FOLLOWED  /* the best result first; asks for what followed */
};

enum {
    WALL_LINES = 240, /* single paths that can still be told apart */
    WALL_BARS = 20,
    WALL_RESULT_SIZE = 32
};

struct wall_wish {
    enum wall_order order;
    bool outcome; /* what followed is shown: a trial */
    size_t most;  /* cases on the sheet, the newest where there are more; 0: all */
    size_t resamples;
};

/* One case as it is shown. Strings are the wall's. */
struct wall_case {
    struct held_case found;
    struct trade trade; /* where what followed was asked for */
    char when[CALENDAR_TEXT_SIZE];
    char result[WALL_RESULT_SIZE]; /* "+2.7 R", or why there is none; "" where it is held back */
    double r;                      /* NaN: none, or held back */
};

struct wall {
    struct held held;
    struct wall_case *cases; /* in the order wished for */
    struct small_case *small;
    size_t count; /* on the sheet */
    size_t found; /* of all */
    size_t closed;
    bool has_path;
    double *moves; /* of all cases found, WALL_BARS + 1 each */
    double *drawn; /* the same of those drawn: where there are many, every so-manieth */
    size_t drawn_count;
    double means[WALL_BARS + 1], lows[WALL_BARS + 1], highs[WALL_BARS + 1];
    bool has_interval;
};

/* `trial` is opened by the caller where outcomes are wished for, and is entered
 * before anything of them is looked at. The setup must stay. To be freed with
 * wall_free, also after an error. ERROR_USAGE where the order asks for what
 * followed and that is not wished for. */
int wall_make(struct work *work, struct trial *trial, struct setup *setup,
              const struct wall_wish *wish, struct wall *wall, struct error *error);
void wall_free(struct wall *wall);

#endif
