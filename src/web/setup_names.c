/* Setups by name: those of the book, then the shipped ones. What a browser says
 * is never a path. */
#define _POSIX_C_SOURCE 200809L
#include "web/chart.h"

#include "base/array.h"

#include <dirent.h>
#include <stdlib.h>
#include <string.h>

static const char ending[] = ".yaml";

struct names {
    char **list;
    size_t count;
    size_t room;
};

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

static int add_name(struct names *names, const char *name, size_t length, struct error *error)
{
    for (size_t i = 0; i < names->count; i++)
        if (strlen(names->list[i]) == length && strncmp(names->list[i], name, length) == 0)
            return ERROR_NONE;
    char **grown = array_reserve(names->list, &names->room, names->count + 1, sizeof *grown);
    if (grown == NULL)
        return error_memory(error);
    names->list = grown;
    grown[names->count] = strndup(name, length);
    if (grown[names->count] == NULL)
        return error_memory(error);
    names->count++;
    return ERROR_NONE;
}

static int add_kept(struct book *book, struct names *names, struct error *error)
{
    struct setup_versions versions = {0};
    int code = book != NULL ? setup_store_newest(book, &versions, error) : ERROR_NONE;
    for (size_t i = 0; code == ERROR_NONE && i < versions.count; i++)
        code = add_name(names, versions.list[i].name, strlen(versions.list[i].name), error);
    setup_versions_free(&versions);
    return code;
}

static int add_shipped(const struct page *page, struct names *names, struct error *error)
{
    int code = ERROR_NONE;
    DIR *folder = page->options.setups != NULL ? opendir(page->options.setups) : NULL;
    const struct dirent *entry = NULL;
    while (code == ERROR_NONE && folder != NULL && (entry = readdir(folder)) != NULL)
        if (stem_length(entry->d_name) > 0)
            code = add_name(names, entry->d_name, stem_length(entry->d_name), error);
    if (folder != NULL)
        closedir(folder);
    return code;
}

int page_setup_names_in(const struct page *page, struct book *book, char ***names, size_t *count,
                        struct error *error)
{
    struct names all = {0};
    int code = add_kept(book, &all, error);
    if (code == ERROR_NONE)
        code = add_shipped(page, &all, error);
    if (all.count > 0)
        qsort(all.list, all.count, sizeof *all.list, by_name);
    *names = all.list;
    *count = all.count;
    return code;
}

int page_setup_names(const struct page *page, char ***names, size_t *count, struct error *error)
{
    struct book *book = NULL;
    *names = NULL;
    *count = 0;
    int code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = page_setup_names_in(page, book, names, count, error);
    return book_done(book, code, error);
}

int page_setup_in(const struct page *page, struct book *book, const char *name, struct setup *setup,
                  struct error *error)
{
    if (rules_is_path(name))
        return error_set(error, ERROR_INPUT, "%s: there is no setup of that name", name);
    return rules_read(name, book, page->options.setups, setup, error);
}

int page_setup(const struct page *page, const char *name, struct setup *setup, struct error *error)
{
    struct book *book = NULL;
    int code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = page_setup_in(page, book, name, setup, error);
    if (code == ERROR_NONE) {
        code = book_done(book, code, error);
        if (code != ERROR_NONE)
            setup_free(setup);
        return code;
    }
    return book_done(book, code, error);
}
