#include "work/trades.h"

#include "work/trial.h"

struct trading {
    int (*take)(void *context, const struct rules_case *opened, const struct trades *trades,
                struct error *error);
    void *context;
    struct trades_sum *sum;
    struct outcomes outcomes;
};

static int find(const struct rules_case *opened, const void *context, void *result,
                struct error *error)
{
    (void)context;
    return trades_find(&opened->view, &opened->terms, opened->series.first, SIZE_MAX, true, result,
                       error);
}

static int count(struct trading *trading, const struct bars *bars, const struct trade *trade,
                 struct error *error)
{
    struct trades_sum *sum = trading->sum;
    bool closed = trade_closed(trade->reason);
    sum->passed += trade->reason == TRADE_PASSED;
    sum->open += trade->reason == TRADE_OPEN;
    sum->closed += closed;
    sum->parted += closed && trade->exits > 1;
    sum->wins += closed && trade->r > 0;
    sum->same_bar += trade_filled(trade->reason) && trade->same_bar;
    sum->finer_missing += trade_filled(trade->reason) && trade->finer_missing;
    sum->dated_back += trade_filled(trade->reason) && trade->signal.dated_back;
    sum->sum_r += closed ? trade->r : 0;
    return closed ? outcomes_add(&trading->outcomes, bars->time[trade->entry_bar], trade->r, error)
                  : ERROR_NONE;
}

static int take(const struct rules_case *opened, void *context, void *result, struct error *error)
{
    struct trading *trading = context;
    const struct trades *trades = result;
    int code = ERROR_NONE;
    trading->sum->signals += trades->signals;
    trading->sum->untold += trades->untold;
    for (size_t i = 0; i < trades->count && code == ERROR_NONE; i++)
        code = count(trading, &opened->series.bars, &trades->list[i], error);
    return code == ERROR_NONE ? trading->take(trading->context, opened, trades, error) : code;
}

static void clear(void *result)
{
    trades_free(result);
}

/* The outcomes of these trades are about to be seen. */
static int enter(struct work *work, struct trial *trial, const struct setup *setup,
                 struct error *error)
{
    char **words = NULL;
    size_t word_count = 0;
    int code = trial_open(work, trial, error);
    if (code == ERROR_NONE)
        code = series_words(work, 0, &words, &word_count, error);
    if (code == ERROR_NONE)
        code = trial_enter(work, trial, TRIAL_TRADES, setup, NULL, words, word_count, error);
    words_free(words, word_count);
    return code;
}

int trades_each(struct work *work, const struct setup *setup,
                int (*take_one)(void *context, const struct rules_case *opened,
                                const struct trades *trades, struct error *error),
                void *context, struct trades_sum *sum, struct error *error)
{
    struct trial trial;
    struct trading trading = {.take = take_one, .context = context, .sum = sum};
    const struct rules_job job = {.result_size = sizeof(struct trades),
                                  .work = find,
                                  .take = take,
                                  .clear = clear,
                                  .context = &trading};
    *sum = (struct trades_sum){0};
    int code = enter(work, &trial, setup, error);
    if (code == ERROR_NONE)
        code = rules_each(work, setup, &job, error);
    if (code == ERROR_NONE)
        code = trial_finish_outcomes(&trial, &trading.outcomes, error);
    outcomes_free(&trading.outcomes);
    return code;
}
