/* Which columns of price files are what, kept in the book by the names of the
 * files: a pattern of the shell (POSIX, "Pattern matching notation": * ? [ ]) and
 * the text of prices/csv_wishes.h. */
#ifndef RUSHLIGHT_BOOK_COLUMNS_STORE_H
#define RUSHLIGHT_BOOK_COLUMNS_STORE_H

#include "prices/csv_wishes.h"
#include "store/book.h"

enum { COLUMNS_PATTERN_SIZE = 128 };

struct columns_row {
    char pattern[COLUMNS_PATTERN_SIZE];
    char columns[CSV_WISHES_SIZE];
};

/* Keeps the columns for files of such names, in place of what was kept for the
 * very same pattern. ERROR_USAGE for a pattern that is empty, too long, has a
 * control character, or names a folder. Inside a transaction. */
int columns_store_keep(struct book *book, const char *pattern, const char *columns,
                       struct error *error);
/* Inside a transaction; *found is false where nothing was kept for it. */
int columns_store_remove(struct book *book, const char *pattern, bool *found, struct error *error);
/* All, by pattern; the array is the caller's to free. */
int columns_store_list(struct book *book, struct columns_row **rows, size_t *count,
                       struct error *error);
/* What is kept for a file of this path, whose last part is what counts. Of several
 * patterns that fit, the longest. ERROR_INPUT where two of one length fit and say
 * different columns. */
int columns_store_find(struct book *book, const char *path, struct columns_row *row, bool *found,
                       struct error *error);

#endif
