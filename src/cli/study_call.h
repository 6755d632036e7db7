/* What the parts of the study command share. Private to it. */
#ifndef RUSHLIGHT_CLI_STUDY_CALL_H
#define RUSHLIGHT_CLI_STUDY_CALL_H

#include "answer/answer.h"
#include "cli/wishes.h"
#include "evidence/study.h"
#include "work/study.h"

/* Everything a study is made of, held while it runs. */
struct study_call {
    struct call *call;
    struct call_work opened;
    struct setup setup;
    struct market market;
    struct study_options options;
    struct study study;
    struct trial trial;
    int64_t since;               /* time from which candles count; INT64_MIN: all */
    struct study_trials counted; /* what the ledger says of this trial */
};

/* study --against S: two setups on the same markets. */
int study_compare(struct study_call *work, struct error *error);
/* study --vary NAMES: the numbers of the setup moved. */
int study_vary(struct study_call *work, struct error *error);

/* study -o FILE: the document as a report on one or two setups; does nothing
 * without -o. */
int study_output(struct study_call *work, const struct setup *const *about, size_t setup_count,
                 const struct document *document, struct error *error);

/* What the ledger says of this trial; NULL where there is none. */
const struct study_trials *study_counted(const struct study_call *work);

/* Begins a JSON answer: version and seed, the object still open. */
void study_begin_json(struct json *json, struct text *text, const struct study_call *work);
/* Ends the object, prints it and frees the text. */
int study_end_json(struct study_call *work, struct json *json, struct error *error);
/* Prints a text and frees it. */
int study_print(struct study_call *work, struct text *text, struct error *error);
/* Prints an answer for people. */
int study_print_words(struct study_call *work, const struct document *document,
                      struct error *error);

#endif
