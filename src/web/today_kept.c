#include "web/today.h"

#include "base/array.h"

#include <stdlib.h>
#include <string.h>

struct kept_answer {
    char *key;              /* the fields of the wish */
    char stamp[STAMP_SIZE]; /* of the book when the answer was begun; empty: there is none yet */
    struct today_answer answer;
    char tried[STAMP_SIZE]; /* of the book when the job was begun */
    int64_t job;            /* that finds it anew, or did last; 0: none, it is soon found */
    int64_t used;           /* the order of use */
};

struct today_kept {
    struct page *page;
    struct jobs *jobs;
    pthread_mutex_t lock; /* of what follows */
    struct kept_answer list[TODAY_KEPT];
    size_t count;
    int64_t uses;
};

/* --- one entry -------------------------------------------------------------------------- */

static void make_key(struct text *key, const struct exchange *fields)
{
    for (size_t i = 0; i < fields->field_count; i++)
        text_append_format(key, "%s=%s\n", fields->fields[i].name, fields->fields[i].value);
}

static struct kept_answer *find_entry(struct today_kept *kept, const char *key)
{
    for (size_t i = 0; i < kept->count; i++)
        if (strcmp(kept->list[i].key, key) == 0)
            return &kept->list[i];
    return NULL;
}

static bool is_under_way(struct today_kept *kept, const struct kept_answer *entry,
                         struct job_seen *seen)
{
    *seen = (struct job_seen){.state = JOB_DONE};
    return entry->job > 0 && jobs_look(kept->jobs, entry->job, true, seen) &&
           (seen->state == JOB_WAITING || seen->state == JOB_RUNNING);
}

static void free_entry(struct kept_answer *entry)
{
    free(entry->key);
    today_answer_free(&entry->answer);
    *entry = (struct kept_answer){0};
}

/* What is soon found goes first, then what nobody has asked for longest. */
static bool goes_before(const struct kept_answer *a, const struct kept_answer *b)
{
    return (a->job == 0) != (b->job == 0) ? a->job == 0 : a->used < b->used;
}

/* NULL where all are being found. */
static struct kept_answer *make_room(struct today_kept *kept)
{
    struct kept_answer *oldest = NULL;
    struct job_seen seen;
    if (kept->count < TODAY_KEPT)
        return &kept->list[kept->count++];
    for (size_t i = 0; i < kept->count; i++)
        if (!is_under_way(kept, &kept->list[i], &seen) &&
            (oldest == NULL || goes_before(&kept->list[i], oldest)))
            oldest = &kept->list[i];
    if (oldest != NULL)
        free_entry(oldest);
    return oldest;
}

/* The entry of the key, made where there is none; NULL after an error. */
static struct kept_answer *need_entry(struct today_kept *kept, const char *key, struct error *error)
{
    struct kept_answer *entry = find_entry(kept, key);
    if (entry == NULL) {
        char *copy = string_copy(key);
        entry = copy != NULL ? make_room(kept) : NULL;
        if (copy == NULL)
            error_memory(error);
        else if (entry == NULL)
            error_set(error, ERROR_INPUT,
                      "%d lists and dates are being looked at; wait until one is done", TODAY_KEPT);
        if (entry == NULL) {
            free(copy);
            return NULL;
        }
        *entry = (struct kept_answer){.key = copy};
    }
    entry->used = ++kept->uses;
    return entry;
}

/* Takes the answer over. */
static int put_answer(struct today_kept *kept, const char *key, const char stamp[STAMP_SIZE],
                      struct today_answer *answer, struct error *error)
{
    struct kept_answer *entry = need_entry(kept, key, error);
    if (entry == NULL)
        return error->code;
    today_answer_free(&entry->answer);
    entry->answer = *answer;
    *answer = (struct today_answer){0};
    memcpy(entry->stamp, stamp, STAMP_SIZE);
    return ERROR_NONE;
}

/* --- finding --------------------------------------------------------------------------------- */

static int find_and_put(struct today_kept *kept, const struct today_wish *wish,
                        const struct voice *voice, struct error *error)
{
    struct today_answer answer = {0};
    struct text key;
    char stamp[STAMP_SIZE];
    text_init(&key);
    make_key(&key, &wish->fields);
    page_stamp(kept->page, stamp);
    int code = text_failed(&key) ? error_memory(error) : ERROR_NONE;
    if (code == ERROR_NONE)
        code = today_find(&answer, kept->page, wish, voice, error);
    if (code == ERROR_NONE) {
        pthread_mutex_lock(&kept->lock);
        code = put_answer(kept, key.bytes, stamp, &answer, error);
        pthread_mutex_unlock(&kept->lock);
    }
    today_answer_free(&answer);
    text_free(&key);
    return code;
}

static void tell(void *context, double done)
{
    struct job_run *run = context;
    run->progress(run->context, done);
}

static int run(void *owner, struct job_run *run, struct error *error)
{
    return find_and_put(owner, run->wish,
                        &(struct voice){.progress = tell, .context = run, .stop = run->stop},
                        error);
}

static void let_wish_go(void *wish)
{
    today_wish_free(wish);
    free(wish);
}

static struct today_wish *copy_wish(const struct today_wish *wish, struct error *error)
{
    struct today_wish *copy = malloc(sizeof *copy);
    int code = ERROR_NONE;
    if (copy == NULL) {
        error_memory(error);
        return NULL;
    }
    *copy = (struct today_wish){.setups = wish->setups, .instruments = wish->instruments};
    exchange_init(&copy->fields);
    for (size_t i = 0; i < wish->fields.field_count && code == ERROR_NONE; i++) {
        const struct exchange_field *field = &wish->fields.fields[i];
        code = exchange_add(&copy->fields, field->name, field->value, strlen(field->value), error);
    }
    if (code == ERROR_NONE)
        return copy;
    let_wish_go(copy);
    return NULL;
}

/* With the lock held, so that the book is not opened here. */
static int begin_job(struct today_kept *kept, const struct today_wish *wish,
                     struct kept_answer *entry, struct error *error)
{
    struct today_wish *copy = copy_wish(wish, error);
    if (copy == NULL)
        return error->code;
    page_stamp(kept->page, entry->tried);
    return jobs_add(kept->jobs, copy, "Today", &entry->job, error);
}

/* --- asking ------------------------------------------------------------------------------------ */

/* What failed is begun again once the book has moved on. */
static bool has_failed(const struct today_kept *kept, const struct kept_answer *entry,
                       const struct job_seen *seen)
{
    char stamp[STAMP_SIZE];
    page_stamp(kept->page, stamp);
    return seen->state == JOB_FAILED && strcmp(entry->tried, stamp) == 0;
}

static bool is_fresh(const struct today_kept *kept, const struct kept_answer *entry)
{
    char stamp[STAMP_SIZE];
    page_stamp(kept->page, stamp);
    return entry->stamp[0] != '\0' && strcmp(entry->stamp, stamp) == 0 &&
           kept->page->options.clock() < entry->answer.until;
}

/* With the lock held: what is known of the wish, and the job that finds it. */
static int settle(struct today_kept *kept, const struct today_wish *wish, const char *key,
                  bool again, const struct today_answer **answer, struct today_state *state,
                  struct error *error)
{
    struct kept_answer *entry = need_entry(kept, key, error);
    struct job_seen seen;
    if (entry == NULL)
        return error->code;
    *answer = &entry->answer;
    state->there = entry->stamp[0] != '\0';
    state->fresh = is_fresh(kept, entry);
    if (state->fresh)
        return ERROR_NONE;
    bool under_way = is_under_way(kept, entry, &seen);
    state->done = seen.done;
    state->failed = !again && has_failed(kept, entry, &seen);
    state->error = seen.error;
    return under_way || state->failed ? ERROR_NONE : begin_job(kept, wish, entry, error);
}

static int find_at_once(struct today_kept *kept, const struct today_wish *wish, const char *key,
                        struct error *error)
{
    struct kept_answer *entry = NULL;
    pthread_mutex_lock(&kept->lock);
    entry = find_entry(kept, key);
    bool fresh = entry != NULL && is_fresh(kept, entry);
    pthread_mutex_unlock(&kept->lock);
    return fresh ? ERROR_NONE : find_and_put(kept, wish, &(struct voice){0}, error);
}

int today_hold(struct page *page, const struct today_wish *wish, bool again,
               const struct today_answer **answer, struct today_state *state, struct error *error)
{
    struct today_kept *kept = page->today;
    bool small = wish->instruments * (int64_t)wish->setups <= TODAY_AT_ONCE;
    struct text key;
    *state = (struct today_state){0};
    text_init(&key);
    make_key(&key, &wish->fields);
    int code = text_failed(&key) ? error_memory(error) : ERROR_NONE;
    if (code == ERROR_NONE && small)
        code = find_at_once(kept, wish, key.bytes, error);
    if (code == ERROR_NONE) {
        pthread_mutex_lock(&kept->lock);
        code = settle(kept, wish, key.bytes, again, answer, state, error);
        if (code != ERROR_NONE)
            pthread_mutex_unlock(&kept->lock);
    }
    text_free(&key);
    return code;
}

void today_let_go(struct page *page)
{
    pthread_mutex_unlock(&page->today->lock);
}

/* --- all of them ------------------------------------------------------------------------------- */

int today_kept_new(struct today_kept **made, struct page *page, struct error *error)
{
    struct today_kept *kept = calloc(1, sizeof *kept);
    *made = NULL;
    if (kept == NULL || pthread_mutex_init(&kept->lock, NULL) != 0) {
        free(kept);
        return error_memory(error);
    }
    kept->page = page;
    int code = jobs_new(&kept->jobs, &(struct jobs_does){run, let_wish_go, kept}, error);
    if (code != ERROR_NONE) {
        pthread_mutex_destroy(&kept->lock);
        free(kept);
        return code;
    }
    *made = kept;
    return ERROR_NONE;
}

void today_kept_free(struct today_kept *kept)
{
    if (kept == NULL)
        return;
    jobs_free(kept->jobs);
    for (size_t i = 0; i < kept->count; i++)
        free_entry(&kept->list[i]);
    pthread_mutex_destroy(&kept->lock);
    free(kept);
}
