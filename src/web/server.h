/* HTTP on the loopback address: it carries exchanges between a browser of this
 * machine and one function, turns strangers away, and keeps every limit.
 *
 * RFC 9110 and 9112, by libmicrohttpd. */
#ifndef RUSHLIGHT_WEB_SERVER_H
#define RUSHLIGHT_WEB_SERVER_H

#include "web/exchange.h"
#include "web/guard.h"

struct server;

struct server_options {
    uint16_t port; /* 0: any that is free */
    unsigned threads;
    const char *folder; /* of the server alone, for files handed over; borrowed */
    /* Answers a request that has passed the guard, on any thread of the
     * server. An error is turned into a status and one sentence by `refuse`. */
    int (*answer)(void *context, struct exchange *exchange, struct error *error);
    /* Fills the body of a refusal; the status is set. */
    void (*refuse)(void *context, struct exchange *exchange, const char *sentence);
    /* Whether a change or a file may be taken at all. */
    bool read_only;
    void *context;
};

/* Listens on 127.0.0.1 alone. ERROR_INPUT where the port is taken. On success
 * *server is the caller's, to be stopped. */
int server_start(struct server **server, const struct server_options *options, struct error *error);
/* Waits for requests under way and closes; NULL is allowed. */
void server_stop(struct server *server);

/* The port, and the secrets that are still unused. */
const struct guard *server_guard(const struct server *server);

#endif
