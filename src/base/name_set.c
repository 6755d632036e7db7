#include "base/name_set.h"

#include "base/array.h"

#include <stdlib.h>
#include <string.h>

/* The place of the first name that is not before this one. */
static size_t place_of(const struct name_set *set, const char *name)
{
    size_t first = 0;
    size_t last = set->count;
    if (last > 0 && strcmp(set->names[last - 1], name) < 0)
        return last;
    while (first < last) {
        size_t middle = first + (last - first) / 2;
        if (strcmp(set->names[middle], name) < 0)
            first = middle + 1;
        else
            last = middle;
    }
    return first;
}

enum name_added name_set_add(struct name_set *set, const char *name)
{
    size_t place = place_of(set, name);
    if (place < set->count && strcmp(set->names[place], name) == 0)
        return NAME_KNOWN;
    char **names = array_reserve(set->names, &set->room, set->count + 1, sizeof *names);
    char *copy = names != NULL ? string_copy(name) : NULL;
    if (names != NULL)
        set->names = names;
    if (copy == NULL)
        return NAME_NO_MEMORY;
    memmove(&names[place + 1], &names[place], (set->count - place) * sizeof *names);
    names[place] = copy;
    set->count++;
    return NAME_NEW;
}

void name_set_free(struct name_set *set)
{
    for (size_t i = 0; i < set->count; i++)
        free(set->names[i]);
    free(set->names);
    *set = (struct name_set){0};
}
