/* A small YAML document as a tree that knows its lines and columns.
 *
 * What a setup file never needs is refused while reading, so that nothing of
 * it can do harm: aliases and anchors, tags, more than one document, nesting
 * beyond YAML_TREE_DEPTH, files over YAML_TREE_SIZE bytes, a key twice. */
#ifndef RUSHLIGHT_SETUP_YAML_TREE_H
#define RUSHLIGHT_SETUP_YAML_TREE_H

#include "base/error.h"

#include <stddef.h>

enum { YAML_TREE_DEPTH = 24, YAML_TREE_SIZE = 1 << 20 };

enum node_kind { NODE_NOTHING, NODE_SCALAR, NODE_LIST, NODE_MAP };

struct node {
    enum node_kind kind;
    size_t line; /* from 1 */
    size_t column;
    char *text;         /* scalar: its value; NODE_NOTHING is an empty or null one */
    char **keys;        /* map: key i belongs to items[i] */
    struct node *items; /* list and map */
    size_t count;
    size_t room;
    size_t keys_room;
};

/* Reads a document of `length` bytes; `name` stands before messages. On an
 * error nothing has to be freed. */
int yaml_tree_read(struct node *root, const char *name, const char *bytes, size_t length,
                   struct error *error);
void yaml_tree_free(struct node *root);

/* The value of a key of a map, NULL if the key is not there. */
const struct node *node_get(const struct node *map, const char *key);

#endif
