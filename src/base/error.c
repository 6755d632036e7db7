#include "base/error.h"

#include "base/text.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

/* A character that was cut is at most this long. */
enum { LAST_BYTES = 3 };

/* Cuts a UTF-8 text that was truncated in the middle of a character, and takes
 * out what no terminal may meet: controls become blanks, what is never seen and
 * what is no character a question mark. */
void error_make_line(char text[ERROR_TEXT_SIZE])
{
    size_t length = strlen(text);
    char *to = text;
    bool cut = length + 1 == ERROR_TEXT_SIZE;
    for (size_t at = 0, step; at < length; at += step) {
        char instead[TEXT_SHOWN_SIZE];
        step = text_character(text + at, length - at, instead);
        if (instead[0] == '\0') {
            memmove(to, text + at, step);
            to += step;
        } else if (!cut || length - at > LAST_BYTES || step > 1) {
            *to++ = step == 1 && (unsigned char)text[at] < 0x80 ? ' ' : '?';
        }
    }
    *to = '\0';
}

static int __attribute__((format(printf, 4, 0)))
set(struct error *error, int code, enum error_reason reason, const char *format, va_list arguments)
{
    error->code = code;
    error->reason = reason;
    vsnprintf(error->text, sizeof error->text, format, arguments);
    error_make_line(error->text);
    return code;
}

int(error_set)(struct error *error, int code, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    set(error, code, ERROR_REASON_NONE, format, arguments);
    va_end(arguments);
    return code;
}

int(error_because)(struct error *error, int code, enum error_reason reason, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    set(error, code, reason, format, arguments);
    va_end(arguments);
    return code;
}

int(error_memory)(struct error *error)
{
    return error_set(error, ERROR_MACHINE, "out of memory");
}

int error_context(struct error *error, const char *format, ...)
{
    char before[ERROR_TEXT_SIZE];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(before, sizeof before, format, arguments);
    va_end(arguments);
    size_t used = strlen(before);
    size_t kept = strlen(error->text);
    if (used > ERROR_TEXT_SIZE - 3)
        used = ERROR_TEXT_SIZE - 3;
    if (kept > ERROR_TEXT_SIZE - 3 - used)
        kept = ERROR_TEXT_SIZE - 3 - used;
    memmove(error->text + used + 2, error->text, kept);
    error->text[used + 2 + kept] = '\0';
    memcpy(error->text, before, used);
    memcpy(error->text + used, ": ", 2);
    error_make_line(error->text);
    return error->code;
}

void error_advise(struct error *error, const char *advice)
{
    size_t used = strlen(error->text);
    snprintf(error->text + used, sizeof error->text - used, "%s", advice);
    error_make_line(error->text);
}

void error_clear(struct error *error)
{
    error->code = ERROR_NONE;
    error->reason = ERROR_REASON_NONE;
    error->text[0] = '\0';
}

int error_code_of(int number)
{
    switch (number) {
    case EMFILE:
    case ENFILE:
    case ENOMEM:
    case ENOSPC:
    case EIO: return ERROR_MACHINE;
    default: return ERROR_INPUT;
    }
}
