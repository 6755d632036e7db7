/* Reading a setup from its document. */
#include "base/array.h"
#include "base/words.h"
#include "setup/setup_parts.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void setup_free(struct setup *setup)
{
    free(setup->name);
    free(setup->title);
    free(setup->family);
    criteria_free(&setup->place);
    criteria_free(&setup->confirm);
    criteria_free(&setup->exit.when);
    *setup = (struct setup){0};
}

size_t setup_fall_bars(const struct setup *setup)
{
    enum { OTHER_FALL_BARS = 60 };
    const struct entry_rule *rule = &setup->entry;
    bool own_fall = rule->entry->kind == ENTRY_RETEST && rule->retest_of == RETEST_RETRACEMENT;
    return own_fall ? (size_t)rule->values[RETEST_BARS] : OTHER_FALL_BARS;
}

size_t setup_longest_shape(const struct setup *setup)
{
    size_t longest = 0;
    for (size_t i = 0; i < setup->candle_count; i++)
        if (setup->candles[i].shape->bars > longest)
            longest = setup->candles[i].shape->bars;
    return longest;
}

static int copy_text(const struct source *source, const struct node *node, const char *key,
                     char **copy)
{
    const char *text = NULL;
    int code = value_string(source, node, key, &text);
    if (code != ERROR_NONE)
        return code;
    free(*copy);
    *copy = string_copy(text);
    return *copy != NULL ? ERROR_NONE : error_memory(source->error);
}

static int read_name(const struct source *source, const struct node *node, const char *key,
                     char **name)
{
    int code = copy_text(source, node, key, name);
    if (code != ERROR_NONE)
        return code;
    /* A mirror's name is longer by what setup_mirror puts behind it. */
    static const char suffix[] = "-mirrored";
    size_t length = strlen(*name);
    size_t end = sizeof suffix - 1;
    size_t most = length > end && strcmp(*name + length - end, suffix) == 0 ? 60 + end : 60;
    if (length == 0 || length > most ||
        strspn(*name, "abcdefghijklmnopqrstuvwxyz0123456789-") != length)
        return value_fail(source, node, key,
                          "found '%.80s'; a name of a-z, 0-9 and -, at most 60 long, is allowed",
                          *name);
    return ERROR_NONE;
}

/* --- candle ------------------------------------------------------------------ */

static int unknown_shape(const struct source *source, const struct node *node, const char *name)
{
    const char *names[128];
    size_t count = 0;
    for (const struct shape *row = shapes; row->name != NULL; row++) {
        names[count++] = row->name;
        if (row->mirror_name != NULL)
            names[count++] = row->mirror_name;
    }
    char hint[WORD_HINT_SIZE];
    return value_fail_because(source, ERROR_REASON_NO_SHAPE, node, "candle: shape",
                              "unknown shape '%.60s'%s", name, word_hint(hint, name, names, count));
}

static int read_shape(const struct source *source, const struct node *node,
                      const struct node *limits, struct setup *setup)
{
    const char *name = NULL;
    struct shape_choice *choice = &setup->candles[setup->candle_count];
    int code = value_string(source, node, "candle: shape", &name);
    if (code != ERROR_NONE)
        return code;
    if (!shape_find(name, choice))
        return unknown_shape(source, node, name);
    if (!shape_suits(choice, setup->side == SIDE_SHORT)) {
        choice->mirrored = !choice->mirrored;
        return wrong_side(source, node, "candle: shape", setup->side, name, shape_name(choice));
    }
    setup->candle_count++;
    if (limits == NULL)
        return ERROR_NONE;
    return value_parameters(source, limits, "candle: limits", choice->shape->limits,
                            choice->mirrored, NULL, 0, choice->limits, NULL);
}

/* An item of any_of: a shape's name, or {shape, limits}. */
static int read_candle_item(const struct source *source, const struct node *node,
                            struct setup *setup)
{
    static const char *const known[] = {"shape", "limits"};
    if (node->kind != NODE_MAP)
        return read_shape(source, node, NULL, setup);
    int code = value_keys(source, node, "candle", known, 2);
    const struct node *shape = node_get(node, "shape");
    if (shape == NULL)
        return value_fail(source, node, "candle: shape", "is missing");
    return worse_code(code, read_shape(source, shape, node_get(node, "limits"), setup));
}

static int read_candle(const struct source *source, const struct node *node, struct setup *setup)
{
    static const char *const known[] = {"shape", "limits", "any_of"};
    const struct node *any_of = node_get(node, "any_of");
    if (any_of == NULL && node->kind != NODE_MAP)
        return value_keys(source, node, "candle", known, 3);
    if (any_of == NULL)
        return read_candle_item(source, node, setup);
    int code = value_keys(source, node, "candle", known, 3);
    if (node->count != 1)
        return value_fail(source, node, "candle",
                          "any_of stands alone; limits go inside each of its items");
    if (any_of->kind != NODE_LIST || any_of->count == 0 || any_of->count > CANDLE_CHOICES)
        return value_fail(source, any_of, "candle: any_of", "a list of 1 to %d shapes is allowed",
                          CANDLE_CHOICES);
    setup->candle_any_of = true;
    for (size_t i = 0; i < any_of->count; i++)
        code = worse_code(code, read_candle_item(source, &any_of->items[i], setup));
    return code;
}

/* --- confirm, costs ---------------------------------------------------------- */

static int check_length(const struct source *source, const struct node *list, const char *key,
                        size_t most)
{
    if (list->kind != NODE_LIST || list->count <= most)
        return ERROR_NONE;
    return value_fail(source, list, key,
                      "found %zu conditions; at most %zu are allowed (several in one `any` count "
                      "as one)",
                      list->count, most);
}

static int read_confirm(const struct source *source, const struct node *node, struct setup *setup)
{
    static const char *const known[] = {"at_least", "wait", "of"};
    int code = value_keys(source, node, "confirm", known, 3);
    const struct node *of = node_get(node, "of");
    const struct node *at_least = node_get(node, "at_least");
    const struct node *wait = node_get(node, "wait");
    if (wait != NULL)
        code = worse_code(code, value_whole(source, wait, "confirm: wait", 0, 1000,
                                            &setup->confirm_wait));
    if (of == NULL || of->kind != NODE_LIST || of->count == 0)
        return value_fail(source, of != NULL ? of : node, "confirm: of",
                          "a list of at least one condition is needed");
    code = worse_code(code, check_length(source, of, "confirm: of", CONFIRM_LIMIT));
    code = worse_code(code, read_criteria(source, of, "confirm: of", &setup->confirm));
    setup->confirm_at_least = setup->confirm.count;
    if (at_least != NULL)
        code = worse_code(code, value_whole(source, at_least, "confirm: at_least", 1,
                                            (double)of->count, &setup->confirm_at_least));
    return code;
}

static int read_costs(const struct source *source, const struct node *node, struct setup *setup)
{
    double *values[] = {&setup->costs.spread,
                        &setup->costs.slippage,
                        &setup->costs.commission_per_unit,
                        &setup->costs.commission_percent,
                        &setup->costs.commission_per_trade,
                        &setup->costs.financing_percent_year};
    int code = value_keys(source, node, "costs", cost_words, 6);
    for (size_t i = 0; i < 6; i++) {
        const struct node *value = node_get(node, cost_words[i]);
        char path[60];
        snprintf(path, sizeof path, "costs: %s", cost_words[i]);
        if (value != NULL)
            code = worse_code(code, value_number(source, value, path, 0,
                                                 i == 5 || i == 3 ? 100 : 1e9, values[i]));
        if (i == 4 && setup->costs.commission_per_trade > 0)
            code = value_fail(source, value, path,
                              "a commission per trade needs a size, which a study in R has not; "
                              "it must be 0 here (use commission_per_unit or commission_percent)");
    }
    setup->costs_given = true;
    return code;
}

/* --- the whole ---------------------------------------------------------------- */

static int read_choices(const struct source *source, const struct node *root, struct setup *setup)
{
    const struct node *same_bar = node_get(root, "same_bar");
    const struct node *overlap = node_get(root, "overlap");
    const struct node *worth = node_get(root, "least_mean_r");
    const struct node *interval = node_get(root, "interval");
    size_t index = 0;
    int code = ERROR_NONE;
    if (same_bar != NULL) {
        code = value_word(source, same_bar, "same_bar", same_bar_words, 4, &index);
        setup->same_bar = (enum same_bar_rule)index;
    }
    index = 0;
    if (overlap != NULL) {
        code = worse_code(code, value_word(source, overlap, "overlap", overlap_words, 2, &index));
        setup->overlap = (enum overlap_rule)index;
    }
    if (worth != NULL)
        code = worse_code(code, value_number(source, worth, "least_mean_r", 0, 1000,
                                             &setup->least_mean_r));
    if (interval != NULL)
        code = worse_code(code, value_interval(source, interval, "interval", &setup->interval));
    return code;
}

int read_names(const struct source *source, const struct node *root, struct setup *setup)
{
    const struct node *name = node_get(root, "setup");
    const struct node *title = node_get(root, "title");
    const struct node *family = node_get(root, "family");
    int code = name != NULL ? read_name(source, name, "setup", &setup->name) : ERROR_NONE;
    if (title != NULL)
        code = worse_code(code, copy_text(source, title, "title", &setup->title));
    if (family != NULL)
        code = worse_code(code, read_name(source, family, "family", &setup->family));
    return code;
}

/* Title and family where the file does not say them. */
static int default_names(const struct source *source, struct setup *setup)
{
    if (setup->title == NULL)
        setup->title = string_copy(setup->name);
    if (setup->family == NULL)
        setup->family = string_copy(shape_name(&setup->candles[0]));
    return setup->title != NULL && setup->family != NULL ? ERROR_NONE : error_memory(source->error);
}

/* The side that the first row of a setup that does not say it, or says it wrongly,
 * seems to be of: what else is wrong with the file can still be told. */
static enum setup_side guess_side(const struct node *root)
{
    struct shape_choice choice;
    const struct node *candle = node_get(root, "candle");
    const struct node *any_of = candle != NULL ? node_get(candle, "any_of") : NULL;
    const struct node *first = any_of != NULL && any_of->kind == NODE_LIST && any_of->count > 0
                                   ? &any_of->items[0]
                                   : candle;
    const struct node *shape = first != NULL ? node_get(first, "shape") : NULL;
    const struct node *entry = node_get(root, "entry");
    const struct node *on = entry != NULL ? node_get(entry, "on") : NULL;
    bool mirrored = false;
    shape = shape == NULL ? first : shape;
    if (shape != NULL && shape->kind == NODE_SCALAR && shape_find(shape->text, &choice))
        return shape_suits(&choice, false) ? SIDE_LONG : SIDE_SHORT;
    if (on != NULL && on->kind == NODE_SCALAR && entry_find(on->text, &mirrored) != NULL)
        return mirrored ? SIDE_SHORT : SIDE_LONG;
    return SIDE_LONG;
}

static int read_side(struct source *source, const struct node *root, struct setup *setup)
{
    const struct node *node = node_get(root, "side");
    size_t side = 0;
    int code = node != NULL ? value_word(source, node, "side", side_words, 2, &side) : ERROR_NONE;
    source->side_guessed = node == NULL || code != ERROR_NONE;
    setup->side = source->side_guessed ? guess_side(root) : (enum setup_side)side;
    return code;
}

/* Each part that is there, as far as it can be read. */
static int read_rules(const struct source *given, const struct node *root, struct setup *setup)
{
    struct source source = *given;
    const struct node *candle = node_get(root, "candle");
    const struct node *place = node_get(root, "place");
    const struct node *confirm = node_get(root, "confirm");
    const struct node *entry = node_get(root, "entry");
    const struct node *stop = node_get(root, "stop");
    const struct node *exit = node_get(root, "exit");
    const struct node *costs = node_get(root, "costs");
    int code = read_side(&source, root, setup);
    if (candle != NULL)
        code = worse_code(code, read_candle(&source, candle, setup));
    if (place != NULL) {
        code = worse_code(code, check_length(&source, place, "place", PLACE_LIMIT));
        code = worse_code(code, read_criteria(&source, place, "place", &setup->place));
    }
    if (confirm != NULL)
        code = worse_code(code, read_confirm(&source, confirm, setup));
    if (entry != NULL)
        code = worse_code(code, read_entry_rule(&source, entry, setup));
    if (stop != NULL)
        code = worse_code(code, read_stop_rule(&source, stop, setup));
    if (exit != NULL)
        code = worse_code(code, read_exit_rule(&source, exit, setup));
    return costs != NULL ? worse_code(code, read_costs(&source, costs, setup)) : code;
}

int read_plain(const struct source *source, const struct node *root, struct setup *setup)
{
    static const char *const known[] = {"setup",    "title",   "family",       "side",
                                        "interval", "candle",  "place",        "confirm",
                                        "entry",    "stop",    "exit",         "costs",
                                        "same_bar", "overlap", "least_mean_r", "mirror_of"};
    static const char *const needed[] = {"setup", "side", "candle", "entry", "stop", "exit"};
    int code = value_keys(source, root, "setup file", known, 16);
    for (size_t i = 0; i < 6; i++)
        if (node_get(root, needed[i]) == NULL)
            code = value_fail(
                source, root, needed[i],
                "the key is missing; a setup needs setup, side, candle, entry, stop, exit");
    code = worse_code(code, read_names(source, root, setup));
    code = worse_code(code, read_rules(source, root, setup));
    code = worse_code(code, read_choices(source, root, setup));
    struct setup_other others[SETUP_OTHERS];
    if (setup_others(setup, others) > SETUP_OTHERS)
        code = value_fail(source, root, "setup file",
                          "its conditions read more than %d other instruments; at most %d are "
                          "allowed",
                          SETUP_OTHERS, SETUP_OTHERS);
    return code == ERROR_NONE ? default_names(source, setup) : code;
}
