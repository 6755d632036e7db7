/* Finished answers kept in the book: what was said, of which setup and which
 * data, so that it can be read again and quoted, and is known to be stale once
 * either has changed. None is changed afterwards. */
#ifndef RUSHLIGHT_EVIDENCE_ANSWER_STORE_H
#define RUSHLIGHT_EVIDENCE_ANSWER_STORE_H

#include "evidence/evidence_store.h"

enum answer_kind {
    ANSWER_STUDY,
    ANSWER_COMPARISON,  /* of two setups */
    ANSWER_SENSITIVITY, /* of a setup's numbers moved */
    ANSWER_FORWARD      /* of a frozen setup, on the bars since */
};

/* One of them. Strings are its own, in one that was read; else borrowed. */
struct kept_answer {
    int64_t id;
    int64_t made; /* UTC seconds */
    enum answer_kind kind;
    char *setup;                     /* name; of ANSWER_FORWARD: it was frozen under */
    char *against;                   /* of ANSWER_COMPARISON; else "" */
    char *list;                      /* of the book; "": all its instruments */
    char setup_hash[HASH_TEXT_SIZE]; /* of its text, written out */
    char against_hash[HASH_TEXT_SIZE];
    char data_hash[HASH_TEXT_SIZE]; /* hash_series */
    int64_t until;                  /* last second of what was known; INT64_MAX: to the end */
    int64_t seed;
    int64_t resamples;
    char *numbers;   /* of ANSWER_SENSITIVITY: those moved, as asked for; else "" */
    int64_t markets; /* resampled */
    int64_t next;    /* trades looked ahead */
    int64_t trades;  /* closed; of the first setup */
    double mean_r;   /* NaN: none, or a sensitivity, which has many */
    double low;
    double high;
    char *opening; /* what can be said, a line a paragraph; behind the first an empty one where
                    * that says what the answer comes to */
    char *body;    /* all below it, as HTML that markup_is_drawn (document/markup.h) allows */
};

/* Inside a transaction; *id is set. */
int answer_store_add(struct book *book, const struct kept_answer *answer, int64_t *id,
                     struct error *error);
/* *found is false without an error where there is none. The answer is the
 * caller's to clear, also after an error. */
int answer_store_find(struct book *book, int64_t id, struct kept_answer *answer, bool *found,
                      struct error *error);
void kept_answer_clear(struct kept_answer *answer);

/* All but their bodies (NULL), the newest first. The list is the caller's to free. */
int answer_store_all(struct book *book, struct kept_answer **list, size_t *count,
                     struct error *error);
void kept_answers_free(struct kept_answer *list, size_t count);

#endif
