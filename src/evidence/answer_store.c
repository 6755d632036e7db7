#include "evidence/answer_store.h"

#include "base/array.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const kinds[] = {
    [ANSWER_STUDY] = "study",
    [ANSWER_COMPARISON] = "comparison",
    [ANSWER_SENSITIVITY] = "sensitivity",
    [ANSWER_FORWARD] = "forward",
};

enum { KINDS = sizeof kinds / sizeof kinds[0] };

#define COLUMNS                                                                                    \
    "id, made, kind, setup, against, list, setup_hash, against_hash, data_hash, until, seed, "     \
    "resamples, trades, mean_r, low, high, opening, numbers, markets, next"

int answer_store_add(struct book *book, const struct kept_answer *answer, int64_t *id,
                     struct error *error)
{
    struct statement statement;
    int code = statement_prepare(&statement, book,
                                 "INSERT INTO answer(made, kind, setup, against, list, setup_hash, "
                                 "against_hash, data_hash, until, seed, resamples, trades, mean_r, "
                                 "low, high, opening, body, numbers, markets, next) VALUES(?1, ?2, "
                                 "?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, "
                                 "?17, ?18, ?19, ?20)",
                                 error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, answer->made);
        statement_bind_text(&statement, 2, kinds[answer->kind]);
        statement_bind_text(&statement, 3, answer->setup);
        statement_bind_text(&statement, 4, answer->against);
        statement_bind_text(&statement, 5, answer->list);
        statement_bind_text(&statement, 6, answer->setup_hash);
        statement_bind_text(&statement, 7, answer->against_hash);
        statement_bind_text(&statement, 8, answer->data_hash);
        if (answer->until == INT64_MAX)
            statement_bind_null(&statement, 9);
        else
            statement_bind_integer(&statement, 9, answer->until);
        statement_bind_integer(&statement, 10, answer->seed);
        statement_bind_integer(&statement, 11, answer->resamples);
        statement_bind_integer(&statement, 12, answer->trades);
        statement_bind_number(&statement, 13, answer->mean_r);
        statement_bind_number(&statement, 14, answer->low);
        statement_bind_number(&statement, 15, answer->high);
        statement_bind_text(&statement, 16, answer->opening);
        statement_bind_text(&statement, 17, answer->body);
        statement_bind_text(&statement, 18, answer->numbers);
        statement_bind_integer(&statement, 19, answer->markets);
        statement_bind_integer(&statement, 20, answer->next);
        code = statement_run(&statement, error);
    }
    statement_finish(&statement);
    if (code == ERROR_NONE)
        *id = book_last_row(book);
    return code;
}

static bool take_hash(char hash[HASH_TEXT_SIZE], struct statement *statement, int column)
{
    const char *text = statement_text(statement, column);
    snprintf(hash, HASH_TEXT_SIZE, "%s", text != NULL ? text : "");
    return text != NULL;
}

static bool take_text(char **text, struct statement *statement, int column)
{
    const char *found = statement_text(statement, column);
    *text = found != NULL ? string_copy(found) : NULL;
    return *text != NULL;
}

static int take(struct kept_answer *answer, struct statement *statement, bool whole,
                struct error *error)
{
    const char *kind = statement_text(statement, 2);
    *answer = (struct kept_answer){.id = statement_integer(statement, 0),
                                   .made = statement_integer(statement, 1),
                                   .until = statement_is_null(statement, 9)
                                                ? INT64_MAX
                                                : statement_integer(statement, 9),
                                   .seed = statement_integer(statement, 10),
                                   .resamples = statement_integer(statement, 11),
                                   .trades = statement_integer(statement, 12),
                                   .mean_r = statement_number(statement, 13),
                                   .low = statement_number(statement, 14),
                                   .high = statement_number(statement, 15),
                                   .markets = statement_integer(statement, 18),
                                   .next = statement_integer(statement, 19)};
    for (int k = 0; kind != NULL && k < KINDS; k++)
        if (strcmp(kinds[k], kind) == 0)
            answer->kind = (enum answer_kind)k;
    bool taken = kind != NULL && take_hash(answer->setup_hash, statement, 6) &&
                 take_hash(answer->against_hash, statement, 7) &&
                 take_hash(answer->data_hash, statement, 8) &&
                 take_text(&answer->setup, statement, 3) &&
                 take_text(&answer->against, statement, 4) &&
                 take_text(&answer->list, statement, 5) &&
                 take_text(&answer->opening, statement, 16) &&
                 take_text(&answer->numbers, statement, 17) &&
                 (!whole || take_text(&answer->body, statement, 20));
    return taken ? ERROR_NONE : error_memory(error);
}

int answer_store_find(struct book *book, int64_t id, struct kept_answer *answer, bool *found,
                      struct error *error)
{
    struct statement statement;
    *answer = (struct kept_answer){0};
    *found = false;
    int code = statement_prepare(&statement, book,
                                 "SELECT " COLUMNS ", body FROM answer WHERE id = ?1", error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, id);
        code = statement_step(&statement, found, error);
    }
    if (code == ERROR_NONE && *found)
        code = take(answer, &statement, true, error);
    statement_finish(&statement);
    return code;
}

int answer_store_all(struct book *book, struct kept_answer **list, size_t *count,
                     struct error *error)
{
    struct statement statement;
    size_t room = 0;
    bool row = false;
    *list = NULL;
    *count = 0;
    int code = statement_prepare(&statement, book,
                                 "SELECT " COLUMNS " FROM answer ORDER BY id DESC", error);
    while (code == ERROR_NONE && (code = statement_step(&statement, &row, error)) == ERROR_NONE &&
           row) {
        struct kept_answer *grown = array_reserve(*list, &room, *count + 1, sizeof *grown);
        if (grown == NULL) {
            code = error_memory(error);
            break;
        }
        *list = grown;
        code = take(&grown[(*count)++], &statement, false, error);
    }
    statement_finish(&statement);
    return code;
}

void kept_answer_clear(struct kept_answer *answer)
{
    free(answer->setup);
    free(answer->against);
    free(answer->list);
    free(answer->opening);
    free(answer->numbers);
    free(answer->body);
    *answer = (struct kept_answer){0};
}

void kept_answers_free(struct kept_answer *list, size_t count)
{
    for (size_t i = 0; i < count; i++)
        kept_answer_clear(&list[i]);
    free(list);
}
