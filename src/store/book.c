#define _POSIX_C_SOURCE 200809L /* mkdir, access */
#include "store/book.h"

#include "base/array.h"
#include "base/text.h"
#include "store/schema.h"

#include <errno.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* More different statements than any command runs; one more is not kept. */
enum { MOST_KEPT = 64 };

struct book {
    sqlite3 *handle;
    char *path;
    const char *transaction;
    bool filled;   /* made here, and without a log until it is closed */
    bool in_place; /* the file is known, and may change */
    dev_t device;  /* that file */
    ino_t number;
    bool (*keep)(void *context, struct book *book); /* of whoever lent it out; NULL: nobody */
    void *keeper;
    int forgotten; /* statements prepared and not finished */
    /* Finished ones, reset and without values, for whoever wants them again. */
    sqlite3_stmt *kept[MOST_KEPT];
    size_t kept_count;
};

const char *book_path(const struct book *book)
{
    return book->path;
}

struct sqlite3 *book_handle(struct book *book)
{
    return book->handle;
}

/* What to tell a person for the result codes that they can do something about. */
static const char *advice(int code, int *error_code)
{
    *error_code = ERROR_MACHINE;
    switch (code & 0xff) {
    case SQLITE_FULL: return "the disk is full; nothing of it was kept, and the book is as it was";
    case SQLITE_BUSY:
    case SQLITE_LOCKED: return "the book is in use by another process; try again when that is done";
    case SQLITE_READONLY:
    case SQLITE_PERM: return "the book or its folder cannot be written; check its permissions";
    case SQLITE_CANTOPEN: return "the book cannot be opened; check the folder and its permissions";
    case SQLITE_IOERR: return "the disk failed while reading or writing; nothing of it was kept";
    case SQLITE_CORRUPT:
        *error_code = ERROR_INPUT;
        return "the book is damaged; go back to a backup of it";
    case SQLITE_NOTADB: *error_code = ERROR_INPUT; return "the file is no book";
    default: return NULL;
    }
}

static int failed(struct book *book, int code, const char *doing, bool committing,
                  struct error *error)
{
    if ((code & 0xff) == SQLITE_NOMEM)
        return error_memory(error);
    int error_code;
    const char *known = advice(code, &error_code);
    int number = book->handle != NULL ? sqlite3_system_errno(book->handle) : 0;
    if ((code & 0xff) == SQLITE_CANTOPEN && (number == EMFILE || number == ENFILE))
        known = "too many files are open; close some, or allow the program more";
    /* It may be written whole though it could not be made to last. */
    if (committing && (code & 0xff) == SQLITE_IOERR && code != SQLITE_IOERR_WRITE)
        known = "the disk failed at the last moment: either all of it was kept or nothing; do it "
                "again if the book does not show it";
    return error_set(error, error_code, "%s: %s: %s%s%s%s", book->path, doing,
                     known != NULL ? known : sqlite3_errmsg(book->handle),
                     known != NULL ? " (" : "", known != NULL ? sqlite3_errstr(code) : "",
                     known != NULL ? ")" : "");
}

int book_failed(struct book *book, int code, const char *doing, struct error *error)
{
    return failed(book, code, doing, false, error);
}

/* The folders above a path, as mkdir -p makes them. */
static void make_folders(char *path)
{
    for (char *slash = strchr(path + 1, '/'); slash != NULL; slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        mkdir(path, 0777);
        *slash = '/';
    }
}

static int read_pragma(struct book *book, const char *sql, int64_t *value, struct error *error)
{
    struct statement statement = {0};
    bool row = false;
    int code = statement_prepare(&statement, book, sql, error);
    if (code == ERROR_NONE)
        code = statement_step(&statement, &row, error);
    if (code == ERROR_NONE && row)
        *value = statement_integer(&statement, 0);
    statement_finish(&statement);
    return code;
}

static int make_schema(struct book *book, int64_t version, struct error *error)
{
    char sql[128];
    snprintf(sql, sizeof sql, "PRAGMA application_id = %d; PRAGMA user_version = %d;",
             BOOK_APPLICATION, schema_version);
    int code = book_begin(book, "making the schema", error);
    /* Another process may have been faster while this one waited. */
    if (code == ERROR_NONE)
        code = read_pragma(book, "PRAGMA user_version", &version, error);
    for (; code == ERROR_NONE && version < schema_version; version++)
        code = book_run(book, schema_steps[version], error);
    if (code == ERROR_NONE)
        code = book_run(book, sql, error);
    if (code == ERROR_NONE)
        code = book_commit(book, error);
    if (code != ERROR_NONE)
        book_rollback(book);
    return code;
}

/* Is it a book, and one that this program knows? */
static int check_kind(struct book *book, enum book_mode mode, bool *empty, struct error *error)
{
    int64_t application = 0;
    int64_t version = 0;
    int64_t tables = 0;
    int code = read_pragma(book, "PRAGMA application_id", &application, error);
    if (code == ERROR_NONE)
        code = read_pragma(book, "PRAGMA user_version", &version, error);
    if (code == ERROR_NONE)
        code = read_pragma(book, "SELECT count(*) FROM sqlite_schema", &tables, error);
    if (code != ERROR_NONE)
        return code;
    *empty = tables == 0 && application == 0 && version == 0;
    if (application != BOOK_APPLICATION && !(*empty && mode != BOOK_READ))
        return error_because(error, ERROR_INPUT,
                             *empty ? ERROR_REASON_EMPTY_BOOK : ERROR_REASON_NONE, "%s: %s",
                             book->path,
                             *empty ? "is an empty book"
                                    : "is the file of another program, no book; it was left as it "
                                      "is");
    if (version > schema_version)
        return error_set(error, ERROR_INPUT,
                         "%s: was written by a newer rushlight (version %lld of the book, this one "
                         "knows up to %d); update the program; the book was left as it is",
                         book->path, (long long)version, schema_version);
    if (version == schema_version)
        return ERROR_NONE;
    if (mode == BOOK_READ)
        return error_because(error, ERROR_INPUT, ERROR_REASON_OLD_BOOK,
                             "%s: is of an older rushlight (version %lld, now %d)", book->path,
                             (long long)version, schema_version);
    return make_schema(book, version, error);
}

/* The address of the file as one that cannot change, for sqlite3_open_v2. */
static int frozen_address(const char *path, char **address, struct error *error)
{
    struct text text;
    text_init(&text);
    text_append(&text, "file:");
    for (const char *c = path; *c != '\0'; c++)
        text_append_format(&text, "%%%02x", (unsigned)(unsigned char)*c);
    text_append(&text, "?immutable=1");
    *address = text_take(&text);
    return *address != NULL ? ERROR_NONE : error_memory(error);
}

/* A book in a folder that cannot be written has no place for the files that
 * sharing it needs. It is then read as what cannot change (*address is set),
 * unless its owner is at work: then the newest bars are in one of those files
 * alone. */
static int look_at_folder(struct book *book, enum book_mode mode, char **address,
                          struct error *error)
{
    int code = ERROR_NONE;
    char *folder = string_copy(book->path);
    char *log = sqlite3_mprintf("%s-wal", book->path);
    if (folder == NULL || log == NULL)
        code = error_memory(error);
    if (code == ERROR_NONE && mode != BOOK_READ)
        make_folders(folder);
    if (code == ERROR_NONE && mode == BOOK_READ) {
        char *slash = strrchr(folder, '/');
        if (slash != NULL)
            slash[slash == folder] = '\0';
        struct stat status;
        bool at_work = stat(log, &status) == 0 && status.st_size > 0;
        if (access(slash != NULL ? folder : ".", W_OK) != 0 && !at_work)
            code = frozen_address(book->path, address, error);
    }
    sqlite3_free(log);
    free(folder);
    return code;
}

/* The file, where the same one stood at the path before it was opened and after. */
static void note_file(struct book *book, const struct stat *before)
{
    struct stat status;
    book->in_place = before != NULL && stat(book->path, &status) == 0 &&
                     status.st_dev == before->st_dev && status.st_ino == before->st_ino;
    if (book->in_place) {
        book->device = status.st_dev;
        book->number = status.st_ino;
    }
}

/* Opens the file itself. */
static int open_file(struct book *book, enum book_mode mode, struct error *error)
{
    /* A book belongs to one thread at a time, and needs no lock of SQLite's own. */
    int flags = SQLITE_OPEN_NOMUTEX |
                (mode == BOOK_READ ? SQLITE_OPEN_READONLY
                                   : SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE);
    char *address = NULL;
    if (access(book->path, F_OK) != 0 && mode == BOOK_READ)
        return error_because(error, ERROR_INPUT, ERROR_REASON_NO_BOOK_YET,
                             "%s: there is no book yet", book->path);
    struct stat status;
    bool stood = stat(book->path, &status) == 0;
    if (stood && S_ISDIR(status.st_mode))
        return error_because(error, ERROR_INPUT, ERROR_REASON_BOOK_IS_FOLDER,
                             "%s: is a folder; a book is one file", book->path);
    if (access(book->path, F_OK) == 0 && access(book->path, R_OK) != 0)
        return error_set(error, ERROR_MACHINE, "%s: the book cannot be read: %s", book->path,
                         strerror(errno));
    int code = look_at_folder(book, mode, &address, error);
    if (code != ERROR_NONE)
        return code;
    int result = sqlite3_open_v2(address != NULL ? address : book->path, &book->handle,
                                 address != NULL ? flags | SQLITE_OPEN_URI : flags, NULL);
    note_file(book, address == NULL && stood ? &status : NULL);
    free(address);
    if (result != SQLITE_OK)
        return book_failed(book, book->handle ? sqlite3_extended_errcode(book->handle) : result,
                           "opening", error);
    return ERROR_NONE;
}

static int set_up(struct book *book, enum book_mode mode, int wait_seconds, struct error *error)
{
    sqlite3_extended_result_codes(book->handle, 1);
    sqlite3_busy_timeout(book->handle, wait_seconds * 1000);
    int code = book_run(book,
                        "PRAGMA foreign_keys = ON; PRAGMA trusted_schema = OFF;"
                        "PRAGMA cell_size_check = ON;",
                        error);
    /* Who reads goes along chunks that are not asked for again. */
    if (code == ERROR_NONE)
        code = book_run(book,
                        mode == BOOK_READ ? "PRAGMA cache_size = -2000;"
                                          : "PRAGMA cache_size = -16000;",
                        error);
    bool empty = false;
    if (code == ERROR_NONE)
        code = check_kind(book, mode, &empty, error);
    /* Only a book of ours is turned to write-ahead logging. */
    if (code == ERROR_NONE && (mode == BOOK_WRITE || (mode == BOOK_FILL && !empty)))
        code = book_run(book, "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL;", error);
    book->filled = code == ERROR_NONE && mode == BOOK_FILL && empty;
    if (book->filled)
        code = book_run(book, "PRAGMA synchronous = FULL;", error);
    return code;
}

int book_open(struct book **opened, const char *path, enum book_mode mode, int wait_seconds,
              struct error *error)
{
    *opened = NULL;
    struct book *book = calloc(1, sizeof *book);
    if (book == NULL)
        return error_memory(error);
    book->path = string_copy(path);
    int code = book->path != NULL ? open_file(book, mode, error) : error_memory(error);
    if (code == ERROR_NONE)
        code = set_up(book, mode, wait_seconds, error);
    if (code == ERROR_NONE) {
        *opened = book;
    } else {
        struct error ignored;
        book_close(book, &ignored);
    }
    return code;
}

void book_lend(struct book *book, bool (*keep)(void *context, struct book *book), void *context)
{
    book->keep = keep;
    book->keeper = context;
}

bool book_is_in_place(const struct book *book)
{
    struct stat status;
    return book->in_place && stat(book->path, &status) == 0 && status.st_dev == book->device &&
           status.st_ino == book->number;
}

bool book_is_current(struct book *book)
{
    struct statement statement;
    struct error ignored;
    bool row = false;
    int code = statement_prepare(&statement, book, "PRAGMA user_version", &ignored);
    if (code == ERROR_NONE)
        code = statement_step(&statement, &row, &ignored);
    bool current = code == ERROR_NONE && row && statement_integer(&statement, 0) == schema_version;
    statement_finish(&statement);
    return current;
}

static bool rests(const struct book *book)
{
    return book->forgotten == 0 && book->transaction == NULL &&
           sqlite3_txn_state(book->handle, NULL) == SQLITE_TXN_NONE;
}

int book_close(struct book *book, struct error *error)
{
    int code = ERROR_NONE;
    if (book == NULL || (book->keep != NULL && rests(book) && book->keep(book->keeper, book)))
        return code;
    book_rollback(book);
    for (size_t i = 0; i < book->kept_count; i++)
        sqlite3_finalize(book->kept[i]);
    sqlite3_stmt *left = book->handle != NULL ? sqlite3_next_stmt(book->handle, NULL) : NULL;
    if (left != NULL && book->forgotten > 0)
        code = error_set(error, ERROR_MACHINE, "%s: a statement was not finished: %s", book->path,
                         sqlite3_sql(left));
    /* Whoever opens it next finds a log; should this fail, that opening makes it. */
    if (book->filled)
        sqlite3_exec(book->handle, "PRAGMA journal_mode = WAL", NULL, NULL, NULL);
    sqlite3_close_v2(book->handle);
    free(book->path);
    free(book);
    return code;
}

int book_begin(struct book *book, const char *who, struct error *error)
{
    if (book->transaction != NULL)
        return error_set(error, ERROR_MACHINE, "%s: '%s' cannot begin while '%s' is under way",
                         book->path, who, book->transaction);
    int result = sqlite3_exec(book->handle, "BEGIN IMMEDIATE", NULL, NULL, NULL);
    if (result != SQLITE_OK)
        return book_failed(book, sqlite3_extended_errcode(book->handle), who, error);
    book->transaction = who;
    return ERROR_NONE;
}

int book_commit(struct book *book, struct error *error)
{
    int result = sqlite3_exec(book->handle, "COMMIT", NULL, NULL, NULL);
    const char *who = book->transaction != NULL ? book->transaction : "commit";
    if (result != SQLITE_OK) {
        int code = failed(book, sqlite3_extended_errcode(book->handle), who, true, error);
        book_rollback(book);
        return code;
    }
    book->transaction = NULL;
    return ERROR_NONE;
}

void book_rollback(struct book *book)
{
    if (book->transaction != NULL && !sqlite3_get_autocommit(book->handle))
        sqlite3_exec(book->handle, "ROLLBACK", NULL, NULL, NULL);
    book->transaction = NULL;
}

const char *book_transaction(const struct book *book)
{
    return book->transaction;
}

int book_run(struct book *book, const char *sql, struct error *error)
{
    int result = sqlite3_exec(book->handle, sql, NULL, NULL, NULL);
    if (result == SQLITE_OK)
        return ERROR_NONE;
    return book_failed(book, sqlite3_extended_errcode(book->handle),
                       book->transaction != NULL ? book->transaction : "opening", error);
}

int64_t book_last_row(struct book *book)
{
    return sqlite3_last_insert_rowid(book->handle);
}

int64_t book_changes(struct book *book)
{
    return sqlite3_changes64(book->handle);
}

/* A kept statement of this text, no longer kept; NULL: there is none. */
static sqlite3_stmt *take_kept(struct book *book, const char *sql)
{
    for (size_t i = 0; i < book->kept_count; i++) {
        sqlite3_stmt *found = book->kept[i];
        if (strcmp(sqlite3_sql(found), sql) != 0)
            continue;
        book->kept[i] = book->kept[--book->kept_count];
        return found;
    }
    return NULL;
}

int statement_prepare(struct statement *statement, struct book *book, const char *sql,
                      struct error *error)
{
    *statement = (struct statement){.book = book, .handle = take_kept(book, sql)};
    int result = SQLITE_OK;
    if (statement->handle == NULL)
        result = sqlite3_prepare_v3(book->handle, sql, -1, SQLITE_PREPARE_PERSISTENT,
                                    &statement->handle, NULL);
    if (result != SQLITE_OK)
        return book_failed(book, sqlite3_extended_errcode(book->handle), "preparing", error);
    book->forgotten++;
    return ERROR_NONE;
}

void statement_finish(struct statement *statement)
{
    struct book *book = statement->book;
    if (statement->handle == NULL)
        return;
    sqlite3_reset(statement->handle);
    sqlite3_clear_bindings(statement->handle);
    if (book->kept_count < MOST_KEPT)
        book->kept[book->kept_count++] = statement->handle;
    else
        sqlite3_finalize(statement->handle);
    statement->handle = NULL;
    book->forgotten--;
}

static void note_bind(struct statement *statement, int result)
{
    if (result != SQLITE_OK && statement->bind_code == SQLITE_OK)
        statement->bind_code = result;
}

void statement_bind_integer(struct statement *statement, int parameter, int64_t value)
{
    note_bind(statement, sqlite3_bind_int64(statement->handle, parameter, value));
}

void statement_bind_number(struct statement *statement, int parameter, double value)
{
    note_bind(statement, sqlite3_bind_double(statement->handle, parameter, value));
}

void statement_bind_text(struct statement *statement, int parameter, const char *text)
{
    note_bind(statement,
              sqlite3_bind_text(statement->handle, parameter, text, -1, SQLITE_TRANSIENT));
}

void statement_bind_bytes(struct statement *statement, int parameter, const void *bytes,
                          size_t length)
{
    note_bind(statement,
              sqlite3_bind_blob64(statement->handle, parameter, bytes, length, SQLITE_STATIC));
}

void statement_bind_null(struct statement *statement, int parameter)
{
    note_bind(statement, sqlite3_bind_null(statement->handle, parameter));
}

int statement_step(struct statement *statement, bool *row, struct error *error)
{
    struct book *book = statement->book;
    int result = statement->bind_code;
    *row = false;
    if (result != SQLITE_OK)
        return book_failed(book, result, "binding a value", error);
    if (book->transaction == NULL && !sqlite3_stmt_readonly(statement->handle))
        return error_set(error, ERROR_MACHINE, "%s: a write outside a transaction: %s", book->path,
                         sqlite3_sql(statement->handle));
    result = sqlite3_step(statement->handle);
    if (result == SQLITE_ROW) {
        *row = true;
        return ERROR_NONE;
    }
    int code = ERROR_NONE;
    if (result != SQLITE_DONE)
        code = book_failed(book, sqlite3_extended_errcode(book->handle),
                           book->transaction != NULL ? book->transaction : "reading", error);
    sqlite3_reset(statement->handle);
    return code;
}

int statement_run(struct statement *statement, struct error *error)
{
    bool row = true;
    int code = ERROR_NONE;
    while (code == ERROR_NONE && row)
        code = statement_step(statement, &row, error);
    return code;
}

void statement_reset(struct statement *statement)
{
    sqlite3_reset(statement->handle);
    statement->bind_code = SQLITE_OK;
}

int64_t statement_integer(struct statement *statement, int column)
{
    return sqlite3_column_int64(statement->handle, column);
}

double statement_number(struct statement *statement, int column)
{
    if (statement_is_null(statement, column))
        return __builtin_nan("");
    return sqlite3_column_double(statement->handle, column);
}

const char *statement_text(struct statement *statement, int column)
{
    return (const char *)sqlite3_column_text(statement->handle, column);
}

const void *statement_bytes(struct statement *statement, int column, size_t *length)
{
    const void *bytes = sqlite3_column_blob(statement->handle, column);
    *length = (size_t)sqlite3_column_bytes(statement->handle, column);
    return bytes;
}

bool statement_is_null(struct statement *statement, int column)
{
    return sqlite3_column_type(statement->handle, column) == SQLITE_NULL;
}
