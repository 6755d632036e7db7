#define _DEFAULT_SOURCE /* strsep */
#include "base/calendar.h"
#include "base/number.h"
#include "base/words.h"
#include "cli/commands.h"
#include "cli/table.h"
#include "cli/wishes.h"
#include "measures/sheet.h"

#include <math.h>
#include <string.h>

/* --of may name several measures, separated by spaces or semicolons:
 * `rsi,length=14;atr`. */
enum { MEASURE_LIMIT = 32, SPECIFICATION_SIZE = 200 };

struct wanted {
    char label[SPECIFICATION_SIZE];
    const struct measure *measure;
    double values[PARAMETER_LIMIT];
};

static int unknown_measure(const char *name, struct error *error)
{
    const char *names[128];
    size_t count = 0;
    for (const struct measure *row = measures; row->name != NULL; row++)
        names[count++] = row->name;
    char hint[WORD_HINT_SIZE];
    return error_set(error, ERROR_USAGE,
                     "--of: unknown measure '%s'%s; 'rushlight catalogue measures' lists them",
                     name, word_hint(hint, name, names, count));
}

/* One `key=value`. */
static int read_setting(struct wanted *wanted, char *setting, struct error *error)
{
    const struct parameter *rows = wanted->measure->parameters;
    char *equals = strchr(setting, '=');
    double value = 0;
    if (equals == NULL)
        return error_set(error, ERROR_USAGE, "--of: '%s' is no key=value", setting);
    *equals = '\0';
    size_t index = parameter_find(rows, setting, 0);
    if (index == parameter_count(rows)) {
        const char *names[PARAMETER_LIMIT];
        for (size_t i = 0; i < index; i++)
            names[i] = rows[i].name;
        char hint[WORD_HINT_SIZE];
        return error_set(error, ERROR_USAGE, "--of: %s has no '%s'%s", wanted->measure->name,
                         setting, word_hint(hint, setting, names, index));
    }
    bool number = number_parse(equals + 1, strlen(equals + 1), &value);
    bool whole = rows[index].kind != PARAMETER_WHOLE || value == floor(value);
    if (!number || !whole || value < rows[index].least || value > rows[index].most)
        return error_set(error, ERROR_USAGE,
                         "--of: %s: %s: found '%s'; a %snumber from %g to %g is allowed",
                         wanted->measure->name, setting, equals + 1,
                         rows[index].kind == PARAMETER_WHOLE ? "whole " : "", rows[index].least,
                         rows[index].most);
    wanted->values[index] = value;
    return ERROR_NONE;
}

static int read_wanted(struct wanted *wanted, const char *text, size_t length, struct error *error)
{
    char copy[SPECIFICATION_SIZE];
    char *rest = copy;
    if (length >= sizeof copy)
        return error_set(error, ERROR_USAGE, "--of: a measure with its numbers is too long");
    memcpy(copy, text, length);
    copy[length] = '\0';
    memcpy(wanted->label, copy, length + 1);
    char *name = strsep(&rest, ",");
    wanted->measure = measure_find(name);
    if (wanted->measure == NULL)
        return unknown_measure(name, error);
    parameter_defaults(wanted->measure->parameters, wanted->values);
    int code = ERROR_NONE;
    while (rest != NULL && code == ERROR_NONE)
        code = read_setting(wanted, strsep(&rest, ","), error);
    return code;
}

static int read_all_wanted(const char *text, struct wanted *list, size_t *count,
                           struct error *error)
{
    *count = 0;
    while (*text != '\0') {
        size_t length = strcspn(text, " ;");
        if (length > 0 && *count == MEASURE_LIMIT)
            return error_set(error, ERROR_USAGE, "--of: more than %d measures", MEASURE_LIMIT);
        if (length > 0) {
            int code = read_wanted(&list[(*count)++], text, length, error);
            if (code != ERROR_NONE)
                return code;
        }
        text += length + (text[length] != '\0');
    }
    if (*count == 0)
        return error_set(error, ERROR_USAGE, "--of: names no measure");
    return ERROR_NONE;
}

static int print_measures(struct call *call, const struct series *series, struct sheet *sheet,
                          const struct wanted *list, size_t count, struct error *error)
{
    struct column columns[MEASURE_LIMIT + 1] = {{"time", "time", COLUMN_TEXT, 0, ""}};
    const double *values[MEASURE_LIMIT];
    const struct bars *bars = &series->bars;
    struct table table;
    for (size_t i = 0; i < count; i++) {
        columns[i + 1] = (struct column){list[i].label, list[i].label, COLUMN_NUMBER, -1, ""};
        values[i] = sheet_measure(sheet, list[i].measure, list[i].values);
        if (values[i] == NULL)
            return error_memory(error);
    }
    table_begin(&table, call, "values", columns, count + 1);
    for (size_t bar = series->first; bar < sheet_count(sheet); bar++) {
        char time[CALENDAR_TEXT_SIZE];
        time_format(time, bars->time[bar], interval_is_dated(bars->interval));
        table_text(&table, time);
        for (size_t i = 0; i < count; i++)
            table_number(&table, values[i][bar]);
        if (bar % 1024 == 0)
            table_flush(&table);
    }
    return table_end(&table, NULL, error);
}

int command_measure(struct call *call, struct error *error)
{
    struct wanted list[MEASURE_LIMIT];
    struct series series;
    size_t count = 0;
    const char *of = call_option(call, "of");
    int code = read_all_wanted(of, list, &count, error);
    if (code != ERROR_NONE)
        return code;
    struct call_work opened;
    struct notices notices = {0};
    series = (struct series){0};
    code = call_work_open(&opened, call, error);
    if (code == ERROR_NONE) {
        code = series_open(opened.work, &notices, call->arguments[0], &series, error);
        notices_say(&notices, opened.work);
    }
    if (code == ERROR_NONE) {
        struct sheet *sheet = sheet_of_instrument(&series.bars, &series.instrument);
        code = sheet != NULL ? print_measures(call, &series, sheet, list, count, error)
                             : error_memory(error);
        sheet_free(sheet);
    }
    series_free(&series);
    return call_work_close(&opened, code, error);
}
