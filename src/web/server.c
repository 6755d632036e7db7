#define _GNU_SOURCE /* accept4, SOCK_CLOEXEC */
#include "web/server.h"

#include "web/watch.h"

#include <arpa/inet.h>
#include <errno.h>
#include <fcntl.h>
#include <microhttpd.h>
#include <netinet/in.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

/* A person with many tabs opens some dozens of connections. One holds the head of
 * a request, twice while it is read, and that of the answer. */
enum {
    CONNECTION_LIMIT = 512,
    CONNECTION_BYTES = 262144,
    IDLE_SECONDS = 30,
    QUEUE = 256,
    FORM_PIECE = 65536
};

struct server {
    struct server_options options;
    struct guard guard;
    pthread_mutex_t door; /* one secret is tried at a time */
    struct watch watch;
    struct MHD_Daemon *daemon;
};

/* A request on its way in. */
struct incoming {
    struct server *server;
    struct exchange exchange;
    struct MHD_PostProcessor *form;
    size_t body_bytes;
    FILE *upload;
    size_t upload_bytes;
    bool begun;     /* its head was looked at */
    bool malformed; /* an address with what no address holds */
    bool too_long;  /* one that nothing was read of */
    struct error error;
};

/* --- answers ----------------------------------------------------------------------- */

static const char *const fixed_headers[][2] = {
    {"Content-Security-Policy",
     "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; "
     "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"},
    {"X-Content-Type-Options", "nosniff"},
    {"X-Frame-Options", "DENY"},
    {"Referrer-Policy", "no-referrer"},
    {"Cross-Origin-Opener-Policy", "same-origin"},
    {"Cross-Origin-Resource-Policy", "same-origin"},
};

static struct MHD_Response *make_response(struct exchange *exchange)
{
    if (exchange->fixed != NULL)
        return MHD_create_response_from_buffer(exchange->fixed_size, (void *)exchange->fixed,
                                               MHD_RESPMEM_PERSISTENT);
    size_t length = exchange->body.length;
    char *bytes = text_take(&exchange->body);
    if (bytes == NULL)
        return NULL;
    struct MHD_Response *response = MHD_create_response_from_buffer(length, bytes,
                                                                    MHD_RESPMEM_MUST_FREE);
    if (response == NULL)
        free(bytes);
    return response;
}

static enum MHD_Result send_answer(struct MHD_Connection *connection, struct exchange *exchange)
{
    struct MHD_Response *response = make_response(exchange);
    if (response == NULL)
        return MHD_NO; /* closes the connection: there is no memory to say so */
    for (size_t i = 0; i < sizeof fixed_headers / sizeof fixed_headers[0]; i++)
        MHD_add_response_header(response, fixed_headers[i][0], fixed_headers[i][1]);
    MHD_add_response_header(response, "Content-Type", exchange->type);
    MHD_add_response_header(response, "Cache-Control",
                            exchange->is_lasting ? "private, max-age=31536000, immutable"
                                                 : "no-store");
    if (exchange->location != NULL)
        MHD_add_response_header(response, "Location", exchange->location);
    if (exchange->cookie != NULL)
        MHD_add_response_header(response, "Set-Cookie", exchange->cookie);
    enum MHD_Result result = MHD_queue_response(connection, (unsigned)exchange->status, response);
    MHD_destroy_response(response);
    return result;
}

static enum MHD_Result refuse(struct server *server, struct MHD_Connection *connection,
                              struct incoming *incoming, enum exchange_status status,
                              const char *sentence)
{
    struct exchange *exchange = &incoming->exchange;
    exchange->status = status;
    text_clear(&exchange->body);
    server->options.refuse(server->options.context, exchange, sentence);
    return send_answer(connection, exchange);
}

static enum exchange_status status_of(const struct error *error)
{
    switch (error->code) {
    case ERROR_USAGE: return STATUS_BAD_REQUEST;
    case ERROR_INPUT: return STATUS_UNPROCESSABLE;
    default: return STATUS_FAILED;
    }
}

/* --- what comes in ------------------------------------------------------------------- */

static enum MHD_Result take_argument(void *context, enum MHD_ValueKind kind, const char *name,
                                     size_t name_length, const char *value, size_t length)
{
    struct incoming *incoming = context;
    (void)kind;
    if (strlen(name) != name_length) {
        error_set(&incoming->error, ERROR_INPUT, "a field is no text in UTF-8");
        return MHD_NO;
    }
    return exchange_add(&incoming->exchange, name, value != NULL ? value : "", length,
                        &incoming->error) == ERROR_NONE
               ? MHD_YES
               : MHD_NO;
}

static int begin_upload(struct incoming *incoming, const char *name)
{
    struct exchange *exchange = &incoming->exchange;
    if (asprintf(&exchange->upload, "%s/handed-over-XXXXXX", incoming->server->options.folder) <
        0) {
        exchange->upload = NULL;
        return error_memory(&incoming->error);
    }
    int file = mkostemp(exchange->upload, O_CLOEXEC);
    incoming->upload = file >= 0 ? fdopen(file, "wb") : NULL;
    if (incoming->upload == NULL) {
        if (file >= 0)
            close(file);
        return error_set(&incoming->error, ERROR_MACHINE, "a file cannot be taken in: %s",
                         strerror(errno));
    }
    exchange->upload_name = strdup(name);
    return exchange->upload_name != NULL ? ERROR_NONE : error_memory(&incoming->error);
}

static int add_upload(struct incoming *incoming, const char *name, const char *bytes, size_t size)
{
    if (incoming->upload == NULL && begin_upload(incoming, name) != ERROR_NONE)
        return incoming->error.code;
    incoming->upload_bytes += size;
    if (incoming->upload_bytes > EXCHANGE_UPLOAD_BYTES)
        return error_set(&incoming->error, ERROR_INPUT, "a file has more than %d bytes",
                         EXCHANGE_UPLOAD_BYTES);
    if (size > 0 && fwrite(bytes, 1, size, incoming->upload) != size)
        return error_set(&incoming->error, ERROR_MACHINE, "a file cannot be taken in: %s",
                         strerror(errno));
    return ERROR_NONE;
}

/* A long value comes in pieces; `offset` says where this one belongs. */
static int extend_field(struct incoming *incoming, const char *name, const char *bytes, size_t size)
{
    struct exchange *exchange = &incoming->exchange;
    struct exchange_field *field = exchange->field_count > 0
                                       ? &exchange->fields[exchange->field_count - 1]
                                       : NULL;
    struct text whole;
    if (field == NULL || strcmp(field->name, name) != 0)
        return error_set(&incoming->error, ERROR_INPUT, "a form that cannot be read");
    text_init(&whole);
    text_append(&whole, field->value);
    text_append_bytes(&whole, bytes, size);
    if (whole.length > EXCHANGE_FIELD_BYTES || memchr(bytes, '\0', size) != NULL) {
        text_free(&whole);
        return error_set(&incoming->error, ERROR_INPUT, "a field has more than %d bytes",
                         EXCHANGE_FIELD_BYTES);
    }
    char *taken = text_take(&whole);
    if (taken == NULL)
        return error_memory(&incoming->error);
    free(field->value);
    field->value = taken;
    return ERROR_NONE;
}

static enum MHD_Result take_form_piece(void *context, enum MHD_ValueKind kind, const char *name,
                                       const char *file, const char *type, const char *encoding,
                                       const char *bytes, uint64_t offset, size_t size)
{
    struct incoming *incoming = context;
    (void)kind, (void)type, (void)encoding;
    if (incoming->error.code != ERROR_NONE || name == NULL)
        return MHD_NO;
    int code = file != NULL && file[0] != '\0' ? add_upload(incoming, file, bytes, size)
               : offset > 0
                   ? extend_field(incoming, name, bytes, size)
                   : exchange_add(&incoming->exchange, name, bytes, size, &incoming->error);
    return code == ERROR_NONE ? MHD_YES : MHD_NO;
}

/* --- one request ------------------------------------------------------------------- */

/* Called with the address as it came, before anything else of a request. */
static void *begin_request(void *context, const char *address, struct MHD_Connection *connection)
{
    struct incoming *incoming = calloc(1, sizeof *incoming);
    (void)connection;
    if (incoming == NULL)
        return NULL;
    incoming->server = context;
    exchange_init(&incoming->exchange);
    incoming->malformed = strstr(address, "%00") != NULL || address[0] != '/' ||
                          !text_is_utf8(address, strlen(address));
    incoming->too_long = strlen(address) > EXCHANGE_ADDRESS_BYTES;
    return incoming;
}

static struct watched *watched_of(struct MHD_Connection *connection)
{
    const union MHD_ConnectionInfo
        *info = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_SOCKET_CONTEXT);
    return info != NULL ? info->socket_context : NULL;
}

static void end_request(void *context, struct MHD_Connection *connection, void **request,
                        enum MHD_RequestTerminationCode why)
{
    struct server *server = context;
    struct incoming *incoming = *request;
    (void)why;
    watch_rest(&server->watch, watched_of(connection));
    if (incoming == NULL)
        return;
    if (incoming->form != NULL)
        MHD_destroy_post_processor(incoming->form);
    if (incoming->upload != NULL)
        fclose(incoming->upload);
    exchange_free(&incoming->exchange);
    free(incoming);
    *request = NULL;
}

static const char *header(struct MHD_Connection *connection, const char *name)
{
    return MHD_lookup_connection_value(connection, MHD_HEADER_KIND, name);
}

struct counted_header {
    const char *name;
    size_t count;
};

static enum MHD_Result count_header(void *context, enum MHD_ValueKind kind, const char *name,
                                    const char *value)
{
    struct counted_header *counted = context;
    (void)kind, (void)value;
    if (strcasecmp(name, counted->name) == 0)
        counted->count++;
    return MHD_YES;
}

static size_t header_count(struct MHD_Connection *connection, const char *name)
{
    struct counted_header counted = {name, 0};
    MHD_get_connection_values(connection, MHD_HEADER_KIND, count_header, &counted);
    return counted.count;
}

/* Two lengths, or a length beside another coding, is how a request is hidden
 * behind another (RFC 9112, section 11.2). */
static bool is_ambiguous(struct MHD_Connection *connection)
{
    size_t lengths = header_count(connection, "Content-Length");
    return lengths > 1 || header_count(connection, "Host") != 1 ||
           (lengths > 0 && header(connection, "Transfer-Encoding") != NULL);
}

static enum MHD_Result enter(struct server *server, struct MHD_Connection *connection,
                             struct incoming *incoming)
{
    struct exchange *exchange = &incoming->exchange;
    char name[GUARD_COOKIE_SIZE];
    pthread_mutex_lock(&server->door);
    bool welcome = guard_enter(&server->guard, exchange_field(exchange, "secret"));
    pthread_mutex_unlock(&server->door);
    if (!welcome)
        return refuse(server, connection, incoming, STATUS_FORBIDDEN,
                      "This address has been used, or never was one. It opens the page once, in "
                      "one browser; `rushlight serve` prints a new one each time it is started.");
    guard_cookie_name(&server->guard, name);
    if (asprintf(&exchange->cookie, "%s=%s; HttpOnly; SameSite=Strict; Path=/", name,
                 server->guard.session) < 0) {
        exchange->cookie = NULL;
        return MHD_NO;
    }
    return exchange_go(exchange, "/", &incoming->error) == ERROR_NONE
               ? send_answer(connection, exchange)
               : MHD_NO;
}

static enum MHD_Result refuse_length(struct server *server, struct MHD_Connection *connection,
                                     struct incoming *incoming)
{
    char sentence[240];
    snprintf(sentence, sizeof sentence,
             "This is too long for an address, which has at most %d bytes. A setup as long as "
             "that is kept from its file: `rushlight setup keep FILE`.",
             EXCHANGE_ADDRESS_BYTES);
    return refuse(server, connection, incoming, STATUS_ADDRESS_TOO_LONG, sentence);
}

/* The head of a request; *done where it is answered already. */
static enum MHD_Result look_at_head(struct server *server, struct MHD_Connection *connection,
                                    struct incoming *incoming, const char *path, const char *method,
                                    bool *done)
{
    struct exchange *exchange = &incoming->exchange;
    *done = true;
    exchange->is_change = strcmp(method, "POST") == 0;
    exchange->token = server->guard.token;
    if (incoming->malformed || is_ambiguous(connection) || !text_is_utf8(path, strlen(path)))
        return refuse(server, connection, incoming, STATUS_BAD_REQUEST,
                      "This request cannot be read in one way only.");
    if (incoming->too_long)
        return refuse_length(server, connection, incoming);
    if (!guard_host(&server->guard, header(connection, "Host")))
        return refuse(server, connection, incoming, STATUS_FORBIDDEN,
                      "This page is asked for by a name that is not its own.");
    if (!exchange->is_change && strcmp(method, "GET") != 0 && strcmp(method, "HEAD") != 0)
        return refuse(server, connection, incoming, STATUS_WRONG_METHOD,
                      "Only GET, HEAD and POST are answered.");
    if (MHD_get_connection_values_n(connection, MHD_GET_ARGUMENT_KIND, take_argument, incoming) <
            0 ||
        incoming->error.code != ERROR_NONE)
        return refuse(server, connection, incoming, STATUS_BAD_REQUEST, incoming->error.text);
    if (!exchange->is_change && strcmp(path, "/enter") == 0)
        return enter(server, connection, incoming);
    if (!guard_session(&server->guard, header(connection, "Cookie")))
        return refuse(server, connection, incoming, STATUS_FORBIDDEN,
                      "This page is open to one person only: use the address that `rushlight "
                      "serve` printed when it was started.");
    *done = false;
    return MHD_YES;
}

static enum MHD_Result begin_change(struct server *server, struct MHD_Connection *connection,
                                    struct incoming *incoming, bool *done)
{
    const char *length = header(connection, "Content-Length");
    *done = true;
    if (server->options.read_only)
        return refuse(server, connection, incoming, STATUS_FORBIDDEN,
                      "This page was started with --read-only; nothing can be changed here.");
    if (length == NULL || strtoull(length, NULL, 10) > EXCHANGE_UPLOAD_BYTES)
        return refuse(server, connection, incoming, STATUS_TOO_LARGE,
                      "A form says its length, of at most 256 MiB.");
    incoming->form = MHD_create_post_processor(connection, FORM_PIECE, take_form_piece, incoming);
    if (incoming->form == NULL)
        return refuse(server, connection, incoming, STATUS_BAD_REQUEST,
                      "A change comes as a form, or as a form with a file.");
    *done = false;
    return MHD_YES;
}

static int settle_upload(struct incoming *incoming)
{
    FILE *upload = incoming->upload;
    incoming->upload = NULL;
    if (upload != NULL && fclose(upload) != 0)
        return error_set(&incoming->error, ERROR_MACHINE, "a file cannot be taken in: %s",
                         strerror(errno));
    return ERROR_NONE;
}

static enum MHD_Result answer(struct server *server, struct MHD_Connection *connection,
                              struct incoming *incoming, const char *path)
{
    struct exchange *exchange = &incoming->exchange;
    struct guard_claims claims = {.origin = header(connection, "Origin"),
                                  .site = header(connection, "Sec-Fetch-Site"),
                                  .token = header(connection, "X-Rushlight-Token")};
    if (claims.token == NULL)
        claims.token = exchange_field(exchange, "token");
    if (exchange->is_change && !guard_change(&server->guard, &claims))
        return refuse(server, connection, incoming, STATUS_FORBIDDEN,
                      "This change does not come from a page of this server as it runs now; load "
                      "the page again.");
    if (incoming->error.code == ERROR_NONE)
        settle_upload(incoming);
    if (incoming->error.code != ERROR_NONE)
        return refuse(server, connection, incoming, status_of(&incoming->error),
                      incoming->error.text);
    exchange->path = path;
    struct error error = {0};
    watch_answer(&server->watch, watched_of(connection));
    int code = server->options.answer(server->options.context, exchange, &error);
    watch_rest(&server->watch, watched_of(connection));
    if (code == ERROR_NONE && !text_failed(&exchange->body))
        return send_answer(connection, exchange);
    enum exchange_status status = exchange->status != STATUS_OK ? exchange->status
                                                                : status_of(&error);
    return refuse(server, connection, incoming, status,
                  error.code != ERROR_NONE ? error.text : "Memory has run out.");
}

static enum MHD_Result handle(void *context, struct MHD_Connection *connection, const char *path,
                              const char *method, const char *version, const char *bytes,
                              size_t *size, void **request)
{
    struct server *server = context;
    struct incoming *incoming = *request;
    bool done = false;
    (void)version;
    if (incoming == NULL)
        return MHD_NO;
    if (!incoming->begun) {
        incoming->begun = true;
        enum MHD_Result result = look_at_head(server, connection, incoming, path, method, &done);
        if (!done && incoming->exchange.is_change)
            result = begin_change(server, connection, incoming, &done);
        if (!done && incoming->exchange.is_change)
            return MHD_YES;
        return done ? result : answer(server, connection, incoming, path);
    }
    if (*size == 0)
        return answer(server, connection, incoming, path);
    incoming->body_bytes += *size;
    if (incoming->form == NULL || incoming->error.code != ERROR_NONE) {
        /* Read to its end and answered then, so that the browser hears why. */
    } else if (incoming->upload == NULL && incoming->body_bytes > EXCHANGE_BODY_BYTES + *size) {
        error_set(&incoming->error, ERROR_INPUT, "a form has more than %d bytes",
                  EXCHANGE_BODY_BYTES);
    } else if (MHD_post_process(incoming->form, bytes, *size) != MHD_YES &&
               incoming->error.code == ERROR_NONE) {
        error_set(&incoming->error, ERROR_INPUT, "a form that cannot be read");
    }
    *size = 0;
    return MHD_YES;
}

/* --- the daemon -------------------------------------------------------------------- */

static void look_at_connection(void *context, struct MHD_Connection *connection, void **kept,
                               enum MHD_ConnectionNotificationCode what)
{
    struct server *server = context;
    if (what == MHD_CONNECTION_NOTIFY_CLOSED) {
        watch_end(&server->watch, *kept);
        *kept = NULL;
        return;
    }
    const union MHD_ConnectionInfo
        *info = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD);
    *kept = info != NULL ? watch_begin(&server->watch, info->connect_fd) : NULL;
}

/* A socket that listens on the loopback address alone. */
static int listen_here(uint16_t port, int *listening, uint16_t *taken, struct error *error)
{
    struct sockaddr_in address = {.sin_family = AF_INET,
                                  .sin_port = htons(port),
                                  .sin_addr = {htonl(INADDR_LOOPBACK)}};
    socklen_t size = sizeof address;
    int again = 1;
    int made = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
    if (made >= 0)
        setsockopt(made, SOL_SOCKET, SO_REUSEADDR, &again, sizeof again);
    if (made < 0 || bind(made, (struct sockaddr *)&address, size) != 0 ||
        listen(made, QUEUE) != 0 || getsockname(made, (struct sockaddr *)&address, &size) != 0) {
        int why = errno;
        if (made >= 0)
            close(made);
        return error_set(error, why == EADDRINUSE || why == EACCES ? ERROR_INPUT : ERROR_MACHINE,
                         "port %u of this machine cannot be listened on: %s", (unsigned)port,
                         strerror(why));
    }
    *listening = made;
    *taken = ntohs(address.sin_port);
    return ERROR_NONE;
}

static int start_daemon(struct server *server, int listening, struct error *error)
{
    server->daemon = MHD_start_daemon(MHD_USE_EPOLL_INTERNAL_THREAD, 0, NULL, NULL, handle, server,
                                      MHD_OPTION_LISTEN_SOCKET, listening,
                                      MHD_OPTION_THREAD_POOL_SIZE, server->options.threads,
                                      MHD_OPTION_CONNECTION_LIMIT, (unsigned)CONNECTION_LIMIT,
                                      MHD_OPTION_CONNECTION_TIMEOUT, (unsigned)IDLE_SECONDS,
                                      MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)CONNECTION_BYTES,
                                      MHD_OPTION_STRICT_FOR_CLIENT, 1, MHD_OPTION_URI_LOG_CALLBACK,
                                      begin_request, server, MHD_OPTION_NOTIFY_COMPLETED,
                                      end_request, server, MHD_OPTION_NOTIFY_CONNECTION,
                                      look_at_connection, server, MHD_OPTION_END);
    if (server->daemon != NULL)
        return ERROR_NONE;
    close(listening);
    return error_set(error, ERROR_MACHINE, "the page cannot be served: %s", strerror(errno));
}

int server_start(struct server **made, const struct server_options *options, struct error *error)
{
    struct server *server = calloc(1, sizeof *server);
    int listening = -1;
    uint16_t port = 0;
    *made = NULL;
    if (server == NULL)
        return error_memory(error);
    server->options = *options;
    pthread_mutex_init(&server->door, NULL);
    int code = listen_here(options->port, &listening, &port, error);
    if (code == ERROR_NONE) {
        code = guard_make(&server->guard, port, error);
        if (code == ERROR_NONE)
            code = watch_start(&server->watch, WATCH_SECONDS, error);
        if (code == ERROR_NONE)
            code = start_daemon(server, listening, error);
        else
            close(listening);
    }
    if (code != ERROR_NONE) {
        server_stop(server);
        return code;
    }
    *made = server;
    return ERROR_NONE;
}

void server_stop(struct server *server)
{
    if (server == NULL)
        return;
    if (server->daemon != NULL)
        MHD_stop_daemon(server->daemon);
    watch_stop(&server->watch);
    pthread_mutex_destroy(&server->door);
    free(server);
}

const struct guard *server_guard(const struct server *server)
{
    return &server->guard;
}
