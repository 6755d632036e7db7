/* What the sheet Evidence is made of: a wish read from a form, the job that runs
 * it, the answer that is kept. Private to the layer. */
#ifndef RUSHLIGHT_WEB_EVIDENCE_PARTS_H
#define RUSHLIGHT_WEB_EVIDENCE_PARTS_H

#include "document/document.h"
#include "evidence/answer_store.h"
#include "setup/setup.h"
#include "web/jobs.h"
#include "web/page_parts.h"
#include "work/work.h"

/* What a study of the page may draw at most; the command line allows more. */
enum {
    EVIDENCE_RESAMPLES = 50000,
    EVIDENCE_RESAMPLES_MOVED = 2000, /* unless said otherwise: it makes many studies */
    EVIDENCE_MARKETS = 2000,
    EVIDENCE_NEXT = 1000,
    EVIDENCE_INSTRUMENTS = 20000
};

/* A study that is asked for, with its setups as they were then. */
struct evidence_wish {
    enum answer_kind kind;
    struct setup setups[2]; /* the second of a comparison */
    size_t setup_count;     /* of those read; of ANSWER_FORWARD none, until it runs */
    char *name;             /* of the setup, or under which it is frozen */
    char *list;             /* NULL: all instruments */
    char *numbers;          /* of ANSWER_SENSITIVITY: all, NAME or NAME,NAME */
    int64_t until;
    size_t resamples;
    size_t markets; /* resampled */
    size_t next;
};

void evidence_wish_free(void *wish);
/* For jobs_does: runs the wish over the page's book and keeps the answer. */
int evidence_run(void *page, struct job_run *run, struct error *error);
/* What its works wish: the whole book or a list, as of the date whose
 * last second is `until`. */
void evidence_wishes(struct wishes *wishes, const struct page *page, const char *list,
                     int64_t until);
/* The hash of a setup's text, written out. */
void evidence_hash_setup(char hash[HASH_TEXT_SIZE], const struct setup *setup);
/* Whether its setups are others than those that the answer is of; each adds a sentence
 * to `stale`. */
int evidence_stale_setups(struct page *page, const struct kept_answer *answer, struct text *stale,
                          struct error *error);
/* The same of its bars, as far as it is *known in this state of the book; what is not
 * is looked up from then on, which reads all of them, and is known later. */
int evidence_stale_bars(struct page *page, const struct kept_answer *answer, struct text *stale,
                        bool *known, struct error *error);
/* For jobs_does: looks it up. */
int evidence_check(void *page, struct job_run *run, struct error *error);

/* A document below its title, its figures drawn for a window and for a phone. */
int evidence_write_document(struct html *html, const struct document *document,
                            struct error *error);
/* The seal, frozen setups and the way to the ledger. */
int evidence_kept_back(struct html *html, const struct page *page, const struct exchange *exchange,
                       struct error *error);
/* The form that asks for one. */
int evidence_form(struct html *html, const struct page *page, const struct exchange *exchange,
                  struct error *error);
/* The sheet of one answer, and of one job. */
int evidence_answer_sheet(struct page *page, struct exchange *exchange, int64_t id,
                          struct error *error);
int evidence_job_sheet(struct page *page, struct exchange *exchange, int64_t id,
                       struct error *error);

/* Bytes at the head of its opening that say what it comes to; 0: it does not say. */
size_t evidence_headline(const struct kept_answer *answer);
/* "Does X pay?" and the like. */
void evidence_title(struct text *text, const struct kept_answer *answer);

#endif
