/* Lines of a text file or of memory, one at a time, in bounded memory. */
#ifndef RUSHLIGHT_PRICES_CSV_LINES_H
#define RUSHLIGHT_PRICES_CSV_LINES_H

#include "base/error.h"
#include "prices/file_hash.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A line longer than this is handed out cut, and marked. */
enum { CSV_LONGEST_LINE = 65536 };

struct csv_line {
    const char *bytes; /* without the line end; valid until the next call; NULL at the end */
    size_t length;     /* of what is in `bytes` */
    size_t whole;      /* length of the line in the file; more than `length` where cut */
    uint64_t number;   /* from 1 */
};

struct csv_lines {
    int file;          /* -1 for memory */
    char *buffer;      /* of a file; NULL for memory */
    const char *bytes; /* what has been read and not thrown away */
    size_t length;
    size_t position;            /* start of the next line in `bytes` */
    uint64_t offset;            /* of bytes[0] in the file */
    uint64_t number;            /* lines handed out */
    uint64_t size;              /* of the file; 0 where it is not known */
    char end;                   /* '\n', or '\r' where the start of the file knows no other */
    bool finished;              /* nothing more to read */
    struct file_hasher *hasher; /* is given what is read of a file; NULL: nobody asks */
};

/* Opens a file for reading; a directory is an error. Close it with
 * csv_lines_close, which is also right after an error. */
int csv_lines_open(struct csv_lines *lines, const char *path, struct error *error);
/* Lines of memory, which the caller keeps. */
void csv_lines_open_memory(struct csv_lines *lines, const char *bytes, size_t length);
void csv_lines_close(struct csv_lines *lines);

/* Looks at the start of the text: skips a byte order mark, settles the line
 * end; an error for an empty file, UTF-16 and bytes that are no text. The
 * message has no file name in it. */
int csv_lines_begin(struct csv_lines *lines, struct error *error);

/* The next line. ERROR_MACHINE if reading fails. */
int csv_lines_next(struct csv_lines *lines, struct csv_line *line, struct error *error);

/* Back to the first line; ERROR_INPUT where the file cannot be read twice (a
 * pipe) and its start is gone. */
int csv_lines_rewind(struct csv_lines *lines, struct error *error);

#endif
