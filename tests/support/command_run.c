#define _GNU_SOURCE /* fmemopen, mkdtemp, setenv */
#include "command_run.h"

#include "cli/command_line.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#include <cmocka.h>

struct allocation_report run_command(struct printed *printed, const char *const *words, long nth,
                                     enum allocation_failure how)
{
    static const char *const before[] = {"rushlight", "--threads", "1", "--quiet"};
    static char buffers[2][BUFSIZ];
    char *arguments[MOST_WORDS + 5] = {NULL};
    int count = 0;
    for (; count < 4; count++)
        arguments[count] = (char *)before[count]; /* argp only changes their order */
    for (int i = 0; i < MOST_WORDS && words[i] != NULL; i++)
        arguments[count++] = (char *)words[i];
    printed->out[0] = '\0';
    printed->messages[0] = '\0';
    FILE *out = fmemopen(printed->out, PRINTED_ROOM, "w");
    FILE *messages = fmemopen(printed->messages, PRINTED_ROOM, "w");
    assert_non_null(out);
    assert_non_null(messages);
    setvbuf(out, buffers[0], _IOFBF, BUFSIZ);
    setvbuf(messages, buffers[1], _IOFBF, BUFSIZ);
    allocation_arm(nth, how);
    printed->status = command_line(count, arguments, out, messages);
    struct allocation_report report = allocation_disarm();
    fclose(out);
    fclose(messages);
    return report;
}

int own_folder(void **state)
{
    (void)state;
    static char folder[] = "/tmp/rushlight-test-XXXXXX";
    return mkdtemp(folder) == NULL || setenv("XDG_DATA_HOME", folder, 1) != 0;
}

int remove_folder(void **state)
{
    (void)state;
    char command[200];
    snprintf(command, sizeof command, "rm -r '%s'", getenv("XDG_DATA_HOME"));
    return system(command);
}
