#include "setup/comparing.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Places in the table, for the rows that change places. */
enum { ROW_OPEN, ROW_HIGH, ROW_LOW, ROW_CLOSE, ROW_VOLUME, ROW_MEASURES };
#define ROW_OF(measure) (ROW_MEASURES + (measure))
#define REVERSE(row) .reverse = &comparables[row]
#define MEASURE_ROW(id, what) [ROW_OF(id)] = {.measure = &measures[id], .kind = what

/* One row a line, like a table. */
/* clang-format off */
const struct comparable comparables[] = {
    [ROW_OPEN] = {.column = "open", .kind = COMPARABLE_PRICE, .as_given = true},
    [ROW_HIGH] = {.column = "high", .kind = COMPARABLE_PRICE, .as_given = true, REVERSE(ROW_LOW)},
    [ROW_LOW] = {.column = "low", .kind = COMPARABLE_PRICE, .as_given = true, REVERSE(ROW_HIGH)},
    [ROW_CLOSE] = {.column = "close", .kind = COMPARABLE_PRICE, .as_given = true},
    [ROW_VOLUME] = {.column = "volume", .kind = COMPARABLE_VOLUME},
    MEASURE_ROW(MEASURE_RANGE, COMPARABLE_LENGTH)},
    MEASURE_ROW(MEASURE_BODY, COMPARABLE_LENGTH)},
    MEASURE_ROW(MEASURE_UPPER_SHADOW, COMPARABLE_LENGTH), REVERSE(ROW_OF(MEASURE_LOWER_SHADOW))},
    MEASURE_ROW(MEASURE_LOWER_SHADOW, COMPARABLE_LENGTH), REVERSE(ROW_OF(MEASURE_UPPER_SHADOW))},
    MEASURE_ROW(MEASURE_AVERAGE, COMPARABLE_PRICE)},
    MEASURE_ROW(MEASURE_EXPONENTIAL_AVERAGE, COMPARABLE_PRICE)},
    MEASURE_ROW(MEASURE_WILDER_AVERAGE, COMPARABLE_PRICE)},
    MEASURE_ROW(MEASURE_TRUE_RANGE, COMPARABLE_LENGTH)},
    MEASURE_ROW(MEASURE_ATR, COMPARABLE_LENGTH)},
    MEASURE_ROW(MEASURE_RSI, COMPARABLE_HUNDRED)},
    MEASURE_ROW(MEASURE_RSI_AVERAGE, COMPARABLE_HUNDRED)},
    MEASURE_ROW(MEASURE_MACD, COMPARABLE_DIFFERENCE)},
    MEASURE_ROW(MEASURE_MACD_SIGNAL, COMPARABLE_DIFFERENCE)},
    MEASURE_ROW(MEASURE_MACD_HISTOGRAM, COMPARABLE_DIFFERENCE)},
    MEASURE_ROW(MEASURE_STOCHASTIC_RAW, COMPARABLE_HUNDRED)},
    MEASURE_ROW(MEASURE_STOCHASTIC_SMOOTH, COMPARABLE_HUNDRED)},
    MEASURE_ROW(MEASURE_STOCHASTIC, COMPARABLE_HUNDRED)},
    MEASURE_ROW(MEASURE_DEVIATION, COMPARABLE_LENGTH)},
    MEASURE_ROW(MEASURE_UPPER_BAND, COMPARABLE_PRICE), REVERSE(ROW_OF(MEASURE_LOWER_BAND))},
    MEASURE_ROW(MEASURE_LOWER_BAND, COMPARABLE_PRICE), REVERSE(ROW_OF(MEASURE_UPPER_BAND))},
    MEASURE_ROW(MEASURE_DIRECTIONAL_UP, COMPARABLE_SHARE), REVERSE(ROW_OF(MEASURE_DIRECTIONAL_DOWN))},
    MEASURE_ROW(MEASURE_DIRECTIONAL_DOWN, COMPARABLE_SHARE), REVERSE(ROW_OF(MEASURE_DIRECTIONAL_UP))},
    MEASURE_ROW(MEASURE_ADX, COMPARABLE_SHARE)},
    MEASURE_ROW(MEASURE_SLOPE, COMPARABLE_SLOPE)},
    MEASURE_ROW(MEASURE_SLOPE_T, COMPARABLE_SLOPE_T)},
    MEASURE_ROW(MEASURE_HIGHEST, COMPARABLE_PRICE), .as_given = true, REVERSE(ROW_OF(MEASURE_LOWEST))},
    MEASURE_ROW(MEASURE_LOWEST, COMPARABLE_PRICE), .as_given = true, REVERSE(ROW_OF(MEASURE_HIGHEST))},
    MEASURE_ROW(MEASURE_AVERAGE_VOLUME, COMPARABLE_VOLUME)},
    [ROW_OF(MEASURE_COUNT)] = {.column = NULL},
};
/* clang-format on */

const char *const compare_way_words[6] = {"above",         "below",     "crosses_above",
                                          "crosses_below", "rises_for", "falls_for"};
const char *const compare_by_words[5] = {NULL, "by", "by_atr", "by_percent", "by_ticks"};

const char *comparable_name(const struct comparable *comparable)
{
    return comparable->measure != NULL ? comparable->measure->name : comparable->column;
}

const struct comparable *comparable_find(const char *name)
{
    for (const struct comparable *row = comparables; comparable_name(row) != NULL; row++)
        if (strcmp(comparable_name(row), name) == 0)
            return row;
    return NULL;
}

const struct parameter *comparable_parameters(const struct comparable *comparable)
{
    static const struct parameter none[1];
    return comparable->measure != NULL ? comparable->measure->parameters : none;
}

bool comparable_turns(enum comparable_kind kind)
{
    return kind != COMPARABLE_LENGTH && kind != COMPARABLE_SHARE && kind != COMPARABLE_VOLUME;
}

bool compare_has_run(const struct compare_rule *rule)
{
    return rule->way == WAY_RISES_FOR || rule->way == WAY_FALLS_FOR;
}

bool compare_asks_beyond_prices(const struct compare_rule *rule)
{
    return rule->value.what->kind == COMPARABLE_VOLUME || rule->value.of != NULL ||
           rule->other.of != NULL;
}

static bool reads_other_bars(const struct compare_side *side)
{
    return side->of != NULL || side->interval.unit != INTERVAL_NONE;
}

bool compare_reads_other_bars(const struct compare_rule *rule)
{
    return reads_other_bars(&rule->value) || reads_other_bars(&rule->other);
}

/* --- on negated prices --------------------------------------------------------- */

static double turned_number(enum comparable_kind kind, double number)
{
    static const struct parameter hundred = {.mirror = MIRROR_FROM_HUNDRED};
    if (kind == COMPARABLE_HUNDRED)
        return parameter_mirrored(&hundred, number);
    return comparable_turns(kind) && number != 0 ? -number : number;
}

static void turn_side(struct compare_side *side, enum comparable_kind kind)
{
    if (side->what == NULL)
        side->number = turned_number(kind, side->number);
    else if (side->what->reverse != NULL)
        side->what = side->what->reverse;
}

void compare_turn(struct compare_rule *rule)
{
    static const enum compare_way turned[] = {
        [WAY_ABOVE] = WAY_BELOW,
        [WAY_BELOW] = WAY_ABOVE,
        [WAY_CROSSES_ABOVE] = WAY_CROSSES_BELOW,
        [WAY_CROSSES_BELOW] = WAY_CROSSES_ABOVE,
        [WAY_RISES_FOR] = WAY_FALLS_FOR,
        [WAY_FALLS_FOR] = WAY_RISES_FOR,
    };
    enum comparable_kind kind = rule->value.what->kind;
    turn_side(&rule->value, kind);
    turn_side(&rule->other, kind);
    if (comparable_turns(kind))
        rule->way = turned[rule->way];
}

/* --- texts ---------------------------------------------------------------------- */

static void append_parameters(struct text *out, const struct compare_side *side, bool names)
{
    const struct parameter *parameters = comparable_parameters(side->what);
    for (size_t i = 0; i < parameter_count(parameters); i++) {
        text_append(out, i > 0 ? ", " : "");
        if (names)
            text_append_format(out, "%s: ", parameters[i].name);
        text_append_number(out, side->values[i]);
    }
}

/* "average(50) of 'INDEX' on 1w bars, 5 bars ago". Names of instruments stand in
 * quotes, which keeps them from being turned round with the words. */
static void describe_side(struct text *out, const struct compare_side *side)
{
    char interval[INTERVAL_TEXT_SIZE];
    text_append(out, comparable_name(side->what));
    if (parameter_count(comparable_parameters(side->what)) > 0) {
        text_append_char(out, '(');
        append_parameters(out, side, false);
        text_append_char(out, ')');
    }
    if (side->of != NULL)
        text_append_format(out, " of '%s'", side->of);
    if (side->interval.unit != INTERVAL_NONE) {
        interval_format(interval, side->interval);
        text_append_format(out, " on %s bars", interval);
    }
    if (side->bars_ago > 0)
        text_append_format(out, " %zu bar%s ago", side->bars_ago, side->bars_ago > 1 ? "s" : "");
}

static void describe_by(struct text *out, const struct compare_rule *rule)
{
    static const char *const units[] = {"", "", " ATR", "%", " ticks"};
    if (rule->by_unit == BY_NOTHING)
        return;
    text_append(out, " by ");
    text_append_number(out, rule->by);
    text_append(out, rule->by == 1 && rule->by_unit == BY_TICKS ? " tick" : units[rule->by_unit]);
}

static void describe(struct text *out, const struct compare_rule *rule)
{
    if (compare_has_run(rule))
        text_append(out, rule->way == WAY_RISES_FOR ? "bars of rise in a row, "
                                                    : "bars of fall in a row, ");
    describe_side(out, &rule->value);
    if (!compare_has_run(rule) && rule->other.what != NULL) {
        text_append(out, ", against ");
        describe_side(out, &rule->other);
    }
    if (rule->by_unit != BY_NOTHING)
        text_append_char(out, ',');
    describe_by(out, rule);
}

void compare_say(struct text *out, const struct compare_rule *rule)
{
    static const char *const ways[] = {
        [WAY_ABOVE] = " is above ",
        [WAY_BELOW] = " is below ",
        [WAY_CROSSES_ABOVE] = " was at or below one bar ago, and is above, ",
        [WAY_CROSSES_BELOW] = " was at or above one bar ago, and is below, ",
        [WAY_RISES_FOR] = " rose on each of the last ",
        [WAY_FALLS_FOR] = " fell on each of the last ",
    };
    describe_side(out, &rule->value);
    if (compare_has_run(rule) && rule->run == 1) {
        text_append(out,
                    rule->way == WAY_RISES_FOR ? " rose on the last bar" : " fell on the last bar");
        return;
    }
    text_append(out, ways[rule->way]);
    if (compare_has_run(rule)) {
        text_append_format(out, "%zu bars", rule->run);
        return;
    }
    if (rule->other.what != NULL)
        describe_side(out, &rule->other);
    else
        text_append_number(out, rule->other.number);
    describe_by(out, rule);
}

bool compare_describe(struct compare_rule *rule)
{
    struct text now;
    struct text before;
    text_init(&now);
    text_init(&before);
    describe(&now, rule);
    text_append(&before, "one bar ago: ");
    describe(&before, rule);
    free(rule->shown);
    free(rule->shown_before);
    rule->shown = text_take(&now);
    rule->shown_before = text_take(&before);
    return rule->shown != NULL && rule->shown_before != NULL;
}

void compare_free(struct compare_rule *rule)
{
    if (rule == NULL)
        return;
    free(rule->value.of);
    free(rule->other.of);
    free(rule->shown);
    free(rule->shown_before);
    free(rule);
}

/* --- writing -------------------------------------------------------------------- */

/* `close`, `100`, or `average: {bars: 50, of: INDEX}` in a map of its own. */
static void write_side(struct text *out, const struct compare_side *side)
{
    char interval[INTERVAL_TEXT_SIZE];
    if (side->what == NULL) {
        text_append_number(out, side->number);
        return;
    }
    bool numbers = parameter_count(comparable_parameters(side->what)) > 0;
    const char *separator = numbers ? ", " : "";
    text_append_format(out, "{%s: {", comparable_name(side->what));
    append_parameters(out, side, true);
    if (side->bars_ago > 0) {
        text_append_format(out, "%sbars_ago: %zu", separator, side->bars_ago);
        separator = ", ";
    }
    if (side->of != NULL) {
        text_append_format(out, "%sof: ", separator);
        text_append_json(out, side->of);
        separator = ", ";
    }
    if (side->interval.unit != INTERVAL_NONE) {
        interval_format(interval, side->interval);
        text_append_format(out, "%sinterval: %s", separator, interval);
    }
    text_append(out, "}}");
}

void compare_write(struct text *out, const struct compare_rule *rule)
{
    text_append(out, "value: ");
    write_side(out, &rule->value);
    text_append_format(out, ", %s: ", compare_way_words[rule->way]);
    if (compare_has_run(rule))
        text_append_integer(out, (int64_t)rule->run);
    else
        write_side(out, &rule->other);
    if (rule->by_unit == BY_NOTHING)
        return;
    text_append_format(out, ", %s: ", compare_by_words[rule->by_unit]);
    text_append_number(out, rule->by);
}
