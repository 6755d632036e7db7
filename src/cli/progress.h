/* How far a long piece of work has come, for a person who waits at a terminal. */
#ifndef RUSHLIGHT_CLI_PROGRESS_H
#define RUSHLIGHT_CLI_PROGRESS_H

#include "cli/command.h"

#include <time.h>

struct progress {
    FILE *messages; /* NULL: nobody is to be told */
    struct timespec began;
    bool said;
};

/* Tells nobody with --quiet, or where the messages go to no terminal. */
void progress_begin(struct progress *progress, const struct call *call);
/* `done` is the share of the work, 0 to 1. Shown after the first second, with
 * the time left. */
void progress_show(struct progress *progress, double done);
/* Wipes the line. */
void progress_end(struct progress *progress);

#endif
