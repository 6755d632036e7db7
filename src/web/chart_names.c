#define _POSIX_C_SOURCE 200809L /* strncasecmp */
#include "web/chart_names.h"

#include "book/place_store.h"
#include "web/sheets.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

void names_free(char **names, size_t count)
{
    for (size_t i = 0; i < count; i++)
        free(names[i]);
    free(names);
}

int names_all(struct book *book, char ***names, size_t *count, struct error *error)
{
    int64_t matching = 0;
    return place_store_names(book, NULL, 0, INT64_MAX, names, count, &matching, error);
}

/* --- by what is typed ---------------------------------------------------------------------------- */

static bool holds(const char *name, const char *typed, bool begins)
{
    size_t length = strlen(typed);
    for (const char *from = name; *from != '\0'; from++) {
        if (strncasecmp(from, typed, length) == 0)
            return true;
        if (begins)
            break;
    }
    return false;
}

static int choose(char *const *names, size_t count, const char *typed, bool begins,
                  char name[INSTRUMENT_NAME_SIZE], struct error *error)
{
    enum { NAMED = 6 };
    struct text some;
    size_t found = 0;
    text_init(&some);
    for (size_t i = 0; i < count; i++) {
        if (!holds(names[i], typed, begins))
            continue;
        if (found++ == 0)
            snprintf(name, INSTRUMENT_NAME_SIZE, "%s", names[i]);
        if (found <= NAMED)
            text_append_format(&some, "%s%s", found > 1 ? ", " : "", names[i]);
    }
    int code = ERROR_NONE;
    if (found > 1)
        code = error_set(error, ERROR_INPUT, "%.60s may be any of %zu instruments: %s%s", typed,
                         found, some.bytes, found > NAMED ? " and others" : "");
    text_free(&some);
    if (found == 0)
        name[0] = '\0';
    return code;
}

int chart_name_meant(struct work *work, const char *typed, char name[INSTRUMENT_NAME_SIZE],
                     struct error *error)
{
    struct book *book = NULL;
    struct instrument same;
    char **names = NULL;
    size_t count = 0;
    bool found = false;
    int code = work_borrow(work, &book, error);
    name[0] = '\0';
    if (code == ERROR_NONE)
        code = instrument_store_find(book, typed, &same, &found, error);
    if (code == ERROR_NONE && found)
        snprintf(name, INSTRUMENT_NAME_SIZE, "%s", typed);
    if (code == ERROR_NONE && !found)
        code = names_all(book, &names, &count, error);
    work_return(work, book);
    if (code == ERROR_NONE && name[0] == '\0')
        code = choose(names, count, typed, true, name, error);
    if (code == ERROR_NONE && name[0] == '\0')
        code = choose(names, count, typed, false, name, error);
    if (code == ERROR_NONE && name[0] == '\0')
        code = error_set(error, ERROR_INPUT, "there is no instrument of the name %.60s in the book",
                         typed);
    names_free(names, count);
    return code;
}

/* Names for what is being typed: those that begin with it, then those that hold
 * it. */
int part_names(struct page *page, struct exchange *exchange, struct error *error)
{
    enum { MOST_NAMES = 12 };
    const char *typed = exchange_filled(exchange, "typed");
    struct book *book = NULL;
    char **names = NULL;
    size_t count = 0;
    size_t put = 0;
    int code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = names_all(book, &names, &count, error);
    exchange->type = "application/json";
    text_append_char(&exchange->body, '[');
    for (int begins = 1; typed != NULL && begins >= 0; begins--)
        for (size_t i = 0; i < count && put < MOST_NAMES; i++) {
            if (!holds(names[i], typed, begins == 1) ||
                (begins == 0 && holds(names[i], typed, true)))
                continue;
            text_append(&exchange->body, put++ > 0 ? "," : "");
            text_append_json(&exchange->body, names[i]);
        }
    text_append_char(&exchange->body, ']');
    names_free(names, count);
    return book_done(book, code, error);
}
