#include "prices/csv_columns.h"

#include "prices/csv_time.h"

#include <string.h>

enum { SHOWN = 120 };

static int shown(size_t length)
{
    return length > SHOWN ? SHOWN : (int)length;
}

/* What has to be there and is not; NULL if nothing. */
static const char *missing_name(const struct csv_columns *columns)
{
    if (columns->where[CSV_TIME] < 0)
        return "date";
    if (columns->observations)
        return NULL;
    for (int role = CSV_OPEN; role <= CSV_CLOSE; role++)
        if (columns->where[role] < 0)
            return csv_role_word((enum csv_role)role);
    return NULL;
}

/* The one column that has this name, from 1; 0 for none, -1 for several. */
static int find_name(const struct csv_field *fields, size_t count, const char *name)
{
    int found = 0;
    for (size_t i = 0; i < count; i++) {
        char folded[CSV_NAME_SIZE];
        csv_name_fold(fields[i], folded);
        if (strcmp(folded, name) == 0)
            found = found == 0 ? (int)i + 1 : -1;
    }
    return found;
}

static int place_wish(struct csv_columns *columns, const struct csv_field *fields,
                      enum csv_role role, const struct csv_wish *wish, struct error *error)
{
    const char *word = csv_role_word(role);
    int number = wish->number > 0 ? wish->number : find_name(fields, columns->count, wish->name);
    if (number > (int)columns->count)
        return error_set(error, ERROR_INPUT, "has %zu columns, and %s was to be column %d",
                         columns->count, word, number);
    if (number == 0)
        return error_set(error, ERROR_INPUT,
                         "the header has no column '%s', which was to be the %s; say its number",
                         wish->name, word);
    if (number < 0)
        return error_set(
            error, ERROR_INPUT,
            "the header has several columns '%s', one of which was to be the %s; say its number",
            wish->name, word);
    for (int other = CSV_TIME; other < CSV_ROLE_COUNT; other++)
        if (columns->where[other] == number - 1)
            return error_set(error, ERROR_INPUT, "column %d was to be the %s and the %s", number,
                             csv_role_word((enum csv_role)other), word);
    columns->where[role] = number - 1;
    return ERROR_NONE;
}

/* Whether this line is one of prices: its time is a time. */
static bool is_headless(const struct csv_columns *columns, const struct csv_field *fields,
                        const struct csv_wishes *wishes)
{
    struct csv_moment moment;
    const struct csv_field none = {NULL, 0};
    int time = columns->where[CSV_TIME];
    /* Columns may be called 0, 1, 2 … */
    return wishes->all_numbers && time >= 0 && fields[time].length >= 6 &&
           csv_moment_read(fields[time], none, CSV_DATES_ANY, &moment);
}

static int take_zone(struct csv_columns *columns, const char *zone, struct error *error)
{
    if (zone[0] == '\0')
        return ERROR_NONE;
    if (columns->zone[0] != '\0' && strcmp(columns->zone, zone) != 0)
        return error_set(error, ERROR_INPUT, "the header names the zones %s and %s for its times",
                         columns->zone, zone);
    memcpy(columns->zone, zone, strlen(zone) + 1);
    return ERROR_NONE;
}

static int place_wishes(struct csv_columns *columns, const struct csv_field *fields,
                        const struct csv_wishes *wishes, struct error *error)
{
    int code = ERROR_NONE;
    for (int role = CSV_TIME; code == ERROR_NONE && role < CSV_ROLE_COUNT; role++)
        if (wishes->of[role].asked)
            code = place_wish(columns, fields, (enum csv_role)role, &wishes->of[role], error);
    columns->headless = code == ERROR_NONE && is_headless(columns, fields, wishes);
    for (int role = CSV_TIME; code == ERROR_NONE && role <= CSV_CLOCK; role++) {
        char zone[CSV_ZONE_SIZE];
        if (!wishes->of[role].asked || columns->headless)
            continue;
        csv_name_zone(fields[columns->where[role]], zone);
        code = take_zone(columns, zone, error);
    }
    return code;
}

static bool is_placed(const struct csv_columns *columns, int column)
{
    for (int role = CSV_TIME; role < CSV_ROLE_COUNT; role++)
        if (columns->where[role] == column)
            return true;
    return false;
}

/* The columns that nobody spoke of, by their words. */
static int place_by_name(struct csv_columns *columns, const struct csv_field *fields,
                         const struct csv_wishes *wishes, struct error *error)
{
    int code = ERROR_NONE;
    for (size_t i = 0; code == ERROR_NONE && i < columns->count; i++) {
        char zone[CSV_ZONE_SIZE];
        enum csv_role role = csv_name_role(fields[i], zone);
        if (role == CSV_OTHER || is_placed(columns, (int)i) ||
            (wishes != NULL && wishes->of[role].asked))
            continue;
        if (columns->where[role] < 0)
            columns->where[role] = (int)i;
        else if (role != CSV_VOLUME)
            return error_because(
                error, ERROR_INPUT, ERROR_REASON_TWO_COLUMNS,
                "the header names '%.*s' where column %d already is it; say which, such as %s=%zu",
                shown(fields[i].length), fields[i].bytes, columns->where[role] + 1,
                csv_role_word(role), i + 1);
        code = take_zone(columns, zone, error);
    }
    return code;
}

/* Bars, or times and prices. */
static void settle_kind(struct csv_columns *columns, const struct csv_wishes *wishes)
{
    int *where = columns->where;
    if (where[CSV_TIME] < 0 && where[CSV_CLOCK] >= 0) {
        where[CSV_TIME] = where[CSV_CLOCK];
        where[CSV_CLOCK] = -1;
    }
    bool wished = wishes != NULL && wishes->of[CSV_PRICE].asked;
    for (int role = CSV_OPEN; wished && role <= CSV_CLOSE; role++)
        where[role] = -1;
    bool four = where[CSV_OPEN] >= 0 || where[CSV_HIGH] >= 0 || where[CSV_LOW] >= 0;
    if (!four && where[CSV_PRICE] < 0 && where[CSV_CLOSE] >= 0)
        where[CSV_PRICE] = where[CSV_CLOSE];
    columns->observations = !four && where[CSV_PRICE] >= 0;
}

int csv_columns_read(struct csv_columns *columns, const char *bytes, size_t length,
                     const struct csv_wishes *wishes, struct error *error)
{
    struct csv_field fields[CSV_MOST_COLUMNS + 1];
    int code = ERROR_NONE;
    *columns = (struct csv_columns){.separator = csv_separator(bytes, length)};
    for (size_t i = 0; i < CSV_ROLE_COUNT; i++)
        columns->where[i] = -1;
    columns->count = csv_split(bytes, length, columns->separator, fields);
    if (columns->count > CSV_MOST_COLUMNS)
        return error_set(error, ERROR_INPUT, "the header has more than %d columns",
                         CSV_MOST_COLUMNS);
    if (wishes != NULL)
        code = place_wishes(columns, fields, wishes, error);
    if (code == ERROR_NONE && !columns->headless)
        code = place_by_name(columns, fields, wishes, error);
    if (code != ERROR_NONE)
        return code;
    settle_kind(columns, wishes);
    const char *missing = missing_name(columns);
    if (missing == NULL)
        return ERROR_NONE;
    return error_because(
        error, ERROR_INPUT, ERROR_REASON_NO_COLUMN,
        "no column '%s' in the header '%.*s'; date,open,high,low,close[,volume] or "
        "time,price[,volume] is needed",
        missing, shown(length), bytes);
}
