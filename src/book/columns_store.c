#include "book/columns_store.h"

#include "base/array.h"
#include "base/text.h"

#include <fnmatch.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int check_pattern(const char *pattern, struct error *error)
{
    if (pattern[0] != '\0' && strlen(pattern) < COLUMNS_PATTERN_SIZE && text_is_shown(pattern) &&
        strchr(pattern, '/') == NULL)
        return ERROR_NONE;
    return error_set(
        error, ERROR_USAGE,
        "found the pattern '%.140s'; the name of a file, without its folder, with * for "
        "any letters and ? for one, shorter than %d bytes, is allowed",
        pattern, COLUMNS_PATTERN_SIZE);
}

static int run_with(struct book *book, const char *sql, const char *first, const char *second,
                    struct error *error)
{
    struct statement statement;
    int code = statement_prepare(&statement, book, sql, error);
    if (code == ERROR_NONE) {
        statement_bind_text(&statement, 1, first);
        if (second != NULL)
            statement_bind_text(&statement, 2, second);
        code = statement_run(&statement, error);
    }
    statement_finish(&statement);
    return code;
}

int columns_store_keep(struct book *book, const char *pattern, const char *columns,
                       struct error *error)
{
    int code = check_pattern(pattern, error);
    if (code != ERROR_NONE)
        return code;
    return run_with(book,
                    "INSERT INTO file_columns(pattern, columns) VALUES(?1, ?2) "
                    "ON CONFLICT DO UPDATE SET columns = ?2",
                    pattern, columns, error);
}

int columns_store_remove(struct book *book, const char *pattern, bool *found, struct error *error)
{
    int code = run_with(book, "DELETE FROM file_columns WHERE pattern = ?1", pattern, NULL, error);
    *found = code == ERROR_NONE && book_changes(book) > 0;
    return code;
}

int columns_store_list(struct book *book, struct columns_row **rows, size_t *count,
                       struct error *error)
{
    struct statement statement;
    size_t capacity = 0;
    bool row = false;
    *rows = NULL;
    *count = 0;
    int code = statement_prepare(&statement, book,
                                 "SELECT pattern, columns FROM file_columns ORDER BY pattern",
                                 error);
    while (code == ERROR_NONE && (code = statement_step(&statement, &row, error)) == ERROR_NONE &&
           row) {
        struct columns_row *grown = array_reserve(*rows, &capacity, *count + 1, sizeof *grown);
        const char *pattern = statement_text(&statement, 0);
        const char *columns = statement_text(&statement, 1);
        if (grown != NULL)
            *rows = grown;
        if (grown == NULL || pattern == NULL || columns == NULL) {
            code = error_memory(error);
            break;
        }
        struct columns_row *last = &grown[(*count)++];
        snprintf(last->pattern, sizeof last->pattern, "%s", pattern);
        snprintf(last->columns, sizeof last->columns, "%s", columns);
    }
    statement_finish(&statement);
    return code;
}

int columns_store_find(struct book *book, const char *path, struct columns_row *row, bool *found,
                       struct error *error)
{
    struct columns_row *rows = NULL;
    const struct columns_row *best = NULL;
    const struct columns_row *rival = NULL;
    size_t count = 0;
    const char *slash = strrchr(path, '/');
    const char *name = slash != NULL ? slash + 1 : path;
    int code = columns_store_list(book, &rows, &count, error);
    for (size_t i = 0; code == ERROR_NONE && i < count; i++) {
        if (fnmatch(rows[i].pattern, name, 0) != 0)
            continue;
        size_t length = best != NULL ? strlen(best->pattern) : 0;
        if (strlen(rows[i].pattern) > length) {
            best = &rows[i];
            rival = NULL;
        } else if (strlen(rows[i].pattern) == length &&
                   strcmp(rows[i].columns, best->columns) != 0) {
            rival = &rows[i];
        }
    }
    *found = best != NULL;
    if (rival != NULL)
        code = error_set(error, ERROR_INPUT,
                         "%s: the book keeps columns for '%s' and for '%s', and both are its name; "
                         "say them for this file, or remove one of the two",
                         path, best->pattern, rival->pattern);
    else if (best != NULL)
        *row = *best;
    free(rows);
    return code;
}
