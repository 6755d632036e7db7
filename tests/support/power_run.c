#include "power_run.h"

#include "base/text.h"

#include <sqlite3.h>
#include <stdlib.h>
#include <string.h>

static int append_row(void *context, int columns, char **values, char **names)
{
    (void)names;
    for (int i = 0; i < columns; i++) {
        text_append(context, values[i] != NULL ? values[i] : "null");
        text_append_char(context, '|');
    }
    text_append_char(context, '\n');
    return 0;
}

/* Everything in the book as text, the caller's to free; NULL with the failure
 * where it is damaged. */
static char *read_all(struct power_run *run, struct book *book)
{
    static const char *const questions[] =
        {"SELECT * FROM instrument ORDER BY id",
         "SELECT * FROM series ORDER BY id",
         "SELECT id, series, first, last, count, hex(data) FROM chunk ORDER BY series, first",
         "SELECT * FROM source ORDER BY id",
         "SELECT * FROM set_aside ORDER BY source, line",
         "SELECT * FROM revision ORDER BY id",
         "SELECT * FROM watchlist ORDER BY id",
         "SELECT * FROM watchlist_member ORDER BY watchlist, position",
         "SELECT * FROM event ORDER BY id",
         "SELECT * FROM tick ORDER BY instrument, since",
         "PRAGMA foreign_key_check",
         "PRAGMA integrity_check"};
    struct text text;
    text_init(&text);
    for (size_t i = 0; i < sizeof questions / sizeof questions[0]; i++) {
        if (sqlite3_exec(book_handle(book), questions[i], append_row, &text, NULL) == SQLITE_OK)
            continue;
        error_set(&run->failure, ERROR_MACHINE, "%s: %s", questions[i],
                  sqlite3_errmsg(book_handle(book)));
        text_free(&text);
        return NULL;
    }
    if (text_failed(&text) || text.length < 4 ||
        strcmp(text.bytes + text.length - 4, "ok|\n") != 0) {
        error_set(&run->failure, ERROR_MACHINE, "the book is damaged: %s",
                  text.length < 300 ? text.bytes : text.bytes + text.length - 300);
        text_free(&text);
        return NULL;
    }
    return text_take(&text);
}

static bool failed(struct power_run *run, const char *what, const struct error *error)
{
    error_set(&run->failure, ERROR_MACHINE, "%s: %s", what, error->text);
    return false;
}

bool power_run_learn(struct power_run *run)
{
    struct book *book;
    struct error error;
    power_vfs_begin();
    power_vfs_clear();
    if (book_open(&book, POWER_BOOK, run->fill ? BOOK_FILL : BOOK_WRITE, 0, &error) != ERROR_NONE)
        return failed(run, "opening", &error);
    bool right = (run->states[0] = read_all(run, book)) != NULL;
    for (int i = 0; right && i < run->count; i++) {
        if (run->step(book, i, &error) != ERROR_NONE)
            right = failed(run, "a step", &error);
        if (right && (run->states[i + 1] = read_all(run, book)) == NULL)
            right = false;
        if (right && strcmp(run->states[i], run->states[i + 1]) == 0) {
            error_set(&run->failure, ERROR_MACHINE, "step %d changes nothing", i);
            right = false;
        }
    }
    book_close(book, &error);
    run->writes = power_vfs_count();
    return right;
}

void power_run_forget(struct power_run *run)
{
    power_vfs_clear();
    for (int i = 0; i <= POWER_MOST_STEPS; i++) {
        free(run->states[i]);
        run->states[i] = NULL;
    }
}

/* Does the steps until one fails. Returns how many were said to be kept, -1 where
 * the book could not even be opened; `error` is of the one that failed. */
static int do_steps(const struct power_run *run, struct error *error)
{
    struct book *book;
    struct error closing;
    int kept = 0;
    *error = (struct error){0};
    if (book_open(&book, POWER_BOOK, run->fill ? BOOK_FILL : BOOK_WRITE, 0, error) != ERROR_NONE)
        return -1;
    while (kept < run->count && run->step(book, kept, error) == ERROR_NONE)
        kept++;
    book_close(book, &closing);
    return kept;
}

/* Whether the book may be in the state it is in after `kept` steps. */
static bool judge(struct power_run *run, int kept, const char *said)
{
    struct book *book;
    struct error error;
    int least = kept > 0 ? kept : 0;
    bool surely_not = strstr(said, "nothing of it was kept") != NULL;
    if (book_open(&book, POWER_BOOK, BOOK_WRITE, 0, &error) != ERROR_NONE)
        return failed(run, "opening again", &error);
    char *now = read_all(run, book);
    book_close(book, &error);
    if (now == NULL)
        return false;
    bool right = strcmp(now, run->states[least]) == 0;
    bool next = kept >= 0 && kept < run->count && strcmp(now, run->states[least + 1]) == 0;
    free(now);
    if (right || (next && !surely_not))
        return true;
    error_set(&run->failure, ERROR_MACHINE, "%d steps were kept, then '%s', and the book %s", kept,
              said, next ? "has the next one, too" : "is in none of the states it may be in");
    return false;
}

/* A failure is said with the book's name and what it means; a book without
 * power may say anything. */
static bool is_clear(struct power_run *run, int kept, const struct error *error)
{
    const char *name = strstr(error->text, POWER_BOOK ": ");
    if (kept == run->count || (name != NULL && strstr(name, "the disk ") != NULL))
        return true;
    return failed(run, "not clear", error);
}

/* Of many places every n-th, so that the test does not grow with the book. The
 * sanitizers take thirty times as long. */
#ifdef __SANITIZE_ADDRESS__
enum { MOST_PLACES = 60 };
#else
enum { MOST_PLACES = 500 };
#endif

bool power_run_survives(struct power_run *run, enum power_trouble trouble, int seeds)
{
    static const char *const names[] = {[POWER_GOOD] = "nothing",
                                        [POWER_CUT] = "power cut",
                                        [POWER_FULL_ONCE] = "one failure",
                                        [POWER_FULL] = "full disk"};
    long step = run->every ? 1 : run->writes / MOST_PLACES + 1;
    for (long nth = 1; nth <= run->writes; nth += step) {
        for (int seed = 1; seed <= seeds; seed++) {
            struct error error;
            power_vfs_clear();
            power_vfs_arm(trouble, nth);
            int kept = do_steps(run, &error);
            if (trouble == POWER_CUT)
                power_vfs_restore((uint64_t)seed * 1000003 + (uint64_t)nth);
            else
                power_vfs_arm(POWER_GOOD, 0);
            if ((trouble == POWER_CUT || is_clear(run, kept, &error)) &&
                judge(run, kept, error.text))
                continue;
            error_context(&run->failure, "%s at write %ld, seed %d", names[trouble], nth, seed);
            return false;
        }
    }
    return true;
}
