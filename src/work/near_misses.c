#include "work/near_misses.h"

#include "base/array.h"
#include "work/nearly.h"

#include <stdlib.h>

static int compare_misses(const void *a, const void *b)
{
    const struct near_miss *x = a;
    const struct near_miss *y = b;
    if (x->missed_by != y->missed_by)
        return x->missed_by < y->missed_by ? -1 : 1;
    return x->bar < y->bar ? -1 : x->bar > y->bar;
}

int near_misses_find(const struct rules_case *opened, size_t first, size_t most,
                     struct near_misses *misses, struct error *error)
{
    size_t count = sheet_count(opened->sheet);
    *misses = (struct near_misses){.list = array_new(most + 1, sizeof *misses->list)};
    if (misses->list == NULL)
        return error_memory(error);
    for (size_t bar = first; bar < count; bar++) {
        struct near_bar near;
        bool nearly = nearly_at(&opened->view, bar, &near);
        misses->untold += near.untold;
        if (!nearly)
            continue;
        misses->list[misses->count] = (struct near_miss){bar, near.missed_by, near.failed};
        /* The list stays sorted and as long as wanted; one more is cut off. */
        qsort(misses->list, ++misses->count, sizeof *misses->list, compare_misses);
        if (misses->count > most)
            misses->count = most;
    }
    return sheet_failed(opened->sheet) ? error_memory(error) : ERROR_NONE;
}

void near_misses_free(struct near_misses *misses)
{
    free(misses->list);
    *misses = (struct near_misses){0};
}
