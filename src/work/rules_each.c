/* A setup applied to many instruments at a time. */
#include "measures/series.h"
#include "work/asides.h"
#include "work/rules.h"

#include <stdlib.h>

/* Instruments with more bars in the book are walked along. */
enum { HELD_MOST = 65536 };

/* One instrument of a batch. */
struct slot {
    struct rules_case opened;
    struct notices notices;
    void *result;
    struct error error;
    bool open; /* opened without an error, so that an error is the work's */
};

static void open_slot(struct work *work, const struct setup *setup, const struct rules_job *job,
                      const char *word, struct slot *slot)
{
    size_t most = job->walk != NULL ? HELD_MOST : SIZE_MAX;
    int code = rules_open_up_to(work, &slot->notices, word, setup, most, &slot->opened,
                                &slot->error);
    slot->result = code == ERROR_NONE ? calloc(1, job->result_size) : NULL;
    if (code == ERROR_NONE && slot->result == NULL)
        error_memory(&slot->error);
    slot->open = slot->result != NULL;
}

static bool is_held(const struct slot *slot)
{
    return slot->open && slot->opened.series.unread.id == 0;
}

/* A few instruments at a time, so that their measures are made together. */
static void work_group(struct work *work, const struct setup *setup, const struct rules_job *job,
                       char *const *words, struct slot *slots, size_t count)
{
    const struct setup_view *views[LANE_COUNT];
    size_t open = 0;
    for (size_t i = 0; i < count; i++)
        open_slot(work, setup, job, words[i], &slots[i]);
    for (size_t i = 0; i < count; i++)
        if (is_held(&slots[i]))
            views[open++] = &slots[i].opened.view;
    setup_measure_ahead(views, open);
    for (size_t i = 0; i < count; i++)
        if (is_held(&slots[i]))
            slots[i].error.code = job->work(&slots[i].opened, job->context, slots[i].result,
                                            &slots[i].error);
}

/* Says what came up in opening, and keeps the instruments that could not be
 * opened; returns the first error that is more than an instrument's own. */
static int settle_opening(struct work *work, struct slot *slots, char *const *words, size_t count,
                          struct asides *asides, struct error *error)
{
    int code = ERROR_NONE;
    for (size_t i = 0; i < count && code == ERROR_NONE; i++) {
        notices_say(&slots[i].notices, work);
        if (slots[i].open)
            asides->opened++;
        else
            code = asides_add(asides, words[i], &slots[i].error, error);
    }
    return code;
}

static void free_slot(struct slot *slot, const struct rules_job *job)
{
    if (slot->result != NULL)
        job->clear(slot->result);
    free(slot->result);
    notices_free(&slot->notices);
    rules_close(&slot->opened);
}

static int take(struct work *work, const struct rules_job *job, struct slot *slot,
                struct error *error)
{
    if (!is_held(slot))
        return job->walk(work, &slot->opened, job->context, error);
    if (slot->error.code == ERROR_NONE)
        return job->take(&slot->opened, job->context, slot->result, error);
    *error = slot->error;
    return error->code;
}

static int run_batch(struct work *work, const struct setup *setup, const struct rules_job *job,
                     char *const *words, size_t count, struct asides *asides, struct error *error)
{
    struct slot *slots = calloc(count, sizeof *slots);
    if (slots == NULL)
        return error_memory(error);
#pragma omp parallel for schedule(dynamic, 1) num_threads(work_wishes(work)->threads)
    for (size_t i = 0; i < count; i += LANE_COUNT)
        work_group(work, setup, job, words + i, slots + i,
                   count - i < LANE_COUNT ? count - i : LANE_COUNT);
    int code = settle_opening(work, slots, words, count, asides, error);
    for (size_t i = 0; i < count; i++) {
        if (code == ERROR_NONE && slots[i].open)
            code = take(work, job, &slots[i], error);
        free_slot(&slots[i], job);
    }
    free(slots);
    return code;
}

int rules_each(struct work *work, const struct setup *setup, const struct rules_job *job,
               struct error *error)
{
    char **words = NULL;
    size_t count = 0;
    struct asides asides = {0};
    int code = series_words(work, 0, &words, &count, error);
    /* Several instruments a thread, so that the last one of a batch keeps
     * nobody waiting for long; memory stays at a batch's. */
    size_t batch = (size_t)work_wishes(work)->threads * 2 * LANE_COUNT;
    for (size_t first = 0; first < count && code == ERROR_NONE; first += batch) {
        size_t size = count - first < batch ? count - first : batch;
        code = run_batch(work, setup, job, words + first, size, &asides, error);
        work_progress(work, (double)(first + size) / (double)count);
    }
    words_free(words, count);
    return asides_end(&asides, work, code, error);
}

int rules_open_all(struct work *work, char *const *words, size_t count, const struct setup *setup,
                   struct rules_case *cases, struct asides *asides, struct error *error)
{
    struct notices *notices = calloc(count + 1, sizeof *notices);
    struct error *errors = calloc(count + 1, sizeof *errors);
    int code = notices == NULL || errors == NULL ? error_memory(error) : ERROR_NONE;
    for (size_t i = 0; i < count; i++)
        cases[i] = (struct rules_case){0};
    if (code == ERROR_NONE) {
#pragma omp parallel for schedule(dynamic, 1) num_threads(work_wishes(work)->threads)
        for (size_t i = 0; i < count; i++)
            rules_open(work, &notices[i], words[i], setup, &cases[i], &errors[i]);
        for (size_t i = 0; i < count; i++) {
            if (code == ERROR_NONE)
                notices_say(&notices[i], work);
            if (code == ERROR_NONE && errors[i].code == ERROR_NONE)
                asides->opened++;
            else if (code == ERROR_NONE)
                code = asides_add(asides, words[i], &errors[i], error);
            if (errors[i].code != ERROR_NONE)
                rules_close(&cases[i]);
            notices_free(&notices[i]);
        }
    }
    free(notices);
    free(errors);
    return code;
}
