/* Reading lists of conditions. */
#include "base/array.h"
#include "base/words.h"
#include "setup/setup_parts.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void criteria_free(struct criteria *criteria)
{
    for (size_t i = 0; i < criteria->count; i++) {
        struct criterion *criterion = &criteria->list[i];
        struct criteria parts = {criterion->parts, criterion->part_count};
        criteria_free(&parts);
        free(criterion->word);
        compare_free(criterion->compare);
    }
    free(criteria->list);
    *criteria = (struct criteria){0};
}

static const struct condition *find_condition(const struct source *source, const struct node *node,
                                              const char *key, const char *name, bool *mirrored)
{
    const char *names[128];
    size_t count = 0;
    const struct condition *found = condition_find(name, mirrored);
    if (found != NULL)
        return found;
    for (const struct condition *row = conditions; row->name != NULL; row++) {
        names[count++] = row->name;
        if (row->mirror_name != NULL)
            names[count++] = row->mirror_name;
    }
    names[count++] = "any";
    names[count++] = "not";
    char hint[WORD_HINT_SIZE];
    value_fail_because(source, ERROR_REASON_NO_CONDITION, node, key, "unknown condition '%.60s'%s",
                       name, word_hint(hint, name, names, count));
    return NULL;
}

/* Contradictions between a condition's own numbers. */
static int check_condition(const struct source *source, const struct node *node, const char *key,
                           const struct criterion *criterion)
{
    const struct parameter *rows = criterion->condition->parameters;
    size_t fast = parameter_find(rows, "fast", 0);
    size_t slow = parameter_find(rows, "slow", 0);
    if (slow < parameter_count(rows) && criterion->values[fast] >= criterion->values[slow])
        return value_fail(source, node, key, "fast is %g and slow is %g; fast must be shorter",
                          criterion->values[fast], criterion->values[slow]);
    return ERROR_NONE;
}

static int read_condition(const struct source *source, const struct node *node,
                          const struct node *numbers, const char *name, struct criterion *criterion)
{
    static const char *const others[] = {"interval", "within"};
    criterion->kind = CRITERION_CONDITION;
    criterion->condition = find_condition(source, node, "conditions", name, &criterion->mirrored);
    if (criterion->condition == NULL)
        return ERROR_INPUT;
    parameter_defaults(criterion->condition->parameters, criterion->values);
    bool compare = condition_is_compare(criterion->condition);
    if (numbers == NULL && compare)
        return value_fail(source, node, name, "value: is missing");
    if (numbers == NULL)
        return parameter_find(criterion->condition->parameters, "kind", 0) <
                       parameter_count(criterion->condition->parameters)
                   ? value_fail(source, node, name, "kind: is missing")
                   : ERROR_NONE;
    int code = compare ? read_compare(source, numbers, criterion)
                       : value_parameters(source, numbers, name, criterion->condition->parameters,
                                          criterion->mirrored, others, 2, criterion->values,
                                          &criterion->word);
    const struct node *interval = node_get(numbers, "interval");
    const struct node *within = node_get(numbers, "within");
    if (interval != NULL)
        code = worse_code(code, value_interval(source, interval, name, &criterion->interval));
    if (within != NULL)
        code = worse_code(code, value_whole(source, within, name, 0, 1000, &criterion->within));
    return code == ERROR_NONE ? check_condition(source, node, name, criterion) : code;
}

/* `any: [ … ]` and `not: { … }`. */
static int read_group(const struct source *source, const struct node *value, const char *word,
                      struct criterion *criterion)
{
    struct criteria parts = {0};
    criterion->kind = strcmp(word, "any") == 0 ? CRITERION_ANY : CRITERION_NOT;
    int code = ERROR_NONE;
    if (criterion->kind == CRITERION_ANY) {
        code = read_criteria(source, value, word, &parts);
        if (code == ERROR_NONE && parts.count == 0)
            code = value_fail(source, value, word, "the list is empty; at least one is needed");
    } else {
        parts.list = calloc(1, sizeof *parts.list);
        if (parts.list == NULL)
            return error_memory(source->error);
        parts.count = 1;
        code = read_criterion(source, value, word, &parts.list[0]);
    }
    criterion->parts = parts.list;
    criterion->part_count = parts.count;
    return code;
}

int read_criterion(const struct source *source, const struct node *node, const char *key,
                   struct criterion *criterion)
{
    char found[100];
    *criterion = (struct criterion){0};
    if (node->kind == NODE_SCALAR)
        return read_condition(source, node, NULL, node->text, criterion);
    if (node->kind != NODE_MAP || node->count != 1)
        return value_fail(source, node, key,
                          "found %s; one condition with its numbers, such as "
                          "'lowest_low: {bars: 10}', is allowed",
                          node->kind == NODE_MAP ? "several keys"
                                                 : node_shown(node, found, sizeof found));
    const char *word = node->keys[0];
    const struct node *value = &node->items[0];
    if (strcmp(word, "any") == 0 || strcmp(word, "not") == 0)
        return read_group(source, value, word, criterion);
    return read_condition(source, value, value, word, criterion);
}

/* --- other instruments ------------------------------------------------------- */

static size_t add_other(const struct compare_side *side, struct interval own,
                        struct setup_other *others, size_t count)
{
    if (side->of == NULL)
        return count;
    struct interval asked = side->interval.unit != INTERVAL_NONE ? side->interval : own;
    for (size_t i = 0; i < count && i < SETUP_OTHERS; i++)
        if (strcmp(others[i].name, side->of) == 0 && interval_equal(others[i].interval, asked))
            return count;
    if (count < SETUP_OTHERS)
        others[count] = (struct setup_other){side->of, asked};
    return count + 1;
}

static size_t add_others(const struct criterion *list, size_t length, struct interval own,
                         struct setup_other *others, size_t count)
{
    for (size_t i = 0; i < length; i++) {
        count = add_others(list[i].parts, list[i].part_count, own, others, count);
        if (list[i].compare == NULL)
            continue;
        count = add_other(&list[i].compare->value, own, others, count);
        count = add_other(&list[i].compare->other, own, others, count);
    }
    return count;
}

size_t setup_others(const struct setup *setup, struct setup_other others[SETUP_OTHERS])
{
    size_t count = add_others(setup->place.list, setup->place.count, setup->interval, others, 0);
    count = add_others(setup->confirm.list, setup->confirm.count, setup->interval, others, count);
    return add_others(setup->exit.when.list, setup->exit.when.count, setup->interval, others,
                      count);
}

/* --- lengths in ticks ------------------------------------------------------------ */

static bool any_in_ticks(const struct criteria *criteria);

static bool is_in_ticks(const struct criterion *criterion)
{
    const struct compare_rule *rule = criterion->compare;
    const struct criteria parts = {criterion->parts, criterion->part_count};
    return (rule != NULL && rule->by_unit == BY_TICKS && rule->by != 0) || any_in_ticks(&parts);
}

static bool any_in_ticks(const struct criteria *criteria)
{
    for (size_t i = 0; i < criteria->count; i++)
        if (is_in_ticks(&criteria->list[i]))
            return true;
    return false;
}

bool setup_counts_ticks(const struct setup *setup)
{
    return setup->entry.buffer.ticks > 0 || setup->stop.buffer.ticks > 0 ||
           any_in_ticks(&setup->place) || any_in_ticks(&setup->confirm) ||
           any_in_ticks(&setup->exit.when);
}

int read_criteria(const struct source *source, const struct node *node, const char *key,
                  struct criteria *criteria)
{
    char found[100];
    if (node->kind == NODE_NOTHING)
        return ERROR_NONE;
    if (node->kind != NODE_LIST)
        return value_fail(source, node, key, "found %s; a list of conditions is allowed",
                          node_shown(node, found, sizeof found));
    criteria->list = calloc(node->count > 0 ? node->count : 1, sizeof *criteria->list);
    if (criteria->list == NULL)
        return error_memory(source->error);
    int code = ERROR_NONE;
    for (size_t i = 0; i < node->count; i++) {
        /* Counted first, so that a half-read one is freed too. */
        criteria->count = i + 1;
        code = worse_code(code, read_criterion(source, &node->items[i], key, &criteria->list[i]));
    }
    return code;
}
