/* Reading entry, stop and exit. */
#include "base/words.h"
#include "setup/setup_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *const lower_of_words[2] = {"lower_of", "higher_of"};
const char *const swing_of_words[2] = {"swing_high", "swing_low"};
const char *const late_words[2] = {"skip", "take"};
const char *const at_words[2] = {"next_open", "close"};

int wrong_side(const struct source *source, const struct node *node, const char *key,
               enum setup_side side, const char *found, const char *meant)
{
    if (source->side_guessed)
        return ERROR_INPUT;
    return value_fail(source, node, key,
                      "%s belongs to the other side; for a %s setup you probably mean %s", found,
                      side_name(side), meant);
}

int read_buffer(const struct source *source, const struct node *map, const char *key,
                struct buffer *buffer)
{
    const struct node *ticks = node_get(map, "buffer_ticks");
    const struct node *atr = node_get(map, "buffer_atr");
    char path[100];
    int code = ERROR_NONE;
    if (ticks != NULL && atr != NULL)
        code = value_fail(source, atr, key,
                          "buffer_ticks and buffer_atr both stand here; one is allowed");
    snprintf(path, sizeof path, "%s: %s", key, ticks != NULL ? "buffer_ticks" : "buffer_atr");
    if (ticks != NULL)
        return worse_code(code, value_number(source, ticks, path, 0, 1e6, &buffer->ticks));
    return atr != NULL ? value_number(source, atr, path, 0, 1000, &buffer->atr) : ERROR_NONE;
}

int refuse_buffer(const struct source *source, const struct node *map, const char *key,
                  const char *why, struct buffer *buffer)
{
    static const char *const names[] = {"buffer_ticks", "buffer_atr"};
    bool given = buffer->ticks != 0 || buffer->atr != 0;
    int code = ERROR_NONE;
    for (size_t i = 0; given && !source->kept && i < 2; i++) {
        char path[60];
        snprintf(path, sizeof path, "%s: %s", key, names[i]);
        if (node_get(map, names[i]) != NULL)
            code = value_fail(source, node_get(map, names[i]), path, "has no effect %s", why);
    }
    *buffer = (struct buffer){0};
    return code;
}

/* --- entry ------------------------------------------------------------------ */

static int find_entry(const struct source *source, const struct node *node, struct setup *setup)
{
    const char *text = NULL;
    bool mirrored = false;
    bool is_short = setup->side == SIDE_SHORT;
    int code = value_string(source, node, "entry: on", &text);
    if (code != ERROR_NONE)
        return code;
    const struct entry *row = entry_find(text, &mirrored);
    if (row == NULL) {
        const char *names[32];
        size_t count = 0;
        size_t index = 0;
        for (row = entries; row->name != NULL; row++)
            names[count++] = is_short && row->mirror_name != NULL ? row->mirror_name : row->name;
        return value_word(source, node, "entry: on", names, count, &index);
    }
    if (row->mirror_name != NULL && mirrored != is_short)
        return wrong_side(source, node, "entry: on", setup->side, text,
                          is_short ? row->mirror_name : row->name);
    setup->entry.entry = row;
    parameter_defaults(row->parameters, setup->entry.values);
    return ERROR_NONE;
}

/* The numbers of the row stand beside `on`, or below its name. */
static int read_entry_numbers(const struct source *source, const struct node *node,
                              struct setup *setup)
{
    static const char *const others[] = {"on", "valid", "buffer_ticks",    "buffer_atr",
                                         "at", "late",  "largest_gap_atr", "least_room_r",
                                         "of", "retest"};
    struct entry_rule *entry = &setup->entry;
    if (entry->entry == NULL)
        return ERROR_NONE;
    bool retest = entry->entry->kind == ENTRY_RETEST;
    const char *of_words[] = {"retracement", "trend_line",
                              swing_of_words[setup->side == SIDE_SHORT]};
    /* `of` and `retest` are the retest's own. */
    int code = value_parameters(source, node, "entry", entry->entry->parameters, false, others,
                                retest ? 10 : 8, entry->values, NULL);
    const struct node *below = retest ? node_get(node, "retest") : NULL;
    if (below != NULL)
        code = worse_code(code,
                          value_parameters(source, below, "entry: retest", entry->entry->parameters,
                                           false, others + 8, 1, entry->values, NULL));
    const struct node *of = node_get(below != NULL ? below : node, "of");
    size_t index = RETEST_RETRACEMENT;
    if (retest && of != NULL)
        code = worse_code(code, value_word(source, of, "entry: of", of_words, 3, &index));
    entry->retest_of = (enum retest_of)index;
    return code;
}

static int read_entry_choices(const struct source *source, const struct node *node,
                              struct entry_rule *entry)
{
    const struct node *at = node_get(node, "at");
    const struct node *late = node_get(node, "late");
    size_t index = 0;
    int code = ERROR_NONE;
    const struct entry *row = entry->entry;
    if (at != NULL && row != NULL && (row->kind == ENTRY_MARKET || entry_rests(row)))
        code = value_fail(source, at, "entry: at",
                          "goes with entries that wait for a close, not with %s", row->name);
    else if (at != NULL)
        code = value_word(source, at, "entry: at", at_words, 2, &index);
    entry->at_close = index == 1;
    index = 0;
    if (late != NULL)
        code = worse_code(code, value_word(source, late, "entry: late", late_words, 2, &index));
    entry->late = index == 1 ? LATE_TAKE : LATE_SKIP;
    return code;
}

/* The numbers that every entry may have. */
static int read_entry_limits(const struct source *source, const struct node *node,
                             struct entry_rule *entry)
{
    const struct node *valid = node_get(node, "valid");
    const struct node *gap = node_get(node, "largest_gap_atr");
    const struct node *room = node_get(node, "least_room_r");
    int code = ERROR_NONE;
    if (valid != NULL)
        code = value_whole(source, valid, "entry: valid", 1, 1000, &entry->valid);
    if (gap != NULL)
        code = worse_code(code, value_number(source, gap, "entry: largest_gap_atr", 0, 1000,
                                             &entry->largest_gap_atr));
    if (room != NULL)
        code = worse_code(code, value_number(source, room, "entry: least_room_r", 0, 1000,
                                             &entry->least_room_r));
    return code;
}

int read_entry_rule(const struct source *source, const struct node *node, struct setup *setup)
{
    struct entry_rule *entry = &setup->entry;
    char found[100];
    char why[120];
    if (node->kind != NODE_MAP || node_get(node, "on") == NULL)
        return value_fail(source, node, "entry", "found %s; a map with `on:` is allowed",
                          node->kind == NODE_MAP ? "a map without it"
                                                 : node_shown(node, found, sizeof found));
    int code = find_entry(source, node_get(node, "on"), setup);
    code = worse_code(code, read_entry_numbers(source, node, setup));
    code = worse_code(code, read_entry_choices(source, node, entry));
    code = worse_code(code, read_buffer(source, node, "entry", &entry->buffer));
    code = worse_code(code, read_entry_limits(source, node, entry));
    if (entry->entry == NULL || entry_takes_buffer(entry->entry))
        return code;
    snprintf(why, sizeof why, "on %s; leave it out",
             sided_word(entry->entry->name, entry->entry->mirror_name, setup->side));
    return worse_code(code, refuse_buffer(source, node, "entry", why, &entry->buffer));
}

/* --- stop -------------------------------------------------------------------- */

static int find_stop(const struct source *source, const struct node *node, struct setup *setup,
                     const struct stop **found)
{
    const char *text = NULL;
    bool mirrored = false;
    bool is_short = setup->side == SIDE_SHORT;
    int code = value_string(source, node, "stop: at", &text);
    if (code != ERROR_NONE)
        return code;
    const struct stop *row = stop_find(text, &mirrored);
    if (row == NULL) {
        const char *names[32];
        size_t count = 0;
        size_t index = 0;
        if (strcmp(text, lower_of_words[!is_short]) == 0)
            return wrong_side(source, node, "stop: at", setup->side, text,
                              lower_of_words[is_short]);
        for (row = stops; row->name != NULL; row++)
            names[count++] = is_short && row->mirror_name != NULL ? row->mirror_name : row->name;
        names[count++] = lower_of_words[is_short];
        return value_word(source, node, "stop: at", names, count, &index);
    }
    if (row->mirror_name != NULL && mirrored != is_short)
        return wrong_side(source, node, "stop: at", setup->side, text,
                          is_short ? row->mirror_name : row->name);
    if (row->stage == STOP_AT_RETEST && setup->entry.entry != NULL &&
        setup->entry.entry->kind != ENTRY_RETEST)
        return value_fail(source, node, "stop: at", "%s goes with `entry: {on: retest}` only",
                          text);
    *found = row;
    return ERROR_NONE;
}

static int read_stop_member(const struct source *source, const struct node *node,
                            const char *const *others, size_t other_count, struct setup *setup)
{
    struct stop_rule *stop = &setup->stop;
    struct stop_member *member = &stop->members[stop->count];
    char found[100];
    if (node->kind != NODE_MAP || node_get(node, "at") == NULL)
        return value_fail(source, node, "stop", "found %s; a map with `at:` is allowed",
                          node->kind == NODE_MAP ? "a map without it"
                                                 : node_shown(node, found, sizeof found));
    int code = find_stop(source, node_get(node, "at"), setup, &member->stop);
    if (code != ERROR_NONE)
        return code;
    parameter_defaults(member->stop->parameters, member->values);
    stop->count++;
    return value_parameters(source, node, "stop", member->stop->parameters, false, others,
                            other_count, member->values, NULL);
}

/* The members of lower_of (higher_of). */
static int read_stop_members(const struct source *source, const struct node *node,
                             const char *const *others, struct setup *setup)
{
    const struct node *of = node_get(node, "of");
    int code = value_keys(source, node, "stop", others, 4);
    if (of == NULL || of->kind != NODE_LIST || of->count == 0 || of->count > STOP_MEMBERS)
        return value_fail(source, of != NULL ? of : node, "stop: of",
                          "a list of 1 to %d stops is needed", STOP_MEMBERS);
    for (size_t i = 0; i < of->count; i++)
        code = worse_code(code, read_stop_member(source, &of->items[i], others, 1, setup));
    return code;
}

int read_stop_rule(const struct source *source, const struct node *node, struct setup *setup)
{
    static const char *const others[] = {"at", "buffer_ticks", "buffer_atr", "of"};
    struct stop_rule *stop = &setup->stop;
    const struct node *at = node_get(node, "at");
    stop->several = at != NULL && at->kind == NODE_SCALAR &&
                    strcmp(at->text, lower_of_words[setup->side == SIDE_SHORT]) == 0;
    int code = stop->several ? read_stop_members(source, node, others, setup)
                             : read_stop_member(source, node, others, 3, setup);
    code = worse_code(code, read_buffer(source, node, "stop", &stop->buffer));
    if (stop->several || stop->count == 0 || stop_takes_buffer(stop->members[0].stop))
        return code;
    return worse_code(code, refuse_buffer(source, node, "stop",
                                          "on a stop of ATR alone; leave it out, or give `times` "
                                          "the whole distance",
                                          &stop->buffer));
}

/* --- exit -------------------------------------------------------------------- */

/* The words of a table's rows for this side; `room` is enough for all. */
static size_t target_words(enum setup_side side, const char **words)
{
    size_t count = 0;
    for (const struct target_kind *row = target_kinds; row->name != NULL; row++)
        words[count++] = sided_word(row->name, row->mirror_name, side);
    return count;
}

/* Words of the other side are errors that name the one probably meant. */
static int refuse_other_targets(const struct source *source, const struct node *node,
                                enum setup_side side)
{
    enum setup_side other = side == SIDE_LONG ? SIDE_SHORT : SIDE_LONG;
    for (const struct target_kind *row = target_kinds; row->name != NULL; row++) {
        const char *word = sided_word(row->name, row->mirror_name, other);
        if (row->mirror_name != NULL && node_get(node, word) != NULL)
            return wrong_side(source, node_get(node, word), "exit: targets", side, word,
                              sided_word(row->name, row->mirror_name, side));
    }
    return ERROR_NONE;
}

static int read_target_number(const struct source *source, const struct node *node,
                              const char *word, struct target *target)
{
    const struct parameter *number = &target->kind->number;
    char path[60];
    snprintf(path, sizeof path, "exit: targets: %s", word);
    if (number->kind == PARAMETER_WHOLE) {
        size_t whole = 0;
        int code = value_whole(source, node, path, number->least, number->most, &whole);
        target->value = (double)whole;
        return code;
    }
    int code = value_number(source, node, path, number->least, number->most, &target->value);
    if (code == ERROR_NONE && target_is_r(target->kind) && target->value == 0)
        return value_fail(source, node, path, "found '0'; a number above 0 is allowed");
    return code;
}

static int read_target(const struct source *source, const struct node *node, bool only,
                       enum setup_side side, struct target *target)
{
    const char *known[16];
    size_t kinds = target_words(side, known);
    size_t found = 0;
    int code = node->kind == NODE_MAP ? refuse_other_targets(source, node, side) : ERROR_NONE;
    known[kinds] = "share";
    if (code == ERROR_NONE)
        code = value_keys(source, node, "exit: targets", known, kinds + 1);
    bool known_all = code == ERROR_NONE;
    for (size_t i = 0; i < kinds; i++) {
        const struct node *value = node_get(node, known[i]);
        if (value == NULL)
            continue;
        found++;
        target->kind = &target_kinds[i];
        code = worse_code(code, read_target_number(source, value, known[i], target));
    }
    /* A key that is not known was probably meant for one of them. */
    if (found == 0 && !known_all)
        return code;
    if (found != 1)
        return value_fail(source, node, "exit: targets",
                          "one of r, level, extension, %s and own_level is needed for each target",
                          swing_of_words[side == SIDE_SHORT]);
    const struct node *share = node_get(node, "share");
    target->share = 1;
    if (share == NULL && !only)
        return value_fail(source, node, "exit: targets: share",
                          "is missing; each of several targets needs its share");
    return share != NULL ? worse_code(code, value_number(source, share, "exit: targets: share",
                                                         1e-6, 1, &target->share))
                         : code;
}

static int read_targets(const struct source *source, const struct node *node, struct setup *setup)
{
    struct exit_rule *exit = &setup->exit;
    double sum = 0;
    if (node->kind != NODE_LIST || node->count > TARGET_LIMIT)
        return value_fail(source, node, "exit: targets",
                          "a list of at most %d targets, such as [{r: 2.5, share: 1}], is allowed",
                          TARGET_LIMIT);
    int code = ERROR_NONE;
    for (size_t i = 0; i < node->count; i++) {
        code = worse_code(code, read_target(source, &node->items[i], node->count == 1, setup->side,
                                            &exit->targets[i]));
        exit->target_count++;
        sum += exit->targets[i].share;
    }
    if (code != ERROR_NONE)
        return code;
    if (sum > 1 + 1e-9)
        return value_fail(source, node, "exit: targets",
                          "the shares sum to %g; at most 1 is allowed", sum);
    return ERROR_NONE;
}

/* The row that the map names; its words are those of the setup's side. */
static int find_trail(const struct source *source, const struct node *node, struct setup *setup)
{
    const char *words[16];
    size_t count = 0;
    bool is_short = setup->side == SIDE_SHORT;
    for (const struct trail *row = trails; row->name != NULL; row++) {
        const char *other = is_short ? row->name : row->mirror_name;
        words[count] = sided_word(row->name, row->mirror_name, setup->side);
        if (row->mirror_name != NULL && node_get(node, other) != NULL)
            return wrong_side(source, node_get(node, other), "exit: trail", setup->side, other,
                              words[count]);
        if (node_get(node, words[count]) != NULL)
            setup->exit.trail = row;
        count++;
    }
    int code = value_keys(source, node, "exit: trail", words, count);
    if (code == ERROR_NONE && (node->kind != NODE_MAP || node->count != 1))
        return value_fail(source, node, "exit: trail", "one of %s, atr, %s and average is needed",
                          words[0], words[2]);
    return code;
}

static int read_trail(const struct source *source, const struct node *node, struct setup *setup)
{
    double values[PARAMETER_LIMIT];
    int code = find_trail(source, node, setup);
    if (code != ERROR_NONE)
        return code;
    const struct trail *trail = setup->exit.trail;
    parameter_defaults(trail->parameters, values);
    code = value_parameters(source, &node->items[0], "exit: trail", trail->parameters, false, NULL,
                            0, values, NULL);
    setup->exit.trail_value = values[0];
    return code;
}

int read_exit_rule(const struct source *source, const struct node *node, struct setup *setup)
{
    static const char *const known[] = {"targets", "time_stop", "break_even_at_r", "trail", "when"};
    struct exit_rule *exit = &setup->exit;
    int code = value_keys(source, node, "exit", known, 5);
    const struct node *targets = node_get(node, "targets");
    const struct node *limit = node_get(node, "time_stop");
    const struct node *even = node_get(node, "break_even_at_r");
    const struct node *trail = node_get(node, "trail");
    const struct node *when = node_get(node, "when");
    if (targets != NULL)
        code = worse_code(code, read_targets(source, targets, setup));
    if (limit != NULL)
        code = worse_code(code, value_whole(source, limit, "exit: time_stop", 1, 100000,
                                            &exit->time_stop));
    if (even != NULL)
        code = worse_code(code, value_number(source, even, "exit: break_even_at_r", 0, 1000,
                                             &exit->break_even_at_r));
    if (trail != NULL)
        code = worse_code(code, read_trail(source, trail, setup));
    if (when != NULL)
        code = worse_code(code, read_criteria(source, when, "exit: when", &exit->when));
    if (code != ERROR_NONE)
        return code;
    if (exit->target_count == 0 && exit->time_stop == 0 && exit->trail == NULL &&
        exit->when.count == 0)
        return value_fail(
            source, node, "exit",
            "no way out; at least one of targets, time_stop, trail and when is needed");
    return ERROR_NONE;
}
