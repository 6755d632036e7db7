#define _POSIX_C_SOURCE 200809L /* clock_gettime, fileno, isatty */
#include "cli/progress.h"

#include <unistd.h>

void progress_begin(struct progress *progress, const struct call *call)
{
    bool watched = !call->quiet && isatty(fileno(call->messages));
    *progress = (struct progress){.messages = watched ? call->messages : NULL};
    clock_gettime(CLOCK_MONOTONIC, &progress->began);
}

void progress_show(struct progress *progress, double done)
{
    struct timespec now;
    if (progress->messages == NULL || done <= 0)
        return;
    clock_gettime(CLOCK_MONOTONIC, &now);
    double passed = (double)(now.tv_sec - progress->began.tv_sec) +
                    1e-9 * (double)(now.tv_nsec - progress->began.tv_nsec);
    if (passed < 1)
        return;
    fprintf(progress->messages, "\rrushlight: %3.0f%%, about %.0f s left ", 100 * done,
            passed * (1 - done) / done);
    fflush(progress->messages);
    progress->said = true;
}

void progress_end(struct progress *progress)
{
    if (progress->said)
        fprintf(progress->messages, "\r%40s\r", "");
    progress->said = false;
}
