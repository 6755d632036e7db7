#define _POSIX_C_SOURCE 200809L
#include "reader.h"

#include <stdio.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

int read_with(const char *command, const struct text *bytes, struct text *answer)
{
    char path[] = "/tmp/rushlight-test-XXXXXX";
    int handle = mkstemp(path);
    FILE *file = handle >= 0 ? fdopen(handle, "wb") : NULL;
    if (file == NULL || fwrite(bytes->bytes, 1, bytes->length, file) != bytes->length ||
        fclose(file) != 0)
        return -1;
    struct text line;
    text_init(&line);
    text_append_format(&line, "file=%s; %s", path, command);
    FILE *pipe = popen(line.bytes, "r");
    int c;
    while (pipe != NULL && (c = fgetc(pipe)) != EOF)
        text_append_char(answer, (char)c);
    int status = pipe != NULL ? pclose(pipe) : -1;
    unlink(path);
    text_free(&line);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}
