#define _XOPEN_SOURCE 700 /* realpath */
#include "cli/file.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int file_write(const char *path, const struct text *text, struct error *error)
{
    struct text beside;
    if (text_failed(text))
        return error_memory(error);
    /* A link stays one: what it leads to is written. */
    char *end = realpath(path, NULL);
    const char *target = end != NULL ? end : path;
    text_init(&beside);
    text_append_format(&beside, "%s.part", target);
    if (text_failed(&beside)) {
        free(end);
        return error_memory(error);
    }
    FILE *file = fopen(beside.bytes, "wb");
    bool written = file != NULL && fwrite(text->bytes, 1, text->length, file) == text->length;
    if (file != NULL && fclose(file) != 0)
        written = false;
    if (written && rename(beside.bytes, target) != 0)
        written = false;
    int code = ERROR_NONE;
    if (!written) {
        code = error_set(error, ERROR_MACHINE, "%s: cannot write: %s", path, strerror(errno));
        if (file != NULL)
            remove(beside.bytes);
    }
    text_free(&beside);
    free(end);
    return code;
}
