/* What happened after every signal of a setup on a market, and whether it was
 * luck: studies, two setups compared, the numbers of one moved. Each is a trial,
 * entered before it is run and finished with its result; trial_open comes before
 * the market is opened, so that nothing beyond the seal is. */
#ifndef RUSHLIGHT_WORK_STUDY_H
#define RUSHLIGHT_WORK_STUDY_H

#include "evidence/compare.h"
#include "evidence/sensitivity.h"
#include "work/rules.h"
#include "work/trial.h"

/* The instruments wished for, opened for a setup; all zeroes: none yet. */
struct market {
    char **words;
    size_t word_count;
    struct rules_case *cases; /* one a word */
    struct study_series *series;
    size_t count; /* of series: those of the words that could be opened */
};

/* Candles before `since` only warm up (INT64_MIN: none does). Instruments that
 * cannot be opened are set aside (asides.h). The setup must stay. The caller closes it, also after an error. */
int market_open(struct work *work, const struct setup *setup, int64_t since, struct market *market,
                struct error *error);
void market_close(struct market *market);

/* The setup frozen under a name, the caller's to free, and the time from which
 * candles judge it: bars that had begun at the freezing do not count, whole days
 * included. ERROR_USAGE where the trial has no book, ERROR_INPUT where none is
 * frozen so. */
int frozen_setup(struct trial *trial, const char *name, struct setup *setup, int64_t *since,
                 struct error *error);

/* In all that follow, seed, threads, progress and the flag to stop are the
 * work's, whatever the options say. */

/* Runs the study. `counted` is what the ledger says of the trial, filled where
 * the trial has a book. The study is the caller's to free, also after an error. */
int study_market(struct work *work, struct trial *trial, const struct setup *setup,
                 const struct market *market, const struct study_options *options,
                 struct study *study, struct study_trials *counted, struct error *error);

/* Compares two setups: two trials. The comparison is the caller's to free, also
 * after an error. */
int compare_on_market(struct work *work, struct trial *trial, const struct setup *const setups[2],
                      const struct market *market, const struct study_options *options,
                      struct setup_comparison *comparison, struct error *error);

/* Which numbers of a setup are moved: all of it one at a time, or those named,
 * one or two together. */
struct sweep_wish {
    const char *names[2];
    size_t count; /* 0: all */
};

/* Every cell is a trial. `list` has room for NUMBER_LIMIT; those begun, *count
 * of them, are the caller's to free, also after an error. ERROR_USAGE for a name
 * that is no number of the setup, or the same name twice. */
int sweep_on_market(struct work *work, struct trial *trial, const struct setup *setup,
                    const struct market *market, const struct sweep_wish *wish,
                    const struct study_options *options, struct sensitivity *list, size_t *count,
                    struct error *error);

#endif
