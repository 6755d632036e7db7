#include "prices/csv_wishes.h"

#include <string.h>

static int read_column(struct csv_wish *wish, const char *text, size_t length, struct error *error)
{
    size_t digits = strspn(text, "0123456789");
    wish->asked = true;
    if (digits < length || length == 0) {
        if (csv_name_fold((struct csv_field){text, length}, wish->name) > 0)
            return ERROR_NONE;
        return error_set(error, ERROR_USAGE,
                         "found '%.*s' for a column; its name in the header, or its number from 1 "
                         "to %d is allowed",
                         (int)length, text, CSV_MOST_COLUMNS);
    }
    for (size_t i = 0; i < length && wish->number <= CSV_MOST_COLUMNS; i++)
        wish->number = wish->number * 10 + (text[i] - '0');
    if (wish->number >= 1 && wish->number <= CSV_MOST_COLUMNS)
        return ERROR_NONE;
    return error_set(error, ERROR_USAGE, "found column %.*s; 1 to %d is allowed", (int)length, text,
                     CSV_MOST_COLUMNS);
}

static int read_one(struct csv_wishes *wishes, const char *text, size_t length, struct error *error)
{
    const char *equals = memchr(text, '=', length);
    size_t word = equals != NULL ? (size_t)(equals - text) : 0;
    enum csv_role role = csv_role_find(text, word);
    if (role == CSV_OTHER)
        return error_set(
            error, ERROR_USAGE,
            "found '%.*s'; time, clock, zone, open, high, low, close, volume or price, "
            "= and a column, with commas between, such as time=1,close=4, is allowed",
            (int)length, text);
    if (wishes->of[role].asked)
        return error_set(error, ERROR_USAGE, "names %s twice", csv_role_word(role));
    return read_column(&wishes->of[role], equals + 1, length - word - 1, error);
}

/* What cannot be meant together. */
static int check(struct csv_wishes *wishes, struct error *error)
{
    wishes->all_numbers = true;
    for (int role = CSV_TIME; role < CSV_ROLE_COUNT; role++) {
        const struct csv_wish *wish = &wishes->of[role];
        if (!wish->asked)
            continue;
        wishes->all_numbers = wishes->all_numbers && wish->number > 0;
        if (role >= CSV_OPEN && role <= CSV_CLOSE && wishes->of[CSV_PRICE].asked)
            return error_set(error, ERROR_USAGE,
                             "names %s and price; a file has bars, or times and prices",
                             csv_role_word((enum csv_role)role));
        for (int other = role + 1; other < CSV_ROLE_COUNT; other++) {
            const struct csv_wish *same = &wishes->of[other];
            if (same->asked && same->number == wish->number && strcmp(same->name, wish->name) == 0)
                return error_set(error, ERROR_USAGE, "takes one column for %s and for %s",
                                 csv_role_word((enum csv_role)role),
                                 csv_role_word((enum csv_role)other));
        }
    }
    return ERROR_NONE;
}

int csv_wishes_read(struct csv_wishes *wishes, const char *text, struct error *error)
{
    int code = ERROR_NONE;
    *wishes = (struct csv_wishes){.all_numbers = false};
    if (strlen(text) >= CSV_WISHES_SIZE)
        return error_set(error, ERROR_USAGE, "has %zu bytes; fewer than %d are allowed",
                         strlen(text), CSV_WISHES_SIZE);
    for (const char *at = text; code == ERROR_NONE;) {
        size_t length = strcspn(at, ",");
        code = read_one(wishes, at, length, error);
        if (at[length] == '\0')
            break;
        at += length + 1;
    }
    return code == ERROR_NONE ? check(wishes, error) : code;
}
