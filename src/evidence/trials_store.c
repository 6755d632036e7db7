/* How much of a trial is luck, by the other trials in the ledger. */
#include "evidence/evidence_store.h"

#include "base/array.h"
#include "base/calendar.h"
#include "evidence/trials.h"
#include "evidence/variance.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Whether two lists of names, separated by newlines, share one. */
static bool share_a_name(const char *a, const char *b)
{
    while (*a != '\0') {
        size_t length = strcspn(a, "\n");
        for (const char *at = b; *at != '\0';) {
            size_t other = strcspn(at, "\n");
            if (other == length && strncmp(a, at, length) == 0)
                return true;
            at += other + (at[other] == '\n');
        }
        a += length + (a[length] == '\n');
    }
    return false;
}

static bool overlap(const struct ledger_line *a, const struct ledger_line *b)
{
    return a->first <= b->last && b->first <= a->last &&
           share_a_name(a->instruments, b->instruments);
}

/* The lines that overlap with `own`, each different trial once, the newest of
 * its entries; `own` itself among them. Returns how many. */
static size_t different_trials(const struct ledger *ledger, const struct ledger_line *own,
                               const struct ledger_line **chosen)
{
    size_t count = 0;
    for (size_t i = ledger->count; i-- > 0;) {
        const struct ledger_line *line = &ledger->lines[i];
        bool there = false;
        if (line->id > own->id || !overlap(line, own))
            continue;
        for (size_t k = 0; k < count && !there; k++)
            there = ledger_same_trial(chosen[k], line);
        if (!there)
            chosen[count++] = line;
    }
    return count;
}

static int adjust_own(double *adjusted, const struct ledger_line *const *family, size_t count,
                      const struct ledger_line *own, struct error *error)
{
    double *p = array_new(count, sizeof *p);
    size_t kept = 0;
    size_t place = SIZE_MAX;
    if (p == NULL)
        return error_memory(error);
    for (size_t i = 0; i < count; i++) {
        if (family[i] == own)
            place = kept;
        /* A trial without a p has not said anything in its favour. */
        p[kept++] = isnan(family[i]->p) ? 1 : family[i]->p;
    }
    int code = adjust_trials(p, p, kept, error);
    *adjusted = code == ERROR_NONE && place != SIZE_MAX && !isnan(own->p) ? p[place] : NAN;
    free(p);
    return code;
}

int ledger_adjust(const struct ledger *ledger, double *adjusted, struct error *error)
{
    for (size_t i = 0; i < ledger->count; i++)
        adjusted[i] = isnan(ledger->lines[i].p) ? 1 : ledger->lines[i].p;
    int code = adjust_trials(adjusted, adjusted, ledger->count, error);
    for (size_t i = 0; i < ledger->count; i++)
        adjusted[i] = isnan(ledger->lines[i].p) ? NAN : adjusted[i];
    return code;
}

/* The sums of R per date of one trial, on the grid; *found: whether any date is
 * noted. */
static int read_dates(struct book *book, int64_t id, const struct date_grid *grid, double *sums,
                      bool *found, struct error *error)
{
    struct statement select = {0};
    bool row = true;
    int code = statement_prepare(&select, book, "SELECT day, sum_r FROM trial_date WHERE trial = ?",
                                 error);
    if (code == ERROR_NONE)
        statement_bind_integer(&select, 1, id);
    while (code == ERROR_NONE && row) {
        code = statement_step(&select, &row, error);
        if (code != ERROR_NONE || !row)
            continue;
        int64_t day = statement_integer(&select, 0);
        size_t date = date_grid_find(grid, day * SECONDS_PER_DAY);
        if (date < grid->count && grid->day[date] == day) {
            sums[date] += statement_number(&select, 1);
            *found = true;
        }
    }
    statement_finish(&select);
    return code;
}

static int check_reality(double *p, struct book *book, const struct ledger_line *const *family,
                         size_t count, const struct date_grid *grid,
                         const struct estimate_plan *plan, struct error *error)
{
    double *block = calloc(count * grid->count + 1, sizeof *block);
    const double **results = array_new(count, sizeof *results);
    double length = fmax(1, 3 * plan->held_dates);
    size_t kept = 0;
    int code = block == NULL || results == NULL ? error_memory(error) : ERROR_NONE;
    for (size_t i = 0; i < count && code == ERROR_NONE; i++) {
        double *sums = block + kept * grid->count;
        bool found = false;
        code = read_dates(book, family[i]->id, grid, sums, &found, error);
        if (code != ERROR_NONE || !found)
            continue;
        length = fmax(length, automatic_block_length(sums, grid->count));
        results[kept++] = sums;
    }
    length = fmin(length, fmax(1, (double)grid->count / 2));
    if (code == ERROR_NONE)
        code = reality_check(p, results, kept, grid->count, length, plan->resamples, plan->seed,
                             plan->threads, error);
    free(block);
    free(results);
    return code;
}

static const struct ledger_line *find_line(const struct ledger *ledger, int64_t id)
{
    for (size_t i = 0; i < ledger->count; i++)
        if (ledger->lines[i].id == id)
            return &ledger->lines[i];
    return NULL;
}

/* Keeps the lines of own's family, in place. */
static size_t keep_family(const struct ledger_line **lines, size_t count,
                          const struct ledger_line *own)
{
    size_t kept = 0;
    for (size_t i = 0; i < count; i++)
        if (strcmp(lines[i]->family, own->family) == 0)
            lines[kept++] = lines[i];
    return kept;
}

int ledger_trials(struct study_trials *trials, struct book *book, int64_t id,
                  const struct date_grid *grid, const struct estimate_plan *plan,
                  struct error *error)
{
    struct ledger ledger;
    *trials = (struct study_trials){.family = 1,
                                    .all = 1,
                                    .p_adjusted = NAN,
                                    .p_reality_check = NAN};
    int code = ledger_read(&ledger, book, NULL, error);
    const struct ledger_line *own = find_line(&ledger, id);
    const struct ledger_line **chosen = array_new(ledger.count, sizeof *chosen);
    if (code == ERROR_NONE && chosen == NULL)
        code = error_memory(error);
    if (code == ERROR_NONE && own != NULL) {
        trials->all = different_trials(&ledger, own, chosen);
        trials->family = keep_family(chosen, trials->all, own);
        code = adjust_own(&trials->p_adjusted, chosen, trials->family, own, error);
    }
    if (code == ERROR_NONE && own != NULL && grid->count > 0)
        code = check_reality(&trials->p_reality_check, book, chosen, trials->family, grid, plan,
                             error);
    free(chosen);
    ledger_free(&ledger);
    return code;
}
