#include "engine_run.h"

#include <math.h>
#include <string.h>

int engine_run_read(struct engine_run *run, const char *yaml, struct error *error)
{
    *run = (struct engine_run){.sheet = NULL};
    return setup_read(&run->setup, "random.yaml", yaml, strlen(yaml), error);
}

int engine_run_trades(struct engine_run *run, const struct bars *bars,
                      const struct trade_terms *terms, const struct surroundings *around,
                      struct error *error)
{
    run->terms = *terms;
    run->sheet = sheet_new(bars, NULL);
    int code = run->sheet != NULL ? ERROR_NONE : error_memory(error);
    if (code == ERROR_NONE)
        code = setup_view_init(&run->view, &run->setup, run->sheet, around, error);
    if (code == ERROR_NONE)
        code = trades_find(&run->view, &run->terms, 0, sheet_count(run->sheet), true, &run->trades,
                           error);
    if (code != ERROR_NONE)
        engine_run_close(run);
    return code;
}

int engine_run_open(struct engine_run *run, const char *yaml, const struct bars *bars,
                    const struct trade_terms *terms, const struct surroundings *around,
                    struct error *error)
{
    int code = engine_run_read(run, yaml, error);
    return code == ERROR_NONE ? engine_run_trades(run, bars, terms, around, error) : code;
}

void engine_run_close(struct engine_run *run)
{
    trades_free(&run->trades);
    sheet_free(run->sheet);
    setup_free(&run->setup);
    run->sheet = NULL;
}

static bool same(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

bool engine_rows_equal(const struct trade *a, const struct trade *b, double factor)
{
    return a->signal.candle.choice == b->signal.candle.choice &&
           a->signal.candle.first == b->signal.candle.first &&
           a->signal.candle.at == b->signal.candle.at && a->signal.at == b->signal.at &&
           a->signal.state == b->signal.state && a->reason == b->reason &&
           strcmp(a->note, b->note) == 0 && a->entry_bar == b->entry_bar &&
           a->exit_bar == b->exit_bar && a->bars == b->bars && a->same_bar == b->same_bar &&
           same(a->entry, factor * b->entry) && same(a->stop, factor * b->stop) &&
           same(a->target, factor * b->target) && same(a->exit, factor * b->exit) &&
           same(a->risk, fabs(factor) * b->risk) && same(a->r, b->r) &&
           same(a->r_before_costs, b->r_before_costs) && same(a->mae_r, b->mae_r) &&
           same(a->mfe_r, b->mfe_r);
}

long engine_runs_differ(const struct engine_run *a, const struct engine_run *b, double factor)
{
    const struct trades *x = &a->trades;
    const struct trades *y = &b->trades;
    for (size_t i = 0; i < x->count && i < y->count; i++)
        if (!engine_rows_equal(&x->list[i], &y->list[i], factor))
            return (long)i;
    bool counts = x->count == y->count && x->candidates == y->candidates &&
                  x->signals == y->signals;
    return counts ? -1 : (long)x->count;
}
