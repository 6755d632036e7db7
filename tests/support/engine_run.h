/* One setup run over one market by the engine, with everything it stands on. */
#ifndef RUSHLIGHT_TESTS_ENGINE_RUN_H
#define RUSHLIGHT_TESTS_ENGINE_RUN_H

#include "trade/trade.h"

struct engine_run {
    struct setup setup;
    struct sheet *sheet;
    struct setup_view view;
    struct trade_terms terms;
    struct trades trades; /* all rows, those that never became a trade too */
};

/* Reads the setup; then runs it. `bars`, `terms->finer` and `around` must
 * outlive the run. After an error nothing has to be freed. */
int engine_run_read(struct engine_run *run, const char *yaml, struct error *error);
int engine_run_trades(struct engine_run *run, const struct bars *bars,
                      const struct trade_terms *terms, const struct surroundings *around,
                      struct error *error);
/* Both. */
int engine_run_open(struct engine_run *run, const char *yaml, const struct bars *bars,
                    const struct trade_terms *terms, const struct surroundings *around,
                    struct error *error);
void engine_run_close(struct engine_run *run);

/* Whether two rows are the same, bit for bit, when the prices of `b` are taken
 * times `factor` (1, -1 or a power of two). */
bool engine_rows_equal(const struct trade *a, const struct trade *b, double factor);
/* The number of the first row that differs, or of all rows: -1 where none. */
long engine_runs_differ(const struct engine_run *a, const struct engine_run *b, double factor);

#endif
