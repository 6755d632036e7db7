/* Writing a setup as a file in a fixed form, and mirroring it. */
#include "base/array.h"
#include "setup/setup_parts.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* --- writing ------------------------------------------------------------------ */

static bool is_letter(char c)
{
    return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}

/* A plain YAML scalar where that is safe, else a quoted one. */
static void write_scalar(struct text *out, const char *text)
{
    assert(text != NULL);
    bool plain = is_letter(text[0]) && strpbrk(text, ":#'\"\\{}[],&*!|>%@`") == NULL &&
                 text_is_shown(text) && text[strlen(text) - 1] != ' ' && strcmp(text, "null") != 0;
    if (plain)
        text_append(out, text);
    else
        text_append_json(out, text);
}

void setup_write_value(struct text *out, const struct parameter *parameter, bool mirrored,
                       double value)
{
    if (parameter->kind == PARAMETER_WEEKDAYS) {
        const char *separator = "";
        text_append_char(out, '[');
        for (int day = 0; day < 7; day++) {
            if (((unsigned)value >> day & 1) == 0)
                continue;
            text_append_format(out, "%s%s", separator, weekday_words[day]);
            separator = ", ";
        }
        text_append_char(out, ']');
    } else if (parameter->kind == PARAMETER_CLOCK) {
        text_append_format(out, "'%02d:%02d'", (int)value / 60, (int)value % 60);
    } else {
        text_append_number(out, mirrored ? parameter_mirrored(parameter, value) : value);
    }
}

/* `key: value` pairs of a row's numbers, separated by commas; *separator is
 * what stands before the next. Numbers that are off are left out. */
static void write_parameters(struct text *out, const struct parameter *parameters, bool mirrored,
                             const double *values, const char *word, const char **separator)
{
    size_t count = parameter_count(parameters);
    for (size_t i = 0; i < count; i++) {
        const char *name = parameter_name(&parameters[i], mirrored);
        if (parameters[i].kind == PARAMETER_WORD) {
            text_append_format(out, "%s%s: ", *separator, name);
            write_scalar(out, word);
        } else if (!isnan(values[i])) {
            text_append_format(out, "%s%s: ", *separator, name);
            setup_write_value(out, &parameters[i], mirrored, values[i]);
        } else {
            continue;
        }
        *separator = ", ";
    }
}

/* As it is seen on the chart. */
static void write_compare(struct text *out, const struct criterion *criterion,
                          const char **separator)
{
    struct compare_rule rule = *criterion->compare;
    if (criterion->mirrored)
        compare_turn(&rule);
    compare_write(out, &rule);
    *separator = ", ";
}

void criterion_write(struct text *out, const struct criterion *criterion)
{
    if (criterion->kind != CRITERION_CONDITION) {
        bool any = criterion->kind == CRITERION_ANY;
        text_append(out, any ? "any: [" : "not: {");
        for (size_t i = 0; i < criterion->part_count; i++) {
            text_append(out, i > 0 ? ", " : "");
            text_append(out, any ? "{" : "");
            criterion_write(out, &criterion->parts[i]);
            text_append(out, any ? "}" : "");
        }
        text_append_char(out, any ? ']' : '}');
        return;
    }
    const char *separator = "";
    char interval[INTERVAL_TEXT_SIZE];
    text_append_format(out, "%s: {", condition_name(criterion->condition, criterion->mirrored));
    if (criterion->compare != NULL)
        write_compare(out, criterion, &separator);
    else
        write_parameters(out, criterion->condition->parameters, criterion->mirrored,
                         criterion->values, criterion->word, &separator);
    if (criterion->interval.unit != INTERVAL_NONE) {
        interval_format(interval, criterion->interval);
        text_append_format(out, "%sinterval: %s", separator, interval);
        separator = ", ";
    }
    if (criterion->within > 0)
        text_append_format(out, "%swithin: %zu", separator, criterion->within);
    text_append_char(out, '}');
}

static void write_criteria(struct text *out, const struct criteria *criteria, const char *indent)
{
    for (size_t i = 0; i < criteria->count; i++) {
        text_append_format(out, "%s- ", indent);
        criterion_write(out, &criteria->list[i]);
        text_append_char(out, '\n');
    }
}

void shape_write(struct text *out, const struct shape_choice *choice)
{
    const char *separator = "";
    text_append_format(out, "shape: %s", shape_name(choice));
    if (parameter_count(choice->shape->limits) == 0)
        return;
    text_append(out, ", limits: {");
    write_parameters(out, choice->shape->limits, choice->mirrored, choice->limits, NULL,
                     &separator);
    text_append_char(out, '}');
}

static void write_candle(struct text *out, const struct setup *setup)
{
    text_append(out, setup->candle_any_of ? "candle:\n  any_of:\n" : "candle: ");
    for (size_t i = 0; i < setup->candle_count; i++) {
        text_append(out, setup->candle_any_of ? "    - {" : "{");
        shape_write(out, &setup->candles[i]);
        text_append(out, "}\n");
    }
}

static void write_buffer(struct text *out, const struct buffer *buffer)
{
    if (buffer->atr > 0) {
        text_append(out, ", buffer_atr: ");
        text_append_number(out, buffer->atr);
    } else if (buffer->ticks > 0) {
        text_append(out, ", buffer_ticks: ");
        text_append_number(out, buffer->ticks);
    }
}

static void write_number_key(struct text *out, const char *key, double value)
{
    if (isnan(value))
        return;
    text_append_format(out, ", %s: ", key);
    text_append_number(out, value);
}

static void write_entry(struct text *out, const struct setup *setup)
{
    const struct entry_rule *entry = &setup->entry;
    const char *separator = ", ";
    const char *of[] = {"retracement", "trend_line", swing_of_words[setup->side == SIDE_SHORT]};
    text_append_format(out, "entry: {on: %s",
                       sided_word(entry->entry->name, entry->entry->mirror_name, setup->side));
    if (entry->entry->kind == ENTRY_RETEST)
        text_append_format(out, ", of: %s", of[entry->retest_of]);
    write_parameters(out, entry->entry->parameters, false, entry->values, NULL, &separator);
    text_append_format(out, ", valid: %zu", entry->valid);
    write_buffer(out, &entry->buffer);
    if (entry->at_close)
        text_append(out, ", at: close");
    if (entry->late == LATE_TAKE)
        text_append(out, ", late: take");
    write_number_key(out, "largest_gap_atr", entry->largest_gap_atr);
    write_number_key(out, "least_room_r", entry->least_room_r);
    text_append(out, "}\n");
}

static void write_stop_member(struct text *out, const struct stop_member *member,
                              enum setup_side side)
{
    const char *separator = ", ";
    text_append_format(out, "at: %s",
                       sided_word(member->stop->name, member->stop->mirror_name, side));
    write_parameters(out, member->stop->parameters, false, member->values, NULL, &separator);
}

static void write_stop(struct text *out, const struct setup *setup)
{
    const struct stop_rule *stop = &setup->stop;
    text_append(out, "stop: {");
    if (stop->several)
        text_append_format(out, "at: %s, of: [", lower_of_words[setup->side == SIDE_SHORT]);
    for (size_t i = 0; i < stop->count; i++) {
        text_append(out, stop->several ? (i > 0 ? ", {" : "{") : "");
        write_stop_member(out, &stop->members[i], setup->side);
        text_append(out, stop->several ? "}" : "");
    }
    text_append(out, stop->several ? "]" : "");
    write_buffer(out, &stop->buffer);
    text_append(out, "}\n");
}

static void write_exit(struct text *out, const struct setup *setup)
{
    const struct exit_rule *exit = &setup->exit;
    text_append(out, "exit:\n");
    if (exit->target_count > 0) {
        text_append(out, "  targets: [");
        for (size_t i = 0; i < exit->target_count; i++) {
            const struct target_kind *kind = exit->targets[i].kind;
            text_append_format(out, "%s{%s: ", i > 0 ? ", " : "",
                               sided_word(kind->name, kind->mirror_name, setup->side));
            text_append_number(out, exit->targets[i].value);
            write_number_key(out, "share", exit->targets[i].share);
            text_append_char(out, '}');
        }
        text_append(out, "]\n");
    }
    if (exit->time_stop > 0)
        text_append_format(out, "  time_stop: %zu\n", exit->time_stop);
    if (!isnan(exit->break_even_at_r)) {
        text_append(out, "  break_even_at_r: ");
        text_append_number(out, exit->break_even_at_r);
        text_append_char(out, '\n');
    }
    if (exit->trail != NULL) {
        text_append_format(out, "  trail: {%s: {%s: ",
                           sided_word(exit->trail->name, exit->trail->mirror_name, setup->side),
                           exit->trail->parameters[0].name);
        text_append_number(out, exit->trail_value);
        text_append(out, "}}\n");
    }
    if (exit->when.count > 0) {
        text_append(out, "  when:\n");
        write_criteria(out, &exit->when, "    ");
    }
}

static void write_costs(struct text *out, const struct costs *costs)
{
    const double values[] = {costs->spread,
                             costs->slippage,
                             costs->commission_per_unit,
                             costs->commission_percent,
                             costs->commission_per_trade,
                             costs->financing_percent_year};
    text_append(out, "costs: {");
    for (size_t i = 0; i < 6; i++) {
        text_append_format(out, "%s%s: ", i > 0 ? ", " : "", cost_words[i]);
        text_append_number(out, values[i]);
    }
    text_append(out, "}\n");
}

void setup_write(const struct setup *setup, struct text *out)
{
    text_append_format(out, "setup: %s\ntitle: ", setup->name);
    write_scalar(out, setup->title);
    text_append_format(out, "\nfamily: %s\nside: %s\n", setup->family, side_name(setup->side));
    if (setup->interval.unit != INTERVAL_NONE) {
        char interval[INTERVAL_TEXT_SIZE];
        interval_format(interval, setup->interval);
        text_append_format(out, "interval: %s\n", interval);
    }
    write_candle(out, setup);
    if (setup->place.count > 0) {
        text_append(out, "place:\n");
        write_criteria(out, &setup->place, "  ");
    }
    if (setup->confirm.count > 0) {
        text_append_format(out, "confirm:\n  at_least: %zu\n  wait: %zu\n  of:\n",
                           setup->confirm_at_least, setup->confirm_wait);
        write_criteria(out, &setup->confirm, "    ");
    }
    write_entry(out, setup);
    write_stop(out, setup);
    write_exit(out, setup);
    if (setup->costs_given)
        write_costs(out, &setup->costs);
    text_append_format(out,
                       "same_bar: %s\noverlap: %s\nleast_mean_r: ", same_bar_name(setup->same_bar),
                       overlap_words[setup->overlap]);
    text_append_number(out, setup->least_mean_r);
    text_append_char(out, '\n');
}

/* --- mirroring ----------------------------------------------------------------- */

/* What turns round is the same rule on the other prices; the rest only has its
 * values renamed. */
static bool mirror_compare(struct criterion *criterion)
{
    if (comparable_turns(criterion->compare->value.what->kind)) {
        criterion->mirrored = !criterion->mirrored;
        return true;
    }
    compare_turn(criterion->compare);
    return compare_describe(criterion->compare);
}

static bool mirror_criteria(struct criteria *criteria)
{
    bool made = true;
    for (size_t i = 0; i < criteria->count; i++) {
        struct criterion *criterion = &criteria->list[i];
        struct criteria parts = {criterion->parts, criterion->part_count};
        made = mirror_criteria(&parts) && made;
        if (criterion->compare != NULL)
            made = mirror_compare(criterion) && made;
        else if (criterion->kind == CRITERION_CONDITION &&
                 criterion->condition->mirror_name != NULL)
            criterion->mirrored = !criterion->mirrored;
    }
    return made;
}

static int mirror_name(struct setup *setup, struct error *error)
{
    static const char suffix[] = "-mirrored";
    size_t length = strlen(setup->name);
    size_t end = sizeof suffix - 1;
    if (length > end && strcmp(setup->name + length - end, suffix) == 0) {
        setup->name[length - end] = '\0';
        return ERROR_NONE;
    }
    struct text name;
    text_init(&name);
    text_append(&name, setup->name);
    text_append(&name, suffix);
    char *taken = text_take(&name);
    if (taken == NULL)
        return error_memory(error);
    free(setup->name);
    setup->name = taken;
    return ERROR_NONE;
}

/* The title says that it is the mirror, and stops saying so when mirrored
 * back. */
static int mirror_title(struct setup *setup, struct error *error)
{
    static const char prefix[] = "Mirror of: ";
    size_t start = sizeof prefix - 1;
    char *title = NULL;
    if (strncmp(setup->title, prefix, start) == 0) {
        title = string_copy(setup->title + start);
    } else {
        struct text text;
        text_init(&text);
        text_append(&text, prefix);
        text_append(&text, setup->title);
        title = text_take(&text);
    }
    if (title == NULL)
        return error_memory(error);
    free(setup->title);
    setup->title = title;
    return ERROR_NONE;
}

/* A family that was the shape's name stays it. */
static int mirror_family(struct setup *setup, const char *shape_before, struct error *error)
{
    if (strcmp(setup->family, shape_before) != 0)
        return ERROR_NONE;
    char *family = string_copy(shape_name(&setup->candles[0]));
    if (family == NULL)
        return error_memory(error);
    free(setup->family);
    setup->family = family;
    return ERROR_NONE;
}

int setup_mirror(struct setup *setup, struct error *error)
{
    const char *shape_before = shape_name(&setup->candles[0]);
    setup->side = setup->side == SIDE_LONG ? SIDE_SHORT : SIDE_LONG;
    for (size_t i = 0; i < setup->candle_count; i++)
        if (setup->candles[i].shape->mirror_name != NULL)
            setup->candles[i].mirrored = !setup->candles[i].mirrored;
    bool made = mirror_criteria(&setup->place);
    made = mirror_criteria(&setup->confirm) && made;
    made = mirror_criteria(&setup->exit.when) && made;
    int code = made ? mirror_name(setup, error) : error_memory(error);
    if (code == ERROR_NONE)
        code = mirror_title(setup, error);
    return code == ERROR_NONE ? mirror_family(setup, shape_before, error) : code;
}
