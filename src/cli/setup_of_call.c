/* The setup that a command names. */
#define _POSIX_C_SOURCE 200809L /* readlink, access */
#include "base/text.h"
#include "cli/wishes.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Here, or up to three above the program (a build folder stands below the
 * root). */
bool setups_folder(struct text *folder)
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

int setup_of_call(struct call *call, struct setup *setup, struct error *error)
{
    return setup_named(call_option(call, "setup"), setup, error);
}

int setup_named(const char *name, struct setup *setup, struct error *error)
{
    struct text folder;
    text_init(&folder);
    bool found = setups_folder(&folder);
    int code = text_failed(&folder) ? error_memory(error)
                                    : rules_read(name, found ? folder.bytes : NULL, setup, error);
    text_free(&folder);
    return code;
}
