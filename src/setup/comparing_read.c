/* Reading the condition `compare`. */
#include "base/array.h"
#include "base/words.h"
#include "setup/setup_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double largest = 1e12; /* of a number to compare with */

static int find_comparable(const struct source *source, const struct node *node, const char *key,
                           const char *name, const struct comparable **found)
{
    const char *names[64];
    size_t count = 0;
    *found = comparable_find(name);
    if (*found != NULL)
        return ERROR_NONE;
    for (const struct comparable *row = comparables; comparable_name(row) != NULL; row++)
        names[count++] = comparable_name(row);
    const char *near = nearest_word(name, names, count);
    return value_fail_because(source, ERROR_REASON_NO_MEASURE, node, key,
                              "there is no value '%.60s'%s%s%s; open, high, low, close, volume and "
                              "the measures are allowed",
                              name, near ? " (did you mean " : "", near ? near : "",
                              near ? "?)" : "");
}

/* What stands below a value's name: its numbers, and where it is read. */
static int read_side_numbers(const struct source *source, const struct node *node, const char *key,
                             struct compare_side *side)
{
    static const char *const others[] = {"bars_ago", "of", "interval"};
    const struct node *ago = node_get(node, "bars_ago");
    const struct node *of = node_get(node, "of");
    const struct node *interval = node_get(node, "interval");
    const char *name = NULL;
    char path[200];
    int code = value_parameters(source, node, key, comparable_parameters(side->what), false, others,
                                3, side->values, NULL);
    snprintf(path, sizeof path, "%.180s: bars_ago", key);
    if (ago != NULL)
        code = worse_code(code, value_whole(source, ago, path, 0, 10000, &side->bars_ago));
    snprintf(path, sizeof path, "%.180s: interval", key);
    if (interval != NULL)
        code = worse_code(code, value_interval(source, interval, path, &side->interval));
    snprintf(path, sizeof path, "%.180s: of", key);
    if (of == NULL)
        return code;
    int named = value_string(source, of, path, &name);
    if (named == ERROR_NONE && !instrument_name_allowed(name))
        named = value_fail(source, of, path, "found '%.60s'; %s is allowed", name,
                           instrument_name_rule);
    if (named == ERROR_NONE && (side->of = string_copy(name)) == NULL)
        named = error_memory(source->error);
    return worse_code(code, named);
}

/* `close`, `100` where a number is allowed, or `average: {bars: 50}` in a map. */
static int read_side(const struct source *source, const struct node *node, const char *key,
                     bool number, struct compare_side *side)
{
    char found[100];
    char path[200];
    if (node->kind == NODE_SCALAR) {
        if (number && strspn(node->text, "+-.0123456789") > 0)
            return value_number(source, node, key, -largest, largest, &side->number);
        int code = find_comparable(source, node, key, node->text, &side->what);
        if (code == ERROR_NONE)
            parameter_defaults(comparable_parameters(side->what), side->values);
        return code;
    }
    if (node->kind != NODE_MAP || node->count != 1)
        return value_fail(source, node, key,
                          "found %s; one value, such as 'close' or '{average: {bars: 50}}'%s, is "
                          "allowed",
                          node->kind == NODE_MAP ? "several keys"
                                                 : node_shown(node, found, sizeof found),
                          number ? ", or a number" : "");
    int code = find_comparable(source, node, key, node->keys[0], &side->what);
    if (code != ERROR_NONE)
        return code;
    parameter_defaults(comparable_parameters(side->what), side->values);
    snprintf(path, sizeof path, "%s: %s", key, node->keys[0]);
    return read_side_numbers(source, &node->items[0], path, side);
}

/* The one key that says how: *way is its place among the words. */
static int find_way(const struct source *source, const struct node *node, enum compare_way *way)
{
    size_t found = 0;
    for (size_t i = 0; i < 6; i++) {
        if (node_get(node, compare_way_words[i]) == NULL)
            continue;
        *way = (enum compare_way)i;
        found++;
    }
    if (found == 1)
        return ERROR_NONE;
    return value_fail(source, node, "compare",
                      "found %s; one of above, below, crosses_above, crosses_below, rises_for and "
                      "falls_for is needed",
                      found == 0 ? "none of them" : "several of them");
}

static int read_by(const struct source *source, const struct node *node, struct compare_rule *rule)
{
    static const bool allowed[][5] = {
        /*                          -     by    atr    per cent ticks */
        [COMPARABLE_PRICE] = {true, true, true, true, true},
        [COMPARABLE_LENGTH] = {true, true, true, true, true},
        [COMPARABLE_DIFFERENCE] = {true, true, true, false, true},
        [COMPARABLE_SLOPE] = {true, true, false, false, false},
        [COMPARABLE_SLOPE_T] = {true, true, false, false, false},
        [COMPARABLE_HUNDRED] = {true, true, false, false, false},
        [COMPARABLE_SHARE] = {true, true, false, false, false},
        [COMPARABLE_VOLUME] = {true, true, false, true, false},
    };
    for (size_t i = BY_UNITS; i <= BY_TICKS; i++) {
        const struct node *by = node_get(node, compare_by_words[i]);
        char path[60];
        if (by == NULL)
            continue;
        snprintf(path, sizeof path, "compare: %s", compare_by_words[i]);
        if (rule->by_unit != BY_NOTHING)
            return value_fail(source, by, path, "stands beside %s; one is allowed",
                              compare_by_words[rule->by_unit]);
        if (compare_has_run(rule))
            return value_fail(source, by, path, "does not go with %s",
                              compare_way_words[rule->way]);
        if (!allowed[rule->value.what->kind][i])
            return value_fail(source, by, path, "does not go with %s%s",
                              comparable_name(rule->value.what),
                              rule->value.what->kind == COMPARABLE_VOLUME
                                  ? "; by and by_percent do"
                                  : "; by does, in its own units");
        if (i == BY_TICKS && rule->value.of != NULL)
            return value_fail(source, by, path,
                              "ticks are those of the setup's own instrument, and the value is of "
                              "'%s'; by, by_atr and by_percent go with it",
                              rule->value.of);
        rule->by_unit = (enum compare_by)i;
        int code = value_number(source, by, path, 0, largest, &rule->by);
        if (code != ERROR_NONE)
            return code;
        if (rule->by == 0)
            return value_fail(source, by, path, "found 0, which has no effect; leave it out");
    }
    return ERROR_NONE;
}

/* What the two sides must have in common. */
static int check_sides(const struct source *source, const struct node *node,
                       const struct compare_rule *rule)
{
    const struct compare_side *value = &rule->value;
    const struct compare_side *other = &rule->other;
    if (other->what == NULL)
        return ERROR_NONE;
    if (value->what->kind != other->what->kind)
        return value_fail(source, node, "compare",
                          "%s and %s are different kinds of value and cannot be compared",
                          comparable_name(value->what), comparable_name(other->what));
    bool same_of = value->of == NULL ? other->of == NULL
                                     : other->of != NULL && strcmp(value->of, other->of) == 0;
    if (value->what == other->what && value->bars_ago == other->bars_ago && same_of &&
        interval_equal(value->interval, other->interval) &&
        memcmp(value->values, other->values,
               parameter_count(comparable_parameters(value->what)) * sizeof(double)) == 0)
        return value_fail(source, node, "compare",
                          "both sides are the same value; one must differ");
    return ERROR_NONE;
}

static int read_rule(const struct source *source, const struct node *node,
                     struct compare_rule *rule)
{
    static const char *const known[] = {"value",         "above",      "below",     "crosses_above",
                                        "crosses_below", "rises_for",  "falls_for", "by",
                                        "by_atr",        "by_percent", "by_ticks",  "interval",
                                        "within"};
    char path[60];
    int code = value_keys(source, node, "compare", known, 13);
    const struct node *value = node_get(node, "value");
    if (code != ERROR_NONE && node->kind != NODE_MAP)
        return code;
    int read = value == NULL ? value_fail(source, node, "compare: value",
                                          "is missing; a value such as 'close' or '{rsi: {length: "
                                          "14}}' is needed")
                             : read_side(source, value, "compare: value", false, &rule->value);
    int found = find_way(source, node, &rule->way);
    code = worse_code(code, worse_code(read, found));
    if (found != ERROR_NONE)
        return code;
    const struct node *other = node_get(node, compare_way_words[rule->way]);
    snprintf(path, sizeof path, "compare: %s", compare_way_words[rule->way]);
    code = worse_code(code, compare_has_run(rule)
                                ? value_whole(source, other, path, 1, 1000, &rule->run)
                                : read_side(source, other, path, true, &rule->other));
    if (code == ERROR_NONE)
        code = check_sides(source, node, rule);
    return code == ERROR_NONE ? read_by(source, node, rule) : code;
}

int read_compare(const struct source *source, const struct node *node, struct criterion *criterion)
{
    struct compare_rule *rule = calloc(1, sizeof *rule);
    if (rule == NULL)
        return error_memory(source->error);
    criterion->compare = rule;
    int code = read_rule(source, node, rule);
    if (code != ERROR_NONE)
        return code;
    bool placed = rule->value.of != NULL || rule->value.interval.unit != INTERVAL_NONE ||
                  rule->other.of != NULL || rule->other.interval.unit != INTERVAL_NONE;
    if (placed && node_get(node, "interval") != NULL)
        return value_fail(source, node_get(node, "interval"), "compare: interval",
                          "stands beside values with an interval or instrument of their own; "
                          "give each value its interval");
    /* Below is above on negated prices, and is read there. */
    bool down = rule->way == WAY_BELOW || rule->way == WAY_CROSSES_BELOW ||
                rule->way == WAY_FALLS_FOR;
    criterion->mirrored = down && comparable_turns(rule->value.what->kind);
    if (criterion->mirrored)
        compare_turn(rule);
    return compare_describe(rule) ? ERROR_NONE : error_memory(source->error);
}
