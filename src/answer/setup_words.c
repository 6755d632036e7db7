#include "answer/setup_words.h"

#include <math.h>

/* --- numbers ---------------------------------------------------------------------- */

/* "length of the RSI: 14 bars" */
static void say_number(struct text *text, const struct parameter *parameter, bool mirrored,
                       double value)
{
    text_append_format(text, "%s: ", parameter_said(parameter));
    setup_write_value(text, parameter, mirrored, value);
    if (parameter->unit[0] != '\0' && parameter->kind != PARAMETER_CLOCK)
        text_append_format(text, " %s", parameter->unit);
}

/* The numbers of a row in brackets, as far as they are not off. */
static void say_numbers(struct text *text, const struct parameter *parameters, bool mirrored,
                        const double *values, const char *word)
{
    const char *separator = " (";
    for (size_t i = 0; i < parameter_count(parameters); i++) {
        bool is_word = parameters[i].kind == PARAMETER_WORD;
        if (!is_word && parameter_is_off(&parameters[i], values[i]))
            continue;
        text_append(text, separator);
        separator = "; ";
        if (is_word)
            text_append_format(text, "%s: %s", parameters[i].help, word);
        else
            say_number(text, &parameters[i], mirrored, values[i]);
    }
    if (separator[0] == ';')
        text_append_char(text, ')');
}

static void say_bars(struct text *text, size_t count)
{
    text_append_format(text, "%zu bar%s", count, count == 1 ? "" : "s");
}

/* --- criteria --------------------------------------------------------------------- */

static void say_compare(struct text *text, const struct criterion *criterion)
{
    struct compare_rule rule = *criterion->compare;
    if (criterion->mirrored)
        compare_turn(&rule); /* as it is seen on the chart */
    compare_say(text, &rule);
}

static void say(struct text *text, const struct criterion *criterion, bool numbers)
{
    const struct condition *row = criterion->condition;
    if (criterion->kind != CRITERION_CONDITION) {
        text_append(text,
                    criterion->kind == CRITERION_ANY ? "one of these at least: " : "not so: ");
        for (size_t i = 0; i < criterion->part_count; i++) {
            text_append(text, i > 0 ? "; or " : "");
            say(text, &criterion->parts[i], numbers);
        }
        return;
    }
    if (criterion->compare != NULL)
        say_compare(text, criterion);
    else
        text_append(text,
                    criterion->mirrored && row->mirror_help != NULL ? row->mirror_help : row->help);
    if (!numbers)
        return;
    if (criterion->compare == NULL)
        say_numbers(text, row->parameters, criterion->mirrored, criterion->values, criterion->word);
    if (criterion->interval.unit != INTERVAL_NONE) {
        char interval[INTERVAL_TEXT_SIZE];
        interval_format(interval, criterion->interval);
        text_append_format(text, ", on the last closed bar of %s", interval);
    }
    if (criterion->within > 0) {
        text_append(text, ", on this bar or one of the ");
        say_bars(text, criterion->within);
        text_append(text, " before");
    }
}

void setup_say_rule(struct text *text, const struct criterion *criterion)
{
    say(text, criterion, false);
}

/* --- orders ------------------------------------------------------------------------ */

void setup_say_entry(struct text *text, const struct entry_rule *entry)
{
    const struct entry *row = entry->entry;
    text_append(text, row->waits != NULL ? row->waits : row->help);
    if (row->waits != NULL) {
        text_append_char(text, ' ');
        say_bars(text, entry->valid);
    }
}

void setup_say_stop(struct text *text, const struct stop *stop)
{
    text_append(text, stop->said != NULL ? stop->said : stop->help);
}

void setup_say_trail(struct text *text, const struct trail *trail)
{
    text_append_format(text, "the stop follows, never back, %s", trail->help);
}

static void say_buffer(struct text *text, const struct buffer *buffer)
{
    if (buffer->ticks > 0) {
        text_append(text, ", with a buffer of ");
        text_append_number(text, buffer->ticks);
        text_append(text, buffer->ticks == 1 ? " tick" : " ticks");
    } else if (buffer->atr > 0) {
        text_append(text, ", with a buffer of ");
        text_append_number(text, buffer->atr);
        text_append(text, " ATR");
    }
}

static void say_retest(struct text *text, const struct setup *setup)
{
    bool is_short = setup->side == SIDE_SHORT;
    const char *const of[] = {is_short ? "a retracement of the rise" : "a retracement of the fall",
                              "the trend line",
                              is_short ? "the newest swing low" : "the newest swing high"};
    text_append_format(text, ": the level is %s", of[setup->entry.retest_of]);
}

static void say_entry(struct text *text, const struct setup *setup)
{
    const struct entry_rule *rule = &setup->entry;
    const struct entry *row = rule->entry;
    bool waits = row->kind == ENTRY_CLOSE || row->kind == ENTRY_RETEST;
    setup_say_entry(text, rule);
    if (row->kind == ENTRY_RETEST)
        say_retest(text, setup);
    say_numbers(text, row->parameters, false, rule->values, NULL);
    say_buffer(text, &rule->buffer);
    if (row->kind == ENTRY_CLOSE && row->waits == NULL) {
        text_append(text, ", within ");
        say_bars(text, rule->valid);
    }
    if (waits)
        text_append(text, rule->at_close ? ", filled at that close"
                                         : ", filled at the open of the bar after");
}

/* Whether the close of the signal can be beyond the entry already (docs/method.md 6.4). */
static bool may_be_late(const struct entry *row)
{
    return row->kind != ENTRY_MARKET && row->kind != ENTRY_LIMIT && row->level != NULL;
}

static void say_stop(struct text *text, const struct setup *setup)
{
    const struct stop_rule *rule = &setup->stop;
    if (rule->several)
        text_append_format(text,
                           "the %s of these: ", setup->side == SIDE_SHORT ? "highest" : "lowest");
    for (size_t i = 0; i < rule->count; i++) {
        text_append(text, i > 0 ? "; or " : "");
        setup_say_stop(text, rule->members[i].stop);
        say_numbers(text, rule->members[i].stop->parameters, false, rule->members[i].values, NULL);
    }
    say_buffer(text, &rule->buffer);
}

static void say_target(struct text *text, const struct setup *setup, const struct target *target)
{
    const struct parameter *number = &target->kind->number;
    text_append_number(text, target->share * 100);
    text_append(text, " % of the position leaves at ");
    if (!target_is_r(target->kind))
        text_append_format(text, "%s ", parameter_name(number, setup->side == SIDE_SHORT));
    text_append_number(text, target->value);
    text_append_format(text, " %s: %s", number->unit, parameter_said(number));
}

/* --- the whole ---------------------------------------------------------------------- */

struct saying {
    struct text text; /* of the sentence at hand */
    bool failed;
    void (*take)(void *context, const struct setup_said *said);
    void *context;
};

static void hand_out(struct saying *saying, const char *part)
{
    const struct setup_said said = {part, saying->text.bytes};
    saying->failed = saying->failed || text_failed(&saying->text);
    if (!saying->failed)
        saying->take(saying->context, &said);
    text_clear(&saying->text);
}

static void say_list(struct saying *saying, const struct criteria *criteria, const char *part)
{
    for (size_t i = 0; i < criteria->count; i++) {
        say(&saying->text, &criteria->list[i], true);
        hand_out(saying, part);
    }
}

static void say_candles(struct saying *saying, const struct setup *setup)
{
    for (size_t i = 0; i < setup->candle_count; i++) {
        const struct shape_choice *choice = &setup->candles[i];
        const struct shape *shape = choice->shape;
        text_append_format(&saying->text, "%s%s: %s", i > 0 ? "or " : "", shape_name(choice),
                           choice->mirrored && shape->mirror_help != NULL ? shape->mirror_help
                                                                          : shape->help);
        say_numbers(&saying->text, shape->limits, choice->mirrored, choice->limits, NULL);
        hand_out(saying, "candle");
    }
}

static void say_confirm(struct saying *saying, const struct setup *setup)
{
    if (setup->confirm.count == 0)
        return;
    if (setup->confirm_at_least == setup->confirm.count)
        text_append(&saying->text, setup->confirm.count == 1 ? "this must hold" : "all must hold");
    else
        text_append_format(&saying->text, "at least %zu of these %zu must hold",
                           setup->confirm_at_least, setup->confirm.count);
    if (setup->confirm_wait == 0) {
        text_append(&saying->text, ", on the candle's bar");
    } else {
        text_append(&saying->text, ", on the candle's bar or one of the ");
        say_bars(&saying->text, setup->confirm_wait);
        text_append(&saying->text, " after");
    }
    hand_out(saying, "confirm");
    say_list(saying, &setup->confirm, "confirm");
}

static void say_limits(struct saying *saying, const struct setup *setup)
{
    const struct entry_rule *rule = &setup->entry;
    if (may_be_late(rule->entry)) {
        text_append_format(&saying->text,
                           "%s where the close of the signal is beyond the entry already",
                           rule->late == LATE_TAKE ? "taken also" : "not taken");
        hand_out(saying, "entry");
    }
    if (!isnan(rule->largest_gap_atr)) {
        text_append(&saying->text, "only where the fill is at most ");
        text_append_number(&saying->text, rule->largest_gap_atr);
        text_append(&saying->text, " ATR beyond the order's price, or the signal's close");
        hand_out(saying, "entry");
    }
    if (!isnan(rule->least_room_r)) {
        text_append_format(&saying->text, "only where the next zone of %s is at least ",
                           setup->side == SIDE_SHORT ? "support" : "resistance");
        text_append_number(&saying->text, rule->least_room_r);
        text_append(&saying->text, " R away");
        hand_out(saying, "entry");
    }
}

static void say_exits(struct saying *saying, const struct setup *setup)
{
    const struct exit_rule *exit = &setup->exit;
    for (size_t i = 0; i < exit->target_count; i++) {
        say_target(&saying->text, setup, &exit->targets[i]);
        hand_out(saying, "exit");
    }
    if (exit->time_stop > 0) {
        text_append(&saying->text, "out at the close of the bar that is ");
        say_bars(&saying->text, exit->time_stop);
        text_append(&saying->text, " after the entry bar");
        hand_out(saying, "exit");
    }
    if (!isnan(exit->break_even_at_r)) {
        text_append(&saying->text, "once the trade has gone ");
        text_append_number(&saying->text, exit->break_even_at_r);
        text_append(&saying->text, " R, from the next bar on the stop is the fill");
        hand_out(saying, "exit");
    }
    if (exit->trail != NULL) {
        setup_say_trail(&saying->text, exit->trail);
        say_numbers(&saying->text, exit->trail->parameters, false, &exit->trail_value, NULL);
        hand_out(saying, "exit");
    }
    if (exit->when.count > 0) {
        text_append(&saying->text, exit->when.count == 1
                                       ? "out at the next open after a close at which this holds"
                                       : "out at the next open after a close at which all of "
                                         "these hold");
        hand_out(saying, "exit");
        say_list(saying, &exit->when, "exit");
    }
}

bool setup_say(const struct setup *setup,
               void (*take)(void *context, const struct setup_said *said), void *context)
{
    struct saying saying = {.take = take, .context = context};
    char interval[INTERVAL_TEXT_SIZE];
    text_init(&saying.text);
    if (setup->interval.unit != INTERVAL_NONE) {
        interval_format(interval, setup->interval);
        text_append_format(&saying.text, "read on bars of %s", interval);
        hand_out(&saying, "bars");
    }
    say_candles(&saying, setup);
    say_list(&saying, &setup->place, "place");
    say_confirm(&saying, setup);
    say_entry(&saying.text, setup);
    hand_out(&saying, "entry");
    say_limits(&saying, setup);
    say_stop(&saying.text, setup);
    hand_out(&saying, "stop");
    say_exits(&saying, setup);
    text_free(&saying.text);
    return !saying.failed;
}

/* --- rows --------------------------------------------------------------------------- */

static const struct column columns[] = {
    {"setup", "setup", COLUMN_TEXT, 0, ""},
    {"part", "part", COLUMN_TEXT, 0, ""},
    {"says", "what it says", COLUMN_TEXT, 0, ""},
};

const struct listing setup_said_listing = {"sentences", columns, sizeof columns / sizeof columns[0],
                                           NULL};

struct rows {
    struct table *table;
    const char *name;
};

static void put_said(void *context, const struct setup_said *said)
{
    const struct rows *rows = context;
    table_text(rows->table, rows->name);
    table_text(rows->table, said->part);
    table_text(rows->table, said->says);
}

int setup_said_put(struct table *table, const struct setup *setup, struct error *error)
{
    struct rows rows = {table, setup->name};
    return setup_say(setup, put_said, &rows) ? ERROR_NONE : error_memory(error);
}
