#include "cli/option.h"

#include "base/calendar.h"
#include "base/number.h"
#include "base/words.h"
#include "market/interval.h"

#include <assert.h>
#include <math.h>
#include <string.h>

static const char *const formats[] = {"text", "csv", "json", "exact-csv", NULL};

/* --format sits here because every command that prints has it. In the order of
 * GLOBAL_BOOK and so on. */
static const struct option_row global_rows[] = {
    {.name = "book",
     .kind = OPTION_FILE,
     .value = "FILE",
     .help = "the book",
     .missing_words = "rushlight/book.sqlite in the user's data folder"},
    {.name = "format",
     .kind = OPTION_CHOICE,
     .help = "how to print; exact-csv is for programs: texts that a spreadsheet would take for a "
             "formula are left as they are",
     .choices = formats,
     .missing_words = "text"},
    {.name = "threads",
     .kind = OPTION_WHOLE,
     .value = "N",
     .help = "threads to work with; results do not depend on it",
     .least = 1,
     .most = 1024,
     .missing = NAN,
     .missing_words = "all processors"},
    {.name = "seed",
     .kind = OPTION_WHOLE,
     .value = "N",
     .help = "seed of everything drawn by chance; printed where used",
     .missing = 1,
     .most = INFINITY},
    {.name = "quiet", .kind = OPTION_FLAG, .help = "no messages but errors"},
    {.name = NULL},
};

const struct option_group option_globals = {"Options of every command", global_rows};

bool option_has_letter(const struct option_row *row)
{
    return strcmp(row->name, "output") == 0;
}

const struct option_row *option_at(const struct option_group *const *groups, size_t index)
{
    for (size_t g = 0; g < OPTION_GROUPS && groups[g] != NULL; g++) {
        const struct option_row *row = groups[g]->rows;
        for (; row->name != NULL; row++)
            if (index-- == 0)
                return row;
    }
    return NULL;
}

size_t option_find(const struct option_group *const *groups, const char *name)
{
    const struct option_row *row = NULL;
    for (size_t i = 0; (row = option_at(groups, i)) != NULL; i++)
        if (strcmp(row->name, name) == 0)
            return i;
    return SIZE_MAX;
}

/* --- what is allowed ---------------------------------------------------------------- */

static size_t choice_count(const struct option_row *row)
{
    size_t count = 0;
    while (row->choices[count] != NULL)
        count++;
    return count;
}

size_t option_choice(const struct option_row *row, const char *text)
{
    const char *word = text != NULL ? text : row->missing_words;
    size_t index = 0;
    while (row->choices[index] != NULL && strcmp(row->choices[index], word) != 0)
        index++;
    return index;
}

static bool value_allowed(const struct option_row *row, const char *text)
{
    struct interval interval;
    double number = 0;
    int64_t whole = 0;
    bool date_only = false;
    switch (row->kind) {
    case OPTION_NUMBER:
        return number_parse(text, strlen(text), &number) && number >= row->least &&
               number <= row->most;
    case OPTION_WHOLE:
        return number_parse_integer(text, strlen(text), &whole) && (double)whole >= row->least &&
               (double)whole <= row->most;
    case OPTION_TIME: return time_parse(text, strlen(text), &whole, &date_only);
    case OPTION_DATE: return time_parse(text, strlen(text), &whole, &date_only) && date_only;
    case OPTION_INTERVAL: return interval_parse(text, &interval);
    case OPTION_CHOICE: return option_choice(row, text) < choice_count(row);
    case OPTION_FLAG:
    case OPTION_TEXT:
    case OPTION_SETUP:
    case OPTION_FILE:
    case OPTION_FOLDER: break;
    }
    return true;
}

static void append_choices(struct text *text, const struct option_row *row)
{
    size_t count = choice_count(row);
    for (size_t i = 0; i < count; i++) {
        const char *between = i == 0 ? "" : i + 1 < count ? ", " : " or ";
        text_append_format(text, "%s%s", between, row->choices[i]);
    }
    if (row->explained != NULL)
        text_append_format(text, " (%s)", row->explained);
}

/* "a whole number from 1 to 1024" */
static void append_allowed(struct text *text, const struct option_row *row)
{
    switch (row->kind) {
    case OPTION_NUMBER:
    case OPTION_WHOLE:
        text_append_format(text, "a %snumber from %g ", row->kind == OPTION_WHOLE ? "whole " : "",
                           row->least);
        if (isinf(row->most))
            text_append(text, "on");
        else if (row->kind == OPTION_WHOLE)
            text_append_format(text, "to %lld", (long long)row->most);
        else
            text_append_format(text, "to %g", row->most);
        break;
    case OPTION_TIME: text_append(text, "a date YYYY-MM-DD or a time YYYY-MM-DDTHH:MM:SSZ"); break;
    case OPTION_DATE: text_append(text, "a date YYYY-MM-DD"); break;
    case OPTION_INTERVAL: text_append(text, "a length such as 1d, 1w, 1month, 4h or 30m"); break;
    case OPTION_CHOICE: append_choices(text, row); break;
    case OPTION_FLAG:
    case OPTION_TEXT:
    case OPTION_SETUP:
    case OPTION_FILE:
    case OPTION_FOLDER: assert(false && "nothing is refused of it"); break;
    }
}

int option_check(const struct option_row *row, const char *text, struct error *error)
{
    if (value_allowed(row, text))
        return ERROR_NONE;
    struct text allowed;
    char meant[WORD_HINT_SIZE] = "";
    text_init(&allowed);
    append_allowed(&allowed, row);
    if (row->kind == OPTION_CHOICE)
        word_hint(meant, text, row->choices, choice_count(row));
    int code = text_failed(&allowed)
                   ? error_memory(error)
                   : error_set(error, ERROR_USAGE, "--%s: found '%s'%s; %s is allowed", row->name,
                               text, meant, allowed.bytes);
    text_free(&allowed);
    return code;
}

/* --- help --------------------------------------------------------------------------- */

void option_value_words(const struct option_row *row, struct text *text)
{
    if (row->kind != OPTION_CHOICE) {
        text_append(text, row->value != NULL ? row->value : "");
        return;
    }
    for (size_t i = 0; row->choices[i] != NULL; i++)
        text_append_format(text, "%s%s", i > 0 ? "|" : "", row->choices[i]);
}

static bool is_number(const struct option_row *row)
{
    return row->kind == OPTION_NUMBER || row->kind == OPTION_WHOLE;
}

static void append_number(struct text *text, const struct option_row *row, double number)
{
    if (row->kind == OPTION_WHOLE)
        text_append_integer(text, (int64_t)number);
    else
        text_append_number(text, number);
}

static void append_limits(struct text *text, const struct option_row *row)
{
    append_number(text, row, row->least);
    if (isinf(row->most)) {
        text_append(text, " or more");
    } else {
        text_append(text, " to ");
        append_number(text, row, row->most);
    }
    if (row->unit != NULL)
        text_append_format(text, " %s", row->unit);
}

static void append_default(struct text *text, const struct option_row *row)
{
    text_append(text, "default: ");
    if (row->missing_words != NULL)
        text_append(text, row->missing_words);
    else
        append_number(text, row, row->missing);
    if (row->beside == NULL)
        return;
    text_append_format(text, ", with --%s ", row->beside);
    append_number(text, row, row->missing_beside);
}

void option_help_words(const struct option_row *row, struct text *text)
{
    bool has_default = row->missing_words != NULL || (is_number(row) && !isnan(row->missing));
    const char *between = " (";
    text_append(text, row->help);
    if (row->needed != NULL) {
        text_append_format(text, "%sneeded", between);
        between = "; ";
    }
    if (is_number(row)) {
        text_append(text, between);
        append_limits(text, row);
        between = "; ";
    }
    if (has_default) {
        text_append(text, between);
        append_default(text, row);
        between = "; ";
    }
    if (strcmp(between, "; ") == 0)
        text_append_char(text, ')');
}
