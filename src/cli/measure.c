#define _DEFAULT_SOURCE /* strsep */
#include "answer/measure_rows.h"
#include "base/number.h"
#include "base/words.h"
#include "cli/commands.h"
#include "cli/table.h"
#include "cli/wishes.h"

#include <math.h>
#include <string.h>

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
static int read_setting(struct measured_wish *wanted, char *setting, struct error *error)
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

static int read_wanted(struct measured_wish *wanted, const char *text, size_t length,
                       struct error *error)
{
    char copy[MEASURED_LABEL_SIZE];
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

/* --of may name several measures, separated by spaces or semicolons:
 * `rsi,length=14;atr`. */
static int read_all_wanted(const char *text, struct measured_wish *list, size_t *count,
                           struct error *error)
{
    *count = 0;
    while (*text != '\0') {
        size_t length = strcspn(text, " ;");
        if (length > 0 && *count == MEASURED_LIMIT)
            return error_set(error, ERROR_USAGE, "--of: more than %d measures", MEASURED_LIMIT);
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

static int print_measures(struct call *call, const struct measured *measured, struct error *error)
{
    struct column columns[MEASURE_COLUMNS];
    struct table table;
    size_t count = measure_columns(columns, measured->wishes, measured->count);
    table_begin(&table, call, "values", columns, count);
    measure_put(&table, measured);
    return table_end(&table, NULL, error);
}

int command_measure(struct call *call, struct error *error)
{
    struct measured_wish list[MEASURED_LIMIT];
    size_t count = 0;
    int code = read_all_wanted(call_option(call, "of"), list, &count, error);
    if (code != ERROR_NONE)
        return code;
    struct call_work opened;
    struct measured measured = {0};
    code = call_work_open(&opened, call, error);
    if (code == ERROR_NONE)
        code = measured_open(opened.work, call->arguments[0], list, count, &measured, error);
    if (code == ERROR_NONE)
        code = print_measures(call, &measured, error);
    measured_free(&measured);
    return call_work_close(&opened, code, error);
}
