/* The words for instruments that a work is about. */
#include "base/array.h"
#include "book/instrument_store.h"
#include "work/as_of.h"
#include "work/series.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct gathering {
    char **words;
    size_t count;
    size_t room;
};

static int add_word(struct gathering *gathering, const char *word, struct error *error)
{
    return strings_add(&gathering->words, &gathering->count, &gathering->room, word)
               ? ERROR_NONE
               : error_memory(error);
}

/* The members of a list; `found` says whether there is such a one. */
static int add_members(struct work *work, const char *list, struct gathering *gathering,
                       bool *found, struct error *error)
{
    struct book *book = NULL;
    char **members = NULL;
    size_t count = 0;
    int code = work_borrow(work, &book, error);
    if (code == ERROR_NONE)
        code = as_of_members(work_wishes(work), book, list, &members, &count, found, error);
    for (size_t i = 0; code == ERROR_NONE && i < count; i++)
        code = add_word(gathering, members[i], error);
    words_free(members, count);
    work_return(work, book);
    return code;
}

static int compare_words(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

/* Leaves out what a further list names again; `before` words stood already. They
 * are looked up in a sorted copy: lists of ten thousand are usual. */
static int drop_repeated(struct gathering *gathering, size_t before, struct error *error)
{
    size_t kept = before;
    if (before == 0 || before == gathering->count)
        return ERROR_NONE;
    char **sorted = array_new(before, sizeof *sorted);
    if (sorted == NULL)
        return error_memory(error);
    memcpy(sorted, gathering->words, before * sizeof *sorted);
    qsort(sorted, before, sizeof *sorted, compare_words);
    for (size_t i = before; i < gathering->count; i++) {
        char *word = gathering->words[i];
        if (bsearch(&word, sorted, before, sizeof *sorted, compare_words) != NULL)
            free(word);
        else
            gathering->words[kept++] = word;
    }
    gathering->count = kept;
    free(sorted);
    return ERROR_NONE;
}

/* A list, or several with commas between, each member once. A list that has a
 * comma in its own name goes before. */
static int add_lists(struct work *work, const char *lists, struct gathering *gathering,
                     struct error *error)
{
    bool found = false;
    int code = add_members(work, lists, gathering, &found, error);
    if (code != ERROR_NONE || found)
        return code;
    for (const char *at = lists; code == ERROR_NONE && at != NULL;) {
        char name[INSTRUMENT_NAME_SIZE];
        size_t length = strcspn(at, ",");
        size_t before = gathering->count;
        snprintf(name, sizeof name, "%.*s", (int)length, at);
        code = add_members(work, name, gathering, &found, error);
        if (code == ERROR_NONE && !found)
            code = error_because(error, ERROR_INPUT, ERROR_REASON_NO_LIST,
                                 "there is no watchlist '%s' in the book%s", name,
                                 as_of_wished(work_wishes(work)) ? " by that date" : "");
        if (code == ERROR_NONE)
            code = drop_repeated(gathering, before, error);
        at = at[length] == ',' ? at + length + 1 : NULL;
    }
    return code;
}

static int add_all(struct work *work, struct gathering *gathering, struct error *error)
{
    struct book *book = NULL;
    struct instrument *all = NULL;
    size_t count = 0;
    int code = work_borrow(work, &book, error);
    if (code == ERROR_NONE)
        code = instrument_store_all(book, &all, &count, error);
    for (size_t i = 0; code == ERROR_NONE && i < count; i++)
        code = add_word(gathering, all[i].name, error);
    free(all);
    work_return(work, book);
    return code;
}

/* Hands over what was gathered, or frees it after an error. */
static int give(struct gathering *gathering, int code, char ***words, size_t *count)
{
    if (code != ERROR_NONE) {
        words_free(gathering->words, gathering->count);
        *gathering = (struct gathering){0};
    }
    *words = gathering->words;
    *count = gathering->count;
    return code;
}

int series_words(struct work *work, size_t first, char ***words, size_t *count, struct error *error)
{
    const struct wishes *wishes = work_wishes(work);
    struct gathering gathering = {0};
    int code = ERROR_NONE;
    if (wishes->word_count <= first && wishes->list == NULL && wishes->everything)
        return series_all_words(work, words, count, error);
    if (wishes->word_count <= first && wishes->list == NULL)
        code = error_because(error, ERROR_USAGE, ERROR_REASON_NO_INSTRUMENT,
                             "name an instrument, or a list");
    for (size_t i = first; code == ERROR_NONE && i < wishes->word_count; i++)
        code = add_word(&gathering, wishes->words[i], error);
    if (code == ERROR_NONE && wishes->list != NULL)
        code = add_lists(work, wishes->list, &gathering, error);
    return give(&gathering, code, words, count);
}

int series_all_words(struct work *work, char ***words, size_t *count, struct error *error)
{
    struct gathering gathering = {0};
    return give(&gathering, add_all(work, &gathering, error), words, count);
}

void words_free(char **words, size_t count)
{
    for (size_t i = 0; words != NULL && i < count; i++)
        free(words[i]);
    free(words);
}
