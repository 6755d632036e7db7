#define _POSIX_C_SOURCE 200809L
#include "web/watch.h"

#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>

static struct timespec moment(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return now;
}

static void shut_the_late(struct watch *watch)
{
    struct timespec now = moment();
    for (struct watched *one = watch->list; one != NULL; one = one->next)
        if (!one->answering && now.tv_sec - one->since.tv_sec > watch->seconds)
            shutdown(one->socket, SHUT_RDWR);
}

static void *look(void *context)
{
    struct watch *watch = context;
    pthread_mutex_lock(&watch->lock);
    while (!watch->ends) {
        struct timespec next = moment();
        next.tv_sec++;
        pthread_cond_timedwait(&watch->ending, &watch->lock, &next);
        shut_the_late(watch);
    }
    pthread_mutex_unlock(&watch->lock);
    return NULL;
}

int watch_start(struct watch *watch, long seconds, struct error *error)
{
    pthread_condattr_t attributes;
    *watch = (struct watch){.seconds = seconds};
    pthread_mutex_init(&watch->lock, NULL);
    pthread_condattr_init(&attributes);
    pthread_condattr_setclock(&attributes, CLOCK_MONOTONIC);
    pthread_cond_init(&watch->ending, &attributes);
    pthread_condattr_destroy(&attributes);
    int code = pthread_create(&watch->thread, NULL, look, watch);
    if (code != 0)
        return error_set(error, ERROR_MACHINE, "a thread cannot be started: %s", strerror(code));
    watch->runs = true;
    return ERROR_NONE;
}

void watch_stop(struct watch *watch)
{
    if (!watch->runs)
        return;
    pthread_mutex_lock(&watch->lock);
    watch->ends = true;
    pthread_cond_signal(&watch->ending);
    pthread_mutex_unlock(&watch->lock);
    pthread_join(watch->thread, NULL);
    pthread_mutex_destroy(&watch->lock);
    pthread_cond_destroy(&watch->ending);
    watch->runs = false;
}

struct watched *watch_begin(struct watch *watch, int socket)
{
    struct watched *one = malloc(sizeof *one);
    if (one == NULL)
        return NULL;
    *one = (struct watched){.socket = socket, .since = moment()};
    pthread_mutex_lock(&watch->lock);
    one->next = watch->list;
    if (watch->list != NULL)
        watch->list->previous = one;
    watch->list = one;
    pthread_mutex_unlock(&watch->lock);
    return one;
}

void watch_answer(struct watch *watch, struct watched *watched)
{
    if (watched == NULL)
        return;
    pthread_mutex_lock(&watch->lock);
    watched->answering = true;
    pthread_mutex_unlock(&watch->lock);
}

void watch_rest(struct watch *watch, struct watched *watched)
{
    if (watched == NULL)
        return;
    pthread_mutex_lock(&watch->lock);
    watched->since = moment();
    watched->answering = false;
    pthread_mutex_unlock(&watch->lock);
}

void watch_end(struct watch *watch, struct watched *watched)
{
    if (watched == NULL)
        return;
    pthread_mutex_lock(&watch->lock);
    if (watched->previous != NULL)
        watched->previous->next = watched->next;
    else
        watch->list = watched->next;
    if (watched->next != NULL)
        watched->next->previous = watched->previous;
    pthread_mutex_unlock(&watch->lock);
    free(watched);
}
