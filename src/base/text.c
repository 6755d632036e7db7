#include "base/text.h"

#include "base/number.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char nothing[1] = "";

void text_init(struct text *text)
{
    *text = (struct text){.bytes = nothing};
}

void text_free(struct text *text)
{
    if (text->capacity > 0)
        free(text->bytes);
    text_init(text);
}

void text_clear(struct text *text)
{
    text->length = 0;
    text->failed = false;
    if (text->capacity > 0)
        text->bytes[0] = '\0';
}

bool text_failed(const struct text *text)
{
    return text->failed;
}

char *text_take(struct text *text)
{
    char *taken = NULL;
    if (!text->failed)
        taken = text->capacity > 0 ? text->bytes : calloc(1, 1);
    if (taken == NULL)
        text_free(text);
    text_init(text);
    return taken;
}

/* Room for `more` bytes and the NUL. */
static bool reserve(struct text *text, size_t more)
{
    if (text->failed)
        return false;
    if (more > SIZE_MAX / 4 || text->length > SIZE_MAX / 4) {
        text->failed = true;
        return false;
    }
    size_t need = text->length + more + 1;
    if (need <= text->capacity)
        return true;
    size_t capacity = text->capacity > 0 ? text->capacity : 64;
    while (capacity < need)
        capacity *= 2;
    char *bytes = realloc(text->capacity > 0 ? text->bytes : NULL, capacity);
    if (bytes == NULL) {
        text->failed = true;
        return false;
    }
    bytes[text->length] = '\0';
    text->bytes = bytes;
    text->capacity = capacity;
    return true;
}

void text_append_bytes(struct text *text, const char *bytes, size_t length)
{
    if (!reserve(text, length))
        return;
    if (length > 0)
        memcpy(text->bytes + text->length, bytes, length);
    text->length += length;
    text->bytes[text->length] = '\0';
}

void text_append(struct text *text, const char *string)
{
    text_append_bytes(text, string, strlen(string));
}

void text_append_char(struct text *text, char c)
{
    text_append_bytes(text, &c, 1);
}

void text_append_format(struct text *text, const char *format, ...)
{
    va_list arguments;
    va_list again;
    va_start(arguments, format);
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    if (length < 0)
        text->failed = true;
    else if (reserve(text, (size_t)length)) {
        vsnprintf(text->bytes + text->length, (size_t)length + 1, format, again);
        text->length += (size_t)length;
    }
    va_end(again);
}

void text_append_number(struct text *text, double value)
{
    char digits[NUMBER_TEXT_SIZE];
    number_format(digits, value);
    text_append(text, digits);
}

void text_append_integer(struct text *text, int64_t value)
{
    text_append_format(text, "%lld", (long long)value);
}

enum { LONGEST_CHARACTER = 4 }; /* bytes; a string's NUL ends one sooner */

/* Length of the well-formed UTF-8 character at the start of s[0..size), 0 if
 * there is none (Unicode standard, table 3-7); size > 0. */
static size_t character_length(const unsigned char *s, size_t size)
{
    if (s[0] < 0x80)
        return 1;
    size_t length = s[0] >= 0xf0 ? 4 : s[0] >= 0xe0 ? 3 : 2;
    if (s[0] < 0xc2 || s[0] > 0xf4 || length > size)
        return 0;
    for (size_t i = 1; i < length; i++)
        if ((s[i] & 0xc0) != 0x80)
            return 0;
    if ((s[0] == 0xe0 && s[1] < 0xa0) || (s[0] == 0xed && s[1] > 0x9f) ||
        (s[0] == 0xf0 && s[1] < 0x90) || (s[0] == 0xf4 && s[1] > 0x8f))
        return 0;
    return length;
}

bool text_is_utf8(const char *bytes, size_t length)
{
    size_t i = 0;
    while (i < length) {
        size_t step = character_length((const unsigned char *)bytes + i, length - i);
        if (step == 0)
            return false;
        i += step;
    }
    return true;
}

static const char replacement[] = "\xef\xbf\xbd";

static unsigned int code_of(const unsigned char *s, size_t length)
{
    static const unsigned int first[] = {0, 0x7f, 0x1f, 0x0f, 0x07};
    unsigned int code = s[0] & first[length];
    for (size_t i = 1; i < length; i++)
        code = code << 6 | (s[i] & 0x3f);
    return code;
}

static bool is_unseen(unsigned int code)
{
    return (code >= 0x80 && code <= 0x9f) || code == 0x61c || code == 0x200e || code == 0x200f ||
           (code >= 0x2028 && code <= 0x202e) || (code >= 0x2066 && code <= 0x2069) ||
           code == 0xfeff || (code & 0xfffe) == 0xfffe;
}

/* The last byte of a control's picture, U+2400 to U+2421: e2 90 80 and on. */
static char picture_of(unsigned int code)
{
    return (char)(code == 0x7f ? 0xa1 : 0x80 + code);
}

size_t text_character(const char *bytes, size_t left, char instead[TEXT_SHOWN_SIZE])
{
    const unsigned char *s = (const unsigned char *)bytes;
    size_t length = character_length(s, left);
    unsigned int code = length > 0 ? code_of(s, length) : 0;
    instead[0] = '\0';
    if (length == 0)
        memcpy(instead, replacement, sizeof replacement);
    else if (code < 0x20 || code == 0x7f)
        memcpy(instead, (const char[]){'\xe2', '\x90', picture_of(code), '\0'}, 4);
    else if (is_unseen(code))
        snprintf(instead, TEXT_SHOWN_SIZE, "[U+%04X]", code & 0xffffff);
    return length > 0 ? length : 1;
}

bool text_is_shown(const char *string)
{
    char instead[TEXT_SHOWN_SIZE];
    for (size_t left = strlen(string), length; left > 0; left -= length, string += length) {
        length = text_character(string, left, instead);
        if (instead[0] != '\0')
            return false;
    }
    return true;
}

/* `but` are characters that are left as they are. */
static void append_shown(struct text *text, const char *string, const char *but)
{
    char instead[TEXT_SHOWN_SIZE];
    for (size_t left = strlen(string), length; left > 0; left -= length, string += length) {
        length = text_character(string, left, instead);
        if (instead[0] != '\0' && strchr(but, *string) == NULL)
            text_append(text, instead);
        else
            text_append_bytes(text, string, length);
    }
}

void text_append_shown(struct text *text, const char *string)
{
    append_shown(text, string, "");
}

static bool is_quoted(const char *string)
{
    return strpbrk(string, ",\"\r\n") != NULL ||
           (string[0] != '\0' && strchr("=+-@\t ", string[0]) != NULL);
}

void text_append_csv_exact(struct text *text, const char *string)
{
    if (!is_quoted(string)) {
        text_append(text, string);
        return;
    }
    text_append_char(text, '"');
    for (; *string != '\0'; string++) {
        if (*string == '"')
            text_append_char(text, '"');
        text_append_char(text, *string);
    }
    text_append_char(text, '"');
}

void text_append_csv(struct text *text, const char *string)
{
    struct text shown;
    double number = 0;
    bool formula = string[0] != '\0' && strchr("=+-@\t\r", string[0]) != NULL &&
                   !number_parse(string, strlen(string), &number);
    if (!formula && text_is_shown(string)) {
        text_append_csv_exact(text, string);
        return;
    }
    text_init(&shown);
    if (formula)
        text_append_char(&shown, '\'');
    append_shown(&shown, string, "\n\r\t");
    text->failed = text->failed || text_failed(&shown);
    text_append_csv_exact(text, shown.bytes);
    text_free(&shown);
}

static void append_escaped(struct text *text, const unsigned char *s, size_t length)
{
    unsigned int code = length > 0 ? code_of(s, length) : 0;
    if (length == 0)
        text_append(text, replacement);
    else if (*s == '"' || *s == '\\')
        text_append_format(text, "\\%c", *s);
    else if (*s == '\n')
        text_append(text, "\\n");
    else if (code < 0x20 || code == 0x7f || (code < 0x10000 && is_unseen(code)))
        text_append_format(text, "\\u%04x", code);
    else
        text_append_bytes(text, (const char *)s, length);
}

void text_append_json(struct text *text, const char *string)
{
    text_append_char(text, '"');
    const unsigned char *s = (const unsigned char *)string;
    while (*s != '\0') {
        size_t length = character_length(s, LONGEST_CHARACTER);
        append_escaped(text, s, length);
        s += length > 0 ? length : 1;
    }
    text_append_char(text, '"');
}

static const char *xml_entity(unsigned char c)
{
    switch (c) {
    case '&': return "&amp;";
    case '<': return "&lt;";
    case '>': return "&gt;";
    case '"': return "&quot;";
    case '\'': return "&#39;";
    default: return NULL;
    }
}

void text_append_xml(struct text *text, const char *string)
{
    const unsigned char *s = (const unsigned char *)string;
    while (*s != '\0') {
        size_t length = character_length(s, LONGEST_CHARACTER);
        const char *entity = xml_entity(*s);
        bool forbidden = (*s < 0x20 && *s != '\t' && *s != '\n' && *s != '\r') ||
                         (length == 3 && s[0] == 0xef && s[1] == 0xbf && s[2] >= 0xbe);
        if (length == 0 || forbidden)
            text_append(text, replacement);
        else if (entity != NULL)
            text_append(text, entity);
        else
            text_append_bytes(text, (const char *)s, length);
        s += length > 0 ? length : 1;
    }
}
