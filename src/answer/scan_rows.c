/* The rows of a scan. */
#include "answer/scan.h"

#include "base/calendar.h"
#include "base/number.h"
#include "draw/ticks.h"

#include <math.h>
#include <stdio.h>

/* The first seven are part of the interface, and so is the place of those behind. */
static const struct column signal_columns[] = {
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"setup", "setup", COLUMN_TEXT, 0, ""},
    {"side", "side", COLUMN_TEXT, 0, ""},
    {"candle_time", "candle", COLUMN_TEXT, 0, ""},
    {"signal_time", "signal", COLUMN_TEXT, 0, ""},
    {"candle_high", "high", COLUMN_NUMBER, -1, "price"},
    {"candle_low", "low", COLUMN_NUMBER, -1, "price"},
    {"bar", "bar", COLUMN_TEXT, 0, ""},
    {"criteria", "criteria", COLUMN_TEXT, 0, ""},
};

static const struct column nearly_columns[] = {
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"setup", "setup", COLUMN_TEXT, 0, ""},
    {"side", "side", COLUMN_TEXT, 0, ""},
    {"candle_time", "candle", COLUMN_TEXT, 0, ""},
    {"criterion", "the one that fails", COLUMN_TEXT, 0, ""},
    {"measured", "measured", COLUMN_NUMBER, 4, ""},
    {"limit", "limit", COLUMN_NUMBER, 4, ""},
    {"unit", "unit", COLUMN_TEXT, 0, ""},
    {"missed_by", "missed by", COLUMN_NUMBER, 4, ""},
    {"bar", "bar", COLUMN_TEXT, 0, ""},
};

static const struct column waiting_columns[] = {
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"setup", "setup", COLUMN_TEXT, 0, ""},
    {"side", "side", COLUMN_TEXT, 0, ""},
    {"candle_time", "candle", COLUMN_TEXT, 0, ""},
    {"signal_time", "signal", COLUMN_TEXT, 0, ""},
    {"awaits", "waits for", COLUMN_TEXT, 0, ""},
    {"price", "price", COLUMN_NUMBER, -1, "price"},
    {"bars_left", "bars left", COLUMN_INTEGER, 0, "bars"},
    {"away_atr", "away, ATR", COLUMN_NUMBER, 2, "ATR"},
    {"stop", "stop", COLUMN_NUMBER, -1, "price"},
    {"bar", "bar", COLUMN_TEXT, 0, ""},
};

static const struct scan_table tables[] = {
    [SCAN_SIGNALS] = {"signals", signal_columns, 7, 8, 9},
    [SCAN_NEARLY] = {"near_misses", nearly_columns, 9, 10, 0},
    [SCAN_WAITING] = {"waiting", waiting_columns, 10, 11, 0},
};

const struct scan_table *scan_table(enum scan_answer answer)
{
    return &tables[answer];
}

static void put_time(struct table *table, int64_t time, bool dated)
{
    char text[CALENDAR_TEXT_SIZE];
    time_format(text, time, dated);
    table_text(table, text);
}

static void put_whose(struct table *table, const char *instrument, const struct setup *setup)
{
    table_text(table, instrument);
    table_text(table, setup->name);
    table_text(table, side_name(setup->side));
}

static void put_state(struct table *table, size_t without, enum bar_state state)
{
    if (table->column_count > without)
        table_text(table, bar_state_name(state));
}

void scan_put_signal(struct table *table, const struct scan_row *row)
{
    put_whose(table, row->instrument, row->setup);
    put_time(table, row->candle_time, row->dated);
    put_time(table, row->signal_time, row->dated);
    table_number(table, row->high);
    table_number(table, row->low);
    put_state(table, tables[SCAN_SIGNALS].column_count, row->state);
    if (table->column_count > tables[SCAN_SIGNALS].with_state) {
        struct text criteria;
        struct json json;
        text_init(&criteria);
        json_init(&json, &criteria, JSON_SPACED);
        checklist_json(&json, row->checklist);
        table_json(table, &criteria);
        text_free(&criteria);
    }
}

void scan_put_nearly(struct table *table, const struct evening_row *row, enum bar_state state)
{
    const struct reading *reading = &row->failed.reading;
    char name[READING_NAME_SIZE];
    put_whose(table, row->instrument, row->setup);
    put_time(table, row->candle_time, row->dated);
    table_format(table, "%s %s: %s, %s", check_section_name(row->failed.section), row->failed.rule,
                 reading_name(reading, name), comparison_words(reading->comparison));
    table_number(table, reading->value);
    table_number(table, reading->limit);
    table_text(table, reading->unit);
    table_number(table, row->missed_by);
    put_state(table, tables[SCAN_NEARLY].column_count, state);
}

/* A price of an order as it stands; in full where no tick is known. */
static void put_price(struct table *table, const struct evening_row *row, double price)
{
    if (row->tick.value > 0)
        table_decimals(table, decimals_of(row->tick.value), price);
    else
        table_number(table, price);
}

void scan_put_waiting(struct table *table, const struct evening_row *row, enum bar_state state)
{
    put_whose(table, row->instrument, row->setup);
    put_time(table, row->candle_time, row->dated);
    put_time(table, row->signal_time, row->dated);
    table_text(table, scan_awaits_name(row->awaited.what));
    put_price(table, row, row->awaited.price);
    table_count(table, row->awaited.bars_left);
    table_decimals(table, 2, row->away_atr);
    put_price(table, row, row->stop);
    put_state(table, tables[SCAN_WAITING].column_count, state);
}

/* --- criteria -------------------------------------------------------------------------- */

static const char *truth_words(enum truth truth)
{
    static const char *const words[] = {"not met", "met", "cannot be told"};
    return words[truth];
}

static void check_words(struct text *text, const struct check *check)
{
    char name[READING_NAME_SIZE];
    char value[NUMBER_TEXT_SIZE] = "";
    char limit[100] = "";
    const struct reading *reading = &check->reading;
    /* Prices as they are; of fractions and counts what a ruler can check. */
    int digits = reading->kind == READING_PRICE ? 10 : 4;
    if (!isnan(reading->value))
        snprintf(value, sizeof value, "%.*g", digits, reading->value);
    if (!isnan(reading->limit))
        snprintf(limit, sizeof limit, "%s %.*g%s%s", comparison_words(reading->comparison), digits,
                 reading->limit, reading->unit[0] != '\0' ? " " : "", reading_unit(reading));
    text_append_format(text, "  %-7s  %-25s  %s%-44s  %10s  %-34s  %s\n",
                       check_section_name(check->section), check->rule,
                       check->negated ? "not: " : "", reading_name(reading, name), value, limit,
                       truth_words(check->holds));
}

static const char *state_words(enum bar_state state)
{
    static const char *const words[] = {"", "  PROVISIONAL: its bar may still change",
                                        "  OLD: newer bars are due"};
    return words[state];
}

void scan_signal_words(struct text *text, const struct scan_row *row)
{
    char candle_time[CALENDAR_TEXT_SIZE];
    char signal_time[CALENDAR_TEXT_SIZE];
    const struct checklist *checklist = row->checklist;
    time_format(candle_time, row->candle_time, row->dated);
    time_format(signal_time, row->signal_time, row->dated);
    text_append_format(text, "%s  candle %s, signal %s  %s (%s)  high %.10g, low %.10g%s\n",
                       row->instrument, candle_time, signal_time, row->setup->name,
                       side_name(row->setup->side), row->high, row->low, state_words(row->state));
    for (size_t i = 0; i < checklist->count; i++)
        check_words(text, &checklist->list[i]);
    if (checklist->at_least < row->setup->confirm.count)
        text_append_format(text, "  of the confirming conditions %zu hold, %zu are needed\n",
                           checklist->confirmed, checklist->at_least);
    text_append_char(text, '\n');
}

void checklist_json(struct json *json, const struct checklist *checklist)
{
    json_begin_array(json);
    for (size_t i = 0; i < checklist->count; i++) {
        const struct check *check = &checklist->list[i];
        const struct reading *reading = &check->reading;
        char name[READING_NAME_SIZE];
        json_begin_object(json);
        json_member_string(json, "section", check_section_name(check->section));
        json_member_string(json, "rule", check->rule);
        json_member_boolean(json, "negated", check->negated);
        json_member_number(json, "measured", reading->value);
        json_member_string(json, "comparison", comparison_words(reading->comparison));
        json_member_number(json, "limit", reading->limit);
        json_member_string(json, "unit", reading->unit);
        json_member_string(json, "what", reading_name(reading, name));
        json_put_key(json, "met");
        if (check->holds == TRUTH_UNDEFINED)
            json_put_null(json);
        else
            json_put_boolean(json, check->holds == TRUTH_YES);
        if (reading->dated_back)
            json_member_boolean(json, "dated_back", true);
        json_end_object(json);
    }
    json_end_array(json);
}
