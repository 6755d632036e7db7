/* Names, each once, in the order of their bytes. */
#ifndef RUSHLIGHT_BASE_NAME_SET_H
#define RUSHLIGHT_BASE_NAME_SET_H

#include <stdbool.h>
#include <stddef.h>

/* All zeroes: empty. */
struct name_set {
    char **names; /* the set's own */
    size_t count;
    size_t room;
};

enum name_added { NAME_NEW, NAME_KNOWN, NAME_NO_MEMORY };

/* Copies the name where it is not there yet. Cheap where names come in their order;
 * else each may move those behind it. */
enum name_added name_set_add(struct name_set *set, const char *name);
void name_set_free(struct name_set *set);

#endif
