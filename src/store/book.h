/* One book: one SQLite file with everything a person has imported or made.
 *
 * A thin layer over SQLite. Statements have typed binds and columns; writing
 * is refused outside a transaction, and a transaction has the name of whoever
 * opened it; statements that are still open when the book is closed are named.
 * A book belongs to one thread at a time. Every message names the file and says
 * what to do about it. */
#ifndef RUSHLIGHT_STORE_BOOK_H
#define RUSHLIGHT_STORE_BOOK_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct book;
struct sqlite3;
struct sqlite3_stmt;

enum book_mode {
    BOOK_READ,  /* must exist; nothing is written, not even a migration */
    BOOK_WRITE, /* made where there is none, with the folders above it */
    /* As BOOK_WRITE, for one long write by one process: a book that is made here
     * has no log beside it until it is closed, so that each page is written once and
     * not three times. As safe, but who reads waits. */
    BOOK_FILL
};

/* What the file says of itself: "Rush" as a number. */
enum { BOOK_APPLICATION = 0x52757368 };

/* Opens the book. ERROR_INPUT where there is none to read, for a file that is
 * no book or is damaged, and for a book of a newer program (which is left as
 * it is); ERROR_MACHINE where the disk or the rights fail us or another process
 * keeps it locked for more than `wait_seconds`. An older book is brought to
 * the present schema, all or nothing. On success *book is the caller's, to be
 * closed; else NULL. */
int book_open(struct book **book, const char *path, enum book_mode mode, int wait_seconds,
              struct error *error);
/* Rolls back what is open and closes. ERROR_MACHINE names a statement that
 * somebody forgot to finish; the book is closed all the same. NULL is allowed. */
int book_close(struct book *book, struct error *error);

/* Lends a book that is read out: book_close then asks `keep`, once the book rests (no
 * transaction, every statement finished), and closes it only where that is false. */
void book_lend(struct book *book, bool (*keep)(void *context, struct book *book), void *context);
/* Whether the file is still of the schema that this program knows. */
bool book_is_current(struct book *book);
/* Whether the file that was opened stands at the path still. False for one that is read as
 * what cannot change: what is written to it later is not seen. */
bool book_is_in_place(const struct book *book);

const char *book_path(const struct book *book);
/* For what this layer does not wrap: the virtual tables and the authoriser. */
struct sqlite3 *book_handle(struct book *book);
/* Fills `error` from what SQLite said last. */
int book_failed(struct book *book, int code, const char *doing, struct error *error);

/* One transaction at a time; `who` (which must outlive it) stands in messages. */
int book_begin(struct book *book, const char *who, struct error *error);
int book_commit(struct book *book, struct error *error);
/* Never fails; does nothing where none is open. */
void book_rollback(struct book *book);
/* The name of the open transaction, NULL for none. */
const char *book_transaction(const struct book *book);

/* Runs one or more statements without values or rows. */
int book_run(struct book *book, const char *sql, struct error *error);
int64_t book_last_row(struct book *book);
/* Rows that the last statement changed. */
int64_t book_changes(struct book *book);

/* Closes the book (NULL is allowed) after work that ended with `code` and
 * returns `code`, else what went wrong in closing. */
int book_done(struct book *book, int code, struct error *error);
/* Commits after `code` ERROR_NONE, else rolls back; returns the result. */
int book_settle(struct book *book, int code, struct error *error);

/* A statement: prepare, bind, step until *row is false (which makes it ready
 * to be bound again), finish. A failed bind shows at the step. */
struct statement {
    struct book *book;
    struct sqlite3_stmt *handle;
    int bind_code;
};

int statement_prepare(struct statement *statement, struct book *book, const char *sql,
                      struct error *error);
/* The book keeps it, without its values, for the next who prepares the same
 * text. Right also for a statement of zeroes. */
void statement_finish(struct statement *statement);

/* Parameters count from 1. Text is copied; NULL binds null. Bytes must stay
 * until the statement has ended or been bound again. NaN binds null. */
void statement_bind_integer(struct statement *statement, int parameter, int64_t value);
void statement_bind_number(struct statement *statement, int parameter, double value);
void statement_bind_text(struct statement *statement, int parameter, const char *text);
void statement_bind_bytes(struct statement *statement, int parameter, const void *bytes,
                          size_t length);
void statement_bind_null(struct statement *statement, int parameter);

/* The next row, or none. */
int statement_step(struct statement *statement, bool *row, struct error *error);
/* Steps to the end, where no rows are wanted. */
int statement_run(struct statement *statement, struct error *error);
/* Ready to be bound and stepped again. */
void statement_reset(struct statement *statement);

/* Columns count from 0. Text and bytes are the statement's, until its next
 * step; text is NULL for null. A number is NaN for null. */
int64_t statement_integer(struct statement *statement, int column);
double statement_number(struct statement *statement, int column);
const char *statement_text(struct statement *statement, int column);
const void *statement_bytes(struct statement *statement, int column, size_t *length);
bool statement_is_null(struct statement *statement, int column);
/* The text of a column into a place of fixed size, cut where it is longer; empty for
 * null. */
void statement_copy(struct statement *statement, int column, char *to, size_t size);

/* Rows on their way into one array. `take` fills one from the statement's row; what it
 * says stops the reading. */
struct gathered {
    size_t size; /* of one */
    int (*take)(struct statement *statement, void *one, const void *context, struct error *error);
    const void *context;
    void *list; /* the caller's to free, also after an error; then without the row that failed */
    size_t count;
    size_t room;
};

/* Steps a statement that is bound to its end. ERROR_MACHINE, and what `take` says. */
int statement_gather(struct statement *statement, struct gathered *rows, struct error *error);
/* For `take`: the first column as a string of its own, in an array of them. */
int statement_take_name(struct statement *statement, void *one, const void *context,
                        struct error *error);

/* Copies the book, as it is at one moment, to a new file while others use it,
 * and checks the copy from end to end. ERROR_INPUT for a file that is there,
 * which is not overwritten; after an error there is no new file. */
int book_backup(struct book *book, const char *path, struct error *error);

#endif
