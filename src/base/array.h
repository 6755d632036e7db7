/* Growing arrays without macros that hide control flow. */
#ifndef RUSHLIGHT_BASE_ARRAY_H
#define RUSHLIGHT_BASE_ARRAY_H

#include <stdbool.h>
#include <stddef.h>

/* Makes room for `need` elements of `size` bytes in the heap array `items`
 * (NULL for none yet), whose room is *capacity. Returns the array, perhaps
 * moved, or NULL without memory or where the sizes overflow; then the old
 * array is as it was and still the caller's. */
void *array_reserve(void *items, size_t *capacity, size_t need, size_t size);

/* malloc of count * size, NULL on overflow or without memory; a count of 0
 * gives an allocation that can be freed. */
void *array_new(size_t count, size_t size);

/* A heap copy of a string; NULL without memory. */
char *string_copy(const char *string);
/* A copy of a string behind the last of a heap array of such, which grows as it does by
 * array_reserve. False without memory; then the array is as it was. */
bool strings_add(char ***strings, size_t *count, size_t *capacity, const char *string);

#endif
