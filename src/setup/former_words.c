/* A setup in the words that setups were once written in. */
#include "setup/setup_parts.h"

#include "base/array.h"
#include "base/former.h"

#include <stdlib.h>
#include <string.h>

/* Keys whose own value is a name of somebody's, whatever word it is. */
static bool holds_a_name(const char *key)
{
    static const char *const keys[] = {"setup", "title", "family", "mirror_of", "kind", "of"};
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++)
        if (strcmp(keys[i], key) == 0)
            return true;
    return false;
}

/* Puts a word in the place of a former one; in a file it is a fault too, and the rest
 * of it is looked at as if it were mended. */
static int put_word(const struct source *source, const struct node *node, const char *key,
                    const char *now, char **word, bool kept)
{
    int code = kept ? ERROR_NONE
                    : value_fail(source, node, key, "is a former word; write %s instead", now);
    char *copy = string_copy(now);
    if (copy == NULL)
        return error_memory(source->error);
    free(*word);
    *word = copy;
    return code;
}

/* Puts the present word in the place of a former one where the setup was kept
 * in a book; of a file it is an error. */
static int bring_up(const struct source *source, const struct node *node, char **word, bool kept)
{
    const char *now = former_word(FORMER_SETUP, *word);
    return now != NULL ? put_word(source, node, *word, now, word, kept) : ERROR_NONE;
}

/* The same of the length of bars, of which the unit is the word. */
static int bring_up_interval(const struct source *source, struct node *node, bool kept)
{
    struct interval interval;
    char now[INTERVAL_TEXT_SIZE];
    if (interval_parse(node->text, &interval) || !interval_parse_kept(node->text, &interval))
        return ERROR_NONE;
    interval_format(now, interval);
    return put_word(source, node, node->text, now, &node->text, kept);
}

int bring_up_words(const struct source *source, struct node *node, bool kept)
{
    int code = ERROR_NONE;
    if (node->kind == NODE_SCALAR)
        return bring_up(source, node, &node->text, kept);
    for (size_t i = 0; code != ERROR_MACHINE && i < node->count; i++) {
        struct node *item = &node->items[i];
        if (node->kind == NODE_MAP)
            code = worse_code(code, bring_up(source, item, &node->keys[i], kept));
        if (node->kind == NODE_MAP && item->kind == NODE_SCALAR &&
            strcmp(node->keys[i], "interval") == 0)
            code = worse_code(code, bring_up_interval(source, item, kept));
        if (code != ERROR_MACHINE &&
            (node->kind != NODE_MAP || item->kind != NODE_SCALAR || !holds_a_name(node->keys[i])))
            code = worse_code(code, bring_up_words(source, item, kept));
    }
    return code;
}
