#include "prices/csv_columns.h"

#include "base/text.h"

#include <string.h>

/* Names as they are compared: lower case, letters and digits only; letters
 * beyond ASCII stay as they are. Names of the trade in the languages whose
 * files use a decimal comma stand beside the English ones. */
static const struct {
    const char *name;
    enum csv_role role;
} names[] = {
    {"date", CSV_TIME},        {"datetime", CSV_TIME},
    {"timestamp", CSV_TIME},   {"dt", CSV_TIME},
    {"day", CSV_TIME},         {"tradedate", CSV_TIME},
    {"tradingday", CSV_TIME},  {"unix", CSV_TIME},
    {"unixtime", CSV_TIME},    {"epoch", CSV_TIME},
    {"opentime", CSV_TIME},    {"gmttime", CSV_TIME},
    {"localtime", CSV_TIME},   {"utc", CSV_TIME},
    {"datum", CSV_TIME},       {"fecha", CSV_TIME},
    {"data", CSV_TIME},        {"time", CSV_CLOCK},
    {"clock", CSV_CLOCK},      {"timeofday", CSV_CLOCK},
    {"zeit", CSV_CLOCK},       {"uhrzeit", CSV_CLOCK},
    {"heure", CSV_CLOCK},      {"hour", CSV_CLOCK},
    {"zone", CSV_ZONE},        {"timezone", CSV_ZONE},
    {"tz", CSV_ZONE},          {"open", CSV_OPEN},
    {"o", CSV_OPEN},           {"openprice", CSV_OPEN},
    {"first", CSV_OPEN},       {"opening", CSV_OPEN},
    {"eröffnung", CSV_OPEN},   {"erster", CSV_OPEN},
    {"ouverture", CSV_OPEN},   {"apertura", CSV_OPEN},
    {"high", CSV_HIGH},        {"h", CSV_HIGH},
    {"highprice", CSV_HIGH},   {"max", CSV_HIGH},
    {"hoch", CSV_HIGH},        {"haut", CSV_HIGH},
    {"low", CSV_LOW},          {"l", CSV_LOW},
    {"lowprice", CSV_LOW},     {"min", CSV_LOW},
    {"tief", CSV_LOW},         {"bas", CSV_LOW},
    {"close", CSV_CLOSE},      {"c", CSV_CLOSE},
    {"closeprice", CSV_CLOSE}, {"closing", CSV_CLOSE},
    {"last", CSV_CLOSE},       {"closelast", CSV_CLOSE},
    {"settle", CSV_CLOSE},     {"settlement", CSV_CLOSE},
    {"schluss", CSV_CLOSE},    {"schlusskurs", CSV_CLOSE},
    {"clôture", CSV_CLOSE},    {"cierre", CSV_CLOSE},
    {"volume", CSV_VOLUME},    {"v", CSV_VOLUME},
    {"vol", CSV_VOLUME},       {"tickvolume", CSV_VOLUME},
    {"tickvol", CSV_VOLUME},   {"shares", CSV_VOLUME},
    {"size", CSV_VOLUME},      {"quantity", CSV_VOLUME},
    {"volumen", CSV_VOLUME},   {"stücke", CSV_VOLUME},
    {"price", CSV_PRICE},      {"rate", CSV_PRICE},
    {"value", CSV_PRICE},      {"trade", CSV_PRICE},
    {"kurs", CSV_PRICE},       {"mid", CSV_PRICE},
    {"bid", CSV_PRICE},
};

enum { NAME_COUNT = sizeof names / sizeof names[0], LONGEST_NAME = 32 };

static bool is_space(char c, char separator)
{
    return c == ' ' || (c == '\t' && separator != '\t');
}

size_t csv_split(const char *bytes, size_t length, char separator,
                 struct csv_field fields[CSV_MOST_COLUMNS + 1])
{
    const char *end = bytes + length;
    size_t count = 0;
    for (;;) {
        const char *start = bytes;
        while (start < end && is_space(*start, separator))
            start++;
        const char *stop;
        if (start < end && *start == '"') {
            stop = ++start;
            while (stop < end && !(*stop == '"' && (stop + 1 == end || stop[1] != '"')))
                stop += *stop == '"' ? 2 : 1;
            if (stop >= end)
                return 0;
            bytes = stop + 1;
            while (bytes < end && *bytes != separator)
                bytes++;
        } else {
            stop = memchr(start, separator, (size_t)(end - start));
            if (stop == NULL)
                stop = end;
            bytes = stop;
        }
        while (stop > start && is_space(stop[-1], separator))
            stop--;
        fields[count++] = (struct csv_field){start, (size_t)(stop - start)};
        if (bytes >= end || count == CSV_MOST_COLUMNS + 1)
            return count;
        bytes++;
    }
}

/* The separator that occurs most in the header. */
static char find_separator(const char *bytes, size_t length)
{
    static const char separators[] = ",;\t|";
    size_t counts[4] = {0};
    size_t best = 0;
    for (size_t i = 0; i < length; i++) {
        const char *found = bytes[i] != '\0' ? strchr(separators, bytes[i]) : NULL;
        if (found != NULL)
            counts[found - separators]++;
    }
    for (size_t i = 1; i < 4; i++)
        if (counts[i] > counts[best])
            best = i;
    return separators[best];
}

static enum csv_role role_of(struct csv_field field)
{
    char plain[LONGEST_NAME];
    size_t used = 0;
    for (size_t i = 0; i < field.length; i++) {
        unsigned char c = (unsigned char)field.bytes[i];
        if (c >= 'A' && c <= 'Z')
            c = (unsigned char)(c - 'A' + 'a');
        if (!((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c >= 0x80))
            continue;
        if (used == LONGEST_NAME - 1)
            return CSV_OTHER;
        plain[used++] = (char)c;
    }
    plain[used] = '\0';
    for (size_t i = 0; i < NAME_COUNT; i++)
        if (strcmp(plain, names[i].name) == 0)
            return names[i].role;
    return CSV_OTHER;
}

/* What has to be there and is not; NULL if nothing. */
static const char *missing_name(const struct csv_columns *columns)
{
    static const struct {
        enum csv_role role;
        const char *name;
    } needed[] = {{CSV_OPEN, "open"}, {CSV_HIGH, "high"}, {CSV_LOW, "low"}, {CSV_CLOSE, "close"}};
    if (columns->where[CSV_TIME] < 0)
        return "date";
    if (columns->observations)
        return NULL;
    for (size_t i = 0; i < 4; i++)
        if (columns->where[needed[i].role] < 0)
            return needed[i].name;
    return NULL;
}

int csv_columns_read(struct csv_columns *columns, const char *bytes, size_t length,
                     struct error *error)
{
    struct csv_field fields[CSV_MOST_COLUMNS + 1];
    *columns = (struct csv_columns){.separator = find_separator(bytes, length)};
    for (size_t i = 0; i < CSV_ROLE_COUNT; i++)
        columns->where[i] = -1;
    columns->count = csv_split(bytes, length, columns->separator, fields);
    if (columns->count > CSV_MOST_COLUMNS)
        return error_set(error, ERROR_INPUT, "the header has more than %d columns",
                         CSV_MOST_COLUMNS);
    for (size_t i = 0; i < columns->count; i++) {
        enum csv_role role = role_of(fields[i]);
        if (role != CSV_OTHER && columns->where[role] >= 0 && role != CSV_VOLUME)
            return error_set(error, ERROR_INPUT,
                             "the header names '%.*s' where column %d already is it",
                             (int)fields[i].length, fields[i].bytes, columns->where[role] + 1);
        if (columns->where[role] < 0)
            columns->where[role] = (int)i;
    }
    int *where = columns->where;
    if (where[CSV_TIME] < 0 && where[CSV_CLOCK] >= 0) {
        where[CSV_TIME] = where[CSV_CLOCK];
        where[CSV_CLOCK] = -1;
    }
    bool four = where[CSV_OPEN] >= 0 || where[CSV_HIGH] >= 0 || where[CSV_LOW] >= 0;
    if (!four && where[CSV_PRICE] < 0 && where[CSV_CLOSE] >= 0)
        where[CSV_PRICE] = where[CSV_CLOSE];
    columns->observations = !four && where[CSV_PRICE] >= 0;
    const char *missing = missing_name(columns);
    if (missing == NULL)
        return ERROR_NONE;
    return error_set(error, ERROR_INPUT,
                     "no column '%s' in the header '%.*s'; date,open,high,low,close[,volume] or "
                     "time,price[,volume] is needed",
                     missing, length > 120 ? 120 : (int)length, bytes);
}
