#include "work/study.h"

#include "evidence/study_run.h"
#include "work/study_parts.h"
#include "work/work_parts.h"

#include <stdlib.h>

int market_open(struct work *work, const struct setup *setup, int64_t since, struct market *market,
                struct error *error)
{
    *market = (struct market){0};
    struct asides asides = {0};
    int code = series_words(work, 0, &market->words, &market->word_count, error);
    if (code != ERROR_NONE)
        return code;
    market->cases = calloc(market->word_count, sizeof *market->cases);
    market->series = calloc(market->word_count, sizeof *market->series);
    if (market->cases == NULL || market->series == NULL)
        return error_memory(error);
    code = rules_open_all(work, market->words, market->word_count, setup, market->cases, &asides,
                          error);
    code = asides_end(&asides, work, code, error);
    for (size_t i = 0; i < market->word_count && code == ERROR_NONE; i++) {
        const struct rules_case *opened = &market->cases[i];
        if (opened->sheet == NULL)
            continue;
        size_t judged = bars_find(&opened->series.bars, since);
        struct study_series *series = &market->series[market->count++];
        *series = trial_series(opened);
        if (series->first < judged)
            series->first = judged;
    }
    return code;
}

void market_close(struct market *market)
{
    for (size_t i = 0; market->cases != NULL && i < market->word_count; i++)
        rules_close(&market->cases[i]);
    free(market->cases);
    free(market->series);
    words_free(market->words, market->word_count);
    *market = (struct market){0};
}

int frozen_setup(struct trial *trial, const char *name, struct setup *setup, int64_t *since,
                 struct error *error)
{
    if (trial->book == NULL)
        return error_because(error, ERROR_USAGE, ERROR_REASON_NO_BOOK, "no book is known");
    int code = frozen_read(trial->book, name, setup, since, error);
    if (code == ERROR_NONE)
        *since = (day_of_time(*since) + 1) * SECONDS_PER_DAY;
    return code;
}

static void show_progress(void *context, double done)
{
    const struct stretch *stretch = context;
    work_progress(stretch->work, ((double)stretch->index + done) / (double)stretch->count);
}

struct study_options options_of_work(const struct study_options *options, struct stretch *stretch)
{
    struct study_options own = *options;
    own.seed = stretch->work->wishes.seed;
    own.threads = stretch->work->wishes.threads;
    own.progress = show_progress;
    own.context = stretch;
    own.stop = stretch->work->voice.stop;
    return own;
}

/* The trial is in the ledger, with its result, before anything is shown. */
static int note_study(struct trial *trial, const struct study *study,
                      const struct study_options *options, struct study_trials *counted,
                      struct error *error)
{
    struct closed_trades closed;
    const struct estimate_plan plan = {.held_dates = 0,
                                       .resamples = options->resamples,
                                       .seed = options->seed,
                                       .threads = options->threads};
    int code = closed_trades_of(&closed, study, error);
    if (code == ERROR_NONE)
        code = trial_finish(trial, &study->mean_r, &study->grid, &closed, error);
    closed_trades_free(&closed);
    if (code == ERROR_NONE && trial->book != NULL)
        code = ledger_trials(counted, trial->book, trial->id, &study->grid, &plan, error);
    counted->sealed_from = trial->sealed ? trial->sealed_from : NULL;
    return code;
}

int study_market(struct work *work, struct trial *trial, const struct setup *setup,
                 const struct market *market, const struct study_options *options,
                 struct study *study, struct study_trials *counted, struct error *error)
{
    struct stretch whole = {work, 0, 1};
    const struct study_options own = options_of_work(options, &whole);
    *study = (struct study){0};
    int code = trial_enter(work, trial, TRIAL_STUDY, setup, market->series, NULL, market->count,
                           error);
    if (code == ERROR_NONE)
        code = study_run(study, setup, market->series, market->count, &own, error);
    return code == ERROR_NONE ? note_study(trial, study, &own, counted, error) : code;
}

/* Both setups' outcomes are about to be shown. */
static int note_comparison(struct trial *trial, const struct setup_comparison *comparison,
                           const int64_t ids[2], struct error *error)
{
    int code = ERROR_NONE;
    for (size_t s = 0; s < 2 && code == ERROR_NONE; s++) {
        struct closed_trades closed;
        code = comparison_closed(&closed, comparison, s, error);
        trial->id = ids[s];
        if (code == ERROR_NONE)
            code = trial_finish(trial, &comparison->own_mean[s], &comparison->grid, &closed, error);
        closed_trades_free(&closed);
    }
    return code;
}

int compare_on_market(struct work *work, struct trial *trial, const struct setup *const setups[2],
                      const struct market *market, const struct study_options *options,
                      struct setup_comparison *comparison, struct error *error)
{
    struct stretch whole = {work, 0, 1};
    const struct study_options own = options_of_work(options, &whole);
    int64_t ids[2];
    int code = ERROR_NONE;
    *comparison = (struct setup_comparison){0};
    for (size_t s = 0; s < 2 && code == ERROR_NONE; s++) {
        code = trial_enter(work, trial, TRIAL_COMPARE, setups[s], market->series, NULL,
                           market->count, error);
        ids[s] = trial->id;
    }
    if (code == ERROR_NONE)
        code = comparison_run(comparison, setups, market->series, market->count, &own, error);
    return code == ERROR_NONE ? note_comparison(trial, comparison, ids, error) : code;
}
