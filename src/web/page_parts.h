/* What the sheets are made with. Private to the layer. */
#ifndef RUSHLIGHT_WEB_PAGE_PARTS_H
#define RUSHLIGHT_WEB_PAGE_PARTS_H

#include "web/jobs.h"
#include "web/page.h"

#include "base/calendar.h"
#include "base/number.h"
#include "base/reading.h"
#include "book/instrument_store.h"
#include "book/list_store.h"
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

/* Long work of one kind waits for its own kind only. */
enum page_queue {
    QUEUE_STUDIES,
    QUEUE_CHECKS, /* whether the bars of an answer are still the same */
    QUEUE_MARKET, /* the invented market being made */
    QUEUE_COUNT
};

enum { CHECKED = 64, STAMP_SIZE = 128 };

/* What was found, in one state of the book, of the bars of an answer. */
struct checked {
    int64_t answer; /* 0: none */
    char stamp[STAMP_SIZE];
    char *words; /* "": they are the same; NULL: they are being looked at */
};

struct page {
    struct page_options options;
    struct known_book *book;
    struct book_shelf *shelf;           /* of the book, open to be read */
    struct face_file faces[PAGE_FACES]; /* regular, bold, italic; none: size 0 */
    struct text inks;                   /* the style sheet of the figures */
    char own[32];                       /* where these and the assets stand: "/own/MARK/" */
    pthread_mutex_t held_lock;          /* of what follows, had while it is worked on */
    struct held held;                   /* instruments that a setup is tried on */
    pthread_mutex_t jobs_lock;          /* of what follows, had for a moment only */
    struct jobs *queues[QUEUE_COUNT];   /* NULL: nothing of that was asked for yet */
    struct checked checked[CHECKED];    /* answers whose bars were looked at */
    size_t next_checked;
    struct kept_typesetters *typesetters;
    struct today_kept *today; /* what Today found last (today.h) */
};

/* The sheets of the top line, in its order. */
enum sheet_kind {
    SHEET_TODAY,
    SHEET_CHARTS,
    SHEET_SETUPS,
    SHEET_EVIDENCE,
    SHEET_DATA,
    SHEET_COUNT
};

/* --- long work (page_jobs.c, job_sheet.c) ---------------------------------------------- */

/* The queue of such work, made when it is first asked for. ERROR_MACHINE. */
int page_jobs(struct page *page, enum page_queue queue, struct jobs **jobs, struct error *error);

/* Where a queue has its sheets, and its words for what it does. */
struct job_place {
    enum page_queue queue;
    enum sheet_kind sheet;
    const char *path; /* of the sheet that a job is one of */
    const char *part; /* its jobs, as JSON */
    const char *stop; /* the change that stops one */
    const char *left; /* "of the work": behind "About 40 s" */
    const char *ending;
    const char *leave; /* that one may leave the sheet */
    const char *back;  /* words of the link back */
    const char *gone;  /* there is none of that number */
};
extern const struct job_place study_place;
extern const struct job_place market_place;

/* What a job does now, in a sentence: "About 40 s left." */
void job_say(struct text *text, const struct job_place *place, const struct job_seen *seen);
/* The sheet of one; nothing is written of one that is done. ERROR_INPUT where there is
 * none of that number. */
int job_sheet(struct page *page, struct exchange *exchange, const struct job_place *place,
              int64_t id, struct job_seen *seen, struct error *error);
/* All of a queue as JSON, and the change that stops one. */
int jobs_part(struct page *page, struct exchange *exchange, const struct job_place *place,
              struct error *error);
int job_stop(struct page *page, struct exchange *exchange, const struct job_place *place,
             struct error *error);
/* On to the sheet of one that was just asked for. */
int job_go(struct exchange *exchange, const struct job_place *place, int64_t id,
           struct error *error);

/* A way through the page: an address and what answers it. */
struct route {
    const char *path;
    bool is_change; /* POST; else GET */
    int (*answer)(struct page *page, struct exchange *exchange, struct error *error);
    bool of_past; /* a change that a past date takes too: of the ledger and the seal, which are
                   * never turned back */
};

/* --- what draws letters (page_typesetters.c) ------------------------------------------- */

struct typesetter;

int page_typesetters_new(struct kept_typesetters **made, struct error *error);
void page_typesetters_free(struct kept_typesetters *kept);
/* One to draw with, the caller's until it is given back; NULL after an error, and
 * nothing then to give back. ERROR_MACHINE. Any thread. */
int page_typesetter(const struct page *page, struct typesetter **typesetter, struct error *error);
void page_typesetter_done(const struct page *page, struct typesetter *typesetter);

/* --- the frame of a sheet (frame.c) --------------------------------------------------- */

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
/* The same of a field that has to be filled: the first option, without a value, says so. */
void form_choice_needed(struct html *html, const char *words, const char *name,
                        const char *missing);
void form_option(struct html *html, const char *value, const char *words, const char *chosen);
void form_choice_end(struct html *html);
/* The whole book or one of its watchlists, as the field `list`. */
void form_choose_list(struct html *html, const char *words, const struct list_row *lists,
                      size_t count, const char *chosen);
/* A label with the field of a file of rows, which must be chosen. */
void form_file(struct html *html, const char *words);
/* A button with its key behind it (NULL: none). `kind` is a class: "next",
 * "slight", or NULL. */
void form_button(struct html *html, const char *kind, const char *words, const char *key);

/* A word of the glossary where it stands: its module opens the explanation beside it,
 * without one it leads to the sheet of words (words_sheet.c). */
void word_write(struct html *html, const struct exchange *exchange, const char *term,
                const char *shown);

/* --- the program's own files (page_own.c) ------------------------------------------------- */

/* Marks them all, once inks and faces are there. */
void page_mark_own(struct page *page);
/* Begins the address of one. */
void page_own_address(const struct page *page, const char *name, struct text *address);
/* Answers with one; false: the address is none of theirs. */
bool page_answer_own(const struct page *page, struct exchange *exchange);

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
/* What tells one state of the book from another: each commit writes to the file or to
 * the log beside it. */
void page_stamp(const struct page *page, char stamp[STAMP_SIZE]);
/* What Today found, none yet. ERROR_MACHINE. */
int today_kept_new(struct today_kept **kept, struct page *page, struct error *error);
/* Stops what is under way. */
void today_kept_free(struct today_kept *kept);
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
