#include "book/setup_store.h"

#include "base/array.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int check_name(const char *name, struct error *error)
{
    static const char letters[] = "abcdefghijklmnopqrstuvwxyz0123456789-";
    size_t length = strlen(name);
    if (length > 0 && length < SETUP_NAME_SIZE && strspn(name, letters) == length)
        return ERROR_NONE;
    return error_set(error, ERROR_INPUT,
                     "found '%.80s' for the name of a setup; 1 to %d of a-z, 0-9 and - are allowed",
                     name, SETUP_NAME_SIZE - 1);
}

static int add_version(struct setup_versions *versions, struct statement *statement,
                       struct error *error)
{
    struct setup_version *grown = array_reserve(versions->list, &versions->room,
                                                versions->count + 1, sizeof *grown);
    const char *name = statement_text(statement, 0);
    const char *text = statement_text(statement, 3);
    char *copy = text != NULL ? string_copy(text) : NULL;
    if (grown != NULL)
        versions->list = grown;
    if (grown == NULL || name == NULL || copy == NULL) {
        free(copy);
        return error_memory(error);
    }
    struct setup_version *version = &grown[versions->count++];
    *version = (struct setup_version){.number = statement_integer(statement, 1),
                                      .made = statement_integer(statement, 2),
                                      .text = copy};
    snprintf(version->name, sizeof version->name, "%s", name);
    return ERROR_NONE;
}

static int read_versions(struct book *book, const char *sql, const char *name,
                         struct setup_versions *versions, struct error *error)
{
    struct statement statement;
    bool row = false;
    *versions = (struct setup_versions){0};
    int code = statement_prepare(&statement, book, sql, error);
    if (code == ERROR_NONE && name != NULL)
        statement_bind_text(&statement, 1, name);
    while (code == ERROR_NONE && (code = statement_step(&statement, &row, error)) == ERROR_NONE &&
           row)
        code = add_version(versions, &statement, error);
    statement_finish(&statement);
    return code;
}

int setup_store_newest(struct book *book, struct setup_versions *versions, struct error *error)
{
    return read_versions(book,
                         "SELECT name, version, made, text FROM setup_version v WHERE version = "
                         "(SELECT max(version) FROM setup_version WHERE name = v.name) "
                         "ORDER BY name",
                         NULL, versions, error);
}

int setup_store_versions(struct book *book, const char *name, struct setup_versions *versions,
                         struct error *error)
{
    return read_versions(book,
                         "SELECT name, version, made, text FROM setup_version WHERE name = ?1 "
                         "ORDER BY version",
                         name, versions, error);
}

void setup_versions_free(struct setup_versions *versions)
{
    for (size_t i = 0; i < versions->count; i++)
        free(versions->list[i].text);
    free(versions->list);
    *versions = (struct setup_versions){0};
}

int setup_store_text(struct book *book, const char *name, int64_t number, char **text,
                     struct error *error)
{
    struct setup_versions versions;
    *text = NULL;
    int code = setup_store_versions(book, name, &versions, error);
    for (size_t i = 0; code == ERROR_NONE && i < versions.count; i++) {
        struct setup_version *version = &versions.list[i];
        if (number != 0 ? version->number != number : i + 1 != versions.count)
            continue;
        *text = version->text;
        version->text = NULL;
    }
    setup_versions_free(&versions);
    return code;
}

static int insert(struct book *book, const char *name, int64_t number, int64_t now,
                  const char *text, struct error *error)
{
    struct statement statement;
    int code = statement_prepare(&statement, book,
                                 "INSERT INTO setup_version(name, version, made, text) "
                                 "VALUES(?1, ?2, ?3, ?4)",
                                 error);
    if (code == ERROR_NONE) {
        statement_bind_text(&statement, 1, name);
        statement_bind_integer(&statement, 2, number);
        statement_bind_integer(&statement, 3, now);
        statement_bind_text(&statement, 4, text);
        code = statement_run(&statement, error);
    }
    statement_finish(&statement);
    return code;
}

int setup_store_keep(struct book *book, const char *name, const char *text, int64_t expected,
                     int64_t now, int64_t *number, struct error *error)
{
    struct setup_versions versions = {0};
    int code = check_name(name, error);
    if (code == ERROR_NONE)
        code = setup_store_versions(book, name, &versions, error);
    const struct setup_version *newest = versions.count > 0 ? &versions.list[versions.count - 1]
                                                            : NULL;
    int64_t found = newest != NULL ? newest->number : 0;
    if (code == ERROR_NONE && newest != NULL && strcmp(newest->text, text) == 0)
        *number = found;
    else if (code == ERROR_NONE && expected >= 0 && found != expected)
        code = error_set(error, ERROR_INPUT,
                         "%s: version %lld was kept meanwhile, and this began from version %lld; "
                         "look at that one first, then change it",
                         name, (long long)found, (long long)expected);
    else if (code == ERROR_NONE) {
        *number = found + 1;
        code = insert(book, name, *number, now, text, error);
    }
    setup_versions_free(&versions);
    return code;
}
