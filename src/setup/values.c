#include "setup/values.h"

#include "base/array.h"
#include "base/number.h"
#include "base/words.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const char *const weekday_words[7] = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};

static int note_fault(const struct source *source, enum error_reason reason,
                      const struct node *node, const char *key, const char *format,
                      va_list arguments)
{
    char what[ERROR_TEXT_SIZE];
    vsnprintf(what, sizeof what, format, arguments);
    error_because(source->error, ERROR_INPUT, reason, "%s:%zu:%zu: %s: %s", source->name,
                  node->line, node->column, key, what);
    if (source->faults != NULL)
        setup_faults_add(source->faults, node->line, node->column, source->error);
    return ERROR_INPUT;
}

int value_fail(const struct source *source, const struct node *node, const char *key,
               const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    note_fault(source, ERROR_REASON_NONE, node, key, format, arguments);
    va_end(arguments);
    return ERROR_INPUT;
}

int value_fail_because(const struct source *source, enum error_reason reason,
                       const struct node *node, const char *key, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    note_fault(source, reason, node, key, format, arguments);
    va_end(arguments);
    return ERROR_INPUT;
}

int worse_code(int first, int second)
{
    return first == ERROR_MACHINE || second == ERROR_NONE ? first : second;
}

const char *node_shown(const struct node *node, char *text, size_t size)
{
    if (node->kind == NODE_SCALAR)
        snprintf(text, size, "'%.60s%s'", node->text, strlen(node->text) > 60 ? "…" : "");
    else
        snprintf(text, size, "%s",
                 node->kind == NODE_LIST  ? "a list"
                 : node->kind == NODE_MAP ? "a map"
                                          : "nothing");
    return text;
}

static int wrong(const struct source *source, const struct node *node, const char *key,
                 const char *allowed)
{
    char found[100];
    return value_fail(source, node, key, "found %s; %s is allowed",
                      node_shown(node, found, sizeof found), allowed);
}

/* The words joined by commas, as many as fit. */
static void join_words(char *text, size_t size, const char *const *words, size_t count)
{
    size_t used = 0;
    text[0] = '\0';
    for (size_t i = 0; i < count && used + 1 < size; i++) {
        int more = snprintf(text + used, size - used, "%s%s", i > 0 ? ", " : "", words[i]);
        used += more > 0 ? (size_t)more : 0;
    }
}

int value_keys(const struct source *source, const struct node *node, const char *key,
               const char *const *known, size_t count)
{
    if (node->kind == NODE_NOTHING)
        return ERROR_NONE;
    if (node->kind != NODE_MAP)
        return wrong(source, node, key, "a map of keys and values");
    int code = ERROR_NONE;
    for (size_t i = 0; i < node->count; i++) {
        bool found = false;
        for (size_t k = 0; k < count; k++)
            found = found || strcmp(node->keys[i], known[k]) == 0;
        if (found)
            continue;
        char list[700];
        char hint[WORD_HINT_SIZE];
        join_words(list, sizeof list, known, count);
        code = value_fail(source, &node->items[i], key, "unknown key '%.60s'%s; known here: %s",
                          node->keys[i], word_hint(hint, node->keys[i], known, count),
                          count > 0 ? list : "none");
    }
    return code;
}

int value_string(const struct source *source, const struct node *node, const char *key,
                 const char **text)
{
    if (node->kind != NODE_SCALAR)
        return wrong(source, node, key, "a text");
    *text = node->text;
    return ERROR_NONE;
}

int value_word(const struct source *source, const struct node *node, const char *key,
               const char *const *words, size_t count, size_t *index)
{
    char list[700];
    join_words(list, sizeof list, words, count);
    if (node->kind != NODE_SCALAR)
        return wrong(source, node, key, list);
    for (size_t i = 0; i < count; i++) {
        if (strcmp(node->text, words[i]) == 0) {
            *index = i;
            return ERROR_NONE;
        }
    }
    char hint[WORD_HINT_SIZE];
    return value_fail(source, node, key, "found '%.60s'%s; one of these is allowed: %s", node->text,
                      word_hint(hint, node->text, words, count), list);
}

int value_number(const struct source *source, const struct node *node, const char *key,
                 double least, double most, double *value)
{
    char allowed[100];
    double read = 0;
    snprintf(allowed, sizeof allowed, "a number from %g to %g", least, most);
    if (node->kind != NODE_SCALAR || !number_parse(node->text, strlen(node->text), &read) ||
        !(read >= least && read <= most))
        return wrong(source, node, key, allowed);
    *value = read;
    return ERROR_NONE;
}

int value_whole(const struct source *source, const struct node *node, const char *key, double least,
                double most, size_t *value)
{
    char allowed[100];
    double read = 0;
    snprintf(allowed, sizeof allowed, "a whole number from %.0f to %.0f", least, most);
    if (node->kind != NODE_SCALAR || !number_parse(node->text, strlen(node->text), &read) ||
        !(read >= least && read <= most) || read != floor(read))
        return wrong(source, node, key, allowed);
    *value = (size_t)read;
    return ERROR_NONE;
}

static int value_weekdays(const struct source *source, const struct node *node, const char *key,
                          double *value)
{
    unsigned days = 0;
    if (node->kind != NODE_LIST || node->count == 0)
        return wrong(source, node, key, "a list of mon, tue, wed, thu, fri, sat, sun");
    for (size_t i = 0; i < node->count; i++) {
        size_t day = 0;
        int code = value_word(source, &node->items[i], key, weekday_words, 7, &day);
        if (code != ERROR_NONE)
            return code;
        days |= 1U << day;
    }
    *value = days;
    return ERROR_NONE;
}

static int value_clock(const struct source *source, const struct node *node, const char *key,
                       double *value)
{
    const char *t = node->kind == NODE_SCALAR ? node->text : "";
    if (strlen(t) != 5 || t[2] != ':' || strspn(t, "0123456789") != 2 ||
        strspn(t + 3, "0123456789") != 2)
        return wrong(source, node, key, "a time of day such as '09:30', in quotes,");
    int minute = ((t[0] - '0') * 10 + t[1] - '0') * 60 + (t[3] - '0') * 10 + t[4] - '0';
    if (minute >= 24 * 60 || t[3] > '5')
        return wrong(source, node, key, "a time of day from '00:00' to '23:59'");
    *value = minute;
    return ERROR_NONE;
}

static int value_parameter(const struct source *source, const struct node *node, const char *key,
                           const struct parameter *parameter, bool mirrored, double *value,
                           char **word)
{
    const char *text = NULL;
    int code = ERROR_NONE;
    switch (parameter->kind) {
    case PARAMETER_WEEKDAYS: return value_weekdays(source, node, key, value);
    case PARAMETER_CLOCK: return value_clock(source, node, key, value);
    case PARAMETER_WORD:
        code = value_string(source, node, key, &text);
        if (code == ERROR_NONE && (*word = string_copy(text)) == NULL)
            code = error_memory(source->error);
        return code;
    case PARAMETER_WHOLE: {
        size_t whole = 0;
        code = value_whole(source, node, key, parameter->least, parameter->most, &whole);
        if (code == ERROR_NONE)
            *value = (double)whole;
        return code;
    }
    case PARAMETER_NUMBER:
    case PARAMETER_RATIO:
        code = value_number(source, node, key, parameter->least, parameter->most, value);
        if (code == ERROR_NONE && mirrored)
            *value = parameter_mirrored(parameter, *value);
        return code;
    }
    return code;
}

int value_parameters(const struct source *source, const struct node *map, const char *key,
                     const struct parameter *parameters, bool mirrored, const char *const *others,
                     size_t other_count, double *values, char **word)
{
    const char *known[PARAMETER_LIMIT + 16];
    size_t count = parameter_count(parameters);
    for (size_t i = 0; i < count; i++)
        known[i] = parameter_name(&parameters[i], mirrored);
    for (size_t i = 0; i < other_count; i++)
        known[count + i] = others[i];
    int code = value_keys(source, map, key, known, count + other_count);
    if (code != ERROR_NONE && map->kind != NODE_MAP)
        return code;
    for (size_t i = 0; i < count; i++) {
        const struct node *node = node_get(map, known[i]);
        char path[200];
        int one = ERROR_NONE;
        snprintf(path, sizeof path, "%s: %s", key, known[i]);
        if (node != NULL)
            one = value_parameter(source, node, path, &parameters[i], mirrored, &values[i], word);
        else if (parameters[i].kind == PARAMETER_WORD)
            one = value_fail(source, map, path, "is missing; %s is needed", parameters[i].help);
        code = worse_code(code, one);
    }
    return code;
}

int value_interval(const struct source *source, const struct node *node, const char *key,
                   struct interval *interval)
{
    char found[100];
    if (node->kind == NODE_SCALAR && interval_parse(node->text, interval))
        return ERROR_NONE;
    return value_fail(source, node, key,
                      "found %s; an interval such as 1d, 1w, 1month, 4h, 30m is "
                      "allowed",
                      node_shown(node, found, sizeof found));
}
