/* Cases: signals of one instrument, found by their dates, with all that a sheet
 * of them shows. */
#ifndef RUSHLIGHT_WORK_CASE_H
#define RUSHLIGHT_WORK_CASE_H

#include "figures/case_sheet.h"
#include "work/rules.h"
#include "work/trial.h"

enum {
    CASE_LIMIT = 12,
    CASE_FEW_BARS = 36 /* before the candle, where a figure is small */
};

struct case_date {
    int64_t time;
    bool date_only; /* any bar of that day */
};

struct case_wish {
    const char *word; /* the instrument */
    const struct case_date
        *dates;   /* each of a candle, or of its signal, or of a bar that nearly is one */
    size_t count; /* 1 to CASE_LIMIT */
    bool context; /* also lines and zones that the setup has no rule about */
    bool outcome; /* also what followed, which makes it a trial */
};

/* Has to stay where it is: the requests lead into it. */
struct case_found {
    struct rules_case opened;
    struct case_request requests[CASE_LIMIT];
    size_t count;
    double *ranked; /* R of every closed trade of the setup here */
};

/* Opens the instrument and finds the cases. Where the outcome is wished for, it
 * keeps to the seal, and stands in the ledger before it returns. A bar that is no signal but fails one
 * criterion only is found too, without what followed. ERROR_INPUT for a date
 * that has neither, naming the nearest candles. `found` is the caller's to free
 * with case_free, also after an error. */
int case_find(struct work *work, const struct setup *setup, const struct case_wish *wish,
              struct case_found *found, struct error *error);
void case_free(struct case_found *found);

#endif
