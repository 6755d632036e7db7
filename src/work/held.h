/* Instruments held open, to look at them again and again with a setup that
 * changes: their bars, their measures and what each criterion said (setup/kept.h)
 * stay, so that a moved limit does only its own work again. */
#ifndef RUSHLIGHT_WORK_HELD_H
#define RUSHLIGHT_WORK_HELD_H

#include "setup/checklist.h"
#include "work/rules.h"

/* Bytes that measures and criteria of all may take; beyond them they are let go
 * after each look. */
enum { HELD_BYTES = 256 * 1024 * 1024 };

struct held_series {
    struct rules_case opened;
    struct criterion_memory *memory;
};

struct held {
    char *key; /* what they are true of; NULL: nothing is held */
    struct held_series *list;
    size_t count;
    size_t set_aside; /* instruments that the setup cannot be applied to */
    struct error why; /* the first of them, with the reason; the door words its advice */
    struct criterion_texts texts;
};

/* Opens the instruments wished for, unless these are held already: the data have
 * the same `stamp` (whatever tells one state of the book and one date as of from
 * another), and the setup asks for the same kind of bars and the same things
 * beside them. To be freed with held_free, also after an error. */
int held_open(struct held *held, struct work *work, const struct setup *setup, const char *stamp,
              struct error *error);
void held_free(struct held *held);

/* One line of the rule: a criterion of the candle, or a condition. */
struct tally_row {
    enum check_section section;
    size_t item;            /* of the section, from 0 */
    struct reading reading; /* of a candle of one shape: what is asked, without a value */
    bool has_reading;
    size_t alone;    /* bars that meet it */
    size_t together; /* bars that meet it and all rows above; of what confirms: signals */
};

struct tally {
    struct tally_row rows[CHECK_LIMIT];
    size_t count;
    size_t bars;
    size_t candidates;
    size_t signals;
};

/* Counts, with all threads of the work. The setup gets the numbers of its texts. */
int held_tally(struct held *held, struct work *work, struct setup *setup, struct tally *tally,
               struct error *error);

/* A case of the setup on one of the instruments held. */
struct held_case {
    size_t series;
    struct signal signal;
    int64_t time;    /* of the candle's last bar */
    double nearness; /* by how little the tightest criterion was met: see case_nearness */
};

struct held_cases {
    struct held_case *list;
    size_t count;
};

/* All cases, by time and then by instrument. To be freed, also after an error. */
int held_cases_find(struct held *held, struct work *work, struct setup *setup,
                    struct held_cases *cases, struct error *error);
void held_cases_free(struct held_cases *cases);
/* The orders of two cases, as qsort asks for them: by time and then by instrument;
 * those first that were met by least. */
int held_case_by_time(const struct held_case *a, const struct held_case *b);
int held_case_by_nearness(const struct held_case *a, const struct held_case *b);
/* Puts those first that were met by least. */
void held_cases_by_nearness(struct held_cases *cases);

/* By how little the tightest criterion with a number was met: prices in ATR, the
 * rest as a share of the limit (of 1 where that is 0); infinite without any. */
double case_nearness(const struct setup_view *view, const struct signal *signal);

/* The setup applied to one of them. */
int held_view(const struct held *held, size_t index, const struct setup *setup,
              struct setup_view *view, struct error *error);

#endif
