/* The numbers of a setup, each by its path in the setup as it is written. */
#include "evidence/sensitivity.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { NUMBER_PATH_SIZE = 64 };

struct listing {
    struct named_number *numbers;
    size_t count;
};

static void add(struct listing *listing, struct named_number number, const char *name)
{
    if (isnan(number.value) || number.value == 0)
        return;
    snprintf(number.name, sizeof number.name, "%s", name);
    listing->numbers[listing->count++] = number;
}

/* The numbers of one row of a table. */
static void add_row(struct listing *listing, enum number_part part, size_t index, const char *path,
                    const struct parameter *parameters, const double *values, bool mirrored)
{
    for (size_t p = 0; p < parameter_count(parameters); p++) {
        const struct parameter *parameter = &parameters[p];
        char name[NUMBER_NAME_SIZE];
        if (parameter->kind != PARAMETER_NUMBER && parameter->kind != PARAMETER_WHOLE &&
            parameter->kind != PARAMETER_RATIO)
            continue;
        snprintf(name, sizeof name, "%s.%s", path, parameter_name(parameter, mirrored));
        add(listing,
            (struct named_number){.part = part,
                                  .index = index,
                                  .parameter = p,
                                  .whole = parameter->kind == PARAMETER_WHOLE,
                                  .from_hundred = mirrored &&
                                                  parameter->mirror == MIRROR_FROM_HUNDRED,
                                  .value = values[p],
                                  .least = parameter->least,
                                  .most = parameter->most},
            name);
    }
}

/* The lengths of a measure that is compared: place.compare.value.average.bars. */
static void add_side(struct listing *listing, const struct named_number *place, const char *path,
                     const char *word, const struct compare_side *side,
                     enum compared_number compared)
{
    if (side->what == NULL)
        return;
    const struct parameter *parameters = comparable_parameters(side->what);
    for (size_t p = 0; p < parameter_count(parameters); p++) {
        struct named_number number = *place;
        char name[2 * NUMBER_NAME_SIZE];
        number.compared = compared;
        number.parameter = p;
        number.whole = parameters[p].kind == PARAMETER_WHOLE;
        number.value = side->values[p];
        number.least = parameters[p].least;
        number.most = parameters[p].most;
        snprintf(name, sizeof name, "%s.%s.%s.%s", path, word, comparable_name(side->what),
                 parameters[p].name);
        add(listing, number, name);
    }
}

static void add_compare(struct listing *listing, enum number_part part, size_t index,
                        const char *path, const struct criterion *criterion)
{
    const struct compare_rule *rule = criterion->compare;
    struct compare_rule seen = *rule; /* as it is written, which is what its words are of */
    char name[NUMBER_NAME_SIZE];
    bool hundred = rule->value.what->kind == COMPARABLE_HUNDRED;
    bool turns = criterion->mirrored && comparable_turns(rule->value.what->kind);
    const struct named_number place = {.part = part, .index = index};
    struct named_number number = place;
    if (criterion->mirrored)
        compare_turn(&seen);
    const char *way = compare_way_words[seen.way];
    add_side(listing, &place, path, "value", &seen.value, COMPARED_VALUE);
    number.compared = compare_has_run(rule) ? COMPARED_RUN : COMPARED_NUMBER;
    number.whole = compare_has_run(rule);
    number.value = number.whole               ? (double)rule->run
                   : rule->other.what == NULL ? rule->other.number
                                              : NAN;
    number.from_the_end = !number.whole && hundred && number.value > 50;
    number.from_hundred = !number.whole && hundred && number.from_the_end != turns;
    number.negated = !number.whole && turns && !hundred;
    if (number.from_the_end)
        number.value = 100 - number.value;
    number.least = number.whole ? 1 : hundred ? 0 : -INFINITY;
    number.most = number.whole ? 1000 : hundred ? 100 : INFINITY;
    snprintf(name, sizeof name, "%s.%s", path, way);
    add(listing, number, name);
    if (!compare_has_run(rule))
        add_side(listing, &place, path, way, &seen.other, COMPARED_OTHER);
    if (rule->by_unit == BY_NOTHING)
        return;
    number = place;
    number.compared = COMPARED_BY;
    number.value = rule->by;
    number.least = 0;
    number.most = INFINITY;
    snprintf(name, sizeof name, "%s.%s", path, compare_by_words[rule->by_unit]);
    add(listing, number, name);
}

/* How many conditions before `index` have its name. */
static size_t count_before(const struct criteria *criteria, size_t index)
{
    const char *name = criterion_name(&criteria->list[index]);
    size_t count = 0;
    for (size_t i = 0; i < index; i++)
        count += criteria->list[i].kind == CRITERION_CONDITION &&
                 strcmp(criterion_name(&criteria->list[i]), name) == 0;
    return count;
}

static void add_criteria(struct listing *listing, enum number_part part, const char *before,
                         const struct criteria *criteria)
{
    for (size_t i = 0; i < criteria->count; i++) {
        const struct criterion *criterion = &criteria->list[i];
        char path[NUMBER_PATH_SIZE];
        if (criterion->kind != CRITERION_CONDITION)
            continue;
        size_t same = count_before(criteria, i);
        int length = snprintf(path, sizeof path, "%s.%s", before, criterion_name(criterion));
        if (same > 0)
            snprintf(path + length, sizeof path - (size_t)length, ".%zu", same + 1);
        add_row(listing, part, i, path, criterion->condition->parameters, criterion->values,
                criterion->mirrored);
        if (criterion->compare != NULL)
            add_compare(listing, part, i, path, criterion);
    }
}

static void add_candles(struct listing *listing, const struct setup *setup)
{
    for (size_t c = 0; c < setup->candle_count; c++) {
        char path[NUMBER_PATH_SIZE] = "candle.limits";
        if (setup->candle_any_of)
            snprintf(path, sizeof path, "candle.any_of.%zu.limits", c + 1);
        add_row(listing, PART_CANDLE, c, path, setup->candles[c].shape->limits,
                setup->candles[c].limits, setup->candles[c].mirrored);
    }
}

static void add_stops(struct listing *listing, const struct stop_rule *stop)
{
    for (size_t i = 0; i < stop->count; i++) {
        char path[NUMBER_PATH_SIZE] = "stop";
        if (stop->several)
            snprintf(path, sizeof path, "stop.of.%zu", i + 1);
        add_row(listing, PART_STOP, i, path, stop->members[i].stop->parameters,
                stop->members[i].values, false);
    }
}

static void add_targets(struct listing *listing, const struct exit_rule *rule)
{
    for (size_t i = 0; i < rule->target_count; i++) {
        char path[NUMBER_PATH_SIZE];
        snprintf(path, sizeof path, "exit.targets.%zu.r", i + 1);
        if (target_is_r(rule->targets[i].kind))
            add(listing,
                (struct named_number){.part = PART_TARGET_R,
                                      .index = i,
                                      .value = rule->targets[i].value,
                                      .least = 0.1,
                                      .most = 100},
                path);
    }
}

/* Those of every row, the targets, and the two of entry and exit. */
_Static_assert((CANDLE_CHOICES + PLACE_LIMIT + CONFIRM_LIMIT + 1 + STOP_MEMBERS) * PARAMETER_LIMIT +
                       TARGET_LIMIT + 2 <=
                   NUMBER_LIMIT,
               "the list has room for every number of a setup");

size_t setup_numbers(const struct setup *setup, struct named_number numbers[NUMBER_LIMIT])
{
    struct listing listing = {numbers, 0};
    add_candles(&listing, setup);
    add_criteria(&listing, PART_PLACE, "place", &setup->place);
    add_criteria(&listing, PART_CONFIRM, "confirm.of", &setup->confirm);
    add_row(&listing, PART_ENTRY, 0, "entry", setup->entry.entry->parameters, setup->entry.values,
            false);
    add(&listing,
        (struct named_number){.part = PART_VALID,
                              .whole = true,
                              .value = setup->entry.entry->kind == ENTRY_MARKET
                                           ? NAN
                                           : (double)setup->entry.valid,
                              .least = 1,
                              .most = 1000},
        "entry.valid");
    add_stops(&listing, &setup->stop);
    add_targets(&listing, &setup->exit);
    add(&listing,
        (struct named_number){.part = PART_TIME_STOP,
                              .whole = true,
                              .value = (double)setup->exit.time_stop,
                              .least = 1,
                              .most = 2000},
        "exit.time_stop");
    return listing.count;
}

double number_as_written(const struct named_number *number, double value)
{
    return number->from_hundred ? 100 - value : number->negated ? -value : value;
}

size_t sweep_values(const struct named_number *number, double values[SWEEP_LIMIT])
{
    static const double factors[SWEEP_LIMIT] = {0.5, 0.7, 0.85, 1, 1.2, 1.5, 2};
    size_t count = 0;
    for (size_t i = 0; i < SWEEP_LIMIT; i++) {
        double factor = factors[number->value < 0 ? SWEEP_LIMIT - 1 - i : i];
        double value = number->value * factor;
        /* Four digits are enough to move a number by, and read better. */
        double grain = pow(10, floor(log10(fabs(value))) - 3);
        value = factor == 1 ? value : number->whole ? round(value) : round(value / grain) * grain;
        if (isfinite(number->least))
            value = fmax(value, number->least);
        if (isfinite(number->most))
            value = fmin(value, number->most);
        if (count == 0 || value > values[count - 1])
            values[count++] = value;
    }
    return count;
}

/* Of a condition's row, or of its rule, whose words are then written anew; false
 * without memory. */
static bool set_of_criterion(struct criterion *criterion, const struct named_number *number,
                             double value)
{
    struct compare_rule *rule = criterion->compare;
    switch (number->compared) {
    case COMPARED_NOTHING: criterion->values[number->parameter] = value; return true;
    case COMPARED_NUMBER: rule->other.number = number->from_the_end ? 100 - value : value; break;
    case COMPARED_RUN: rule->run = (size_t)value; break;
    case COMPARED_BY: rule->by = value; break;
    case COMPARED_VALUE: rule->value.values[number->parameter] = value; break;
    case COMPARED_OTHER: rule->other.values[number->parameter] = value; break;
    }
    return compare_describe(rule);
}

static bool set_number(struct setup *setup, const struct named_number *number, double value)
{
    size_t i = number->index;
    size_t p = number->parameter;
    switch (number->part) {
    case PART_CANDLE: setup->candles[i].limits[p] = value; break;
    case PART_PLACE: return set_of_criterion(&setup->place.list[i], number, value);
    case PART_CONFIRM: return set_of_criterion(&setup->confirm.list[i], number, value);
    case PART_ENTRY: setup->entry.values[p] = value; break;
    case PART_VALID: setup->entry.valid = (size_t)value; break;
    case PART_STOP: setup->stop.members[i].values[p] = value; break;
    case PART_TARGET_R: setup->exit.targets[i].value = value; break;
    case PART_TIME_STOP: setup->exit.time_stop = (size_t)value; break;
    }
    return true;
}

int setup_with(struct setup *copy, const struct setup *setup,
               const struct named_number *const *numbers, const double *values, size_t count,
               struct error *error)
{
    struct text text;
    text_init(&text);
    setup_write(setup, &text);
    /* One kept in a book may hold what is refused in a file today. */
    int code = text_failed(&text) ? error_memory(error)
                                  : setup_read_kept(copy, setup->name, text.bytes, error);
    bool set = true;
    for (size_t i = 0; code == ERROR_NONE && i < count; i++)
        set = set_number(copy, numbers[i], values[i]) && set;
    if (!set) {
        setup_free(copy);
        code = error_memory(error);
    }
    text_free(&text);
    return code;
}
