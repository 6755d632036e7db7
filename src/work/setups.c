/* The setup of a name. */
#define _POSIX_C_SOURCE 200809L /* access */
#include "base/array.h"
#include "base/text.h"
#include "base/words.h"
#include "work/rules.h"

#include <dirent.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { MOST_SHIPPED = 256 };

/* Says that there is no such setup, and which shipped one was probably meant. */
static int no_setup(const char *name, const char *folder, struct error *error)
{
    char *names[MOST_SHIPPED] = {NULL};
    size_t count = 0;
    DIR *directory = folder != NULL ? opendir(folder) : NULL;
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

int rules_read(const char *name, const char *folder, struct setup *setup, struct error *error)
{
    struct text path;
    if (access(name, F_OK) == 0)
        return setup_read_file(setup, name, error);
    text_init(&path);
    text_append_format(&path, "%s/%s.yaml", folder != NULL ? folder : "", name);
    int code = ERROR_NONE;
    if (text_failed(&path))
        code = error_memory(error);
    else if (folder != NULL && strchr(name, '/') == NULL && access(path.bytes, R_OK) == 0)
        code = setup_read_file(setup, path.bytes, error);
    else
        code = no_setup(name, folder, error);
    text_free(&path);
    return code;
}
