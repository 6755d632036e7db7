/* The setup that a command names, and the folder of shipped ones. */
#define _POSIX_C_SOURCE 200809L /* readlink, access */
#include "base/text.h"
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
    if (strchr(name, '/') != NULL || text_failed(path) || stat(path->bytes, &here) != 0)
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

int setup_named(struct call *call, const char *name, struct setup *setup, struct error *error)
{
    struct text folder;
    struct text path;
    text_init(&folder);
    text_init(&path);
    bool found = setups_folder(&folder);
    bool here = access(name, F_OK) != 0 && is_here(call, found ? folder.bytes : "", name, &path);
    int code = text_failed(&folder) || text_failed(&path)
                   ? error_memory(error)
                   : rules_read(here ? path.bytes : name, found ? folder.bytes : NULL, setup,
                                error);
    text_free(&folder);
    text_free(&path);
    return code;
}
