#include "setup/fields.h"

#include "base/array.h"
#include "base/number.h"
#include "setup/setup_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- finding them -------------------------------------------------------------------- */

struct finding {
    struct setup_fields *fields;
    bool failed;
};

static void add(struct finding *finding, const char *place, struct setup_field field)
{
    struct setup_fields *fields = finding->fields;
    struct setup_field *grown = array_reserve(fields->list, &fields->room, fields->count + 1,
                                              sizeof *grown);
    if (grown == NULL) {
        finding->failed = true;
        return;
    }
    fields->list = grown;
    snprintf(field.name, sizeof field.name, "%.60s.%.30s", place, field.words);
    grown[fields->count++] = field;
}

static bool is_number(const struct parameter *parameter)
{
    return parameter->kind == PARAMETER_NUMBER || parameter->kind == PARAMETER_WHOLE ||
           parameter->kind == PARAMETER_RATIO;
}

static void add_row(struct finding *finding, enum field_part part, size_t item, const char *place,
                    const struct parameter *parameters, bool mirrored, double *values)
{
    for (size_t p = 0; p < parameter_count(parameters); p++) {
        const struct parameter *parameter = &parameters[p];
        bool turned = mirrored && parameter->mirror == MIRROR_FROM_HUNDRED;
        if (!is_number(parameter))
            continue;
        add(finding, place,
            (struct setup_field){.part = part,
                                 .item = item,
                                 .words = parameter_name(parameter, mirrored),
                                 .unit = parameter->unit,
                                 .least = turned ? 100 - parameter->most : parameter->least,
                                 .most = turned ? 100 - parameter->least : parameter->most,
                                 .whole = parameter->kind == PARAMETER_WHOLE,
                                 .may_be_empty = isnan(parameter->missing),
                                 .parameter = parameter,
                                 .mirrored = mirrored,
                                 .number = &values[p]});
    }
}

static void add_count(struct finding *finding, enum field_part part, size_t item, const char *place,
                      const char *words, const char *unit, double least, double most, size_t *count)
{
    add(finding, place,
        (struct setup_field){.part = part,
                             .item = item,
                             .words = words,
                             .unit = unit,
                             .least = least,
                             .most = most,
                             .whole = true,
                             .count = count});
}

static void add_number(struct finding *finding, enum field_part part, const char *place,
                       const char *words, const char *unit, double least, double most,
                       double *number)
{
    add(finding, place,
        (struct setup_field){.part = part,
                             .words = words,
                             .unit = unit,
                             .least = least,
                             .most = most,
                             .number = number});
}

/* A mirrored comparison is kept on negated prices; its numbers would read the
 * wrong way round. */
static void add_compare(struct finding *finding, enum field_part part, size_t item,
                        const char *place, const struct criterion *criterion)
{
    struct compare_rule *rule = criterion->compare;
    if (rule == NULL || criterion->mirrored)
        return;
    struct setup_field field = {.part = part, .item = item, .unit = "", .most = INFINITY};
    if (compare_has_run(rule)) {
        add_count(finding, part, item, place, compare_way_words[rule->way], "bars", 1, 1000,
                  &rule->run);
        return;
    }
    field.words = compare_way_words[rule->way];
    field.least = -INFINITY;
    field.number = &rule->other.number;
    if (rule->other.what == NULL)
        add(finding, place, field);
    field.words = compare_by_words[rule->by_unit];
    field.least = 0;
    field.number = &rule->by;
    if (rule->by_unit != BY_NOTHING)
        add(finding, place, field);
}

static void add_criterion(struct finding *finding, enum field_part part, size_t item,
                          const char *place, struct criterion *criterion)
{
    enum { MOST_WITHIN = 1000 };
    for (size_t i = 0; i < criterion->part_count; i++) {
        char inner[FIELD_NAME_SIZE];
        snprintf(inner, sizeof inner, "%.60s.%u", place, (unsigned)i + 1);
        add_criterion(finding, part, item, inner, &criterion->parts[i]);
    }
    if (criterion->kind != CRITERION_CONDITION)
        return;
    add_row(finding, part, item, place, criterion->condition->parameters, criterion->mirrored,
            criterion->values);
    add_compare(finding, part, item, place, criterion);
    add_count(finding, part, item, place, "within", "bars", 0, MOST_WITHIN, &criterion->within);
}

static void add_criteria(struct finding *finding, enum field_part part, const char *name,
                         const struct criteria *criteria)
{
    for (size_t i = 0; i < criteria->count; i++) {
        char place[FIELD_NAME_SIZE];
        snprintf(place, sizeof place, "%s.%zu", name, i + 1);
        add_criterion(finding, part, i, place, &criteria->list[i]);
    }
}

static void add_buffer(struct finding *finding, enum field_part part, const char *place,
                       struct buffer *buffer)
{
    if (buffer->atr > 0)
        add_number(finding, part, place, "buffer_atr", "ATR", 0, 1000, &buffer->atr);
    else
        add_number(finding, part, place, "buffer_ticks", "ticks", 0, 1e6, &buffer->ticks);
}

static void add_orders(struct finding *finding, struct setup *setup)
{
    enum { MOST_VALID = 1000, MOST_BARS = 100000 };
    struct entry_rule *entry = &setup->entry;
    add_row(finding, FIELD_ENTRY, 0, "entry", entry->entry->parameters, false, entry->values);
    if (entry->entry->kind != ENTRY_MARKET)
        add_count(finding, FIELD_ENTRY, 0, "entry", "valid", "bars", 1, MOST_VALID, &entry->valid);
    if (entry_takes_buffer(entry->entry))
        add_buffer(finding, FIELD_ENTRY, "entry", &entry->buffer);
    for (size_t i = 0; i < setup->stop.count; i++) {
        char place[FIELD_NAME_SIZE];
        snprintf(place, sizeof place, "stop.%zu", i + 1);
        add_row(finding, FIELD_STOP, i, place, setup->stop.members[i].stop->parameters, false,
                setup->stop.members[i].values);
    }
    if (setup->stop.several || stop_takes_buffer(setup->stop.members[0].stop))
        add_buffer(finding, FIELD_STOP, "stop", &setup->stop.buffer);
    for (size_t i = 0; i < setup->exit.target_count; i++) {
        struct target *target = &setup->exit.targets[i];
        const struct parameter *number = &target->kind->number;
        char place[FIELD_NAME_SIZE];
        snprintf(place, sizeof place, "exit.targets.%zu", i + 1);
        add(finding, place,
            (struct setup_field){.part = FIELD_EXIT,
                                 .words = sided_word(target->kind->name, target->kind->mirror_name,
                                                     setup->side),
                                 .unit = number->unit,
                                 .least = target_is_r(target->kind) ? 0.01 : number->least,
                                 .most = number->most,
                                 .whole = number->kind == PARAMETER_WHOLE,
                                 .parameter = number,
                                 .number = &target->value});
        add_number(finding, FIELD_EXIT, place, "share", "of the position", 0.001, 1,
                   &target->share);
    }
    if (setup->exit.time_stop > 0)
        add_count(finding, FIELD_EXIT, 0, "exit", "time_stop", "bars", 1, MOST_BARS,
                  &setup->exit.time_stop);
}

int setup_fields_find(struct setup *setup, struct setup_fields *fields, struct error *error)
{
    enum { MOST_WAIT = 1000 };
    struct finding finding = {fields, false};
    *fields = (struct setup_fields){0};
    for (size_t i = 0; i < setup->candle_count; i++) {
        char place[FIELD_NAME_SIZE];
        snprintf(place, sizeof place, "candle.%zu", i + 1);
        add_row(&finding, FIELD_CANDLE, i, place, setup->candles[i].shape->limits,
                setup->candles[i].mirrored, setup->candles[i].limits);
    }
    add_criteria(&finding, FIELD_PLACE, "place", &setup->place);
    if (setup->confirm.count > 0) {
        add_count(&finding, FIELD_NEEDED, 0, "confirm", "at_least", "of the list", 1,
                  (double)setup->confirm.count, &setup->confirm_at_least);
        add_count(&finding, FIELD_NEEDED, 0, "confirm", "wait", "bars", 0, MOST_WAIT,
                  &setup->confirm_wait);
    }
    add_criteria(&finding, FIELD_CONFIRM, "confirm", &setup->confirm);
    add_orders(&finding, setup);
    return finding.failed ? error_memory(error) : ERROR_NONE;
}

void setup_fields_free(struct setup_fields *fields)
{
    free(fields->list);
    *fields = (struct setup_fields){0};
}

/* --- in words ------------------------------------------------------------------------- */

const char *setup_field_says(const struct setup_field *field)
{
    static const struct {
        const char *words, *says;
    } rows[] = {
        {"within", "how far back it may be met, at most"},
        {"at_least", "at least"},
        {"wait", "waited for another"},
        {"valid", "the entry may come on the next"},
        {"buffer_ticks", "farther away by"},
        {"buffer_atr", "farther away by"},
        {"share", "of which leaves"},
        {"time_stop", "out at the close after"},
    };
    if (field->parameter != NULL)
        return field->parameter->help;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        if (strcmp(rows[i].words, field->words) == 0)
            return rows[i].says;
    return field->words;
}

/* --- reading and writing one ------------------------------------------------------------ */

static double as_written(const struct setup_field *field, double value)
{
    return field->mirrored && field->parameter != NULL ? parameter_mirrored(field->parameter, value)
                                                       : value;
}

void setup_field_write(const struct setup_field *field, struct text *text)
{
    if (field->count != NULL)
        text_append_integer(text, (int64_t)*field->count);
    else if (!isnan(*field->number))
        text_append_number(text, as_written(field, *field->number));
}

static int refuse(const struct setup_field *field, const char *found, struct error *error)
{
    struct text range;
    text_init(&range);
    if (isfinite(field->least)) {
        text_append(&range, " from ");
        text_append_number(&range, field->least);
    }
    if (isfinite(field->most)) {
        text_append(&range, " to ");
        text_append_number(&range, field->most);
    }
    error_set(error, ERROR_INPUT, "%s: found '%.60s'; a %snumber%s%s is allowed%s", field->name,
              found, field->whole ? "whole " : "", range.bytes,
              isfinite(field->most) || !isfinite(field->least) ? "" : " on",
              field->may_be_empty ? ", or nothing" : "");
    text_free(&range);
    return ERROR_INPUT;
}

int setup_field_set(const struct setup_field *field, const char *text, struct error *error)
{
    double value = NAN;
    bool empty = text[0] == '\0';
    if (empty && !field->may_be_empty)
        return refuse(field, text, error);
    if (!empty && (!number_parse(text, strlen(text), &value) || !(value >= field->least) ||
                   !(value <= field->most) || (field->whole && value != floor(value))))
        return refuse(field, text, error);
    if (field->count != NULL)
        *field->count = (size_t)value;
    else
        *field->number = as_written(field, value);
    return ERROR_NONE;
}
