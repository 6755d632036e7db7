#include "setup/yaml_tree.h"

#include "base/array.h"

#include <stdlib.h>
#include <string.h>
#include <yaml.h>

struct reading_state {
    const char *name;
    yaml_parser_t parser;
    struct error *error;
};

static int fail_at(struct reading_state *state, yaml_mark_t mark, const char *what)
{
    return error_set(state->error, ERROR_INPUT, "%s:%zu:%zu: %s", state->name, mark.line + 1,
                     mark.column + 1, what);
}

static int parser_failed(struct reading_state *state)
{
    if (state->parser.error == YAML_MEMORY_ERROR)
        return error_memory(state->error);
    const char *problem = state->parser.problem != NULL ? state->parser.problem : "cannot be read";
    char what[200];
    snprintf(what, sizeof what, "not YAML: %s", problem);
    return fail_at(state, state->parser.problem_mark, what);
}

static int next_event(struct reading_state *state, yaml_event_t *event)
{
    return yaml_parser_parse(&state->parser, event) ? ERROR_NONE : parser_failed(state);
}

static void node_free(struct node *node)
{
    for (size_t i = 0; i < node->count; i++) {
        node_free(&node->items[i]);
        if (node->kind == NODE_MAP)
            free(node->keys[i]);
    }
    free(node->text);
    free(node->keys);
    free(node->items);
    *node = (struct node){0};
}

void yaml_tree_free(struct node *root)
{
    node_free(root);
}

static int read_node(struct reading_state *state, yaml_event_t *event, struct node *node,
                     int depth);

/* Room for one more item (and key). */
static int grow(struct reading_state *state, struct node *node)
{
    struct node *items = array_reserve(node->items, &node->room, node->count + 1, sizeof *items);
    if (items == NULL)
        return error_memory(state->error);
    node->items = items;
    if (node->kind != NODE_MAP)
        return ERROR_NONE;
    char **keys = array_reserve(node->keys, &node->keys_room, node->count + 1, sizeof *keys);
    if (keys == NULL)
        return error_memory(state->error);
    node->keys = keys;
    return ERROR_NONE;
}

static int read_list(struct reading_state *state, struct node *node, int depth)
{
    for (;;) {
        yaml_event_t event;
        int code = next_event(state, &event);
        if (code != ERROR_NONE)
            return code;
        if (event.type == YAML_SEQUENCE_END_EVENT) {
            yaml_event_delete(&event);
            return ERROR_NONE;
        }
        code = grow(state, node);
        if (code == ERROR_NONE) {
            struct node item;
            code = read_node(state, &event, &item, depth + 1);
            if (code == ERROR_NONE)
                node->items[node->count++] = item;
        }
        yaml_event_delete(&event);
        if (code != ERROR_NONE)
            return code;
    }
}

/* Takes the key of the event over; the value follows. */
static int read_entry(struct reading_state *state, yaml_event_t *key, struct node *node, int depth)
{
    char what[200];
    if (key->type != YAML_SCALAR_EVENT)
        return fail_at(state, key->start_mark, "a key must be a plain word");
    const char *text = (const char *)key->data.scalar.value;
    if (node_get(node, text) != NULL) {
        snprintf(what, sizeof what, "%s: the key stands here a second time", text);
        return fail_at(state, key->start_mark, what);
    }
    int code = grow(state, node);
    if (code != ERROR_NONE)
        return code;
    yaml_event_t value;
    code = next_event(state, &value);
    if (code != ERROR_NONE)
        return code;
    struct node item;
    code = read_node(state, &value, &item, depth + 1);
    yaml_event_delete(&value);
    if (code != ERROR_NONE)
        return code;
    char *copy = string_copy(text);
    if (copy == NULL) {
        node_free(&item);
        return error_memory(state->error);
    }
    node->keys[node->count] = copy;
    node->items[node->count++] = item;
    return ERROR_NONE;
}

static int read_map(struct reading_state *state, struct node *node, int depth)
{
    for (;;) {
        yaml_event_t key;
        int code = next_event(state, &key);
        if (code != ERROR_NONE)
            return code;
        bool end = key.type == YAML_MAPPING_END_EVENT;
        if (!end)
            code = read_entry(state, &key, node, depth);
        yaml_event_delete(&key);
        if (end || code != ERROR_NONE)
            return code;
    }
}

static bool is_nothing(const yaml_event_t *event)
{
    const char *text = (const char *)event->data.scalar.value;
    return event->data.scalar.style == YAML_PLAIN_SCALAR_STYLE &&
           (text[0] == '\0' || strcmp(text, "~") == 0 || strcmp(text, "null") == 0);
}

static int read_scalar(struct reading_state *state, yaml_event_t *event, struct node *node)
{
    const char *text = (const char *)event->data.scalar.value;
    if (strlen(text) != event->data.scalar.length)
        return fail_at(state, event->start_mark, "a NUL character stands in a value");
    node->kind = is_nothing(event) ? NODE_NOTHING : NODE_SCALAR;
    node->text = string_copy(text);
    return node->text != NULL ? ERROR_NONE : error_memory(state->error);
}

static bool has_anchor_or_tag(const yaml_event_t *event)
{
    switch (event->type) {
    case YAML_SCALAR_EVENT:
        return event->data.scalar.anchor != NULL || event->data.scalar.tag != NULL;
    case YAML_SEQUENCE_START_EVENT:
        return event->data.sequence_start.anchor != NULL || event->data.sequence_start.tag != NULL;
    case YAML_MAPPING_START_EVENT:
        return event->data.mapping_start.anchor != NULL || event->data.mapping_start.tag != NULL;
    default: return event->type == YAML_ALIAS_EVENT;
    }
}

static int read_node(struct reading_state *state, yaml_event_t *event, struct node *node, int depth)
{
    *node = (struct node){.line = event->start_mark.line + 1,
                          .column = event->start_mark.column + 1};
    if (has_anchor_or_tag(event))
        return fail_at(state, event->start_mark,
                       "anchors, aliases and tags are not used in setup files; write it out");
    if (depth > YAML_TREE_DEPTH)
        return fail_at(state, event->start_mark, "nested too deep; a setup needs no more than 24");
    int code = ERROR_NONE;
    if (event->type == YAML_SCALAR_EVENT) {
        code = read_scalar(state, event, node);
    } else if (event->type == YAML_SEQUENCE_START_EVENT) {
        node->kind = NODE_LIST;
        code = read_list(state, node, depth);
    } else {
        node->kind = NODE_MAP;
        code = read_map(state, node, depth);
    }
    if (code != ERROR_NONE)
        node_free(node);
    return code;
}

/* Reads events up to the one that starts the document's content. */
static int skip_to_content(struct reading_state *state, yaml_event_t *event)
{
    for (;;) {
        int code = next_event(state, event);
        if (code != ERROR_NONE)
            return code;
        if (event->type == YAML_STREAM_END_EVENT) {
            yaml_mark_t mark = event->start_mark;
            yaml_event_delete(event);
            return fail_at(state, mark, "the file is empty; a setup begins with 'setup: NAME'");
        }
        if (event->type != YAML_STREAM_START_EVENT && event->type != YAML_DOCUMENT_START_EVENT)
            return ERROR_NONE;
        yaml_event_delete(event);
    }
}

/* Nothing may follow the document. */
static int expect_end(struct reading_state *state)
{
    for (;;) {
        yaml_event_t event;
        int code = next_event(state, &event);
        if (code != ERROR_NONE)
            return code;
        yaml_event_type_t type = event.type;
        yaml_mark_t mark = event.start_mark;
        yaml_event_delete(&event);
        if (type == YAML_STREAM_END_EVENT)
            return ERROR_NONE;
        if (type != YAML_DOCUMENT_END_EVENT)
            return fail_at(state, mark, "a second document begins; one file holds one setup");
    }
}

int yaml_tree_read(struct node *root, const char *name, const char *bytes, size_t length,
                   struct error *error)
{
    struct reading_state state = {.name = name, .error = error};
    yaml_event_t event;
    *root = (struct node){0};
    if (length > YAML_TREE_SIZE)
        return error_set(error, ERROR_INPUT, "%s: larger than 1 MiB; that is no setup file", name);
    if (!yaml_parser_initialize(&state.parser))
        return error_memory(error);
    yaml_parser_set_input_string(&state.parser, (const unsigned char *)bytes, length);
    int code = skip_to_content(&state, &event);
    if (code == ERROR_NONE) {
        code = read_node(&state, &event, root, 0);
        yaml_event_delete(&event);
    }
    if (code == ERROR_NONE) {
        code = expect_end(&state);
        if (code != ERROR_NONE)
            yaml_tree_free(root);
    }
    yaml_parser_delete(&state.parser);
    return code;
}

const struct node *node_get(const struct node *map, const char *key)
{
    for (size_t i = 0; map->kind == NODE_MAP && i < map->count; i++)
        if (strcmp(map->keys[i], key) == 0)
            return &map->items[i];
    return NULL;
}
