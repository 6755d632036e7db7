/* Long work, done after the request that asked for it: one worker does one job
 * at a time, in order, but first what somebody looks at. A job outlives the tab
 * that asked for it, not the server.
 *
 * What a job does is the caller's; the queue knows its words, its share done and
 * how it ended. All functions may be called from any thread. */
#ifndef RUSHLIGHT_WEB_JOBS_H
#define RUSHLIGHT_WEB_JOBS_H

#include "base/error.h"

#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum {
    JOBS_WAITING = 20, /* at most so many that are not done */
    JOBS_KEPT = 40,    /* so many that are over are still known */
    JOB_WORDS_SIZE = 240,
    JOB_LOOKED_SECONDS = 3 /* somebody looked no longer ago: the job goes first */
};

enum job_state { JOB_WAITING, JOB_RUNNING, JOB_DONE, JOB_STOPPED, JOB_FAILED };

/* A job as it is at one moment. */
struct job_seen {
    int64_t id; /* from 1 */
    enum job_state state;
    char words[JOB_WORDS_SIZE]; /* what it does */
    double done;                /* 0 to 1 */
    double seconds;             /* that it has run */
    size_t before;              /* of those that wait: how many come first */
    bool ending;                /* it was told to stop, and has not yet */
    int64_t answer;             /* of JOB_DONE: what it made */
    struct error error;         /* of JOB_FAILED */
};

/* What a job looks at and tells while it runs. */
struct job_run {
    void *wish;              /* as given */
    const atomic_bool *stop; /* set: end soon, with ERROR_STOPPED */
    void (*progress)(void *context, double done);
    void *context;  /* of progress */
    int64_t answer; /* set by the job: the number of what it made */
};

struct jobs_does {
    int (*run)(void *owner, struct job_run *run, struct error *error);
    void (*let_go)(void *wish);
    void *owner;
};

struct jobs;

int jobs_new(struct jobs **jobs, const struct jobs_does *does, struct error *error);
/* Stops what runs, waits for it, and drops the rest; NULL is allowed. */
void jobs_free(struct jobs *jobs);

/* Takes the wish, also after an error. ERROR_INPUT where JOBS_WAITING are not
 * done yet. */
int jobs_add(struct jobs *jobs, void *wish, const char *words, int64_t *id, struct error *error);
/* False where there is no such job, or it is over. */
bool jobs_stop(struct jobs *jobs, int64_t id);
/* False where there is none. `waits`: somebody looks at it, so that it goes first. */
bool jobs_look(struct jobs *jobs, int64_t id, bool waits, struct job_seen *seen);
/* Those not over, in the order in which they will be done, then those that
 * are, the newest first; at most `room`. */
size_t jobs_all(struct jobs *jobs, struct job_seen *list, size_t room);

/* "running", "waiting", ... */
const char *job_state_name(enum job_state state);

#endif
