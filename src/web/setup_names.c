/* Setups by name: what a browser says is never a path. */
#define _POSIX_C_SOURCE 200809L
#include "web/chart.h"

#include "base/array.h"

#include <dirent.h>
#include <stdlib.h>
#include <string.h>

static const char ending[] = ".yaml";

/* The name without its ending; 0: not the file of a setup. */
static size_t stem_length(const char *file)
{
    size_t length = strlen(file);
    size_t own = sizeof ending - 1;
    return file[0] != '.' && length > own && strcmp(file + length - own, ending) == 0 ? length - own
                                                                                      : 0;
}

static int by_name(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

static int add_name(char ***names, size_t *count, size_t *room, const char *file, size_t length,
                    struct error *error)
{
    char **grown = array_reserve(*names, room, *count + 1, sizeof *grown);
    if (grown == NULL)
        return error_memory(error);
    *names = grown;
    grown[*count] = strndup(file, length);
    if (grown[*count] == NULL)
        return error_memory(error);
    ++*count;
    return ERROR_NONE;
}

int page_setup_names(const struct page *page, char ***names, size_t *count, struct error *error)
{
    size_t room = 0;
    int code = ERROR_NONE;
    *names = NULL;
    *count = 0;
    DIR *folder = page->options.setups != NULL ? opendir(page->options.setups) : NULL;
    const struct dirent *entry = NULL;
    while (code == ERROR_NONE && folder != NULL && (entry = readdir(folder)) != NULL)
        if (stem_length(entry->d_name) > 0)
            code = add_name(names, count, &room, entry->d_name, stem_length(entry->d_name), error);
    if (folder != NULL)
        closedir(folder);
    if (*count > 0)
        qsort(*names, *count, sizeof **names, by_name);
    return code;
}

int page_setup(const struct page *page, const char *name, struct setup *setup, struct error *error)
{
    char **names = NULL;
    size_t count = 0;
    bool known = false;
    int code = page_setup_names(page, &names, &count, error);
    for (size_t i = 0; i < count; i++) {
        known |= strcmp(names[i], name) == 0;
        free(names[i]);
    }
    free(names);
    if (code != ERROR_NONE)
        return code;
    if (!known)
        return error_set(error, ERROR_INPUT, "%s: there is no setup of that name", name);
    struct text path;
    text_init(&path);
    text_append_format(&path, "%s/%s%s", page->options.setups, name, ending);
    code = text_failed(&path) ? error_memory(error) : setup_read_file(setup, path.bytes, error);
    text_free(&path);
    return code;
}
