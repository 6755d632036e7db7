#define _XOPEN_SOURCE 700 /* realpath */
#include "cli/file.h"

#include "base/new_file.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <unistd.h>

/* --- what is not written over ---------------------------------------------------------- */

struct guarding {
    const char *path;
    struct stat target;
};

static int refuse(const struct guarding *guarding, const char *what, const char *name,
                  struct error *error)
{
    return error_set(error, ERROR_USAGE,
                     "-o: %s leads to %s, %s; give the name of a file of its own", guarding->path,
                     name, what);
}

static bool is_target(const struct guarding *guarding, const char *name)
{
    struct stat status;
    return name != NULL && stat(name, &status) == 0 && status.st_dev == guarding->target.st_dev &&
           status.st_ino == guarding->target.st_ino;
}

/* A file that the call names, or one in a folder that it names. */
static int check_named(const struct guarding *guarding, const char *name, struct error *error)
{
    struct dirent *entry = NULL;
    char inside[NEW_FILE_PATH_SIZE];
    if (is_target(guarding, name))
        return refuse(guarding, "which this command reads", name, error);
    DIR *folder = name != NULL ? opendir(name) : NULL;
    int code = ERROR_NONE;
    while (folder != NULL && code == ERROR_NONE && (entry = readdir(folder)) != NULL) {
        snprintf(inside, sizeof inside, "%s/%s", name, entry->d_name);
        if (is_target(guarding, inside))
            code = refuse(guarding, "in a folder that this command reads", inside, error);
    }
    if (folder != NULL)
        closedir(folder);
    return code;
}

static int check_book(const struct guarding *guarding, const char *book, struct error *error)
{
    static const char *const endings[] = {"", "-wal", "-shm", "-journal"};
    char name[NEW_FILE_PATH_SIZE];
    for (size_t i = 0; book != NULL && i < sizeof endings / sizeof endings[0]; i++) {
        snprintf(name, sizeof name, "%s%s", book, endings[i]);
        if (is_target(guarding, name))
            return refuse(guarding, "the book", name, error);
    }
    return ERROR_NONE;
}

/* A link that leads to a file of another kind was not made for this. */
static int check_kind(const struct guarding *guarding, struct error *error)
{
    char *end = realpath(guarding->path, NULL);
    const char *asked = strrchr(guarding->path, '.');
    const char *found = end != NULL ? strrchr(end, '.') : NULL;
    int code = ERROR_NONE;
    if (end != NULL && (found == NULL || asked == NULL || strcasecmp(asked, found) != 0))
        code = refuse(guarding, "a file of another kind", strrchr(end, '/') + 1, error);
    free(end);
    return code;
}

int file_check_output(const struct call *call, const char *path, struct error *error)
{
    struct guarding guarding = {.path = path};
    const struct option_row *row = NULL;
    if (stat(path, &guarding.target) != 0)
        return lstat(path, &guarding.target) == 0
                   ? error_set(error, ERROR_USAGE, "-o: %s is a link that leads nowhere", path)
                   : ERROR_NONE;
    if (!S_ISREG(guarding.target.st_mode))
        return error_set(error, ERROR_USAGE,
                         "-o: %s is %s; the name of a new file, or of an ordinary one, is needed",
                         path, S_ISDIR(guarding.target.st_mode) ? "a folder" : "no ordinary file");
    int code = check_book(&guarding, call->book, error);
    for (size_t i = 0; code == ERROR_NONE && i < call->argument_count; i++)
        code = check_named(&guarding, call->arguments[i], error);
    for (size_t i = 0; code == ERROR_NONE && (row = option_at(call->command->options, i)) != NULL;
         i++)
        if ((row->kind == OPTION_FILE || row->kind == OPTION_FOLDER || row->kind == OPTION_SETUP) &&
            strcmp(row->name, "output") != 0)
            code = check_named(&guarding, call->values[i], error);
    if (code == ERROR_NONE)
        code = check_named(&guarding, "setups", error);
    return code == ERROR_NONE ? check_kind(&guarding, error) : code;
}
