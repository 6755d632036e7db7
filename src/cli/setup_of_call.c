/* The setup that a command names, and the folder of shipped ones. */
#define _POSIX_C_SOURCE 200809L /* readlink, access */
#include "base/text.h"
#include "cli/book.h"
#include "cli/wishes.h"

#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* From the folder of the program: installed beside it in share, or above it in
 * the sources that it was built from. */
static const char *const places[] = {"/../share/rushlight/setups", "/setups", "/../setups",
                                     "/../../setups", "/../../../setups"};

bool setups_folder(struct text *folder)
{
    char program[4096];
    ssize_t length = readlink("/proc/self/exe", program, sizeof program - 1);
    program[length > 0 ? length : 0] = '\0';
    char *slash = strrchr(program, '/');
    for (size_t i = 0; slash != NULL && i < sizeof places / sizeof places[0]; i++) {
        text_clear(folder);
        text_append_format(folder, "%.*s%s", (int)(slash - program), program, places[i]);
        if (!text_failed(folder) && access(folder->bytes, X_OK) == 0)
            return true;
    }
    return false;
}

static void file_of(struct text *path, const char *folder, const char *name)
{
    text_clear(path);
    text_append_format(path, "%s/%s.yaml", folder, name);
}

/* A file of that name in a folder `setups` here goes before the shipped one;
 * where both are there and not the same file, it is said. */
static bool is_here(struct call *call, const char *shipped, const char *name, struct text *path)
{
    struct stat here;
    struct stat there;
    struct text other;
    file_of(path, "setups", name);
    if (rules_is_path(name) || text_failed(path) || stat(path->bytes, &here) != 0)
        return false;
    text_init(&other);
    file_of(&other, shipped, name);
    if (!text_failed(&other) && stat(other.bytes, &there) == 0 &&
        (here.st_dev != there.st_dev || here.st_ino != there.st_ino))
        call_say(call, "taking %s of this folder, not the shipped setup of that name", path->bytes);
    text_free(&other);
    return true;
}

int setup_of_call(struct call *call, struct setup *setup, struct error *error)
{
    return setup_named(call, call_option(call, "setup"), setup, error);
}

static bool is_shipped(const char *folder, const char *name)
{
    struct text path;
    text_init(&path);
    file_of(&path, folder, name);
    bool there = !text_failed(&path) && access(path.bytes, R_OK) == 0;
    text_free(&path);
    return there;
}

/* A book that cannot be read is no reason against a setup that does not come from
 * it; whoever keeps another of that name there hears which one it is. */
static int do_without_book(struct call *call, const char *name, const char *folder,
                           struct error *error)
{
    if (error->code != ERROR_INPUT || folder == NULL || !is_shipped(folder, name))
        return error->code;
    call_say(call, "the setup %s was not looked for in the book, which cannot be read: %s", name,
             error->text);
    *error = (struct error){0};
    return ERROR_NONE;
}

/* What was kept in the book goes before the files of that name. */
static int read_kept(struct call *call, const char *name, const char *folder, struct setup *setup,
                     bool *found, struct error *error)
{
    struct book *book = NULL;
    *found = false;
    if (rules_is_path(name) || call->book == NULL || access(call->book, F_OK) != 0)
        return ERROR_NONE;
    int code = book_of_call(call, BOOK_READ, &book, error);
    if (code != ERROR_NONE)
        return do_without_book(call, name, folder, error);
    code = rules_read_kept(book, name, 0, folder, setup, found, error);
    return book_done(book, code, error);
}

int setup_named(struct call *call, const char *name, struct setup *setup, struct error *error)
{
    struct text folder;
    struct text path;
    bool kept = false;
    text_init(&folder);
    text_init(&path);
    const char *shipped = setups_folder(&folder) ? folder.bytes : NULL;
    int code = text_failed(&folder) ? error_memory(error) : ERROR_NONE;
    if (code == ERROR_NONE)
        code = read_kept(call, name, shipped, setup, &kept, error);
    bool here = code == ERROR_NONE && !kept &&
                is_here(call, shipped != NULL ? shipped : "", name, &path);
    if (code == ERROR_NONE && text_failed(&path))
        code = error_memory(error);
    if (code == ERROR_NONE && !kept)
        code = rules_read(here ? path.bytes : name, NULL, shipped, setup, error);
    if (code == ERROR_INPUT && !kept && !rules_is_path(name) && access(name, F_OK) == 0)
        error_advise(error, "; a name with a / or the ending .yaml is a file: ./NAME");
    text_free(&folder);
    text_free(&path);
    return code;
}

static int add_setup(struct call *call, const char *name, size_t length, struct setup **setups,
                     size_t *count, struct error *error)
{
    struct text word;
    struct setup *grown = realloc(*setups, (*count + 1) * sizeof *grown);
    if (grown == NULL)
        return error_memory(error);
    *setups = grown;
    text_init(&word);
    text_append_bytes(&word, name, length);
    int code = text_failed(&word) ? error_memory(error)
                                  : setup_named(call, word.bytes, &grown[*count], error);
    *count += code == ERROR_NONE;
    text_free(&word);
    return code;
}

/* Rows of two setups of one name could not be told apart. */
static int check_names(const struct setup *setups, size_t count, struct error *error)
{
    for (size_t i = 1; i < count; i++)
        for (size_t k = 0; k < i; k++)
            if (strcmp(setups[i].name, setups[k].name) == 0)
                return error_set(error, ERROR_USAGE,
                                 "--setup: found two setups of the name %s; each once is allowed",
                                 setups[i].name);
    return ERROR_NONE;
}

int setups_of_call(struct call *call, struct setup **setups, size_t *count, struct error *error)
{
    const char *names = call_option(call, "setup");
    int code = ERROR_NONE;
    *setups = NULL;
    *count = 0;
    /* A file may have a comma in its name. */
    if (rules_is_path(names) && access(names, F_OK) == 0)
        return add_setup(call, names, strlen(names), setups, count, error);
    for (const char *at = names; code == ERROR_NONE && at != NULL;) {
        const char *comma = strchr(at, ',');
        size_t length = comma != NULL ? (size_t)(comma - at) : strlen(at);
        code = add_setup(call, at, length, setups, count, error);
        at = comma != NULL ? comma + 1 : NULL;
    }
    return code == ERROR_NONE ? check_names(*setups, *count, error) : code;
}

void setups_free(struct setup *setups, size_t count)
{
    for (size_t i = 0; i < count; i++)
        setup_free(&setups[i]);
    free(setups);
}
