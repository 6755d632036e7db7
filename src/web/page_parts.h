/* What the sheets are made with. Private to the layer. */
#ifndef RUSHLIGHT_WEB_PAGE_PARTS_H
#define RUSHLIGHT_WEB_PAGE_PARTS_H

#include "web/jobs.h"
#include "web/page.h"

#include "base/calendar.h"
#include "base/number.h"
#include "base/reading.h"
#include "book/instrument_store.h"
#include "store/book.h"
#include "work/held.h"

#include <pthread.h>
#include <sys/types.h>

enum { PAGE_FACES = 3 };

/* The letters of the page, cut down to what sheets are written in. */
struct face_file {
    char *bytes;
    size_t size;
};

/* The file that the page was opened on. What is on a person's screen came from
 * it: another file in its place is no more theirs than none, and a change meant
 * for the one must not get into the other. */
struct known_book {
    pthread_mutex_t lock;
    bool known; /* it has been there */
    dev_t device;
    ino_t number;
};

struct page {
    struct page_options options;
    struct known_book *book;
    struct face_file faces[PAGE_FACES]; /* regular, bold, italic; none: size 0 */
    struct text inks;                   /* the style sheet of the figures */
    pthread_mutex_t held_lock;          /* of what follows, had while it is worked on */
    struct held held;                   /* instruments that a setup is tried on */
    pthread_mutex_t jobs_lock;          /* of what follows, had for a moment only */
    struct jobs *jobs;                  /* studies under way; NULL: none was asked for yet */
};

/* A way through the page: an address and what answers it. */
struct route {
    const char *path;
    bool is_change; /* POST; else GET */
    int (*answer)(struct page *page, struct exchange *exchange, struct error *error);
    bool of_past; /* a change that a past date takes too: of the ledger and the seal, which are
                   * never turned back */
};

/* --- the frame of a sheet (frame.c) --------------------------------------------------- */

/* The sheets of the top line, in its order. */
enum sheet_kind {
    SHEET_TODAY,
    SHEET_CHARTS,
    SHEET_SETUPS,
    SHEET_EVIDENCE,
    SHEET_DATA,
    SHEET_COUNT
};

struct sheet_head {
    enum sheet_kind kind; /* SHEET_COUNT: none of them */
    const char *title;    /* its heading, and the window's */
    const char *says;     /* the sentence that says what it says; NULL: none */
    const char *module;   /* of /own/ to load; NULL: none but the page's own */
};

/* Writes all that stands above a sheet, down to its sentence, and leaves main
 * open; and all below it. */
void frame_begin(struct html *html, const struct page *page, const struct exchange *exchange,
                 const struct sheet_head *head);
void frame_end(struct html *html, const struct exchange *exchange);

/* A form of one button that makes a change: opens it with the token, for more
 * fields to be added; the caller closes it. */
void form_begin(struct html *html, const struct exchange *exchange, const char *action);
void form_hidden(struct html *html, const char *name, const char *value);
/* One of several behind its words: opened, its entries put, closed. The entry whose
 * value is `chosen` (NULL: none) is the chosen one. */
void form_choice_begin(struct html *html, const char *words, const char *name);
void form_option(struct html *html, const char *value, const char *words, const char *chosen);
void form_choice_end(struct html *html);
/* The whole book or one of its watchlists, as the field `list`. */
void form_choose_list(struct html *html, const char *words, const struct list_row *lists,
                      size_t count, const char *chosen);
/* A button with its key behind it (NULL: none). `kind` is a class: "next",
 * "slight", or NULL. */
void form_button(struct html *html, const char *kind, const char *words, const char *key);

/* --- addresses (address.c) ------------------------------------------------------------- */

/* Begins an address on a path; adds name=value where value is not NULL. */
void address_begin(struct text *address, const char *path);
void address_add(struct text *address, const char *name, const char *value);
void address_add_integer(struct text *address, const char *name, int64_t value);
/* Adds the date that everything is read as of, where the request has one. */
void address_keep_as_of(struct text *address, const struct exchange *exchange);

/* That date, at 00:00 UTC; INT64_MAX where the request has none. ERROR_USAGE for
 * what is no date. */
int page_as_of(const struct exchange *exchange, int64_t *as_of, struct error *error);
/* The last second of that date, UTC; INT64_MAX of none. */
int64_t page_as_of_end(int64_t as_of);
/* Whether changes are offered: not where the book is for reading only, and not where
 * a past date is shown. */
bool page_may_change(const struct page *page, const struct exchange *exchange);

/* --- the book (page_book.c) --------------------------------------------------------------- */

/* Opens the book for one request: for reading, or for a change. *book is NULL
 * without an error where there is none to read yet. ERROR_INPUT where the book
 * that was there has gone, or another file has its place: nothing is read, made
 * or changed then until the server is started again. Close with book_done. */
int page_book(const struct page *page, enum book_mode mode, struct book **book,
              struct error *error);
/* The same look at the file for what opens it by itself; *there: a file stands at
 * the path. One that is seen for the first time is the book from now on. */
int page_same_book(const struct page *page, bool *there, struct error *error);
/* Known from now on, where it is there already. ERROR_MACHINE. */
int known_book_new(struct known_book **known, const char *path, struct error *error);
void known_book_free(struct known_book *known);
/* A message about a file handed over names it as the person does. */
void page_clean_error(struct error *error, const char *path, const char *name);

/* "1 Nov 2024", "Fri 1 Nov 2024", with the time of day for moments that are no
 * dates; of a date or UTC time. */
void page_date(char text[CALENDAR_TEXT_SIZE], int64_t time, bool date_only);
void page_day(char text[CALENDAR_TEXT_SIZE], int64_t time);
/* "Friday 1 November 2024". */
void page_long_day(char text[CALENDAR_TEXT_SIZE], int64_t time);
/* Thousands parted by a narrow space. */
void page_count(struct html *html, int64_t count);
/* A tick, a cross, or a stroke for what cannot be told. */
void page_write_truth(struct html *html, enum truth truth);

#endif
