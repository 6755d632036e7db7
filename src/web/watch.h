/* A bound on the time a request may take to come in: a client that sends a byte
 * now and then is never idle, and would hold its connection for ever. */
#ifndef RUSHLIGHT_WEB_WATCH_H
#define RUSHLIGHT_WEB_WATCH_H

#include "base/error.h"

#include <pthread.h>
#include <stdbool.h>
#include <time.h>

enum { WATCH_SECONDS = 60 };

/* One connection. */
struct watched {
    struct watched *next, *previous;
    int socket;
    struct timespec since; /* of its last finished request, or its beginning */
    bool answering;        /* its request has come in; the time is the server's own */
};

struct watch {
    pthread_mutex_t lock;
    pthread_cond_t ending;
    pthread_t thread;
    struct watched *list;
    bool ends;
    bool runs;
    long seconds;
};

/* Starts the thread that looks at the connections each second and shuts those
 * whose request is not done after `seconds`. ERROR_MACHINE. */
int watch_start(struct watch *watch, long seconds, struct error *error);
void watch_stop(struct watch *watch);

/* A connection begins (NULL without memory), has its request answered, may take its
 * time again for the answer or the next one, ends. */
struct watched *watch_begin(struct watch *watch, int socket);
void watch_answer(struct watch *watch, struct watched *watched);
void watch_rest(struct watch *watch, struct watched *watched);
void watch_end(struct watch *watch, struct watched *watched);

#endif
