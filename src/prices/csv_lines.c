#define _POSIX_C_SOURCE 200809L /* open, read */
#include "prices/csv_lines.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Holds the longest line and a good piece more. */
enum { BUFFER_SIZE = 4 * CSV_LONGEST_LINE };

int csv_lines_open(struct csv_lines *lines, const char *path, struct error *error)
{
    *lines = (struct csv_lines){.file = -1, .end = '\n'};
    lines->file = open(path, O_RDONLY | O_CLOEXEC);
    if (lines->file < 0)
        return error_set(error, error_code_of(errno), "%s: cannot be opened: %s", path,
                         strerror(errno));
    struct stat status;
    if (fstat(lines->file, &status) != 0)
        return error_set(error, error_code_of(errno), "%s: cannot be read: %s", path,
                         strerror(errno));
    if (S_ISDIR(status.st_mode))
        return error_set(error, ERROR_INPUT, "%s: is a folder; a file of prices is needed", path);
    if (S_ISREG(status.st_mode))
        lines->size = (uint64_t)status.st_size;
    lines->buffer = malloc(BUFFER_SIZE);
    if (lines->buffer == NULL)
        return error_memory(error);
    lines->bytes = lines->buffer;
    return ERROR_NONE;
}

void csv_lines_open_memory(struct csv_lines *lines, const char *bytes, size_t length)
{
    *lines = (struct csv_lines){.file = -1,
                                .bytes = bytes,
                                .length = length,
                                .size = length,
                                .end = '\n',
                                .finished = true};
}

void csv_lines_close(struct csv_lines *lines)
{
    if (lines->file >= 0)
        close(lines->file);
    free(lines->buffer);
    *lines = (struct csv_lines){.file = -1};
}

/* Throws away what has been handed out and fills the buffer up. */
static int fill(struct csv_lines *lines, struct error *error)
{
    size_t rest = lines->length - lines->position;
    memmove(lines->buffer, lines->buffer + lines->position, rest);
    lines->offset += lines->position;
    lines->length = rest;
    lines->position = 0;
    while (lines->length < BUFFER_SIZE && !lines->finished) {
        ssize_t got = read(lines->file, lines->buffer + lines->length, BUFFER_SIZE - lines->length);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            return error_set(error, ERROR_MACHINE, "reading failed: %s", strerror(errno));
        if (lines->hasher != NULL)
            file_hasher_take(lines->hasher, lines->offset + lines->length,
                             lines->buffer + lines->length, (size_t)got);
        lines->finished = got == 0;
        lines->length += (size_t)got;
    }
    return ERROR_NONE;
}

int csv_lines_begin(struct csv_lines *lines, struct error *error)
{
    if (!lines->finished) {
        int code = fill(lines, error);
        if (code != ERROR_NONE)
            return code;
    }
    const char *bytes = lines->bytes;
    size_t length = lines->length;
    if (length == 0)
        return error_set(error, ERROR_INPUT, "is empty; a header and lines of prices are needed");
    if (length >= 2 && (memcmp(bytes, "\xff\xfe", 2) == 0 || memcmp(bytes, "\xfe\xff", 2) == 0))
        return error_set(error, ERROR_INPUT, "is UTF-16 text; save it as UTF-8 or plain text");
    size_t head = length < 4096 ? length : 4096;
    const char *zero = memchr(bytes, '\0', head);
    /* Latin letters in UTF-16 without its mark: every other byte is zero. */
    if (zero != NULL && head >= 4 &&
        ((bytes[1] == '\0' && bytes[3] == '\0') || (bytes[0] == '\0' && bytes[2] == '\0')))
        return error_set(error, ERROR_INPUT, "is UTF-16 text; save it as UTF-8 or plain text");
    for (size_t i = 0; i < head; i++)
        if ((unsigned char)bytes[i] < 0x20 &&
            strchr("\t\n\v\f\r", bytes[i] ? bytes[i] : 'x') == NULL)
            return error_set(error, ERROR_INPUT,
                             "is no text (byte %zu is 0x%02x); a CSV file of prices is needed",
                             i + 1, (unsigned)(unsigned char)bytes[i]);
    if (length >= 3 && memcmp(bytes, "\xef\xbb\xbf", 3) == 0)
        lines->position = 3;
    if (memchr(bytes, '\n', length) == NULL && memchr(bytes, '\r', length) != NULL)
        lines->end = '\r';
    return ERROR_NONE;
}

/* The line is longer than allowed: hands out its start and skips the rest. */
static int next_long(struct csv_lines *lines, struct csv_line *line, struct error *error)
{
    /* The start is kept at the head of the buffer while the rest passes
     * through behind it. */
    size_t whole = 0;
    if (lines->buffer == NULL) {
        const char *start = lines->bytes + lines->position;
        const char *end = memchr(start, lines->end, lines->length - lines->position);
        whole = end != NULL ? (size_t)(end - start) : lines->length - lines->position;
        lines->position += whole + (end != NULL);
        *line = (struct csv_line){start, CSV_LONGEST_LINE, whole, lines->number};
        return ERROR_NONE;
    }
    char *start = lines->buffer + lines->position;
    memmove(lines->buffer, start, CSV_LONGEST_LINE);
    lines->offset += lines->position;
    whole = CSV_LONGEST_LINE;
    memmove(lines->buffer + CSV_LONGEST_LINE, start + CSV_LONGEST_LINE,
            lines->length - lines->position - CSV_LONGEST_LINE);
    lines->length -= lines->position;
    for (;;) {
        char *rest = lines->buffer + CSV_LONGEST_LINE;
        size_t have = lines->length - CSV_LONGEST_LINE;
        char *end = memchr(rest, lines->end, have);
        if (end != NULL || lines->finished) {
            size_t used = end != NULL ? (size_t)(end - rest) : have;
            whole += used;
            lines->position = CSV_LONGEST_LINE + used + (end != NULL);
            break;
        }
        whole += have;
        lines->offset += have;
        ssize_t got = read(lines->file, rest, BUFFER_SIZE - CSV_LONGEST_LINE);
        if (got < 0 && errno != EINTR)
            return error_set(error, ERROR_MACHINE, "reading failed: %s", strerror(errno));
        if (lines->hasher != NULL && got > 0)
            file_hasher_take(lines->hasher, lines->offset + CSV_LONGEST_LINE, rest, (size_t)got);
        lines->finished = got == 0;
        lines->length = CSV_LONGEST_LINE + (got > 0 ? (size_t)got : 0);
    }
    *line = (struct csv_line){lines->buffer, CSV_LONGEST_LINE, whole, lines->number};
    return ERROR_NONE;
}

int csv_lines_next(struct csv_lines *lines, struct csv_line *line, struct error *error)
{
    const char *start = lines->bytes + lines->position;
    size_t left = lines->length - lines->position;
    const char *end = left > 0 ? memchr(start, lines->end, left) : NULL;
    if (end == NULL && !lines->finished) {
        int code = fill(lines, error);
        if (code != ERROR_NONE)
            return code;
        start = lines->bytes;
        left = lines->length;
        end = left > 0 ? memchr(start, lines->end, left) : NULL;
    }
    if (left == 0) {
        *line = (struct csv_line){.bytes = NULL, .number = lines->number};
        return ERROR_NONE;
    }
    size_t length = end != NULL ? (size_t)(end - start) : left;
    lines->number++;
    if (length > CSV_LONGEST_LINE)
        return next_long(lines, line, error);
    lines->position += length + (end != NULL);
    if (length > 0 && start[length - 1] == '\r')
        length--;
    *line = (struct csv_line){start, length, length, lines->number};
    return ERROR_NONE;
}

int csv_lines_rewind(struct csv_lines *lines, struct error *error)
{
    lines->number = 0;
    if (lines->offset == 0 && lines->position <= lines->length) {
        lines->position = 0;
    } else {
        if (lseek(lines->file, 0, SEEK_SET) != 0)
            return error_set(error, ERROR_INPUT, "cannot be read twice; give a plain file: %s",
                             strerror(errno));
        lines->offset = 0;
        lines->position = 0;
        lines->length = 0;
        lines->finished = false;
        int code = fill(lines, error);
        if (code != ERROR_NONE)
            return code;
    }
    if (lines->length >= 3 && memcmp(lines->bytes, "\xef\xbb\xbf", 3) == 0)
        lines->position = 3;
    return ERROR_NONE;
}
