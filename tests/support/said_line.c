#include "said_line.h"

#include <string.h>

/* The next word of the line, up to a space. */
static char *next_word(char **line)
{
    char *word = *line;
    char *end = word + strcspn(word, " ");
    *line = *end != '\0' ? end + 1 : end;
    *end = '\0';
    return word;
}

bool said_line_read(struct said_line *said, const uint8_t *data, size_t size)
{
    const uint8_t *end = size > 0 ? memchr(data, '\n', size) : NULL;
    struct error error = {0};
    if (end == NULL || end - data > CSV_WISHES_SIZE)
        return false;
    *said = (struct said_line){.rest = end + 1, .rest_size = size - (size_t)(end + 1 - data)};
    text_init(&said->text);
    text_append_bytes(&said->text, (const char *)data, (size_t)(end - data));
    char *line = said->text.bytes;
    interval_parse(next_word(&line), &said->interval);
    const char *zone = next_word(&line);
    said->zone = zone[0] != '\0' ? zone : NULL;
    const char *dates = next_word(&line);
    said->dates = dates[0] == 'd'   ? CSV_DATES_DMY
                  : dates[0] == 'm' ? CSV_DATES_MDY
                  : dates[0] == 'y' ? CSV_DATES_YMD
                                    : CSV_DATES_ANY;
    if (csv_wishes_read(&said->wishes, line, &error) == ERROR_NONE)
        said->columns = line;
    return true;
}

void said_line_free(struct said_line *said)
{
    text_free(&said->text);
}
