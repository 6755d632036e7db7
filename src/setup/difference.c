#include "setup/difference.h"

#include "base/text.h"
#include "setup/setup_parts.h"
#include "setup/yaml_tree.h"

#include <stdbool.h>
#include <string.h>

struct comparing {
    difference_take *take;
    void *context;
    struct error *error;
};

/* --- what is written ------------------------------------------------------------ */

static void write_node(struct text *text, const struct node *node)
{
    const char *separator = "";
    switch (node->kind) {
    case NODE_NOTHING: return;
    case NODE_SCALAR: text_append(text, node->text); return;
    case NODE_LIST: text_append_char(text, '['); break;
    case NODE_MAP: text_append_char(text, '{'); break;
    }
    for (size_t i = 0; i < node->count; i++) {
        text_append(text, separator);
        if (node->kind == NODE_MAP)
            text_append_format(text, "%s: ", node->keys[i]);
        write_node(text, &node->items[i]);
        separator = ", ";
    }
    text_append_char(text, node->kind == NODE_LIST ? ']' : '}');
}

static int compare(struct comparing *comparing, const char *part, const struct node *first,
                   const struct node *second);

/* A long node that is missing on one side is handed out by its parts. */
static const struct node *nothing_of(const struct node *node, const struct text *written)
{
    enum { LONG = 60 };
    static const struct node empty_list = {.kind = NODE_LIST};
    static const struct node empty_map = {.kind = NODE_MAP};
    if (written->length <= LONG || node == NULL || node->count == 0)
        return NULL;
    return node->kind == NODE_LIST ? &empty_list : &empty_map;
}

/* A node that is missing on one side, or another kind of node there. */
static int hand_out(struct comparing *comparing, const char *part, const struct node *first,
                    const struct node *second)
{
    struct text a;
    struct text b;
    text_init(&a);
    text_init(&b);
    if (first != NULL)
        write_node(&a, first);
    if (second != NULL)
        write_node(&b, second);
    int code = ERROR_NONE;
    if (text_failed(&a) || text_failed(&b))
        code = error_memory(comparing->error);
    else if (second == NULL && nothing_of(first, &a) != NULL)
        code = compare(comparing, part, first, nothing_of(first, &a));
    else if (first == NULL && nothing_of(second, &b) != NULL)
        code = compare(comparing, part, nothing_of(second, &b), second);
    else
        code = comparing->take(comparing->context, part, first != NULL ? a.bytes : NULL,
                               second != NULL ? b.bytes : NULL, comparing->error);
    text_free(&a);
    text_free(&b);
    return code;
}

/* --- the two trees ---------------------------------------------------------------- */

static int compare_below(struct comparing *comparing, const char *part, const char *name,
                         size_t number, const struct node *first, const struct node *second)
{
    struct text path;
    text_init(&path);
    text_append(&path, part);
    if (path.length > 0 && name[0] != '\0')
        text_append_char(&path, '.');
    text_append(&path, name);
    if (number > 0)
        text_append_format(&path, "%s%zu", path.length > 0 ? "." : "", number);
    int code = text_failed(&path) ? error_memory(comparing->error)
                                  : compare(comparing, path.bytes, first, second);
    text_free(&path);
    return code;
}

static int compare_maps(struct comparing *comparing, const char *part, const struct node *first,
                        const struct node *second)
{
    int code = ERROR_NONE;
    for (size_t i = 0; i < first->count && code == ERROR_NONE; i++)
        code = compare_below(comparing, part, first->keys[i], 0, &first->items[i],
                             node_get(second, first->keys[i]));
    for (size_t i = 0; i < second->count && code == ERROR_NONE; i++)
        if (node_get(first, second->keys[i]) == NULL)
            code = compare_below(comparing, part, second->keys[i], 0, NULL, &second->items[i]);
    return code;
}

/* The name of a criterion, a map of one key with what it asks below it; "" for
 * anything else, such as `at: candle_low`, which its number names. */
static const char *name_of(const struct node *item)
{
    bool one = item->kind == NODE_MAP && item->count == 1 && item->items[0].kind != NODE_SCALAR;
    return one ? item->keys[0] : "";
}

static const struct node *inside(const struct node *item)
{
    return name_of(item)[0] != '\0' ? &item->items[0] : item;
}

/* How many items before `index` have its name. */
static size_t count_before(const struct node *list, size_t index)
{
    size_t count = 0;
    for (size_t i = 0; i < index; i++)
        count += strcmp(name_of(&list->items[i]), name_of(&list->items[index])) == 0;
    return count;
}

/* The item of this name that has `before` others of it before it. */
static const struct node *find_item(const struct node *list, const char *name, size_t before)
{
    for (size_t i = 0; i < list->count; i++)
        if (strcmp(name_of(&list->items[i]), name) == 0 && before-- == 0)
            return inside(&list->items[i]);
    return NULL;
}

static int compare_lists(struct comparing *comparing, const char *part, const struct node *first,
                         const struct node *second)
{
    int code = ERROR_NONE;
    const struct node *lists[] = {first, second};
    for (int side = 0; side < 2; side++) {
        for (size_t i = 0; i < lists[side]->count && code == ERROR_NONE; i++) {
            const char *name = name_of(&lists[side]->items[i]);
            size_t before = count_before(lists[side], i);
            size_t number = name[0] == '\0' || before > 0 ? before + 1 : 0;
            const struct node *own = inside(&lists[side]->items[i]);
            const struct node *other = find_item(lists[1 - side], name, before);
            if (side == 0)
                code = compare_below(comparing, part, name, number, own, other);
            else if (other == NULL)
                code = compare_below(comparing, part, name, number, NULL, own);
        }
    }
    return code;
}

static int compare(struct comparing *comparing, const char *part, const struct node *first,
                   const struct node *second)
{
    if (first == NULL || second == NULL || first->kind != second->kind)
        return hand_out(comparing, part, first, second);
    switch (first->kind) {
    case NODE_MAP: return compare_maps(comparing, part, first, second);
    case NODE_LIST: return compare_lists(comparing, part, first, second);
    case NODE_NOTHING: return ERROR_NONE;
    case NODE_SCALAR: break;
    }
    return strcmp(first->text, second->text) == 0 ? ERROR_NONE
                                                  : hand_out(comparing, part, first, second);
}

/* The setup may have been kept in a book in former words. */
static int read_kept(struct node *root, const char *name, const char *text, struct error *error)
{
    struct source source = {.name = name, .error = error};
    int code = yaml_tree_read(root, name, text, strlen(text), error);
    if (code != ERROR_NONE)
        return code;
    code = bring_up_words(&source, root, true);
    if (code != ERROR_NONE)
        yaml_tree_free(root);
    return code;
}

int setup_differences(const char *first, const char *second, difference_take *take, void *context,
                      struct error *error)
{
    struct comparing comparing = {take, context, error};
    struct node a;
    struct node b;
    int code = read_kept(&a, "the first setup", first, error);
    if (code != ERROR_NONE)
        return code;
    code = read_kept(&b, "the second setup", second, error);
    if (code == ERROR_NONE) {
        code = compare(&comparing, "", &a, &b);
        yaml_tree_free(&b);
    }
    yaml_tree_free(&a);
    return code;
}
