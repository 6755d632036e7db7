/* Whether an answer that was kept is still one on what the book holds. */
#include "web/evidence_parts.h"

#include "base/array.h"
#include "web/chart.h"
#include "work/study.h"

#include <stdlib.h>
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

/* What is to be said of the bars; nothing where they are the same. A setup or a list
 * that is gone is no fault of the sheet's. */
static int compare_bars(struct page *page, const struct kept_answer *answer, struct text *words,
                        struct error *error)
{
    struct data_hash hash;
    struct error missing = {0};
    int code = hash_now(page, answer, &hash, &missing);
    if (code == ERROR_MACHINE) {
        *error = missing;
        return code;
    }
    if (code != ERROR_NONE)
        text_append_format(words, "It cannot be asked again as it was: %s. ", missing.text);
    else if (strcmp(hash.present, answer->data_hash) != 0 &&
             strcmp(hash.former, answer->data_hash) != 0)
        text_append(words, "The bars have changed since. ");
    return ERROR_NONE;
}

/* --- found once for each state of the book ------------------------------------------------- */

struct check_wish {
    int64_t answer;
    char stamp[STAMP_SIZE];
};

/* With the lock held; NULL: it was not looked at in that state. */
static struct checked *find(struct page *page, int64_t answer, const char *stamp)
{
    for (size_t i = 0; i < CHECKED; i++)
        if (page->checked[i].answer == answer && strcmp(page->checked[i].stamp, stamp) == 0)
            return &page->checked[i];
    return NULL;
}

/* Takes the place of the one that was looked at longest ago. */
static void begin(struct page *page, const struct check_wish *wish)
{
    struct checked *one = &page->checked[page->next_checked++ % CHECKED];
    free(one->words);
    *one = (struct checked){.answer = wish->answer};
    memcpy(one->stamp, wish->stamp, STAMP_SIZE);
}

/* Without words it is looked at anew when somebody asks again. */
static void end(struct page *page, const struct check_wish *wish, const struct text *words)
{
    pthread_mutex_lock(&page->jobs_lock);
    struct checked *one = find(page, wish->answer, wish->stamp);
    if (one != NULL && words != NULL)
        one->words = string_copy(words->bytes);
    if (one != NULL && one->words == NULL)
        one->answer = 0;
    pthread_mutex_unlock(&page->jobs_lock);
}

int evidence_check(void *context, struct job_run *run, struct error *error)
{
    struct page *page = context;
    const struct check_wish *wish = run->wish;
    struct kept_answer answer = {0};
    struct book *book = NULL;
    struct text words;
    bool found = false;
    text_init(&words);
    int code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = answer_store_find(book, wish->answer, &answer, &found, error);
    code = book_done(book, code, error);
    if (code == ERROR_NONE && found && !atomic_load(run->stop))
        code = compare_bars(page, &answer, &words, error);
    end(page, wish, code == ERROR_NONE && found ? &words : NULL);
    kept_answer_clear(&answer);
    text_free(&words);
    return code;
}

static int look_up(struct page *page, const struct check_wish *wish, struct error *error)
{
    struct jobs *jobs = NULL;
    int64_t id = 0;
    struct error full = {0};
    struct check_wish *given = malloc(sizeof *given);
    int code = given != NULL ? page_jobs(page, QUEUE_CHECKS, &jobs, error) : error_memory(error);
    if (code != ERROR_NONE) {
        free(given);
        end(page, wish, NULL);
        return code;
    }
    *given = *wish;
    /* Where too many wait, the next who asks begins it. */
    if (jobs_add(jobs, given, "whether the bars are the same", &id, &full) != ERROR_NONE)
        end(page, wish, NULL);
    return ERROR_NONE;
}

int evidence_stale_bars(struct page *page, const struct kept_answer *answer, struct text *stale,
                        bool *known, struct error *error)
{
    struct check_wish wish = {.answer = answer->id};
    page_stamp(page, wish.stamp);
    pthread_mutex_lock(&page->jobs_lock);
    const struct checked *one = find(page, wish.answer, wish.stamp);
    bool begun = one != NULL;
    *known = begun && one->words != NULL;
    if (*known)
        text_append(stale, one->words);
    if (!begun)
        begin(page, &wish);
    pthread_mutex_unlock(&page->jobs_lock);
    return begun ? ERROR_NONE : look_up(page, &wish, error);
}
