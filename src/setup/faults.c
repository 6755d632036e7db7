#include "setup/faults.h"

#include "base/array.h"

#include <stdlib.h>

void setup_faults_free(struct setup_faults *faults)
{
    free(faults->list);
    *faults = (struct setup_faults){0};
}

void setup_faults_add(struct setup_faults *faults, size_t line, size_t column,
                      const struct error *error)
{
    if (faults->count == SETUP_FAULTS_FOUND) {
        faults->beyond++;
        return;
    }
    struct setup_fault *grown = array_reserve(faults->list, &faults->room, faults->count + 1,
                                              sizeof *grown);
    if (grown == NULL) {
        faults->failed = true;
        return;
    }
    faults->list = grown;
    grown[faults->count++] = (struct setup_fault){line, column, *error};
}

static bool comes_later(const struct setup_fault *a, const struct setup_fault *b)
{
    return a->line != b->line ? a->line > b->line : a->column > b->column;
}

/* Faults of one place stay as they were found, for which qsort does not stand; they
 * are found nearly in order. */
void setup_faults_settle(struct setup_faults *faults)
{
    for (size_t i = 1; i < faults->count; i++) {
        struct setup_fault fault = faults->list[i];
        size_t at = i;
        for (; at > 0 && comes_later(&faults->list[at - 1], &fault); at--)
            faults->list[at] = faults->list[at - 1];
        faults->list[at] = fault;
    }
    if (faults->count > SETUP_FAULTS) {
        faults->beyond += faults->count - SETUP_FAULTS;
        faults->count = SETUP_FAULTS;
    }
}
