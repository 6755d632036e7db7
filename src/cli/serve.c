/* `serve`: the page, on the loopback address of this machine. */
#define _GNU_SOURCE /* mkdtemp */
#include "cli/commands.h"

#include "base/text.h"
#include "cli/book.h"
#include "cli/wishes.h"
#include "version.h"
#include "web/page.h"
#include "web/server.h"

#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <signal.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

enum { FOLDER_SIZE = 256, SERVER_THREADS = 4 };

extern char **environ;

/* What the command holds while it serves. */
struct serving {
    struct call *call;
    char folder[FOLDER_SIZE]; /* private, for files handed over; empty: none yet */
    char door[FOLDER_SIZE + 16];
    struct text setups;
    struct page *page;
    struct server *server;
};

static int make_folder(struct serving *serving, struct error *error)
{
    const char *temporary = getenv("TMPDIR");
    if (temporary == NULL || temporary[0] != '/' ||
        strlen(temporary) > FOLDER_SIZE - sizeof "/rushlight-XXXXXX")
        temporary = "/tmp";
    snprintf(serving->folder, sizeof serving->folder, "%s/rushlight-XXXXXX", temporary);
    if (mkdtemp(serving->folder) != NULL) /* of mode 700 */
        return ERROR_NONE;
    serving->folder[0] = '\0';
    return error_set(error, ERROR_MACHINE, "%s: cannot make a folder there: %s", temporary,
                     strerror(errno));
}

/* A browser is given a private file that leads to the address, for whoever lists
 * processes sees their arguments. */
static int write_door(struct serving *serving, struct error *error)
{
    const struct guard *guard = server_guard(serving->server);
    snprintf(serving->door, sizeof serving->door, "%s/open.html", serving->folder);
    int file = open(serving->door, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    FILE *stream = file >= 0 ? fdopen(file, "w") : NULL;
    if (stream == NULL) {
        if (file >= 0)
            close(file);
        return error_set(error, ERROR_MACHINE, "%s: cannot be written: %s", serving->door,
                         strerror(errno));
    }
    fprintf(stream,
            "<!doctype html><meta charset=\"utf-8\"><title>rushlight</title>"
            "<meta http-equiv=\"refresh\" content=\"0;url=http://127.0.0.1:%u/enter?secret=%s\">\n",
            (unsigned)guard->port, guard->door[1]);
    return fclose(stream) == 0 ? ERROR_NONE
                               : error_set(error, ERROR_MACHINE, "%s: cannot be written: %s",
                                           serving->door, strerror(errno));
}

/* xdg-open of freedesktop.org knows the person's browser. */
static int open_browser(struct serving *serving, struct error *error)
{
    int code = write_door(serving, error);
    if (code != ERROR_NONE)
        return code;
    char *arguments[] = {(char *)"xdg-open", serving->door, NULL};
    pid_t child = 0;
    posix_spawnattr_t attributes;
    sigset_t none;
    sigemptyset(&none);
    int failed = posix_spawnattr_init(&attributes);
    if (failed == 0) {
        /* The signals that this process keeps for itself are not to be deaf in the browser. */
        posix_spawnattr_setsigmask(&attributes, &none);
        posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGMASK);
        failed = posix_spawnp(&child, "xdg-open", NULL, &attributes, arguments, environ);
        posix_spawnattr_destroy(&attributes);
    }
    if (failed != 0)
        call_say(serving->call, "no browser could be opened (%s); use the address above",
                 strerror(failed));
    return ERROR_NONE;
}

static void announce(const struct serving *serving)
{
    const struct guard *guard = server_guard(serving->server);
    FILE *out = serving->call->out;
    fprintf(out,
            "The page is at\n\n  http://127.0.0.1:%u/enter?secret=%s\n\n"
            "This address opens it once, in one browser of this machine. Stop with Ctrl-C.\n",
            (unsigned)guard->port, guard->door[0]);
    fflush(out);
}

static void reap(int signal_number)
{
    (void)signal_number;
    int saved = errno;
    while (waitpid(-1, NULL, WNOHANG) > 0)
        continue;
    errno = saved;
}

static int serve(struct serving *serving, const sigset_t *ends, struct error *error)
{
    struct call *call = serving->call;
    const struct page_options page_options = {.book = call->book,
                                              .version = RUSHLIGHT_VERSION,
                                              .folder = serving->folder,
                                              .setups = setups_folder(&serving->setups)
                                                            ? serving->setups.bytes
                                                            : NULL,
                                              .read_only = call_has(call, "read-only"),
                                              .threads = call->threads,
                                              .seed = call->seed,
                                              .clock = clock_now};
    int code = page_new(&serving->page, &page_options, error);
    if (code != ERROR_NONE)
        return code;
    const struct server_options options = {.port = (uint16_t)call_whole(call, "port"),
                                           .threads = SERVER_THREADS,
                                           .folder = serving->folder,
                                           .answer = page_answer,
                                           .refuse = page_refuse,
                                           .read_only = page_options.read_only,
                                           .context = serving->page};
    code = server_start(&serving->server, &options, error);
    if (code != ERROR_NONE)
        return code;
    announce(serving);
    if (call_has(call, "open"))
        code = open_browser(serving, error);
    int which = 0;
    while (code == ERROR_NONE && sigwait(ends, &which) != 0)
        continue;
    return code;
}

static void clear(struct serving *serving)
{
    server_stop(serving->server);
    page_free(serving->page);
    text_free(&serving->setups);
    if (serving->door[0] != '\0')
        unlink(serving->door);
    if (serving->folder[0] != '\0')
        rmdir(serving->folder);
}

/* A page that may change the book is a command that writes: a book of an older program
 * is brought up to date before anybody looks. Another fault of it is the page's to say. */
static int bring_up_to_date(struct call *call, struct error *error)
{
    struct book *book = NULL;
    struct error fault;
    if (call_has(call, "read-only"))
        return ERROR_NONE;
    int code = book_of_call(call, BOOK_READ, &book, &fault);
    book_done(book, code, &fault);
    if (code == ERROR_NONE || fault.reason != ERROR_REASON_OLD_BOOK)
        return ERROR_NONE;
    code = book_of_call(call, BOOK_WRITE, &book, error);
    code = book_done(book, code, error);
    if (code == ERROR_NONE)
        call_say(call, "%s: was of an older rushlight and has been brought up to date", call->book);
    return code;
}

int command_serve(struct call *call, struct error *error)
{
    struct serving serving = {.call = call};
    sigset_t ends;
    struct sigaction reaping = {.sa_handler = reap, .sa_flags = SA_RESTART | SA_NOCLDSTOP};
    if (call->book == NULL)
        return error_set(error, ERROR_USAGE, "no book is known; --book FILE names one");
    /* All threads leave these to the one that waits for them. They stay blocked to
     * the end of the process: one sent twice is not to kill it while it tidies. */
    text_init(&serving.setups);
    sigemptyset(&ends);
    sigaddset(&ends, SIGINT);
    sigaddset(&ends, SIGTERM);
    sigaddset(&ends, SIGHUP);
    pthread_sigmask(SIG_BLOCK, &ends, NULL);
    sigaction(SIGCHLD, &reaping, NULL);
    int code = bring_up_to_date(call, error);
    if (code == ERROR_NONE)
        code = make_folder(&serving, error);
    if (code == ERROR_NONE)
        code = serve(&serving, &ends, error);
    clear(&serving);
    return code;
}
