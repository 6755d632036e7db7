#define _POSIX_C_SOURCE 200809L /* clock_gettime */
#include "web/jobs.h"

#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

struct job {
    int64_t id;
    enum job_state state;
    char words[JOB_WORDS_SIZE];
    void *wish; /* until it is over */
    atomic_bool stop;
    double done;
    double began, ended; /* seconds of a clock that only goes on */
    double looked;       /* when somebody last looked at it */
    int64_t answer;
    struct error error;
};

enum { ROOM = JOBS_WAITING + JOBS_KEPT };

struct jobs {
    struct jobs_does does;
    pthread_mutex_t lock; /* of all that follows */
    pthread_cond_t more;
    pthread_t worker;
    bool works; /* the thread is there */
    bool ends;
    struct job *list[ROOM]; /* in order of their numbers */
    size_t count;
    int64_t last_id;
};

static double moment(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static bool is_over(const struct job *job)
{
    return job->state != JOB_WAITING && job->state != JOB_RUNNING;
}

const char *job_state_name(enum job_state state)
{
    static const char *const names[] = {"waiting", "running", "done", "stopped", "failed"};
    return names[state];
}

/* --- order ------------------------------------------------------------------------------ */

static bool is_looked_at(const struct job *job, double now)
{
    return now - job->looked <= JOB_LOOKED_SECONDS;
}

/* Whether `a` is done before `b`, both waiting. */
static bool goes_before(const struct job *a, const struct job *b, double now)
{
    bool looked[2] = {is_looked_at(a, now), is_looked_at(b, now)};
    return looked[0] != looked[1] ? looked[0] : a->id < b->id;
}

static struct job *next_job(const struct jobs *jobs)
{
    struct job *next = NULL;
    double now = moment();
    for (size_t i = 0; i < jobs->count; i++)
        if (jobs->list[i]->state == JOB_WAITING &&
            (next == NULL || goes_before(jobs->list[i], next, now)))
            next = jobs->list[i];
    return next;
}

/* --- the worker ------------------------------------------------------------------------- */

struct telling {
    struct jobs *jobs;
    struct job *job;
};

static void tell(void *context, double done)
{
    struct telling *telling = context;
    pthread_mutex_lock(&telling->jobs->lock);
    telling->job->done = done;
    pthread_mutex_unlock(&telling->jobs->lock);
}

static enum job_state ended_as(int code)
{
    return code == ERROR_NONE ? JOB_DONE : code == ERROR_STOPPED ? JOB_STOPPED : JOB_FAILED;
}

/* With the lock held, but not while the job runs. */
static void do_job(struct jobs *jobs, struct job *job)
{
    struct telling telling = {jobs, job};
    struct error error = {0};
    struct job_run run = {job->wish, &job->stop, tell, &telling, 0};
    job->state = JOB_RUNNING;
    job->began = moment();
    pthread_mutex_unlock(&jobs->lock);
    int code = jobs->does.run(jobs->does.owner, &run, &error);
    jobs->does.let_go(run.wish);
    pthread_mutex_lock(&jobs->lock);
    job->wish = NULL;
    job->ended = moment();
    job->answer = run.answer;
    job->error = error;
    job->state = ended_as(code);
}

static void *work_off(void *context)
{
    struct jobs *jobs = context;
    pthread_mutex_lock(&jobs->lock);
    while (!jobs->ends) {
        struct job *job = next_job(jobs);
        if (job != NULL)
            do_job(jobs, job);
        else
            pthread_cond_wait(&jobs->more, &jobs->lock);
    }
    pthread_mutex_unlock(&jobs->lock);
    return NULL;
}

/* --- making and ending ---------------------------------------------------------------------- */

int jobs_new(struct jobs **made, const struct jobs_does *does, struct error *error)
{
    struct jobs *jobs = calloc(1, sizeof *jobs);
    *made = NULL;
    if (jobs == NULL)
        return error_memory(error);
    jobs->does = *does;
    pthread_mutex_init(&jobs->lock, NULL);
    pthread_cond_init(&jobs->more, NULL);
    *made = jobs;
    return ERROR_NONE;
}

static void free_job(struct jobs *jobs, struct job *job)
{
    if (job->wish != NULL)
        jobs->does.let_go(job->wish);
    free(job);
}

void jobs_free(struct jobs *jobs)
{
    if (jobs == NULL)
        return;
    pthread_mutex_lock(&jobs->lock);
    jobs->ends = true;
    for (size_t i = 0; i < jobs->count; i++)
        atomic_store(&jobs->list[i]->stop, true);
    pthread_cond_signal(&jobs->more);
    pthread_mutex_unlock(&jobs->lock);
    if (jobs->works)
        pthread_join(jobs->worker, NULL);
    for (size_t i = 0; i < jobs->count; i++)
        free_job(jobs, jobs->list[i]);
    pthread_cond_destroy(&jobs->more);
    pthread_mutex_destroy(&jobs->lock);
    free(jobs);
}

/* --- asking for one --------------------------------------------------------------------------- */

static size_t count_over(const struct jobs *jobs)
{
    size_t over = 0;
    for (size_t i = 0; i < jobs->count; i++)
        over += is_over(jobs->list[i]);
    return over;
}

/* The oldest that are over go where there are more than are kept. */
static void forget(struct jobs *jobs)
{
    for (size_t over = count_over(jobs); over > JOBS_KEPT; over--) {
        size_t oldest = 0;
        while (!is_over(jobs->list[oldest]))
            oldest++;
        free_job(jobs, jobs->list[oldest]);
        jobs->count--;
        memmove(&jobs->list[oldest], &jobs->list[oldest + 1],
                (jobs->count - oldest) * sizeof(struct job *));
    }
}

static int check_room(const struct jobs *jobs, struct error *error)
{
    size_t waiting = jobs->count - count_over(jobs);
    if (waiting < JOBS_WAITING)
        return ERROR_NONE;
    return error_set(error, ERROR_INPUT,
                     "%zu pieces of work are not done yet; %d are allowed at a time. Stop one, or "
                     "wait until one is done",
                     waiting, JOBS_WAITING);
}

/* The thread begins with the first job: most sheets need none. */
static int begin_worker(struct jobs *jobs, struct error *error)
{
    if (jobs->works)
        return ERROR_NONE;
    int code = pthread_create(&jobs->worker, NULL, work_off, jobs);
    if (code != 0)
        return error_set(error, ERROR_MACHINE, "a thread cannot be started: %s", strerror(code));
    jobs->works = true;
    return ERROR_NONE;
}

int jobs_add(struct jobs *jobs, void *wish, const char *words, int64_t *id, struct error *error)
{
    struct job *job = calloc(1, sizeof *job);
    int code = job == NULL ? error_memory(error) : ERROR_NONE;
    pthread_mutex_lock(&jobs->lock);
    if (code == ERROR_NONE)
        code = check_room(jobs, error);
    if (code == ERROR_NONE)
        code = begin_worker(jobs, error);
    if (code == ERROR_NONE) {
        forget(jobs);
        job->id = *id = ++jobs->last_id;
        job->wish = wish;
        job->looked = moment();
        snprintf(job->words, sizeof job->words, "%s", words);
        jobs->list[jobs->count++] = job;
        pthread_cond_signal(&jobs->more);
    }
    pthread_mutex_unlock(&jobs->lock);
    if (code != ERROR_NONE) {
        jobs->does.let_go(wish);
        free(job);
    }
    return code;
}

static struct job *find(const struct jobs *jobs, int64_t id)
{
    for (size_t i = 0; i < jobs->count; i++)
        if (jobs->list[i]->id == id)
            return jobs->list[i];
    return NULL;
}

bool jobs_stop(struct jobs *jobs, int64_t id)
{
    pthread_mutex_lock(&jobs->lock);
    struct job *job = find(jobs, id);
    bool stopped = job != NULL && !is_over(job);
    if (stopped) {
        atomic_store(&job->stop, true);
        if (job->state == JOB_WAITING)
            job->state = JOB_STOPPED;
    }
    pthread_mutex_unlock(&jobs->lock);
    return stopped;
}

/* --- looking ------------------------------------------------------------------------------------ */

static size_t count_before(const struct jobs *jobs, const struct job *job, double now)
{
    size_t before = 0;
    if (job->state != JOB_WAITING)
        return 0;
    for (size_t i = 0; i < jobs->count; i++) {
        const struct job *other = jobs->list[i];
        before += other->state == JOB_RUNNING ||
                  (other->state == JOB_WAITING && other != job && goes_before(other, job, now));
    }
    return before;
}

static void see(const struct jobs *jobs, struct job *job, struct job_seen *seen)
{
    double now = moment();
    *seen = (struct job_seen){.id = job->id,
                              .state = job->state,
                              .done = job->done,
                              .before = count_before(jobs, job, now),
                              .ending = atomic_load(&job->stop),
                              .answer = job->answer,
                              .error = job->error};
    snprintf(seen->words, sizeof seen->words, "%s", job->words);
    if (job->began > 0)
        seen->seconds = (job->state == JOB_RUNNING ? now : job->ended) - job->began;
}

bool jobs_look(struct jobs *jobs, int64_t id, bool waits, struct job_seen *seen)
{
    pthread_mutex_lock(&jobs->lock);
    struct job *job = find(jobs, id);
    if (job != NULL && waits)
        job->looked = moment();
    if (job != NULL)
        see(jobs, job, seen);
    pthread_mutex_unlock(&jobs->lock);
    return job != NULL;
}

static int by_turn(const void *a, const void *b)
{
    const struct job_seen *x = a;
    const struct job_seen *y = b;
    bool over[2] = {x->state > JOB_RUNNING, y->state > JOB_RUNNING};
    if (over[0] != over[1])
        return over[0] ? 1 : -1;
    if (over[0])
        return x->id > y->id ? -1 : 1;
    return x->before < y->before ? -1 : 1;
}

size_t jobs_all(struct jobs *jobs, struct job_seen *list, size_t room)
{
    struct job_seen all[ROOM];
    pthread_mutex_lock(&jobs->lock);
    size_t count = jobs->count;
    for (size_t i = 0; i < count; i++)
        see(jobs, jobs->list[i], &all[i]);
    pthread_mutex_unlock(&jobs->lock);
    qsort(all, count, sizeof *all, by_turn);
    count = count < room ? count : room;
    memcpy(list, all, count * sizeof *all);
    return count;
}
