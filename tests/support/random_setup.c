#include "random_setup.h"

#include "random_market.h"
#include "setup/setup.h"

#include <math.h>
#include <string.h>

/* What is being written. */
struct draft {
    struct text *text;
    struct random_stream *stream;
    struct interval bars;
    bool is_short;
    bool retest;
};

/* --- numbers ------------------------------------------------------------------ */

/* Ranges that make rules fire, for parameters of this name; of the row named,
 * where its own are wanted. */
static const struct range {
    const char *row;
    const char *name;
    double least;
    double most;
    double step;
} ranges[] = {
    {"at_support", "bars", 20, 120, 10},
    {"bullish_divergence", "bars", 10, 60, 5},
    {"falling_trend_line", "bars", 10, 60, 5},
    {"trend_line_break", "bars", 10, 60, 5},
    {"retest", "bars", 4, 40, 1},
    {"retracement", "bars", 4, 40, 1}, /* a stop */
    {"fall", "atr", 0, 4, 0.25},
    {"adx_below", "level", 5, 60, 5},
    {"volume_above_average", "times", 0.5, 1.5, 0.25},
    {NULL, "bars", 2, 14, 1},
    {NULL, "swing", 1, 3, 1},
    {NULL, "count", 2, 3, 1},
    {NULL, "touches", 1, 3, 1},
    {NULL, "length", 1, 14, 1},
    {NULL, "average", 1, 9, 1},
    {NULL, "smooth", 1, 4, 1},
    {NULL, "fast", 1, 6, 1},
    {NULL, "slow", 7, 14, 1},
    {NULL, "signal", 1, 6, 1},
    {NULL, "over", 1, 6, 1},
    {NULL, "break_within", 1, 12, 1},
    {NULL, "retest_within", 1, 12, 1},
    {NULL, "fall_atr", 0, 2, 0.25},
    {NULL, "width_atr", 0, 1.5, 0.1},
    {NULL, "tolerance_atr", 0, 1, 0.05},
    {NULL, "level", 10, 90, 5},
    {NULL, "from_below", 20, 80, 5},
    {NULL, "width", 0, 2.5, 0.25},
    {NULL, "share", 0, 0.5, 0.05},
    {"atr", "times", 0.1, 1, 0.1}, /* a stop */
    {NULL, "times", 0.25, 2, 0.25},
    {NULL, "before", 0, 3, 0.5},
    {NULL, "after", 0, 3, 0.5},
};

static const struct range *range_of(const char *row, const char *name)
{
    for (size_t i = 0; i < sizeof ranges / sizeof *ranges; i++)
        if (strcmp(ranges[i].name, name) == 0 &&
            (ranges[i].row == NULL || strcmp(ranges[i].row, row) == 0))
            return &ranges[i];
    return NULL;
}

static double draw_step(struct random_stream *stream, double least, double most, double step)
{
    int64_t steps = (int64_t)floor((most - least) / step + 0.5);
    double value = least + step * (double)random_between(stream, 0, steps);
    return round(value * 1e6) / 1e6;
}

static double draw_ratio(struct random_stream *stream)
{
    static const double ratios[] = {0.236, 0.382, 0.5, 0.618, 0.786, 0.25, 1, 0.4};
    return ratios[random_below(stream, sizeof ratios / sizeof *ratios)];
}

/* A shape's limit: its default, or one that lets more bars through. */
static double draw_limit(struct random_stream *stream, const struct parameter *limit)
{
    if (random_percent(stream, 25))
        return limit->missing;
    bool at_most = strstr(limit->name, "max") != NULL;
    if (at_most && limit->missing == 0) /* off, as body_max_average */
        return draw_step(stream, 0, 2, 0.25);
    if (at_most)
        return draw_step(stream, limit->missing, fmin(limit->most, 0.2 + limit->missing * 4), 0.01);
    return limit->missing == 0 ? draw_step(stream, 0, 0.1, 0.05)
                               : draw_step(stream, 0, limit->missing, limit->missing / 4);
}

static void write_weekdays(struct draft *draft)
{
    unsigned days = (unsigned)random_between(draft->stream, 1, 127);
    const char *separator = "[";
    static const char *const words[] = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};
    for (unsigned i = 0; i < 7; i++) {
        if ((days & 1U << i) == 0)
            continue;
        text_append_format(draft->text, "%s%s", separator, words[i]);
        separator = ", ";
    }
    text_append(draft->text, "]");
}

static void write_parameter(struct draft *draft, const char *row, const struct parameter *parameter,
                            bool mirrored)
{
    struct random_stream *stream = draft->stream;
    const struct range *range = range_of(row, parameter->name);
    text_append_format(draft->text, "%s: ", parameter_name(parameter, mirrored));
    switch (parameter->kind) {
    case PARAMETER_RATIO: text_append_number(draft->text, draw_ratio(stream)); return;
    case PARAMETER_WEEKDAYS: write_weekdays(draft); return;
    case PARAMETER_WORD:
        text_append(draft->text, random_percent(stream, 50) ? "report" : "meeting");
        return;
    case PARAMETER_CLOCK:
        text_append_format(draft->text, "\"%02d:%02d\"", (int)random_below(stream, 24),
                           (int)random_below(stream, 4) * 15);
        return;
    case PARAMETER_NUMBER:
    case PARAMETER_WHOLE: break;
    }
    if (range != NULL)
        text_append_number(draft->text, draw_step(stream, fmax(range->least, parameter->least),
                                                  range->most, range->step));
    else
        text_append_number(draft->text, draw_step(stream, parameter->least,
                                                  fmin(parameter->most, parameter->least + 4), 1));
}

/* `name: value, …` of all the parameters; one that is off unless given is left
 * out half the time. */
static void write_parameters(struct draft *draft, const char *row,
                             const struct parameter *parameters, bool mirrored,
                             const char *separator)
{
    for (const struct parameter *parameter = parameters; parameter->name != NULL; parameter++) {
        if (isnan(parameter->missing) && random_percent(draft->stream, 50))
            continue;
        text_append(draft->text, separator);
        write_parameter(draft, row, parameter, mirrored);
        separator = ", ";
    }
}

/* --- candle ------------------------------------------------------------------- */

static size_t shape_rows(void)
{
    size_t count = 0;
    while (shapes[count].name != NULL)
        count++;
    return count;
}

static void write_shape(struct draft *draft)
{
    const struct shape *shape = &shapes[random_below(draft->stream, shape_rows())];
    if (random_percent(draft->stream, 20))
        shape = &shapes[0]; /* any */
    bool mirrored = shape->mirror_name != NULL && shape->side == SHAPE_LONG && draft->is_short;
    if (shape->side == SHAPE_NEUTRAL && shape->mirror_name != NULL)
        mirrored = random_percent(draft->stream, 50);
    text_append_format(draft->text, "shape: %s, limits: {",
                       mirrored ? shape->mirror_name : shape->name);
    const char *separator = "";
    for (const struct parameter *limit = shape->limits; limit->name != NULL; limit++) {
        text_append_format(draft->text, "%s%s: ", separator, parameter_name(limit, mirrored));
        text_append_number(draft->text, draw_limit(draft->stream, limit));
        separator = ", ";
    }
    text_append(draft->text, "}");
}

static void write_candle(struct draft *draft)
{
    int64_t count = random_percent(draft->stream, 50) ? 1 : random_between(draft->stream, 2, 4);
    if (count == 1) {
        text_append(draft->text, "candle: {");
        write_shape(draft);
        text_append(draft->text, "}\n");
        return;
    }
    text_append(draft->text, "candle:\n  any_of:\n");
    for (int64_t i = 0; i < count; i++) {
        text_append(draft->text, "    - {");
        write_shape(draft);
        text_append(draft->text, "}\n");
    }
}

/* --- conditions ---------------------------------------------------------------- */

/* NULL: nothing longer is made from these bars. */
static const char *longer_interval(const struct draft *draft)
{
    static const char *const of_day[] = {"1w", "1month"};
    static const char *const of_hour[] = {"4h", "1d", "1w"};
    bool first = draft->bars.count == 1;
    switch (draft->bars.unit) {
    case INTERVAL_HOUR: return of_hour[random_between(draft->stream, first ? 0 : 1, 2)];
    case INTERVAL_DAY: return of_day[random_between(draft->stream, 0, 1)];
    default: return NULL;
    }
}

static void write_condition(struct draft *draft)
{
    size_t count = 0;
    while (conditions[count].name != NULL)
        count++;
    /* `compare` is many rules in one row: it is drawn more often. */
    const struct condition *row = &conditions[random_below(draft->stream, count)];
    bool other_side = false;
    if (random_percent(draft->stream, 12))
        row = condition_find("compare", &other_side);
    bool mirrored = row->mirror_name != NULL && random_percent(draft->stream, 50);
    text_append_format(draft->text, "%s: {", condition_name(row, mirrored));
    const char *longer = random_percent(draft->stream, 15) ? longer_interval(draft) : NULL;
    bool compare = condition_is_compare(row);
    if (compare)
        random_compare(draft->text, draft->stream, draft->bars, longer != NULL);
    else
        write_parameters(draft, row->name, row->parameters, mirrored, "");
    text_append_format(draft->text, "%swithin: %d",
                       compare || row->parameters[0].name != NULL ? ", " : "",
                       random_percent(draft->stream, 60)
                           ? 0
                           : (int)random_between(draft->stream, 1, 4));
    if (longer != NULL)
        text_append_format(draft->text, ", interval: %s", longer);
    text_append(draft->text, "}");
}

static void write_criterion(struct draft *draft, int depth)
{
    int kind = (int)random_below(draft->stream, 10);
    if (depth == 0 || kind < 7) {
        write_condition(draft);
    } else if (kind == 7) {
        text_append(draft->text, "not: {");
        write_criterion(draft, depth - 1);
        text_append(draft->text, "}");
    } else {
        const char *separator = "any: [{";
        for (int64_t i = random_between(draft->stream, 1, 3); i > 0; i--) {
            text_append(draft->text, separator);
            write_criterion(draft, depth - 1);
            separator = "}, {";
        }
        text_append(draft->text, "}]");
    }
}

static void write_criteria(struct draft *draft, int64_t count, const char *indent)
{
    for (int64_t i = 0; i < count; i++) {
        text_append_format(draft->text, "%s- {", indent);
        write_criterion(draft, 2);
        text_append(draft->text, "}\n");
    }
}

static void write_conditions(struct draft *draft)
{
    struct random_stream *stream = draft->stream;
    int64_t place = random_percent(stream, 40) ? 0 : random_between(stream, 1, 2);
    int64_t confirm = random_percent(stream, 40) ? 0 : random_between(stream, 1, 4);
    if (place > 0)
        text_append(draft->text, "place:\n");
    write_criteria(draft, place, "  ");
    if (confirm == 0)
        return;
    int64_t at_least = random_percent(stream, 60) ? 1 : random_between(stream, 1, confirm);
    text_append_format(draft->text, "confirm:\n  at_least: %d\n  wait: %d\n  of:\n", (int)at_least,
                       random_percent(stream, 30) ? 0 : (int)random_between(stream, 1, 5));
    write_criteria(draft, confirm, "    ");
}

/* --- entry and stop ------------------------------------------------------------ */

static void draw_buffer(struct draft *draft)
{
    if (random_percent(draft->stream, 70)) {
        text_append_format(draft->text, ", buffer_ticks: %d",
                           random_percent(draft->stream, 40)
                               ? 0
                               : (int)random_between(draft->stream, 1, 3));
        return;
    }
    text_append(draft->text, ", buffer_atr: ");
    text_append_number(draft->text, draw_step(draft->stream, 0.05, 0.5, 0.05));
}

/* Where a buffer has no effect one is drawn, so that what follows is as with one,
 * and not written. */
static void write_buffer(struct draft *draft, bool counts)
{
    struct text *text = draft->text;
    struct text unused;
    text_init(&unused);
    draft->text = counts ? text : &unused;
    draw_buffer(draft);
    draft->text = text;
    text_free(&unused);
}

/* A retest's numbers stand beside `on`, or below its name. */
static void write_retest(struct draft *draft, const struct entry *row)
{
    const char *const of[] = {"retracement", "trend_line",
                              draft->is_short ? "swing_low" : "swing_high"};
    bool below = random_percent(draft->stream, 50);
    text_append_format(draft->text, ", %sof: %s", below ? "retest: {" : "",
                       of[random_below(draft->stream, 3)]);
    write_parameters(draft, row->name, row->parameters, false, ", ");
    if (below)
        text_append(draft->text, "}");
}

static void write_entry(struct draft *draft)
{
    struct random_stream *stream = draft->stream;
    size_t count = 0;
    while (entries[count].name != NULL)
        count++;
    const struct entry *row = &entries[random_below(stream, count)];
    bool mirrored = draft->is_short && row->mirror_name != NULL;
    draft->retest = row->kind == ENTRY_RETEST;
    text_append_format(draft->text, "entry: {on: %s, valid: %d",
                       mirrored ? row->mirror_name : row->name, (int)random_between(stream, 1, 8));
    write_buffer(draft, entry_takes_buffer(row));
    if (draft->retest)
        write_retest(draft, row);
    else
        write_parameters(draft, row->name, row->parameters, mirrored, ", ");
    if (row->kind == ENTRY_CLOSE || draft->retest)
        text_append_format(draft->text, ", at: %s",
                           random_percent(stream, 40) ? "close" : "next_open");
    text_append_format(draft->text, ", late: %s", random_percent(stream, 50) ? "take" : "skip");
    if (random_percent(stream, 15)) {
        text_append(draft->text, ", largest_gap_atr: ");
        text_append_number(draft->text, draw_step(stream, 0, 1.5, 0.125));
    }
    if (random_percent(stream, 15)) {
        text_append(draft->text, ", least_room_r: ");
        text_append_number(draft->text, draw_step(stream, 0, 2, 0.25));
    }
    text_append(draft->text, "}\n");
}

/* Whether a buffer counts on it alone. */
static bool write_stop_kind(struct draft *draft)
{
    size_t count = 0;
    const struct stop *row = NULL;
    bool of_retest = draft->retest && random_percent(draft->stream, 40);
    while (stops[count].name != NULL)
        count++;
    /* Near stops, so that one bar often reaches both sides. */
    bool of_range = !of_retest && random_percent(draft->stream, 30);
    do {
        row = &stops[random_below(draft->stream, count)];
    } while ((row->stage == STOP_AT_RETEST) != of_retest ||
             (of_range && row->stage != STOP_AT_ORDER));
    bool mirrored = draft->is_short && row->mirror_name != NULL;
    text_append_format(draft->text, "at: %s", mirrored ? row->mirror_name : row->name);
    write_parameters(draft, row->name, row->parameters, mirrored, ", ");
    return stop_takes_buffer(row);
}

static void write_stop(struct draft *draft)
{
    bool counts = true;
    text_append(draft->text, "stop: {");
    if (random_percent(draft->stream, 75)) {
        counts = write_stop_kind(draft);
    } else {
        text_append_format(draft->text, "at: %s, of: [{",
                           draft->is_short ? "higher_of" : "lower_of");
        for (int64_t i = random_between(draft->stream, 1, 3); i > 0; i--) {
            write_stop_kind(draft);
            text_append(draft->text, i > 1 ? "}, {" : "}]");
        }
    }
    write_buffer(draft, counts);
    text_append(draft->text, "}\n");
}

/* --- exit ------------------------------------------------------------------------ */

/* Any kind of target; multiples of the risk more often. */
static void write_target_place(struct draft *draft)
{
    struct random_stream *stream = draft->stream;
    size_t count = 0;
    while (target_kinds[count].name != NULL)
        count++;
    size_t kind = random_percent(stream, 40) ? 0 : random_below(stream, count);
    const struct target_kind *row = &target_kinds[kind];
    text_append_format(draft->text, "%s: ", parameter_name(&row->number, draft->is_short));
    if (target_is_r(row))
        text_append_number(draft->text, draw_step(stream, 0.25, 2, 0.25));
    else if (row->number.kind == PARAMETER_WHOLE)
        text_append_format(draft->text, "%d", (int)random_between(stream, 1, 3));
    else
        text_append_number(draft->text,
                           (random_percent(stream, 50) ? 0.5 : 0) + draw_ratio(stream));
}

static void write_targets(struct draft *draft, int64_t count)
{
    struct random_stream *stream = draft->stream;
    double left = 1;
    text_append(draft->text, "  targets: [");
    for (int64_t i = 0; i < count; i++) {
        double share = i == count - 1 && random_percent(stream, 70)
                           ? left
                           : draw_step(stream, 0.1, left - 0.1 * (double)(count - 1 - i), 0.1);
        left = round((left - share) * 1e6) / 1e6;
        text_append(draft->text, i > 0 ? ", {" : "{");
        write_target_place(draft);
        text_append(draft->text, ", share: ");
        text_append_number(draft->text, share);
        text_append(draft->text, "}");
    }
    text_append(draft->text, "]\n");
}

static void write_trail(struct draft *draft)
{
    size_t count = 0;
    while (trails[count].name != NULL)
        count++;
    const struct trail *row = &trails[random_below(draft->stream, count)];
    bool mirrored = draft->is_short && row->mirror_name != NULL;
    text_append_format(draft->text, "  trail: {%s: {", mirrored ? row->mirror_name : row->name);
    if (strcmp(row->name, "atr") == 0) /* wider than a stop of that name */
        text_append_format(draft->text, "times: %g", draw_step(draft->stream, 0.5, 3, 0.25));
    else
        write_parameters(draft, row->name, row->parameters, false, "");
    text_append(draft->text, "}}\n");
}

static void write_exit(struct draft *draft)
{
    struct random_stream *stream = draft->stream;
    int64_t targets = random_percent(stream, 25) ? 0 : random_between(stream, 1, 3);
    bool trail = random_percent(stream, 35);
    bool when = random_percent(stream, 25);
    bool limit = random_percent(stream, 50) || (targets == 0 && !trail && !when);
    text_append(draft->text, "exit:\n");
    if (targets > 0)
        write_targets(draft, targets);
    if (limit)
        text_append_format(draft->text, "  time_stop: %d\n", (int)random_between(stream, 1, 20));
    if (random_percent(stream, 35))
        text_append_format(draft->text, "  break_even_at_r: %g\n", draw_step(stream, 0, 2, 0.25));
    if (trail)
        write_trail(draft);
    if (when) {
        text_append(draft->text, "  when:\n");
        write_criteria(draft, random_between(stream, 1, 2), "    ");
    }
}

/* --- the rest --------------------------------------------------------------------- */

static void write_costs(struct draft *draft)
{
    struct random_stream *stream = draft->stream;
    bool some = random_percent(stream, 50);
    text_append_format(draft->text,
                       "costs: {spread: %g, slippage: %g, commission_per_unit: %g, "
                       "commission_percent: %g, commission_per_trade: 0, "
                       "financing_percent_year: %g}\n",
                       some ? draw_step(stream, 0, 0.04, 0.01) : 0,
                       some ? draw_step(stream, 0, 0.03, 0.01) : 0,
                       some ? draw_step(stream, 0, 0.02, 0.005) : 0,
                       some ? draw_step(stream, 0, 0.2, 0.05) : 0,
                       some ? draw_step(stream, 0, 6, 1.5) : 0);
}

static void draw_setup(struct text *text, struct random_stream *stream, struct interval bars,
                       unsigned number)
{
    static const char *const rules[] = {"nearest", "worst", "best", "finer"};
    char interval[INTERVAL_TEXT_SIZE];
    struct draft draft = {.text = text, .stream = stream, .bars = bars};
    draft.is_short = random_percent(stream, 50);
    interval_format(interval, bars);
    text_append_format(text,
                       "setup: random-%u\ntitle: Drawn from the grammar\nfamily: random\n"
                       "side: %s\ninterval: %s\n",
                       number, draft.is_short ? "short" : "long", interval);
    write_candle(&draft);
    write_conditions(&draft);
    write_entry(&draft);
    write_stop(&draft);
    write_exit(&draft);
    write_costs(&draft);
    text_append_format(text, "same_bar: %s\noverlap: %s\nleast_mean_r: %g\n",
                       rules[random_percent(stream, 20) ? 3 : random_below(stream, 4)],
                       random_percent(stream, 60) ? "one" : "all",
                       draw_step(stream, 0.1, 0.5, 0.1));
}

/* Rules that can never hold together are drawn again. */
void random_setup(struct text *text, struct random_stream *stream, struct interval bars,
                  unsigned number)
{
    size_t before = text->length;
    for (;;) {
        struct setup setup;
        struct error error;
        draw_setup(text, stream, bars, number);
        if (setup_read(&setup, "random", text->bytes + before, text->length - before, &error) ==
            ERROR_NONE)
            setup_free(&setup);
        else if (error.reason == ERROR_REASON_CONTRADICTION) {
            text->bytes[before] = '\0';
            text->length = before;
            continue;
        }
        return;
    }
}
