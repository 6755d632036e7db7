#include "document/paragraph.h"

#include <string.h>

size_t text_columns(const char *text)
{
    size_t columns = 0;
    for (; *text != '\0'; text++)
        columns += ((unsigned char)*text & 0xc0) != 0x80;
    return columns;
}

static size_t columns_of(const char *word, size_t length)
{
    size_t columns = 0;
    for (size_t i = 0; i < length; i++)
        columns += ((unsigned char)word[i] & 0xc0) != 0x80;
    return columns;
}

void paragraph_break(const char *words, size_t indent, size_t column,
                     void (*put)(void *context, const char *bytes, size_t length), void *context)
{
    size_t used = column;
    while (*words != '\0') {
        if (*words == '\n') {
            put(context, "\n", 1);
            used = 0;
            words++;
            continue;
        }
        if (*words == ' ') {
            words++;
            continue;
        }
        size_t length = strcspn(words, " \n");
        size_t columns = columns_of(words, length);
        if (used > 0 && used + 1 + columns > TEXT_WIDTH) {
            put(context, "\n", 1);
            used = 0;
        }
        size_t gap = used < indent ? indent - used : used == 0 ? 0 : 1;
        for (size_t i = 0; i < gap; i++)
            put(context, " ", 1);
        used += gap + columns;
        put(context, words, length);
        words += length;
    }
    if (used > 0)
        put(context, "\n", 1);
}

static void append(void *context, const char *bytes, size_t length)
{
    text_append_bytes(context, bytes, length);
}

void text_append_paragraph(struct text *text, const char *words, size_t indent)
{
    paragraph_break(words, indent, 0, append, text);
}

void text_append_prose(struct text *text, const char *words)
{
    for (const char *c = words; *c != '\0'; c++) {
        bool sign = *c == '-' && c[1] >= '0' && c[1] <= '9' &&
                    (c == words || c[-1] == ' ' || c[-1] == '(');
        if (sign)
            text_append(text, "\xE2\x88\x92");
        else
            text_append_char(text, *c);
    }
}
