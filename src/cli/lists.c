/* `lists`: named watchlists of the book. */
#include "book/instrument_store.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/table.h"
#include "work/series.h"

#include <stdlib.h>
#include <string.h>

static int show_all(struct call *call, struct book *book, struct error *error)
{
    static const struct column columns[] = {{"list", "list", COLUMN_TEXT, 0, ""},
                                            {"members", "instruments", COLUMN_INTEGER, 0, ""}};
    struct list_row *lists;
    struct table table;
    size_t count = 0;
    int code = list_store_all(book, &lists, &count, error);
    if (code == ERROR_NONE) {
        table_begin(&table, call, "lists", columns, 2);
        for (size_t i = 0; i < count; i++) {
            table_text(&table, lists[i].name);
            table_integer(&table, lists[i].members);
        }
        code = table_end(&table,
                         count > 0 ? NULL
                                   : "There are no lists yet; 'rushlight lists make NAME "
                                     "INSTRUMENT…' makes one.",
                         error);
    }
    free(lists);
    return code;
}

static int no_such_list(const char *name, struct error *error)
{
    return error_set(error, ERROR_INPUT, "there is no list '%s' in the book; 'lists' shows all",
                     name);
}

static int show_list(struct call *call, struct book *book, const char *name, struct error *error)
{
    static const struct column columns[] = {{"position", "", COLUMN_INTEGER, 0, ""},
                                            {"instrument", "instrument", COLUMN_TEXT, 0, ""}};
    char **members;
    struct table table;
    size_t count = 0;
    bool found = false;
    int code = list_store_members(book, name, &members, &count, &found, error);
    if (code == ERROR_NONE && !found)
        code = no_such_list(name, error);
    if (code == ERROR_NONE) {
        table_begin(&table, call, "members", columns, 2);
        for (size_t i = 0; i < count; i++) {
            table_integer(&table, (int64_t)i + 1);
            table_text(&table, members[i]);
        }
        code = table_end(&table, NULL, error);
    }
    words_free(members, count);
    return code;
}

static int find_list(struct book *book, const char *name, bool *found, struct error *error)
{
    char **members;
    size_t count = 0;
    int code = list_store_members(book, name, &members, &count, found, error);
    words_free(members, count);
    return code;
}

/* What is done with the instruments named, and the words about it. */
struct list_change {
    const char *word;
    int (*change)(struct book *book, const char *list, const char *const *instruments, size_t count,
                  struct error *error);
    bool makes;   /* refuses a list that is there */
    bool must_be; /* refuses one that is not */
};

static int change_members(struct call *call, struct book *book, const struct list_change *change,
                          struct error *error)
{
    const char *list = call->arguments[1];
    bool found = false;
    int code = find_list(book, list, &found, error);
    if (code == ERROR_NONE && found && change->makes)
        code = error_set(error, ERROR_INPUT, "there is a list '%s' already; 'lists add' adds to it",
                         list);
    if (code == ERROR_NONE && !found && change->must_be)
        code = no_such_list(list, error);
    if (code == ERROR_NONE && call->argument_count > 2)
        code = change->change(book, list, (const char *const *)(call->arguments + 2),
                              call->argument_count - 2, error);
    /* Without instruments the whole list goes. */
    if (code == ERROR_NONE && call->argument_count == 2)
        code = list_store_drop(book, list, error);
    return code;
}

static int change_list(struct call *call, struct book *book, const struct list_change *change,
                       struct error *error)
{
    const char *list = call->arguments[1];
    bool left = false;
    int code = book_begin(book, "changing a list", error);
    if (code != ERROR_NONE)
        return code;
    code = book_settle(book, change_members(call, book, change, error), error);
    if (code == ERROR_NONE)
        code = find_list(book, list, &left, error);
    if (code == ERROR_NONE && left)
        return show_list(call, book, list, error);
    if (code == ERROR_NONE)
        call_say(call, "the list '%s' is gone", list);
    return code;
}

static const struct list_change changes[] = {
    {"make", list_store_add_all, true, false},
    {"add", list_store_add_all, false, false},
    {"remove", list_store_remove_all, false, true},
    {NULL, NULL, false, false},
};

static int check_words(const struct call *call, const struct list_change *change,
                       struct error *error)
{
    size_t count = call->argument_count;
    const char *word = call->arguments[0];
    if (change->word == NULL && strcmp(word, "show") != 0)
        return error_set(error, ERROR_USAGE,
                         "lists: found '%s'; show, make, add or remove is "
                         "allowed",
                         word);
    if (change->word == NULL && count > 2)
        return error_set(error, ERROR_USAGE, "lists: show takes one list");
    if (change->word != NULL && count < 2)
        return error_set(error, ERROR_USAGE, "lists: %s needs the name of a list", word);
    if (change->word != NULL && count < 3 && !change->must_be)
        return error_set(error, ERROR_USAGE, "lists: %s needs instruments to put on '%s'", word,
                         call->arguments[1]);
    return ERROR_NONE;
}

int command_lists(struct call *call, struct error *error)
{
    struct book *book;
    const struct list_change *change = changes;
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
