/* Whether an answer that was kept is still one on what the book holds. */
#include "web/evidence_parts.h"

#include "web/chart.h"
#include "work/study.h"

#include <string.h>

static int check_setup(struct page *page, const char *name, const char *hash, struct text *stale,
                       struct error *error)
{
    struct setup setup;
    struct error missing = {0};
    char now[HASH_TEXT_SIZE];
    int code = page_setup(page, name, &setup, &missing);
    if (code == ERROR_MACHINE) {
        *error = missing;
        return code;
    }
    if (code != ERROR_NONE) {
        text_append_format(stale, "There is no setup %s any more. ", name);
        return ERROR_NONE;
    }
    evidence_hash_setup(now, &setup);
    if (strcmp(now, hash) != 0)
        text_append_format(stale, "The setup %s has changed since. ", name);
    setup_free(&setup);
    return ERROR_NONE;
}

int evidence_stale_setups(struct page *page, const struct kept_answer *answer, struct text *stale,
                          struct error *error)
{
    int code = ERROR_NONE;
    if (answer->kind != ANSWER_FORWARD) /* which is frozen */
        code = check_setup(page, answer->setup, answer->setup_hash, stale, error);
    if (code == ERROR_NONE && answer->kind == ANSWER_COMPARISON)
        code = check_setup(page, answer->against, answer->against_hash, stale, error);
    return code;
}

/* The setup that its bars are opened for, and from when and until when they count. */
static int read_terms(struct page *page, const struct kept_answer *answer, struct setup *setup,
                      int64_t *since, int64_t *until, struct error *error)
{
    struct book *book = NULL;
    int64_t sealed = INT64_MAX;
    *since = INT64_MIN;
    *until = answer->until;
    int code = page_book(page, BOOK_READ, &book, error);
    struct trial trial = {.book = book};
    if (code == ERROR_NONE && book != NULL)
        code = seal_read(book, &sealed, error);
    if (code == ERROR_NONE && sealed != INT64_MAX && sealed * SECONDS_PER_DAY <= *until)
        *until = sealed * SECONDS_PER_DAY - 1;
    if (code == ERROR_NONE && answer->kind == ANSWER_FORWARD)
        code = frozen_setup(&trial, answer->setup, setup, since, error);
    else if (code == ERROR_NONE)
        code = page_setup(page, answer->setup, setup, error);
    return book_done(book, code, error);
}

/* The bars that the same wish would be answered on now. */
static int hash_now(struct page *page, const struct kept_answer *answer, struct data_hash *hash,
                    struct error *error)
{
    struct wishes wishes;
    struct setup setup;
    struct market market = {0};
    struct work *work = NULL;
    int64_t since = INT64_MIN;
    int64_t until = INT64_MAX;
    int code = read_terms(page, answer, &setup, &since, &until, error);
    if (code != ERROR_NONE)
        return code;
    evidence_wishes(&wishes, page, answer->list[0] != '\0' ? answer->list : NULL, answer->until);
    if (until < answer->until)
        wishes.to = until;
    code = work_open(&work, &wishes, &(struct voice){0}, error);
    if (code == ERROR_NONE)
        code = market_open(work, &setup, since, &market, error);
    if (code == ERROR_NONE)
        code = data_hash_make(hash, market.series, market.count, error);
    market_close(&market);
    code = work_close(work, code, error);
    setup_free(&setup);
    return code;
}

/* A setup or a list that is gone is no fault of the sheet's. */
int evidence_stale(struct page *page, const struct kept_answer *answer, struct text *stale,
                   struct error *error)
{
    struct data_hash hash;
    struct error missing = {0};
    int code = evidence_stale_setups(page, answer, stale, error);
    if (code != ERROR_NONE)
        return code;
    code = hash_now(page, answer, &hash, &missing);
    if (code == ERROR_MACHINE) {
        *error = missing;
        return code;
    }
    if (code != ERROR_NONE)
        text_append_format(stale, "It cannot be asked again as it was: %s. ", missing.text);
    else if (strcmp(hash.present, answer->data_hash) != 0 &&
             strcmp(hash.former, answer->data_hash) != 0)
        text_append(stale, "The bars have changed since. ");
    return ERROR_NONE;
}
