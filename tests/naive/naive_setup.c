/*
 * Reads a legal setup from its YAML text.  Words of a short setup are turned into their long mirror
 * here ("the row applied to negated prices"), but for conditions and shapes, which know themselves
 * which way they look.
 */
#include "naive_internal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <yaml.h>

struct reader {
    yaml_document_t document;
    char *message;
    size_t message_size;
    bool failed;
};

static void fail(struct reader *reader, const char *what, const char *found)
{
    if (!reader->failed && reader->message_size > 0) {
        (void)snprintf(reader->message, reader->message_size, "%s: %.60s", what, found);
    }
    reader->failed = true;
}

/* --- YAML nodes ------------------------------------------------------------------------------*/

static const char *text_of(const yaml_node_t *node)
{
    if (node == NULL || node->type != YAML_SCALAR_NODE) {
        return "";
    }
    return (const char *)node->data.scalar.value;
}

static bool is_mapping(const yaml_node_t *node)
{
    return node != NULL && node->type == YAML_MAPPING_NODE;
}

static bool is_list(const yaml_node_t *node)
{
    return node != NULL && node->type == YAML_SEQUENCE_NODE;
}

static size_t size_of(const yaml_node_t *node)
{
    if (is_mapping(node)) {
        return (size_t)(node->data.mapping.pairs.top - node->data.mapping.pairs.start);
    }
    if (is_list(node)) {
        return (size_t)(node->data.sequence.items.top - node->data.sequence.items.start);
    }
    return 0;
}

static const yaml_node_t *key_at(struct reader *reader, const yaml_node_t *mapping, size_t which)
{
    return yaml_document_get_node(&reader->document, mapping->data.mapping.pairs.start[which].key);
}

static const yaml_node_t *value_at(struct reader *reader, const yaml_node_t *mapping, size_t which)
{
    return yaml_document_get_node(&reader->document,
                                  mapping->data.mapping.pairs.start[which].value);
}

static const yaml_node_t *item_at(struct reader *reader, const yaml_node_t *list, size_t which)
{
    return yaml_document_get_node(&reader->document, list->data.sequence.items.start[which]);
}

static const yaml_node_t *get(struct reader *reader, const yaml_node_t *mapping, const char *key)
{
    if (!is_mapping(mapping)) {
        return NULL;
    }
    for (size_t i = 0; i < size_of(mapping); i++) {
        if (strcmp(text_of(key_at(reader, mapping, i)), key) == 0) {
            return value_at(reader, mapping, i);
        }
    }
    return NULL;
}

/* Fails on a key that is not among `known`, a list of words between blanks. */
static void only_keys(struct reader *reader, const yaml_node_t *mapping, const char *known)
{
    if (!is_mapping(mapping)) {
        return;
    }
    for (size_t i = 0; i < size_of(mapping); i++) {
        char padded[NAIVE_WORD + 3];
        (void)snprintf(padded, sizeof padded, " %.40s ", text_of(key_at(reader, mapping, i)));
        if (strstr(known, padded) == NULL) {
            fail(reader, "unknown key", text_of(key_at(reader, mapping, i)));
        }
    }
}

static bool read_number(const char *text, double *number)
{
    char *rest = NULL;
    *number = strtod(text, &rest);
    return rest != text && *rest == '\0';
}

static double number_or(struct reader *reader, const yaml_node_t *mapping, const char *key,
                        double usual)
{
    const yaml_node_t *node = get(reader, mapping, key);
    double number = NAN;
    if (node == NULL) {
        return usual;
    }
    if (!read_number(text_of(node), &number)) {
        fail(reader, "not a number", key);
    }
    return number;
}

static size_t count_or(struct reader *reader, const yaml_node_t *mapping, const char *key,
                       size_t usual)
{
    double number = number_or(reader, mapping, key, (double)usual);
    if (!(number >= 0.0)) {
        fail(reader, "not a count", key);
        return usual;
    }
    return (size_t)number;
}

static void copy_text(struct reader *reader, char *to, const char *from)
{
    if (strlen(from) >= NAIVE_WORD) {
        fail(reader, "too long", from);
        to[0] = '\0';
        return;
    }
    strcpy(to, from);
}

static void word_or(struct reader *reader, const yaml_node_t *mapping, const char *key,
                    const char *usual, char *to)
{
    const yaml_node_t *node = get(reader, mapping, key);
    copy_text(reader, to, node == NULL ? usual : text_of(node));
}

/* --- words of the two sides ------------------------------------------------------------------*/

struct pair {
    const char *long_word;
    const char *short_word;
};

/* The long word for what a setup of this side says; fails on words of the other side. */
static void long_word(struct reader *reader, const struct pair *pairs, bool short_side,
                      const char *said, char *to)
{
    for (const struct pair *pair = pairs; pair->long_word != NULL; pair++) {
        if (strcmp(short_side ? pair->short_word : pair->long_word, said) == 0) {
            copy_text(reader, to, pair->long_word);
            return;
        }
    }
    to[0] = '\0';
    fail(reader, "unknown word for this side", said);
}

static const struct pair entry_words[] = {{"next_open", "next_open"},
                                          {"break_of_high", "break_of_low"},
                                          {"close_above_high", "close_below_low"},
                                          {"limit_below_close", "limit_above_close"},
                                          {"bullish_candle", "bearish_candle"},
                                          {"swing_high_break", "swing_low_break"},
                                          {"trend_line_break", "trend_line_break"},
                                          {"retest", "retest"},
                                          {NULL, NULL}};

static const struct pair retest_words[] = {{"retracement", "retracement"},
                                           {"trend_line", "trend_line"},
                                           {"swing_high", "swing_low"},
                                           {NULL, NULL}};

static const struct pair stop_words[] = {{"candle_low", "candle_high"},
                                         {"lowest_low", "highest_high"},
                                         {"swing_low", "swing_high"},
                                         {"leg_low", "leg_high"},
                                         {"retracement", "retracement"},
                                         {"lower_of", "higher_of"},
                                         {"atr", "atr"},
                                         {NULL, NULL}};

/* --- conditions ------------------------------------------------------------------------------*/

static void read_condition(struct reader *reader, const yaml_node_t *node,
                           struct condition *condition);

static void read_condition_items(struct reader *reader, const yaml_node_t *list,
                                 struct condition **items, size_t *count)
{
    *count = is_list(list) ? size_of(list) : 0;
    *items = calloc(*count + 1, sizeof **items);
    if (*items == NULL) {
        abort();
    }
    for (size_t i = 0; i < *count; i++) {
        read_condition(reader, item_at(reader, list, i), &(*items)[i]);
    }
}

static void read_condition_words(struct reader *reader, const yaml_node_t *list,
                                 struct condition *condition)
{
    size_t count = is_list(list) ? size_of(list) : 0;
    for (size_t i = 0; i < count && i < NAIVE_MOST; i++) {
        copy_text(reader, condition->words[i], text_of(item_at(reader, list, i)));
        condition->word_count = i + 1;
    }
}

static void read_parameter(struct reader *reader, const yaml_node_t *key, const yaml_node_t *value,
                           struct condition *condition)
{
    const char *name = text_of(key);
    if (strcmp(name, "within") == 0) {
        double within = 0.0;
        if (!read_number(text_of(value), &within) || within < 0.0) {
            fail(reader, "not a count", name);
            return;
        }
        condition->within = (size_t)within;
    } else if (strcmp(name, "interval") == 0) {
        copy_text(reader, condition->interval, text_of(value));
        if (!naive_interval_is_known(condition->interval)) {
            fail(reader, "unknown interval", condition->interval);
        }
    } else if (is_list(value)) {
        read_condition_words(reader, value, condition);
    } else if (condition->parameter_count < NAIVE_MOST) {
        struct parameter *parameter = &condition->parameters[condition->parameter_count++];
        copy_text(reader, parameter->name, name);
        copy_text(reader, parameter->text, text_of(value));
        if (!read_number(parameter->text, &parameter->number)) {
            parameter->number = NAN;
        }
    }
}

static void read_parameters(struct reader *reader, const yaml_node_t *mapping,
                            struct condition *condition)
{
    const char *known = naive_condition_parameters(condition->word);
    char allowed[200];
    if (known == NULL) {
        fail(reader, "unknown condition", condition->word);
        return;
    }
    (void)snprintf(allowed, sizeof allowed, "%s within interval ", known);
    only_keys(reader, mapping, allowed);
    for (size_t i = 0; is_mapping(mapping) && i < size_of(mapping); i++) {
        read_parameter(reader, key_at(reader, mapping, i), value_at(reader, mapping, i), condition);
    }
}

/* A number, a word, or {word: {numbers, bars_ago, of, interval}}. */
static void read_compared(struct reader *reader, const yaml_node_t *node,
                          struct compared_value *value)
{
    const yaml_node_t *inner = NULL;
    if (is_mapping(node) && size_of(node) == 1) {
        copy_text(reader, value->word, text_of(key_at(reader, node, 0)));
        inner = value_at(reader, node, 0);
    } else if (!read_number(text_of(node), &value->number)) {
        copy_text(reader, value->word, text_of(node));
    }
    if (value->word[0] != '\0' && !naive_comparison_knows(value->word)) {
        fail(reader, "unknown value", value->word);
    }
    for (size_t i = 0; is_mapping(inner) && i < size_of(inner); i++) {
        const char *key = text_of(key_at(reader, inner, i));
        const char *text = text_of(value_at(reader, inner, i));
        if (strcmp(key, "of") == 0) {
            copy_text(reader, value->of, text);
        } else if (strcmp(key, "interval") == 0) {
            copy_text(reader, value->interval, text);
        } else if (strcmp(key, "bars_ago") == 0) {
            value->bars_ago = count_or(reader, inner, key, 0);
        } else if (value->parameter_count < 4) {
            struct parameter *parameter = &value->parameters[value->parameter_count++];
            copy_text(reader, parameter->name, key);
            parameter->number = number_or(reader, inner, key, NAN);
        }
    }
}

static void read_comparison(struct reader *reader, const yaml_node_t *mapping,
                            struct condition *condition)
{
    struct comparison *comparison = calloc(1, sizeof *comparison);
    if (comparison == NULL) {
        abort();
    }
    condition->comparison = comparison;
    for (size_t i = 0; is_mapping(mapping) && i < size_of(mapping); i++) {
        const char *key = text_of(key_at(reader, mapping, i));
        const yaml_node_t *node = value_at(reader, mapping, i);
        if (strcmp(key, "value") == 0) {
            read_compared(reader, node, &comparison->value);
        } else if (strcmp(key, "within") == 0 || strcmp(key, "interval") == 0) {
            read_parameter(reader, key_at(reader, mapping, i), node, condition);
        } else if (strncmp(key, "by", 2) == 0) {
            copy_text(reader, comparison->by_unit, key);
            comparison->by = number_or(reader, mapping, key, 0.0);
        } else {
            copy_text(reader, comparison->way, key);
            if (strstr(key, "_for") != NULL) {
                comparison->run = count_or(reader, mapping, key, 0);
            } else {
                read_compared(reader, node, &comparison->other);
            }
        }
    }
}

/* `word: {parameters}`, `any: [ ... ]`, `not: { ... }`, or a bare word. */
static void read_condition(struct reader *reader, const yaml_node_t *node,
                           struct condition *condition)
{
    memset(condition, 0, sizeof *condition);
    if (!is_mapping(node)) {
        copy_text(reader, condition->word, text_of(node));
        read_parameters(reader, NULL, condition);
        return;
    }
    if (size_of(node) != 1) {
        fail(reader, "a condition is one word with its numbers", text_of(node));
        return;
    }
    const yaml_node_t *value = value_at(reader, node, 0);
    copy_text(reader, condition->word, text_of(key_at(reader, node, 0)));
    if (strcmp(condition->word, "any") == 0) {
        read_condition_items(reader, value, &condition->inner, &condition->inner_count);
    } else if (strcmp(condition->word, "not") == 0) {
        condition->inner = calloc(1, sizeof *condition->inner);
        if (condition->inner == NULL) {
            abort();
        }
        condition->inner_count = 1;
        read_condition(reader, value, &condition->inner[0]);
    } else if (strcmp(condition->word, "compare") == 0) {
        read_comparison(reader, value, condition);
    } else {
        read_parameters(reader, value, condition);
    }
}

/* --- the parts of a setup --------------------------------------------------------------------*/

static void read_shape(struct reader *reader, const char *name, const yaml_node_t *limits,
                       bool short_side, struct shape_use *use)
{
    copy_text(reader, use->shape, name);
    enum shape_side side = naive_shape_side_of(use->shape);
    if (side == SHAPE_UNKNOWN || side == (short_side ? SHAPE_LONG : SHAPE_SHORT)) {
        fail(reader, "unknown shape for this side", name);
        return;
    }
    for (size_t i = 0; is_mapping(limits) && i < size_of(limits) && i < NAIVE_MOST; i++) {
        const char *limit = text_of(key_at(reader, limits, i));
        if (!naive_shape_has_limit(use->shape, limit)) {
            fail(reader, "the shape has no such limit", limit);
            return;
        }
        copy_text(reader, use->limit_name[i], limit);
        if (!read_number(text_of(value_at(reader, limits, i)), &use->limit_value[i])) {
            fail(reader, "not a number", limit);
        }
        use->limit_count = i + 1;
    }
}

/* "any_of tries each shape of the list ...; limits then sits inside each item."  An item is a
 * bare word, {shape: word, limits: ..} or {word: {limits: ..}}. */
static void read_shape_item(struct reader *reader, const yaml_node_t *item, bool short_side,
                            struct shape_use *use)
{
    if (!is_mapping(item)) {
        read_shape(reader, text_of(item), NULL, short_side, use);
    } else if (get(reader, item, "shape") != NULL) {
        only_keys(reader, item, " shape limits ");
        read_shape(reader, text_of(get(reader, item, "shape")), get(reader, item, "limits"),
                   short_side, use);
    } else if (size_of(item) == 1) {
        const yaml_node_t *inner = value_at(reader, item, 0);
        only_keys(reader, inner, " limits ");
        read_shape(reader, text_of(key_at(reader, item, 0)), get(reader, inner, "limits"),
                   short_side, use);
    } else {
        fail(reader, "not a shape", "any_of");
    }
}

static void read_candle(struct reader *reader, const yaml_node_t *node, struct setup *setup)
{
    only_keys(reader, node, " shape any_of limits ");
    const yaml_node_t *list = get(reader, node, "any_of");
    if (list == NULL) {
        read_shape(reader, text_of(get(reader, node, "shape")), get(reader, node, "limits"),
                   setup->short_side, &setup->candles[0]);
        setup->candle_count = 1;
        return;
    }
    for (size_t i = 0; i < size_of(list) && i < NAIVE_MOST; i++) {
        read_shape_item(reader, item_at(reader, list, i), setup->short_side, &setup->candles[i]);
        setup->candle_count = i + 1;
    }
}

/* "at_least: of the list; default: all"; "wait 0" */
static void read_confirm(struct reader *reader, const yaml_node_t *node, struct setup *setup)
{
    const yaml_node_t *list = is_list(node) ? node : get(reader, node, "of");
    only_keys(reader, node, " at_least wait of ");
    read_condition_items(reader, list, &setup->confirm.items, &setup->confirm.count);
    setup->at_least = count_or(reader, node, "at_least", setup->confirm.count);
    setup->wait = count_or(reader, node, "wait", 0);
}

/* The numbers of a retest sit beside the word, or in a mapping of their own. */
static void read_retest(struct reader *reader, const yaml_node_t *node, bool short_side,
                        struct entry_rule *entry)
{
    const yaml_node_t *own = get(reader, node, "retest");
    const yaml_node_t *from = own != NULL ? own : node;
    char of[NAIVE_WORD];
    word_or(reader, from, "of", "retracement", of);
    long_word(reader, retest_words, short_side, of, entry->retest_of);
    entry->level = number_or(reader, from, "level", 0.382);
    entry->tolerance_atr = number_or(reader, from, "tolerance_atr", 0.25);
    entry->break_within = count_or(reader, from, "break_within", 10);
    entry->retest_within = count_or(reader, from, "retest_within", 10);
    entry->bars = count_or(reader, from, "bars", 60);
    entry->swing = count_or(reader, from, "swing", 3);
}

static void read_entry(struct reader *reader, const yaml_node_t *node, struct setup *setup)
{
    struct entry_rule *entry = &setup->entry;
    char word[NAIVE_WORD];
    only_keys(
        reader, node,
        " on valid buffer_ticks buffer_atr at late largest_gap_atr least_room_r bars swing share of "
        "level tolerance_atr break_within retest_within retest ");
    word_or(reader, node, "on", "", word);
    long_word(reader, entry_words, setup->short_side, word, entry->on);
    entry->valid = count_or(reader, node, "valid", 1);
    entry->buffer_ticks = number_or(reader, node, "buffer_ticks", 0.0);
    entry->buffer_atr = number_or(reader, node, "buffer_atr", 0.0);
    word_or(reader, node, "at", "next_open", word);
    entry->at_close = strcmp(word, "close") == 0;
    word_or(reader, node, "late", "skip", word);
    entry->take_late = strcmp(word, "take") == 0;
    entry->largest_gap_atr = number_or(reader, node, "largest_gap_atr", NAN);
    entry->least_room_r = number_or(reader, node, "least_room_r", NAN);
    entry->bars = count_or(reader, node, "bars", 60);
    entry->swing = count_or(reader, node, "swing", 3);
    entry->share = number_or(reader, node, "share", 0.5);
    if (strcmp(entry->on, "retest") == 0) {
        read_retest(reader, node, setup->short_side, entry);
    }
}

static void read_stop(struct reader *reader, const yaml_node_t *node, bool short_side,
                      struct stop_rule *stop)
{
    char word[NAIVE_WORD];
    only_keys(reader, node, " at bars swing times level of buffer_ticks buffer_atr ");
    word_or(reader, node, "at", "", word);
    long_word(reader, stop_words, short_side, word, stop->at);
    stop->bars = count_or(reader, node, "bars", strcmp(stop->at, "retracement") == 0 ? 60 : 10);
    stop->level = number_or(reader, node, "level", 0.236);
    stop->swing = count_or(reader, node, "swing", 3);
    stop->times = number_or(reader, node, "times", 2.0);
    stop->buffer_ticks = number_or(reader, node, "buffer_ticks", 0.0);
    stop->buffer_atr = number_or(reader, node, "buffer_atr", 0.0);
    const yaml_node_t *list = get(reader, node, "of");
    if (!is_list(list)) {
        return;
    }
    stop->member_count = size_of(list);
    stop->members = calloc(stop->member_count + 1, sizeof *stop->members);
    if (stop->members == NULL) {
        abort();
    }
    for (size_t i = 0; i < stop->member_count; i++) {
        read_stop(reader, item_at(reader, list, i), short_side, &stop->members[i]);
    }
}

static void read_target(struct reader *reader, const yaml_node_t *node, bool short_side,
                        struct target_rule *target)
{
    const char *swing_word = short_side ? "swing_low" : "swing_high";
    only_keys(reader, node,
              short_side ? " r level extension swing_low own_level share "
                         : " r level extension swing_high own_level share ");
    target->share = number_or(reader, node, "share", 1.0);
    if (get(reader, node, "r") != NULL) {
        target->kind = TARGET_R;
        target->number = number_or(reader, node, "r", NAN);
    } else if (get(reader, node, "level") != NULL) {
        target->kind = TARGET_LEVEL;
        target->number = number_or(reader, node, "level", NAN);
    } else if (get(reader, node, swing_word) != NULL) {
        target->kind = TARGET_SWING;
        target->number = number_or(reader, node, swing_word, NAN);
    } else if (get(reader, node, "own_level") != NULL) {
        target->kind = TARGET_OWN_LEVEL;
        target->number = number_or(reader, node, "own_level", NAN);
    } else {
        target->kind = TARGET_EXTENSION;
        target->number = number_or(reader, node, "extension", NAN);
    }
}

static void read_trail(struct reader *reader, const yaml_node_t *node, struct setup *setup)
{
    const char *swing_word = setup->short_side ? "swing_high" : "swing_low";
    if (node == NULL) {
        return;
    }
    const char *lowest_word = setup->short_side ? "highest_high" : "lowest_low";
    only_keys(reader, node,
              setup->short_side ? " swing_high atr highest_high average "
                                : " swing_low atr lowest_low average ");
    if (get(reader, node, swing_word) != NULL) {
        setup->trail = TRAIL_SWING_LOW;
        setup->trail_swing = count_or(reader, get(reader, node, swing_word), "swing", 3);
    } else if (get(reader, node, lowest_word) != NULL) {
        setup->trail = TRAIL_LOWEST_LOW;
        setup->trail_bars = count_or(reader, get(reader, node, lowest_word), "bars", 10);
    } else if (get(reader, node, "average") != NULL) {
        setup->trail = TRAIL_AVERAGE;
        setup->trail_bars = count_or(reader, get(reader, node, "average"), "bars", 20);
    } else {
        setup->trail = TRAIL_ATR;
        setup->trail_times = number_or(reader, get(reader, node, "atr"), "times", 3.0);
    }
}

static void read_exit(struct reader *reader, const yaml_node_t *node, struct setup *setup)
{
    only_keys(reader, node, " targets time_stop break_even_at_r trail when ");
    const yaml_node_t *targets = get(reader, node, "targets");
    for (size_t i = 0; is_list(targets) && i < size_of(targets) && i < NAIVE_MOST; i++) {
        read_target(reader, item_at(reader, targets, i), setup->short_side, &setup->targets[i]);
        setup->target_count = i + 1;
    }
    setup->time_stop = count_or(reader, node, "time_stop", 0);
    setup->break_even_at_r = number_or(reader, node, "break_even_at_r", NAN);
    read_trail(reader, get(reader, node, "trail"), setup);
    read_condition_items(reader, get(reader, node, "when"), &setup->when.items, &setup->when.count);
}

static void read_costs(struct reader *reader, const yaml_node_t *node, struct setup *setup)
{
    only_keys(reader, node,
              " spread slippage commission_per_unit commission_percent commission_per_trade "
              "financing_percent_year ");
    setup->costs.spread = number_or(reader, node, "spread", 0.0);
    setup->costs.slippage = number_or(reader, node, "slippage", 0.0);
    setup->costs.commission_per_unit = number_or(reader, node, "commission_per_unit", 0.0);
    setup->costs.commission_percent = number_or(reader, node, "commission_percent", 0.0);
    setup->costs.financing_percent_year = number_or(reader, node, "financing_percent_year", 0.0);
    /* "commission_per_trade once (money; over units x point value where a size is known, else it
     * must be 0 with a reason)": no size is known here. */
    if (number_or(reader, node, "commission_per_trade", 0.0) != 0.0) {
        fail(reader, "must be 0 where no size is known", "commission_per_trade");
    }
}

static void read_rest(struct reader *reader, const yaml_node_t *root, struct setup *setup)
{
    char word[NAIVE_WORD];
    word_or(reader, root, "same_bar", "nearest", word);
    setup->same_bar = strcmp(word, "worst") == 0   ? SAME_WORST
                      : strcmp(word, "best") == 0  ? SAME_BEST
                      : strcmp(word, "finer") == 0 ? SAME_FINER
                                                   : SAME_NEAREST;
    word_or(reader, root, "overlap", "one", word);
    setup->overlap_all = strcmp(word, "all") == 0;
    word_or(reader, root, "interval", "", setup->interval);
    if (setup->interval[0] != '\0' && !naive_interval_is_known(setup->interval)) {
        fail(reader, "unknown interval", setup->interval);
    }
}

static void read_setup(struct reader *reader, const yaml_node_t *root, struct setup *setup)
{
    char side[NAIVE_WORD];
    only_keys(
        reader, root,
        " setup title family side interval candle place confirm entry stop exit costs same_bar "
        "overlap least_mean_r notes ");
    word_or(reader, root, "side", "long", side);
    setup->short_side = strcmp(side, "short") == 0;
    read_rest(reader, root, setup);
    read_candle(reader, get(reader, root, "candle"), setup);
    read_condition_items(reader, get(reader, root, "place"), &setup->place.items,
                         &setup->place.count);
    read_confirm(reader, get(reader, root, "confirm"), setup);
    read_entry(reader, get(reader, root, "entry"), setup);
    read_stop(reader, get(reader, root, "stop"), setup->short_side, &setup->stop);
    read_exit(reader, get(reader, root, "exit"), setup);
    read_costs(reader, get(reader, root, "costs"), setup);
}

/* --- opening and closing ---------------------------------------------------------------------*/

static bool open_document(struct reader *reader, const char *text)
{
    yaml_parser_t parser;
    if (!yaml_parser_initialize(&parser)) {
        fail(reader, "cannot start reading", "");
        return false;
    }
    yaml_parser_set_input_string(&parser, (const unsigned char *)text, strlen(text));
    bool loaded = yaml_parser_load(&parser, &reader->document) != 0;
    yaml_parser_delete(&parser);
    if (!loaded) {
        fail(reader, "not YAML", "");
        return false;
    }
    if (yaml_document_get_root_node(&reader->document) == NULL) {
        fail(reader, "empty", "");
        yaml_document_delete(&reader->document);
        return false;
    }
    return true;
}

int naive_setup_read(const char *text, struct setup *setup, char *message, size_t message_size)
{
    struct reader reader = {.message = message, .message_size = message_size, .failed = false};
    memset(setup, 0, sizeof *setup);
    if (!open_document(&reader, text)) {
        return 1;
    }
    read_setup(&reader, yaml_document_get_root_node(&reader.document), setup);
    yaml_document_delete(&reader.document);
    if (reader.failed) {
        naive_setup_clear(setup);
    }
    return reader.failed ? 1 : 0;
}

int naive_condition_read(const char *text, struct condition *condition, char *message,
                         size_t message_size)
{
    struct reader reader = {.message = message, .message_size = message_size, .failed = false};
    memset(condition, 0, sizeof *condition);
    if (!open_document(&reader, text)) {
        return 1;
    }
    read_condition(&reader, yaml_document_get_root_node(&reader.document), condition);
    yaml_document_delete(&reader.document);
    if (reader.failed) {
        naive_condition_clear(condition);
    }
    return reader.failed ? 1 : 0;
}

static void list_clear(struct condition_list *list)
{
    for (size_t i = 0; i < list->count; i++) {
        naive_condition_clear(&list->items[i]);
    }
    free(list->items);
    list->items = NULL;
    list->count = 0;
}

static void stop_clear(struct stop_rule *stop)
{
    for (size_t i = 0; i < stop->member_count; i++) {
        stop_clear(&stop->members[i]);
    }
    free(stop->members);
    stop->members = NULL;
    stop->member_count = 0;
}

void naive_setup_clear(struct setup *setup)
{
    list_clear(&setup->place);
    list_clear(&setup->confirm);
    list_clear(&setup->when);
    stop_clear(&setup->stop);
}
