/* `watchlists`: watchlists of the book. */
#include "answer/book_rows.h"
#include "book/list_store.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/table.h"
#include "work/book_files.h"
#include "work/series.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

static int show_all(struct call *call, struct book *book, struct error *error)
{
    struct list_row *lists;
    struct table table;
    struct text closing;
    size_t count = 0;
    int code = list_store_all(book, &lists, &count, error);
    if (code == ERROR_NONE) {
        listing_begin(&table, call, &lists_listing);
        for (size_t i = 0; i < count; i++)
            list_put(&table, &lists[i]);
        text_init(&closing);
        text_append_format(&closing,
                           "%s; 'rushlight watchlists make NAME INSTRUMENT\xE2\x80\xA6' makes one.",
                           lists_listing.empty);
        code = count > 0 ? table_end(&table, NULL, error) : table_end_text(&table, &closing, error);
        text_free(&closing);
    }
    free(lists);
    return code;
}

static int show_list(struct call *call, struct book *book, const char *name, struct error *error)
{
    char **members;
    struct table table;
    size_t count = 0;
    bool found = false;
    int code = list_store_members(book, name, &members, &count, &found, error);
    if (code == ERROR_NONE && !found)
        code = error_because(error, ERROR_INPUT, ERROR_REASON_NO_LIST,
                             "there is no watchlist '%s' in the book", name);
    if (code == ERROR_NONE) {
        listing_begin(&table, call, &members_listing);
        for (size_t i = 0; i < count; i++)
            member_put(&table, i + 1, members[i]);
        code = listing_end(&table, &members_listing, code, error);
    }
    words_free(members, count);
    return code;
}

/* What is done with the instruments named, by its word. */
struct list_word {
    const char *word; /* NULL ends the table */
    enum list_change change;
};

static const struct list_word list_words[] = {
    {"make", LIST_MAKE},
    {"add", LIST_ADD},
    {"remove", LIST_REMOVE},
    {NULL, LIST_ADD},
};

static int change_list(struct call *call, struct book *book, const struct list_word *word,
                       struct error *error)
{
    const char *list = call->arguments[1];
    bool left = false;
    int code = list_alter(book, word->change, list, (const char *const *)(call->arguments + 2),
                          call->argument_count - 2, (int64_t)time(NULL), &left, error);
    if (code == ERROR_NONE && left)
        return show_list(call, book, list, error);
    if (code == ERROR_NONE)
        call_say(call, "the watchlist '%s' is gone", list);
    return code;
}

static int check_words(const struct call *call, const struct list_word *change, struct error *error)
{
    size_t count = call->argument_count;
    const char *word = call->arguments[0];
    if (change->word == NULL && strcmp(word, "show") != 0)
        return error_set(error, ERROR_USAGE,
                         "watchlists: found '%s'; show, make, add or remove is "
                         "allowed",
                         word);
    if (change->word == NULL && count > 2)
        return error_set(error, ERROR_USAGE, "watchlists: show takes one watchlist");
    if (change->word != NULL && count < 2)
        return error_set(error, ERROR_USAGE, "watchlists: %s needs the name of a watchlist", word);
    if (change->word != NULL && count < 3 && change->change != LIST_REMOVE)
        return error_set(error, ERROR_USAGE, "watchlists: %s needs instruments to put on '%s'",
                         word, call->arguments[1]);
    return ERROR_NONE;
}

int command_watchlists(struct call *call, struct error *error)
{
    struct book *book;
    const struct list_word *change = list_words;
    size_t count = call->argument_count;
    while (change->word != NULL && (count == 0 || strcmp(change->word, call->arguments[0]) != 0))
        change++;
    int code = count > 0 ? check_words(call, change, error) : ERROR_NONE;
    if (code != ERROR_NONE)
        return code;
    code = book_of_call(call, change->word != NULL ? BOOK_WRITE : BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = change->word != NULL ? change_list(call, book, change, error)
               : count < 2          ? show_all(call, book, error)
                                    : show_list(call, book, call->arguments[1], error);
    return book_done(book, code, error);
}
