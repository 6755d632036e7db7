#include "cli/command.h"

#include "base/calendar.h"
#include "base/number.h"

#include <assert.h>
#include <stdarg.h>
#include <string.h>

/* The row of an option that the command has, and what was given for it. */
static const struct option_row *row_of(const struct call *call, const char *name, const char **text)
{
    size_t index = option_find(call->command->options, name);
    assert(index != SIZE_MAX && "an option that the command's row does not list");
    *text = call->values[index];
    return option_at(call->command->options, index);
}

const char *call_option(const struct call *call, const char *name)
{
    const char *text = NULL;
    row_of(call, name, &text);
    return text;
}

bool call_offers(const struct call *call, const char *name)
{
    return option_find(call->command->options, name) != SIZE_MAX;
}

bool call_has(const struct call *call, const char *name)
{
    return call_option(call, name) != NULL;
}

double call_number(const struct call *call, const char *name)
{
    const char *text = NULL;
    const struct option_row *row = row_of(call, name, &text);
    double value = row->missing;
    if (text != NULL)
        number_parse(text, strlen(text), &value);
    else if (row->beside != NULL && call_has(call, row->beside))
        value = row->missing_beside;
    return value;
}

int64_t call_whole(const struct call *call, const char *name)
{
    return (int64_t)call_number(call, name);
}

size_t call_choice(const struct call *call, const char *name)
{
    const char *text = NULL;
    const struct option_row *row = row_of(call, name, &text);
    return option_choice(row, text);
}

const char *call_word(const struct call *call, const char *name)
{
    const char *text = NULL;
    const struct option_row *row = row_of(call, name, &text);
    return text != NULL ? text : row->missing_words;
}

int64_t call_time(const struct call *call, const char *name, int64_t missing)
{
    const char *text = call_option(call, name);
    bool date_only = false;
    int64_t time = missing;
    if (text != NULL)
        time_parse(text, strlen(text), &time, &date_only);
    return time;
}

int64_t call_time_end(const struct call *call, const char *name, int64_t missing)
{
    const char *text = call_option(call, name);
    bool date_only = false;
    int64_t time = missing;
    if (text != NULL && time_parse(text, strlen(text), &time, &date_only) && date_only)
        time += SECONDS_PER_DAY - 1;
    return time;
}

struct interval call_interval(const struct call *call, const char *name)
{
    struct interval interval = {INTERVAL_NONE, 0};
    const char *text = call_option(call, name);
    if (text != NULL)
        interval_parse(text, &interval);
    return interval;
}

void call_say(const struct call *call, const char *format, ...)
{
    if (call->quiet)
        return;
    struct error line;
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(line.text, sizeof line.text, format, arguments);
    error_make_line(line.text);
    va_end(arguments);
    fprintf(call->messages, "rushlight: %s\n", line.text);
}
