#include "prices/csv_apart.h"

#include "prices/csv.h"
#include "prices/csv_reader.h"

#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>

/* Blocks that the reader may be ahead: enough that neither waits for the other's
 * every step. */
enum { MOST_WAITING = 8 };

enum message_kind { MESSAGE_BEGIN, MESSAGE_BARS, MESSAGE_FAULT, MESSAGE_PROGRESS };

struct message {
    enum message_kind kind;
    const struct csv_facts *facts; /* BEGIN: the reader waits for the answer */
    struct bars bars;
    struct csv_fault fault;
    char reason[CSV_REASON_SIZE];
    uint64_t done;
    uint64_t size;
};

struct passage {
    const char *path;
    const struct csv_options *options;
    const struct csv_sink *sink;
    struct csv_summary *summary;
    struct message *messages; /* a ring of MOST_WAITING */
    pthread_mutex_t lock;
    pthread_cond_t moved;
    uint64_t put;   /* messages so far; under the lock */
    uint64_t taken; /* of them; under the lock */
    bool ended;     /* the reader puts no more; under the lock */
    /* What the sink said, once it was not ERROR_NONE; under the lock. */
    int refused;
    struct error refusal;
    /* What the reader ended with. */
    int code;
    struct error error;
};

/* Waits for room for one more message; the sink's error where there was one. */
static int wait_for_room(struct passage *passage, struct message **message, struct error *error)
{
    pthread_mutex_lock(&passage->lock);
    while (passage->put - passage->taken == MOST_WAITING && passage->refused == ERROR_NONE)
        pthread_cond_wait(&passage->moved, &passage->lock);
    int code = passage->refused;
    if (code != ERROR_NONE)
        *error = passage->refusal;
    *message = &passage->messages[passage->put % MOST_WAITING];
    pthread_mutex_unlock(&passage->lock);
    return code;
}

static void put(struct passage *passage, struct message *message, enum message_kind kind)
{
    message->kind = kind;
    pthread_mutex_lock(&passage->lock);
    passage->put++;
    pthread_cond_broadcast(&passage->moved);
    pthread_mutex_unlock(&passage->lock);
}

/* The reader's side: what the sink is to be told. */
static int put_begin(void *context, const struct csv_facts *facts, struct error *error)
{
    struct passage *passage = context;
    struct message *message;
    int code = wait_for_room(passage, &message, error);
    if (code != ERROR_NONE)
        return code;
    message->facts = facts;
    put(passage, message, MESSAGE_BEGIN);
    pthread_mutex_lock(&passage->lock);
    while (passage->taken < passage->put)
        pthread_cond_wait(&passage->moved, &passage->lock);
    code = passage->refused;
    if (code != ERROR_NONE)
        *error = passage->refusal;
    pthread_mutex_unlock(&passage->lock);
    return code;
}

static int put_bars(void *context, const struct bars *block, struct error *error)
{
    struct passage *passage = context;
    struct message *message;
    int code = wait_for_room(passage, &message, error);
    if (code != ERROR_NONE)
        return code;
    message->bars.count = 0;
    message->bars.interval = block->interval;
    code = bars_append_range(&message->bars, block, 0, block->count, error);
    if (code == ERROR_NONE)
        put(passage, message, MESSAGE_BARS);
    return code;
}

static int put_fault(void *context, const struct csv_fault *fault, struct error *error)
{
    struct passage *passage = context;
    struct message *message;
    int code = wait_for_room(passage, &message, error);
    if (code != ERROR_NONE)
        return code;
    message->fault = *fault;
    snprintf(message->reason, sizeof message->reason, "%s", fault->reason);
    message->fault.reason = message->reason;
    put(passage, message, MESSAGE_FAULT);
    return ERROR_NONE;
}

static int put_progress(void *context, uint64_t done, uint64_t size, struct error *error)
{
    struct passage *passage = context;
    struct message *message;
    int code = wait_for_room(passage, &message, error);
    if (code != ERROR_NONE)
        return code;
    message->done = done;
    message->size = size;
    put(passage, message, MESSAGE_PROGRESS);
    return ERROR_NONE;
}

static void *read_file(void *context)
{
    struct passage *passage = context;
    const struct csv_sink *asked = passage->sink;
    const struct csv_sink sink = {passage, asked->begin != NULL ? put_begin : NULL, put_bars,
                                  put_fault, asked->progress != NULL ? put_progress : NULL};
    passage->code = csv_read_file(passage->path, passage->options, &sink, passage->summary,
                                  &passage->error);
    pthread_mutex_lock(&passage->lock);
    passage->ended = true;
    pthread_cond_broadcast(&passage->moved);
    pthread_mutex_unlock(&passage->lock);
    return NULL;
}

/* The sink's side. */
static int tell(const struct csv_sink *sink, const struct message *message, struct error *error)
{
    switch (message->kind) {
    case MESSAGE_BEGIN: return sink->begin(sink->context, message->facts, error);
    case MESSAGE_BARS: return sink->bars(sink->context, &message->bars, error);
    case MESSAGE_FAULT: return sink->set_aside(sink->context, &message->fault, error);
    case MESSAGE_PROGRESS: break;
    }
    return sink->progress(sink->context, message->done, message->size, error);
}

static void tell_all(struct passage *passage)
{
    int code = ERROR_NONE;
    while (code == ERROR_NONE) {
        struct error error;
        pthread_mutex_lock(&passage->lock);
        while (passage->taken == passage->put && !passage->ended)
            pthread_cond_wait(&passage->moved, &passage->lock);
        bool over = passage->taken == passage->put;
        pthread_mutex_unlock(&passage->lock);
        if (over)
            return;
        code = tell(passage->sink, &passage->messages[passage->taken % MOST_WAITING], &error);
        pthread_mutex_lock(&passage->lock);
        passage->taken++;
        passage->refused = code;
        if (code != ERROR_NONE)
            passage->refusal = error;
        pthread_cond_broadcast(&passage->moved);
        pthread_mutex_unlock(&passage->lock);
    }
}

int csv_read_file_apart(const char *path, const struct csv_options *options,
                        const struct csv_sink *sink, struct csv_summary *summary,
                        struct error *error)
{
    struct passage passage = {.path = path, .options = options, .sink = sink, .summary = summary};
    pthread_t reader;
    passage.messages = calloc(MOST_WAITING, sizeof *passage.messages);
    if (passage.messages == NULL)
        return error_memory(error);
    for (size_t i = 0; i < MOST_WAITING; i++)
        bars_init(&passage.messages[i].bars);
    pthread_mutex_init(&passage.lock, NULL);
    pthread_cond_init(&passage.moved, NULL);
    if (pthread_create(&reader, NULL, read_file, &passage) == 0) {
        tell_all(&passage);
        pthread_join(reader, NULL);
        if (passage.code != ERROR_NONE) {
            *error = passage.error;
        } else if (passage.refused != ERROR_NONE) {
            /* The reader was through when the sink said no. */
            passage.code = passage.refused;
            *error = passage.refusal;
            error_context(error, "%s", path);
        }
    } else {
        passage.code = csv_read_file(path, options, sink, summary, error);
    }
    pthread_cond_destroy(&passage.moved);
    pthread_mutex_destroy(&passage.lock);
    for (size_t i = 0; i < MOST_WAITING; i++)
        bars_free(&passage.messages[i].bars);
    free(passage.messages);
    return passage.code;
}
