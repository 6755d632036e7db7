#include "prices/csv_split.h"

#include <stdbool.h>
#include <string.h>

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

char csv_separator(const char *bytes, size_t length)
{
    static const char separators[] = ",;\t|";
    size_t counts[4] = {0};
    size_t best = 0;
    bool quoted = false;
    for (size_t i = 0; i < length; i++) {
        quoted ^= bytes[i] == '"';
        const char *found = bytes[i] != '\0' && !quoted ? strchr(separators, bytes[i]) : NULL;
        if (found != NULL)
            counts[found - separators]++;
    }
    for (size_t i = 1; i < 4; i++)
        if (counts[i] > counts[best])
            best = i;
    return separators[best];
}
