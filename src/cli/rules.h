/* A setup named on the command line, applied to instruments: what scan,
 * trades, case and study share. */
#ifndef RUSHLIGHT_CLI_RULES_H
#define RUSHLIGHT_CLI_RULES_H

#include "cli/series.h"
#include "setup/setup.h"
#include "trade/trade.h"

/* The setup of --setup: a path to a file, or the name of a shipped one (a file
 * NAME.yaml in a folder setups/ here or beside the program). The caller frees
 * it with setup_free. */
int rules_read(struct call *call, struct setup *setup, struct error *error);
/* The same for a name that is not the option's. */
int rules_read_named(const char *name, struct setup *setup, struct error *error);

/* One instrument with everything a setup is applied through. */
struct rules_case {
    struct series series;
    struct series finer; /* empty without --finer */
    struct setup_event *events;
    struct own_mark *marks;
    struct cash_flow *flows; /* dividends that the prices do not hold */
    struct sheet *sheet;
    struct surroundings around;
    struct setup_view view;
    struct trade_terms terms;
};

/* Opens the instrument and applies the setup; an interval of the setup that is
 * not the bars' own is an error that says so. Free with rules_close, also
 * after an error. */
int rules_open(struct call *call, const char *word, const struct setup *setup,
               struct rules_case *opened, struct error *error);
void rules_close(struct rules_case *opened);

/* The work of one instrument, done by any thread; `result` is its own. */
struct rules_job {
    size_t result_size;
    int (*work)(const struct rules_case *opened, const void *context, void *result,
                struct error *error);
    /* In the order of the instruments, by one thread. */
    int (*take)(const struct rules_case *opened, void *context, void *result, struct error *error);
    /* Frees what a result holds, whether the work on it was done, failed or
     * never begun (all zero bytes). */
    void (*clear)(void *result);
    void *context;
};

/* Opens the instruments named in the call (from argument 0 on, and --list),
 * works on them with all threads, and takes the results in order. The first
 * error in that order ends it. */
int rules_each(struct call *call, const struct setup *setup, const struct rules_job *job,
               struct error *error);

#endif
