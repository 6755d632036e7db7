#include "base/array.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

void *array_reserve(void *items, size_t *capacity, size_t need, size_t size)
{
    if (need <= *capacity && items != NULL)
        return items;
    size_t room = *capacity > 0 ? *capacity : 8;
    while (room < need) {
        if (room > SIZE_MAX / 2)
            return NULL;
        room *= 2;
    }
    if (room > SIZE_MAX / 2 / size)
        return NULL;
    void *moved = realloc(items, room * size);
    if (moved != NULL)
        *capacity = room;
    return moved;
}

void *array_new(size_t count, size_t size)
{
    if (count > SIZE_MAX / 2 / size)
        return NULL;
    return malloc(count > 0 ? count * size : 1);
}

char *string_copy(const char *string)
{
    size_t size = strlen(string) + 1;
    char *copy = malloc(size);
    if (copy != NULL)
        memcpy(copy, string, size);
    return copy;
}

bool strings_add(char ***strings, size_t *count, size_t *capacity, const char *string)
{
    char **grown = array_reserve(*strings, capacity, *count + 1, sizeof *grown);
    if (grown == NULL)
        return false;
    *strings = grown;
    grown[*count] = string_copy(string);
    if (grown[*count] == NULL)
        return false;
    ++*count;
    return true;
}
