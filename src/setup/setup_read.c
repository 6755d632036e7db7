#define _DEFAULT_SOURCE /* fileno, fstat */
/* Reading a whole setup file. */
#include "base/array.h"
#include "base/words.h"
#include "setup/setup_parts.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

const char *const side_words[2] = {"long", "short"};
const char *const same_bar_words[] = {"nearest", "worst", "best", "finer", NULL};
const char *const overlap_words[2] = {"one", "all"};
const char *const cost_words[6] = {"spread",
                                   "slippage",
                                   "commission_per_unit",
                                   "commission_percent",
                                   "commission_per_trade",
                                   "financing_percent_year"};

const char *side_name(enum setup_side side)
{
    return side_words[side];
}

const char *same_bar_name(enum same_bar_rule rule)
{
    return same_bar_words[rule];
}

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

int read_interval(const struct source *source, const struct node *node, const char *key,
                  struct interval *interval)
{
    char found[100];
    if (node->kind == NODE_SCALAR && interval_parse(node->text, interval))
        return ERROR_NONE;
    return value_fail(source, node, key, "found %s; an interval such as 1d, 1w, 4h, 30m is allowed",
                      node_shown(node, found, sizeof found));
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
    value_fail(source, node, "candle: shape", "unknown shape '%.60s'%s", name,
               word_hint(hint, name, names, count));
    source->error->reason = ERROR_REASON_NO_SHAPE;
    return ERROR_INPUT;
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
    if (code == ERROR_NONE && shape == NULL)
        code = value_fail(source, node, "candle: shape", "is missing");
    return code == ERROR_NONE ? read_shape(source, shape, node_get(node, "limits"), setup) : code;
}

static int read_candle(const struct source *source, const struct node *node, struct setup *setup)
{
    static const char *const known[] = {"shape", "limits", "any_of"};
    const struct node *any_of = node_get(node, "any_of");
    int code = value_keys(source, node, "candle", known, 3);
    if (code != ERROR_NONE)
        return code;
    if (any_of == NULL)
        return read_candle_item(source, node, setup);
    if (node->count != 1)
        return value_fail(source, node, "candle",
                          "any_of stands alone; limits go inside each of its items");
    if (any_of->kind != NODE_LIST || any_of->count == 0 || any_of->count > CANDLE_CHOICES)
        return value_fail(source, any_of, "candle: any_of", "a list of 1 to %d shapes is allowed",
                          CANDLE_CHOICES);
    setup->candle_any_of = true;
    for (size_t i = 0; i < any_of->count && code == ERROR_NONE; i++)
        code = read_candle_item(source, &any_of->items[i], setup);
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
    if (code == ERROR_NONE && (of == NULL || of->kind != NODE_LIST || of->count == 0))
        code = value_fail(source, of != NULL ? of : node, "confirm: of",
                          "a list of at least one condition is needed");
    if (code == ERROR_NONE)
        code = check_length(source, of, "confirm: of", CONFIRM_LIMIT);
    if (code == ERROR_NONE)
        code = read_criteria(source, of, "confirm: of", &setup->confirm);
    setup->confirm_at_least = setup->confirm.count;
    if (code == ERROR_NONE && at_least != NULL)
        code = value_whole(source, at_least, "confirm: at_least", 1, (double)setup->confirm.count,
                           &setup->confirm_at_least);
    if (code == ERROR_NONE && wait != NULL)
        code = value_whole(source, wait, "confirm: wait", 0, 1000, &setup->confirm_wait);
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
    for (size_t i = 0; i < 6 && code == ERROR_NONE; i++) {
        const struct node *value = node_get(node, cost_words[i]);
        char path[60];
        snprintf(path, sizeof path, "costs: %s", cost_words[i]);
        if (value != NULL)
            code = value_number(source, value, path, 0, i == 5 || i == 3 ? 100 : 1e9, values[i]);
        if (code == ERROR_NONE && i == 4 && setup->costs.commission_per_trade > 0)
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
    if (code == ERROR_NONE && overlap != NULL) {
        code = value_word(source, overlap, "overlap", overlap_words, 2, &index);
        setup->overlap = (enum overlap_rule)index;
    }
    if (code == ERROR_NONE && worth != NULL)
        code = value_number(source, worth, "least_mean_r", 0, 1000, &setup->least_mean_r);
    if (code == ERROR_NONE && interval != NULL)
        code = read_interval(source, interval, "interval", &setup->interval);
    return code;
}

static int read_names(const struct source *source, const struct node *root, struct setup *setup)
{
    const struct node *title = node_get(root, "title");
    const struct node *family = node_get(root, "family");
    int code = read_name(source, node_get(root, "setup"), "setup", &setup->name);
    if (code == ERROR_NONE && title != NULL)
        code = copy_text(source, title, "title", &setup->title);
    if (code == ERROR_NONE && family != NULL)
        code = read_name(source, family, "family", &setup->family);
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

static int read_rules(const struct source *source, const struct node *root, struct setup *setup)
{
    size_t side = 0;
    int code = value_word(source, node_get(root, "side"), "side", side_words, 2, &side);
    setup->side = (enum setup_side)side;
    const struct node *place = node_get(root, "place");
    const struct node *confirm = node_get(root, "confirm");
    const struct node *costs = node_get(root, "costs");
    if (code == ERROR_NONE)
        code = read_candle(source, node_get(root, "candle"), setup);
    if (code == ERROR_NONE && place != NULL)
        code = check_length(source, place, "place", PLACE_LIMIT);
    if (code == ERROR_NONE && place != NULL)
        code = read_criteria(source, place, "place", &setup->place);
    if (code == ERROR_NONE && confirm != NULL)
        code = read_confirm(source, confirm, setup);
    if (code == ERROR_NONE)
        code = read_entry_rule(source, node_get(root, "entry"), setup);
    if (code == ERROR_NONE)
        code = read_stop_rule(source, node_get(root, "stop"), setup);
    if (code == ERROR_NONE)
        code = read_exit_rule(source, node_get(root, "exit"), setup);
    if (code == ERROR_NONE && costs != NULL)
        code = read_costs(source, costs, setup);
    return code;
}

static int read_plain(const struct source *source, const struct node *root, struct setup *setup)
{
    static const char *const known[] = {"setup",    "title",   "family",       "side",
                                        "interval", "candle",  "place",        "confirm",
                                        "entry",    "stop",    "exit",         "costs",
                                        "same_bar", "overlap", "least_mean_r", "mirror_of"};
    static const char *const needed[] = {"setup", "side", "candle", "entry", "stop", "exit"};
    int code = value_keys(source, root, "setup file", known, 16);
    for (size_t i = 0; i < 6 && code == ERROR_NONE; i++)
        if (node_get(root, needed[i]) == NULL)
            code = value_fail(
                source, root, needed[i],
                "the key is missing; a setup needs setup, side, candle, entry, stop, exit");
    if (code == ERROR_NONE)
        code = read_names(source, root, setup);
    if (code == ERROR_NONE)
        code = read_rules(source, root, setup);
    if (code == ERROR_NONE)
        code = read_choices(source, root, setup);
    struct setup_other others[SETUP_OTHERS];
    if (code == ERROR_NONE && setup_others(setup, others) > SETUP_OTHERS)
        code = value_fail(source, root, "setup file",
                          "its conditions read more than %d other instruments; at most %d are "
                          "allowed",
                          SETUP_OTHERS, SETUP_OTHERS);
    return code == ERROR_NONE ? default_names(source, setup) : code;
}

static int read_document(struct setup *setup, const char *name, const char *bytes, size_t length,
                         bool mirror_allowed, bool kept, struct error *error);
static int read_path(struct setup *setup, const char *path, bool mirror_allowed,
                     struct error *error);

/* `mirror_of: FILE`, beside this file; setup, title and family may be said. */
static int read_mirror_of(const struct source *source, const struct node *root, bool allowed,
                          struct setup *setup)
{
    static const char *const known[] = {"mirror_of", "setup", "title", "family"};
    const struct node *of = node_get(root, "mirror_of");
    const char *file = NULL;
    int code = value_keys(source, root, "mirror_of", known, 4);
    if (code == ERROR_NONE)
        code = value_string(source, of, "mirror_of", &file);
    if (code == ERROR_NONE && !allowed)
        code = value_fail(source, of, "mirror_of", "names a file that is itself a mirror_of");
    if (code != ERROR_NONE)
        return code;
    /* A setup from elsewhere must not read any file of the machine. */
    if (strchr(file, '/') != NULL)
        return value_fail(source, of, "mirror_of",
                          "found '%.80s'; a file beside this one, without a folder, is allowed",
                          file);
    const char *slash = strrchr(source->name, '/');
    size_t folder = slash != NULL ? (size_t)(slash - source->name) + 1 : 0;
    struct text path;
    text_init(&path);
    text_append_bytes(&path, source->name, folder);
    text_append(&path, file);
    code = text_failed(&path) ? error_memory(source->error)
                              : read_path(setup, path.bytes, false, source->error);
    /* Whoever asked for the file is told where it did. */
    if (code == ERROR_INPUT) {
        struct error inner = *source->error;
        value_fail(source, of, "mirror_of", "%s", inner.text);
        source->error->reason = inner.reason;
    }
    text_free(&path);
    if (code == ERROR_NONE)
        code = setup_mirror(setup, source->error);
    if (code == ERROR_NONE && node_get(root, "setup") != NULL)
        code = read_name(source, node_get(root, "setup"), "setup", &setup->name);
    if (code == ERROR_NONE && node_get(root, "title") != NULL)
        code = copy_text(source, node_get(root, "title"), "title", &setup->title);
    if (code == ERROR_NONE && node_get(root, "family") != NULL)
        code = read_name(source, node_get(root, "family"), "family", &setup->family);
    return code;
}

static void set_defaults(struct setup *setup)
{
    *setup = (struct setup){.entry.valid = 1,
                            .entry.largest_gap_atr = NAN,
                            .entry.least_room_r = NAN,
                            .exit.break_even_at_r = NAN,
                            .least_mean_r = 0.2};
}

static int read_root(const struct source *source, const struct node *root, bool mirror_allowed,
                     struct setup *setup)
{
    if (root->kind != NODE_MAP)
        return value_fail(source, root, "setup file",
                          "a map is needed; a setup begins with 'setup: NAME'");
    if (node_get(root, "mirror_of") != NULL)
        return read_mirror_of(source, root, mirror_allowed, setup);
    return read_plain(source, root, setup);
}

static int read_document(struct setup *setup, const char *name, const char *bytes, size_t length,
                         bool mirror_allowed, bool kept, struct error *error)
{
    struct source source = {name, error};
    struct node root;
    int code = yaml_tree_read(&root, name, bytes, length, error);
    if (code != ERROR_NONE)
        return code;
    set_defaults(setup);
    code = bring_up_words(&source, &root, kept);
    if (code == ERROR_NONE)
        code = read_root(&source, &root, mirror_allowed, setup);
    yaml_tree_free(&root);
    if (code != ERROR_NONE)
        setup_free(setup);
    return code;
}

int setup_read(struct setup *setup, const char *name, const char *bytes, size_t length,
               struct error *error)
{
    return read_document(setup, name, bytes, length, true, false, error);
}

int setup_read_kept(struct setup *setup, const char *name, const char *text, struct error *error)
{
    return read_document(setup, name, text, strlen(text), true, true, error);
}

/* The whole of a small file. */
static int read_bytes(const char *path, char **bytes, size_t *length, struct error *error)
{
    struct stat status;
    FILE *file = fopen(path, "rb");
    if (file == NULL)
        return error_set(error, error_code_of(errno), "%s: cannot open the setup file: %s", path,
                         strerror(errno));
    if (fstat(fileno(file), &status) == 0 && S_ISDIR(status.st_mode)) {
        fclose(file);
        return error_set(error, ERROR_INPUT, "%s: is a directory; a setup file is needed", path);
    }
    *bytes = array_new(YAML_TREE_SIZE + 1, 1);
    if (*bytes == NULL) {
        fclose(file);
        return error_memory(error);
    }
    *length = fread(*bytes, 1, YAML_TREE_SIZE + 1, file);
    int failed = ferror(file);
    fclose(file);
    if (!failed)
        return ERROR_NONE;
    free(*bytes);
    return error_set(error, ERROR_MACHINE, "%s: cannot read: %s", path, strerror(errno));
}

static int read_path(struct setup *setup, const char *path, bool mirror_allowed,
                     struct error *error)
{
    char *bytes = NULL;
    size_t length = 0;
    int code = read_bytes(path, &bytes, &length, error);
    if (code != ERROR_NONE)
        return code;
    code = read_document(setup, path, bytes, length, mirror_allowed, false, error);
    free(bytes);
    return code;
}

int setup_read_file(struct setup *setup, const char *path, struct error *error)
{
    return read_path(setup, path, true, error);
}
