#include "store/book.h"

#include <errno.h>
#include <fcntl.h>
#include <sqlite3.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

/* All pages in one go, of one moment; others may read and write meanwhile. */
static int copy_pages(struct book *book, sqlite3 *copy, const char *path, struct error *error)
{
    sqlite3_backup *backup = sqlite3_backup_init(copy, "main", book_handle(book), "main");
    int result = backup != NULL ? sqlite3_backup_step(backup, -1) : sqlite3_errcode(copy);
    int finished = sqlite3_backup_finish(backup);
    if (result == SQLITE_DONE)
        result = finished;
    if (result == SQLITE_OK)
        return ERROR_NONE;
    book_failed(book, result, "copying", error);
    return error_context(error, "%s", path);
}

static int take_verdict(void *whole, int columns, char **values, char **names)
{
    (void)names;
    if (columns != 1 || values[0] == NULL || strcmp(values[0], "ok") != 0)
        *(bool *)whole = false;
    return 0;
}

/* A copy is one file alone, and it is read again from end to end. */
static int check_copy(sqlite3 *copy, const char *path, struct error *error)
{
    bool whole = true;
    int result = sqlite3_exec(copy, "PRAGMA journal_mode = DELETE", NULL, NULL, NULL);
    if (result == SQLITE_OK)
        result = sqlite3_exec(copy, "PRAGMA integrity_check", take_verdict, &whole, NULL);
    if (result == SQLITE_OK && whole)
        return ERROR_NONE;
    return error_set(error, ERROR_MACHINE,
                     "%s: the copy is not whole (%s); check the disk, and the "
                     "book with another backup",
                     path, sqlite3_errmsg(copy));
}

static void remove_copy(const char *path)
{
    static const char *const endings[] = {"", "-wal", "-shm", "-journal"};
    for (size_t i = 0; i < sizeof endings / sizeof endings[0]; i++) {
        char *name = sqlite3_mprintf("%s%s", path, endings[i]);
        if (name != NULL)
            remove(name);
        sqlite3_free(name);
    }
}

int book_backup(struct book *book, const char *path, struct error *error)
{
    sqlite3 *copy = NULL;
    /* Only who makes the file may write it: two at a time do not mix. */
    int file = open(path, O_CREAT | O_EXCL | O_WRONLY, 0666);
    if (file < 0 && errno == EEXIST)
        return error_set(error, ERROR_INPUT, "%s: is there already; give the name of a new file",
                         path);
    if (file < 0)
        return error_set(error, ERROR_MACHINE, "%s: cannot be made: %s", path, strerror(errno));
    close(file);
    int code = ERROR_NONE;
    if (sqlite3_open_v2(path, &copy, SQLITE_OPEN_READWRITE, NULL) != SQLITE_OK)
        code = error_set(error, ERROR_MACHINE, "%s: cannot be opened: %s", path,
                         copy != NULL ? sqlite3_errmsg(copy) : "out of memory");
    if (code == ERROR_NONE)
        code = copy_pages(book, copy, path, error);
    if (code == ERROR_NONE)
        code = check_copy(copy, path, error);
    sqlite3_close(copy);
    if (code != ERROR_NONE)
        remove_copy(path);
    return code;
}
