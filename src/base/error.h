/* Errors are values: an integer code and one line of text with its context.
 *
 * A function that can fail returns 0 or one of the codes below, and fills the
 * `struct error` it was given; its caller adds context or passes it up. Only
 * the doors (command line, page) print. The codes are the exit codes of the
 * command line, so nothing is translated on the way. */
#ifndef RUSHLIGHT_BASE_ERROR_H
#define RUSHLIGHT_BASE_ERROR_H

#include <stdarg.h>
#include <stdbool.h>

enum error_code {
    ERROR_NONE = 0,
    ERROR_USAGE = 2,  /* the words of the command were wrong */
    ERROR_INPUT = 3,  /* a file or a value is not what it should be */
    ERROR_MACHINE = 4 /* memory, disk or a library failed us */
};

enum { ERROR_TEXT_SIZE = 1024 };

struct error {
    int code;
    char text[ERROR_TEXT_SIZE]; /* one line, no newline, UTF-8 */
};

/* Sets code and text and returns code, so that `return error_set(...)` reads
 * well. A longer text is cut at a character boundary; control characters in
 * it are shown as spaces, so that the message stays one line. */
int error_set(struct error *error, int code, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* Out of memory: no allocation is made to say so. Returns ERROR_MACHINE. */
int error_memory(struct error *error);

/* The static analyser reads one file at a time; this tells it what they return. */
#ifdef __clang_analyzer__
#define error_set(error, code, ...) (error_set(error, code, __VA_ARGS__), (code))
#define error_memory(error) (error_memory(error), (int)ERROR_MACHINE)
#endif

/* Puts "context: " before the text that is there and returns its code. */
int error_context(struct error *error, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* No error: code ERROR_NONE and an empty text. */
void error_clear(struct error *error);

#endif
