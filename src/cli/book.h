/* The book that a command works on. */
#ifndef RUSHLIGHT_CLI_BOOK_H
#define RUSHLIGHT_CLI_BOOK_H

#include "cli/command.h"
#include "store/book.h"

/* Opens the call's book, waiting up to 10 s for another process. ERROR_USAGE
 * where none is known. Close it with book_done. */
int book_of_call(struct call *call, enum book_mode mode, struct book **book, struct error *error);

/* The book in the user's data folder, the caller's to free; NULL where no home
 * is known. ERROR_MACHINE without memory. */
int book_default_path(char **path, struct error *error);

#endif
