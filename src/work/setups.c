/* The setup of a name. */
#define _POSIX_C_SOURCE 200809L /* access */
#include "base/array.h"
#include "base/text.h"
#include "base/words.h"
#include "book/setup_store.h"
#include "work/rules.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { MOST_NAMES = 512 };

bool rules_is_path(const char *name)
{
    static const char ending[] = ".yaml";
    size_t length = strlen(name);
    size_t own = sizeof ending - 1;
    return strchr(name, '/') != NULL || (length > own && strcmp(name + length - own, ending) == 0);
}

/* --- what is there instead ------------------------------------------------------------ */

struct known_names {
    char *list[MOST_NAMES];
    size_t count;
};

static void add_name(struct known_names *names, const char *name)
{
    if (names->count < MOST_NAMES && (names->list[names->count] = string_copy(name)) != NULL)
        names->count++;
}

static void add_shipped(struct known_names *names, const char *folder)
{
    DIR *directory = folder != NULL ? opendir(folder) : NULL;
    struct dirent *entry = NULL;
    while (directory != NULL && (entry = readdir(directory)) != NULL) {
        char *dot = strrchr(entry->d_name, '.');
        if (dot == NULL || strcmp(dot, ".yaml") != 0)
            continue;
        *dot = '\0';
        add_name(names, entry->d_name);
    }
    if (directory != NULL)
        closedir(directory);
}

/* Says that there is no such setup, and which one was probably meant. */
static int no_setup(const char *name, struct book *book, const char *folder, struct error *error)
{
    struct known_names names = {.count = 0};
    struct setup_versions kept = {0};
    struct error ignored;
    char hint[WORD_HINT_SIZE];
    if (book != NULL && setup_store_newest(book, &kept, &ignored) == ERROR_NONE)
        for (size_t i = 0; i < kept.count; i++)
            add_name(&names, kept.list[i].name);
    setup_versions_free(&kept);
    add_shipped(&names, folder);
    error_set(error, ERROR_INPUT,
              "%s: there is no setup of that name in the book, and no shipped one%s", name,
              word_hint(hint, name, (const char *const *)names.list, names.count));
    for (size_t i = 0; i < names.count; i++)
        free(names.list[i]);
    return ERROR_INPUT;
}

/* --- the setup ----------------------------------------------------------------------------- */

/* The folder is nobody's business who wrote the text. */
static void forget_folder(struct error *error, const char *path, const char *folder)
{
    const char *begins = folder != NULL ? strstr(error->text, path) : NULL;
    if (begins == NULL)
        return;
    struct error whole = *error;
    int before = (int)(begins - error->text);
    error_because(error, whole.code, whole.reason, "%.*s%s", before, whole.text,
                  whole.text + before + strlen(folder) + 1);
}

/* A text is read as if it stood among the shipped setups, so that it may mirror
 * one of them; one that was kept in a book (no faults asked for) in the words of
 * its time. */
static int read_text(const char *place, const char *bytes, const char *folder,
                     struct setup_faults *faults, struct setup *setup, struct error *error)
{
    struct text path;
    text_init(&path);
    if (folder != NULL)
        text_append_format(&path, "%s/", folder);
    text_append(&path, place);
    int code = text_failed(&path) ? error_memory(error)
               : faults == NULL
                   ? setup_read_kept(setup, path.bytes, bytes, error)
                   : setup_check(setup, path.bytes, bytes, strlen(bytes), faults, error);
    if (code != ERROR_NONE)
        forget_folder(error, path.bytes, folder);
    for (size_t i = 0; faults != NULL && i < faults->count; i++)
        forget_folder(&faults->list[i].error, path.bytes, folder);
    text_free(&path);
    return code;
}

int rules_check_text(const char *place, const char *bytes, const char *folder, struct setup *setup,
                     struct setup_faults *faults, struct error *error)
{
    return read_text(place, bytes, folder, faults, setup, error);
}

int rules_read_text(const char *place, const char *bytes, const char *folder, struct setup *setup,
                    struct error *error)
{
    struct setup_faults faults = {0};
    int code = rules_check_text(place, bytes, folder, setup, &faults, error);
    setup_faults_free(&faults);
    return code;
}

int rules_read_kept_text(const char *place, const char *bytes, const char *folder,
                         struct setup *setup, struct error *error)
{
    return read_text(place, bytes, folder, NULL, setup, error);
}

int rules_read_kept(struct book *book, const char *name, int64_t number, const char *folder,
                    struct setup *setup, bool *found, struct error *error)
{
    char *bytes = NULL;
    int code = setup_store_text(book, name, number, &bytes, error);
    *found = code == ERROR_NONE && bytes != NULL;
    if (*found)
        code = read_text(name, bytes, folder, NULL, setup, error);
    free(bytes);
    return code;
}

int rules_keep(struct book *book, const char *place, const char *bytes, const char *folder,
               int64_t expected, int64_t now, char name[SETUP_NAME_SIZE], int64_t *number,
               struct error *error)
{
    struct setup setup;
    int code = rules_read_text(place, bytes, folder, &setup, error);
    if (code != ERROR_NONE)
        return code;
    snprintf(name, SETUP_NAME_SIZE, "%s", setup.name);
    setup_free(&setup);
    code = book_begin(book, "keeping a setup", error);
    if (code == ERROR_NONE)
        code = setup_store_keep(book, name, bytes, expected, now, number, error);
    if (code == ERROR_NONE)
        return book_commit(book, error);
    book_rollback(book);
    return code;
}

int rules_read(const char *name, struct book *book, const char *folder, struct setup *setup,
               struct error *error)
{
    struct text path;
    bool found = false;
    if (rules_is_path(name))
        return setup_read_file(setup, name, error);
    int code = book != NULL ? rules_read_kept(book, name, 0, folder, setup, &found, error)
                            : ERROR_NONE;
    if (code != ERROR_NONE || found)
        return code;
    text_init(&path);
    text_append_format(&path, "%s/%s.yaml", folder != NULL ? folder : "", name);
    if (text_failed(&path))
        code = error_memory(error);
    else if (folder != NULL && access(path.bytes, R_OK) == 0)
        code = setup_read_file(setup, path.bytes, error);
    else
        code = no_setup(name, book, folder, error);
    text_free(&path);
    return code;
}
