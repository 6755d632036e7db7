#include "work/scan.h"
#include "base/calendar.h"
#include "base/number.h"
#include "cli/commands.h"
#include "cli/scan_waiting.h"
#include "cli/table.h"
#include "answer/untold.h"
#include "cli/wishes.h"
#include "document/cautions.h"

#include <math.h>

/* The first seven are part of the interface; criteria come with JSON. */
static const struct column columns[] = {
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"setup", "setup", COLUMN_TEXT, 0, ""},
    {"side", "side", COLUMN_TEXT, 0, ""},
    {"candle_time", "candle", COLUMN_TEXT, 0, ""},
    {"signal_time", "signal", COLUMN_TEXT, 0, ""},
    {"candle_high", "high", COLUMN_NUMBER, -1, ""},
    {"candle_low", "low", COLUMN_NUMBER, -1, ""},
    {"criteria", "criteria", COLUMN_TEXT, 0, ""},
};

enum { COLUMNS_ALWAYS = 7, COLUMNS_JSON = 8 };

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
};

struct scan_answer {
    struct call *call;
    struct table table;
    struct scan_wish wish;
    struct scan_sum sum;
};

/* --- printing ---------------------------------------------------------------------- */

static const char *truth_words(enum truth truth)
{
    static const char *const words[] = {"not met", "met", "cannot be told"};
    return words[truth];
}

static const char *truth_json(enum truth truth)
{
    static const char *const words[] = {"false", "true", "null"};
    return words[truth];
}

static void print_check(FILE *out, const struct check *check)
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
                 reading->limit, reading->unit[0] != '\0' ? " " : "", reading->unit);
    fprintf(out, "  %-7s  %-25s  %s%-44s  %10s  %-34s  %s%s\n", check_section_name(check->section),
            check->rule, check->negated ? "not: " : "", reading_name(reading, name), value, limit,
            truth_words(check->holds), check->reading.dated_back ? ", by a level dated back" : "");
}

static void append_json_number(struct text *text, double number)
{
    if (isfinite(number))
        text_append_number(text, number);
    else
        text_append(text, "null");
}

static void write_json_checks(struct text *text, const struct checklist *checklist)
{
    text_append_char(text, '[');
    for (size_t i = 0; i < checklist->count; i++) {
        const struct check *check = &checklist->list[i];
        char name[READING_NAME_SIZE];
        text_append_format(text,
                           "%s{\"section\": \"%s\", \"rule\": \"%s\", \"negated\": %s, "
                           "\"measured\": ",
                           i > 0 ? ", " : "", check_section_name(check->section), check->rule,
                           check->negated ? "true" : "false");
        append_json_number(text, check->reading.value);
        text_append_format(text, ", \"comparison\": \"%s\", \"limit\": ",
                           comparison_words(check->reading.comparison));
        append_json_number(text, check->reading.limit);
        text_append(text, ", \"unit\": ");
        text_append_json(text, check->reading.unit);
        text_append(text, ", \"what\": ");
        text_append_json(text, reading_name(&check->reading, name));
        text_append_format(text, ", \"met\": %s%s}", truth_json(check->holds),
                           check->reading.dated_back ? ", \"dated_back\": true" : "");
    }
    text_append_char(text, ']');
}

static void put_signal(struct scan_answer *answer, const struct rules_case *opened,
                       const struct signal *signal)
{
    const struct bars *bars = &opened->series.bars;
    bool dated = interval_is_dated(bars->interval);
    char candle_time[CALENDAR_TEXT_SIZE];
    char signal_time[CALENDAR_TEXT_SIZE];
    struct checklist checklist;
    double high = 0;
    double low = 0;
    time_format(candle_time, bars->time[signal->candle.at], dated);
    time_format(signal_time, bars->time[signal->at], dated);
    candle_on_chart(opened, &signal->candle, &high, &low);
    if (answer->call->format != FORMAT_CSV)
        checklist_read(&opened->view, &signal->candle, signal->at, &checklist);
    if (answer->call->format == FORMAT_TEXT) {
        FILE *out = answer->call->out;
        fprintf(out, "%s  candle %s, signal %s  %s (%s)  high %.10g, low %.10g\n",
                opened->series.instrument.name, candle_time, signal_time, opened->view.setup->name,
                side_name(opened->view.setup->side), high, low);
        for (size_t i = 0; i < checklist.count; i++)
            print_check(out, &checklist.list[i]);
        if (checklist.at_least < opened->view.setup->confirm.count)
            fprintf(out, "  of the confirming conditions %zu hold, %zu are needed\n",
                    checklist.confirmed, checklist.at_least);
        fputc('\n', out);
        return;
    }
    table_text(&answer->table, opened->series.instrument.name);
    table_text(&answer->table, opened->view.setup->name);
    table_text(&answer->table, side_name(opened->view.setup->side));
    table_text(&answer->table, candle_time);
    table_text(&answer->table, signal_time);
    table_number(&answer->table, high);
    table_number(&answer->table, low);
    if (answer->call->format == FORMAT_JSON) {
        struct text checks;
        text_init(&checks);
        write_json_checks(&checks, &checklist);
        table_json(&answer->table, &checks);
        text_free(&checks);
    }
}

static void put_miss(struct scan_answer *answer, const struct rules_case *opened,
                     const struct near_miss *miss)
{
    const struct bars *bars = &opened->series.bars;
    const struct reading *reading = &miss->failed.reading;
    char time[CALENDAR_TEXT_SIZE];
    char name[READING_NAME_SIZE];
    char criterion[READING_NAME_SIZE + 80];
    time_format(time, bars->time[miss->bar], interval_is_dated(bars->interval));
    snprintf(criterion, sizeof criterion, "%s %s: %s, %s", check_section_name(miss->failed.section),
             miss->failed.rule, reading_name(reading, name), comparison_words(reading->comparison));
    table_text(&answer->table, opened->series.instrument.name);
    table_text(&answer->table, opened->view.setup->name);
    table_text(&answer->table, side_name(opened->view.setup->side));
    table_text(&answer->table, time);
    table_text(&answer->table, criterion);
    table_number(&answer->table, reading->value);
    table_number(&answer->table, reading->limit);
    table_text(&answer->table, reading->unit);
    table_number(&answer->table, miss->missed_by);
}

static int take_found(void *context, const struct rules_case *opened, const struct found *found,
                      struct error *error)
{
    struct scan_answer *answer = context;
    (void)error;
    for (size_t i = 0; i < found->signals.count; i++)
        put_signal(answer, opened, &found->signals.list[i]);
    for (size_t i = 0; i < found->miss_count; i++)
        put_miss(answer, opened, &found->misses[i]);
    table_flush(&answer->table);
    return ERROR_NONE;
}

static void write_closing(const struct scan_answer *answer, struct text *closing)
{
    char newest[CALENDAR_TEXT_SIZE] = "no bar";
    if (answer->sum.newest != INT64_MIN)
        time_format(newest, answer->sum.newest, answer->sum.dated);
    if (answer->wish.nearly > 0)
        text_append_format(closing,
                           "%zu bar%s in %zu instrument%s fail%s one criterion only; missed by: "
                           "prices in ATR, the rest as a share of the limit.",
                           answer->sum.found, answer->sum.found == 1 ? "" : "s",
                           answer->sum.instruments, answer->sum.instruments == 1 ? "" : "s",
                           answer->sum.found == 1 ? "s" : "");
    else
        text_append_format(closing, "%zu signal%s in %zu instrument%s, %s (newest bar: %s).",
                           answer->sum.found, answer->sum.found == 1 ? "" : "s",
                           answer->sum.instruments, answer->sum.instruments == 1 ? "" : "s",
                           answer->wish.history ? "of the whole history"
                                                : "on the newest bar of each",
                           newest);
    if (answer->sum.found == 0 && !answer->wish.history && answer->wish.nearly == 0)
        text_append(closing, " --all looks through the history, --nearly 5 shows what was close.");
    text_append_untold(closing, answer->sum.untold);
    text_append_dated_back(closing, answer->sum.dated_back, "signal");
    text_append(closing, "\nA signal says that the rule is met, not that a trade will pay.\n");
    text_append_caution(closing, caution_plan);
}

static int run_scan(struct scan_answer *answer, const struct setup *setup, struct error *error)
{
    struct call *call = answer->call;
    struct text closing;
    if (answer->wish.nearly > 0)
        table_begin(&answer->table, call, "near_misses", nearly_columns,
                    sizeof nearly_columns / sizeof nearly_columns[0]);
    else
        table_begin(&answer->table, call, "signals", columns,
                    call->format == FORMAT_JSON ? COLUMNS_JSON : COLUMNS_ALWAYS);
    struct call_work opened;
    int code = call_work_open(&opened, call, error);
    if (code == ERROR_NONE)
        code = scan_each(opened.work, setup, &answer->wish, take_found, answer, &answer->sum,
                         error);
    code = call_work_close(&opened, code, error);
    if (code != ERROR_NONE) {
        table_abandon(&answer->table);
        return code;
    }
    text_init(&closing);
    write_closing(answer, &closing);
    return table_end_text(&answer->table, &closing, error);
}

int command_scan(struct call *call, struct error *error)
{
    struct scan_answer answer = {.call = call, .wish.history = call_has(call, "all")};
    struct setup setup;
    int code = setup_of_call(call, &setup, error);
    if (code != ERROR_NONE)
        return code;
    if (call_has(call, "nearly"))
        answer.wish.nearly = (size_t)call_whole(call, "nearly");
    if (call_has(call, "waiting")) {
        code = call_has(call, "nearly") || call_has(call, "all")
                   ? error_set(error, ERROR_USAGE,
                               "--waiting, --nearly and --all: one of them at a time")
                   : scan_waiting(call, &setup, error);
        setup_free(&setup);
        return code;
    }
    code = run_scan(&answer, &setup, error);
    if (code == ERROR_NONE && answer.sum.found == 0 && call_has(call, "expect"))
        call->incomplete = true;
    setup_free(&setup);
    return code;
}
