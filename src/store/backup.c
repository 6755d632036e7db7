#define _XOPEN_SOURCE 700 /* pwrite */
#include "base/new_file.h"
#include "store/book.h"
#include "store/descriptor_file.h"

#include <errno.h>
#include <sqlite3.h>
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

static int open_copy(const struct new_file *file, sqlite3 **copy, struct error *error)
{
    if (descriptor_file_open(file->descriptor, copy) == SQLITE_OK)
        return ERROR_NONE;
    return error_set(error, ERROR_MACHINE, "%s: cannot be opened: %s", file->path,
                     *copy != NULL ? sqlite3_errmsg(*copy) : "out of memory");
}

/* A copy is one file alone: it asks for no file of changes beside it (SQLite's
 * file format, 1.3.3: bytes 18 and 19 are 1). */
static int leave_alone(const struct new_file *file, struct error *error)
{
    static const unsigned char versions[] = {1, 1};
    if (pwrite(file->descriptor, versions, sizeof versions, 18) == sizeof versions)
        return ERROR_NONE;
    return error_set(error, ERROR_MACHINE, "%s: cannot be written: %s", file->path,
                     strerror(errno));
}

static int make_copy(struct book *book, const struct new_file *file, struct error *error)
{
    sqlite3 *copy = NULL;
    int code = open_copy(file, &copy, error);
    if (code == ERROR_NONE)
        code = copy_pages(book, copy, file->path, error);
    sqlite3_close(copy);
    return code == ERROR_NONE ? leave_alone(file, error) : code;
}

/* It is read again from end to end. */
static int check_copy(const struct new_file *file, struct error *error)
{
    bool whole = true;
    sqlite3 *copy = NULL;
    int code = open_copy(file, &copy, error);
    if (code == ERROR_NONE &&
        (sqlite3_exec(copy, "PRAGMA integrity_check", take_verdict, &whole, NULL) != SQLITE_OK ||
         !whole))
        code = error_set(error, ERROR_MACHINE,
                         "%s: the copy is not whole (%s); check the disk, and the book with "
                         "another backup",
                         file->path, sqlite3_errmsg(copy));
    sqlite3_close(copy);
    return code;
}

int book_backup(struct book *book, const char *path, struct error *error)
{
    struct new_file file;
    int code = new_file_begin(&file, path, false, error);
    if (code != ERROR_NONE)
        return code;
    code = make_copy(book, &file, error);
    if (code == ERROR_NONE)
        code = check_copy(&file, error);
    if (code == ERROR_NONE)
        code = new_file_end(&file, error);
    else
        new_file_abandon(&file);
    return code;
}
