/* The setup that a command names. */
#define _POSIX_C_SOURCE 200809L /* readlink, access */
#include "base/array.h"
#include "base/text.h"
#include "base/words.h"
#include "cli/rules.h"

#include <dirent.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* The folder of shipped setups: here, or up to three above the program (a
 * build folder stands below the root). False if there is none. */
static bool find_setups(struct text *folder)
{
    char program[4096];
    text_append(folder, "setups");
    if (!text_failed(folder) && access(folder->bytes, X_OK) == 0)
        return true;
    ssize_t length = readlink("/proc/self/exe", program, sizeof program - 1);
    program[length > 0 ? length : 0] = '\0';
    for (int up = 0; up < 4; up++) {
        char *slash = strrchr(program, '/');
        if (slash == NULL)
            break;
        *slash = '\0';
        text_clear(folder);
        text_append_format(folder, "%s/setups", program);
        if (!text_failed(folder) && access(folder->bytes, X_OK) == 0)
            return true;
    }
    return false;
}

enum { MOST_SHIPPED = 256 };

/* Says that there is no such setup, and which shipped one was probably meant. */
static int no_setup(const char *name, const char *folder, struct error *error)
{
    char *names[MOST_SHIPPED] = {NULL};
    size_t count = 0;
    DIR *directory = folder[0] != '\0' ? opendir(folder) : NULL;
    struct dirent *entry = NULL;
    while (directory != NULL && count < MOST_SHIPPED && (entry = readdir(directory)) != NULL) {
        char *dot = strrchr(entry->d_name, '.');
        if (dot == NULL || strcmp(dot, ".yaml") != 0)
            continue;
        *dot = '\0';
        names[count] = string_copy(entry->d_name);
        count += names[count] != NULL;
    }
    if (directory != NULL)
        closedir(directory);
    char hint[WORD_HINT_SIZE];
    error_set(error, ERROR_INPUT,
              "%s: there is no such setup file, and no shipped setup of that name%s", name,
              word_hint(hint, name, (const char *const *)names, count));
    for (size_t i = 0; i < count; i++)
        free(names[i]);
    return ERROR_INPUT;
}

int rules_read(struct call *call, struct setup *setup, struct error *error)
{
    return rules_read_named(call_option(call, "setup"), setup, error);
}

int rules_read_named(const char *name, struct setup *setup, struct error *error)
{
    struct text folder;
    struct text path;
    if (access(name, F_OK) == 0)
        return setup_read_file(setup, name, error);
    text_init(&folder);
    text_init(&path);
    bool found = find_setups(&folder);
    text_append_format(&path, "%s/%s.yaml", folder.bytes, name);
    int code = ERROR_NONE;
    if (text_failed(&folder) || text_failed(&path))
        code = error_memory(error);
    else if (found && strchr(name, '/') == NULL && access(path.bytes, R_OK) == 0)
        code = setup_read_file(setup, path.bytes, error);
    else
        code = no_setup(name, found ? folder.bytes : "", error);
    text_free(&folder);
    text_free(&path);
    return code;
}
