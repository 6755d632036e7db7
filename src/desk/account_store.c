#include "desk/account_store.h"

#include "base/text.h"
#include "book/instrument_store.h"

#include <string.h>

/* --- accounts ------------------------------------------------------------------------- */

#define ACCOUNT_COLUMNS "SELECT id, name, currency, made FROM account "

static int take_account(struct statement *statement, void *row, const void *context,
                        struct error *error)
{
    struct account *account = row;
    char code[CURRENCY_SIZE];
    (void)context;
    *account = (struct account){.id = statement_integer(statement, 0),
                                .made = statement_integer(statement, 3)};
    statement_copy(statement, 1, account->name, sizeof account->name);
    statement_copy(statement, 2, code, sizeof code);
    return currency_find(code, &account->currency, error);
}

int account_store_all(struct book *book, struct account **accounts, size_t *count,
                      struct error *error)
{
    struct statement statement;
    struct gathered rows = {.size = sizeof **accounts, .take = take_account};
    int code = statement_prepare(&statement, book, ACCOUNT_COLUMNS "ORDER BY name", error);
    if (code == ERROR_NONE)
        code = statement_gather(&statement, &rows, error);
    statement_finish(&statement);
    *accounts = rows.list;
    *count = rows.count;
    return code;
}

static int find_account(struct book *book, const char *name, struct account *account, bool *found,
                        struct error *error)
{
    struct statement statement;
    *found = false;
    int code = statement_prepare(&statement, book, ACCOUNT_COLUMNS "WHERE name = ?1", error);
    if (code == ERROR_NONE) {
        statement_bind_text(&statement, 1, name);
        code = statement_step(&statement, found, error);
    }
    if (code == ERROR_NONE && *found)
        code = take_account(&statement, account, NULL, error);
    statement_finish(&statement);
    return code;
}

int account_store_need(struct book *book, const char *name, struct account *account,
                       struct error *error)
{
    bool found;
    int code = find_account(book, name, account, &found, error);
    if (code == ERROR_NONE && !found)
        code = error_because(error, ERROR_INPUT, ERROR_REASON_NO_ACCOUNT,
                             "there is no account '%.60s' in the book", name);
    return code;
}

int account_store_make(struct book *book, struct account *account, struct error *error)
{
    struct account other;
    struct statement statement;
    bool found = false;
    if (account->name[0] == '\0' || account->name[0] == '-' || !text_is_shown(account->name))
        return error_set(error, ERROR_INPUT,
                         "'%.60s' cannot be the name of an account; visible characters, the first "
                         "of them no '-', are allowed",
                         account->name);
    int code = find_account(book, account->name, &other, &found, error);
    if (code == ERROR_NONE && found)
        code = error_set(error, ERROR_INPUT, "%s: is an account of the book already",
                         account->name);
    if (code == ERROR_NONE)
        code = statement_prepare(&statement, book,
                                 "INSERT INTO account(name, currency, made) VALUES(?1, ?2, ?3)",
                                 error);
    if (code != ERROR_NONE)
        return code;
    statement_bind_text(&statement, 1, account->name);
    statement_bind_text(&statement, 2, account->currency.code);
    statement_bind_integer(&statement, 3, account->made);
    code = statement_run(&statement, error);
    statement_finish(&statement);
    account->id = book_last_row(book);
    return code;
}

/* --- entries --------------------------------------------------------------------------- */

static int take_entry(struct statement *statement, void *row, const void *context,
                      struct error *error)
{
    const struct account *account = context;
    struct account_entry *entry = row;
    char kind[16];
    statement_copy(statement, 1, kind, sizeof kind);
    *entry = (struct account_entry){.id = statement_integer(statement, 0),
                                    .kind = movement_of(kind),
                                    .amount = {statement_integer(statement, 2), account->currency},
                                    .at = statement_integer(statement, 3),
                                    .made = statement_integer(statement, 4),
                                    .corrects = statement_integer(statement, 5)};
    statement_copy(statement, 6, entry->note, sizeof entry->note);
    if (entry->kind == MOVEMENT_KINDS)
        return error_set(error, ERROR_INPUT, "entry %lld of %s is of no kind that is known",
                         (long long)entry->id, account->name);
    return ERROR_NONE;
}

int account_store_entries(struct book *book, const struct account *account,
                          struct account_entry **entries, size_t *count, struct error *error)
{
    struct statement statement;
    struct gathered rows = {.size = sizeof **entries, .take = take_entry, .context = account};
    int code = statement_prepare(&statement, book,
                                 "SELECT id, kind, units, at, made, corrects, note FROM "
                                 "account_entry WHERE account = ?1 ORDER BY at, id",
                                 error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, account->id);
        code = statement_gather(&statement, &rows, error);
    }
    statement_finish(&statement);
    *entries = rows.list;
    *count = rows.count;
    return code;
}

int account_store_enter(struct book *book, const struct account *account,
                        struct account_entry *entry, struct error *error)
{
    struct statement statement;
    int code = statement_prepare(
        &statement, book,
        "INSERT INTO account_entry(account, kind, units, at, made, corrects, note) "
        "VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        error);
    if (code != ERROR_NONE)
        return code;
    statement_bind_integer(&statement, 1, account->id);
    statement_bind_text(&statement, 2, movement_word(entry->kind));
    statement_bind_integer(&statement, 3, entry->amount.units);
    statement_bind_integer(&statement, 4, entry->at);
    statement_bind_integer(&statement, 5, entry->made);
    if (entry->corrects > 0)
        statement_bind_integer(&statement, 6, entry->corrects);
    else
        statement_bind_null(&statement, 6);
    statement_bind_text(&statement, 7, entry->note);
    code = statement_run(&statement, error);
    statement_finish(&statement);
    entry->id = book_last_row(book);
    return code;
}

/* --- terms ------------------------------------------------------------------------------- */

static void take_term(struct statement *statement, struct account_terms_set *terms)
{
    const char *name = statement_text(statement, 0);
    for (int id = 0; name != NULL && id < TERM_COUNT; id++)
        if (strcmp(name, account_terms[id].name) == 0)
            statement_copy(statement, 1, terms->text[id], TERM_TEXT_SIZE);
}

int account_store_terms(struct book *book, const struct account *account,
                        struct account_terms_set *terms, struct error *error)
{
    struct statement statement;
    bool row = false;
    *terms = (struct account_terms_set){0};
    int code = statement_prepare(
        &statement, book, "SELECT term, value FROM account_term WHERE account = ?1 ORDER BY id",
        error);
    if (code == ERROR_NONE)
        statement_bind_integer(&statement, 1, account->id);
    while (code == ERROR_NONE && (code = statement_step(&statement, &row, error)) == ERROR_NONE &&
           row)
        take_term(&statement, terms);
    statement_finish(&statement);
    return code;
}

static int keep_term(struct book *book, const struct account *account, const char *term,
                     const char *value, int64_t made, struct error *error)
{
    struct statement statement;
    int code = statement_prepare(
        &statement, book,
        "INSERT INTO account_term(account, made, term, value) VALUES(?1, ?2, ?3, ?4)", error);
    if (code != ERROR_NONE)
        return code;
    statement_bind_integer(&statement, 1, account->id);
    statement_bind_integer(&statement, 2, made);
    statement_bind_text(&statement, 3, term);
    statement_bind_text(&statement, 4, value);
    code = statement_run(&statement, error);
    statement_finish(&statement);
    return code;
}

int account_store_set_terms(struct book *book, const struct account *account,
                            const struct account_terms_set *terms, int64_t made,
                            struct error *error)
{
    struct account_terms_set held;
    int code = account_store_terms(book, account, &held, error);
    for (int id = 0; code == ERROR_NONE && id < TERM_COUNT; id++)
        if (strcmp(terms->text[id], held.text[id]) != 0)
            code = keep_term(book, account, account_terms[id].name, terms->text[id], made, error);
    return code;
}

/* --- rates ---------------------------------------------------------------------------------- */

static int take_source(struct statement *statement, void *row, const void *context,
                       struct error *error)
{
    struct rate_source *source = row;
    (void)context;
    (void)error;
    *source = (struct rate_source){.made = statement_integer(statement, 3)};
    statement_copy(statement, 0, source->pair.base, CURRENCY_SIZE);
    statement_copy(statement, 1, source->pair.quote, CURRENCY_SIZE);
    statement_copy(statement, 2, source->instrument, INSTRUMENT_NAME_SIZE);
    return ERROR_NONE;
}

int rate_store_all(struct book *book, struct rate_source **sources, size_t *count,
                   struct error *error)
{
    struct statement statement;
    struct gathered rows = {.size = sizeof **sources, .take = take_source};
    int code = statement_prepare(
        &statement, book,
        "SELECT r.base, r.quote, i.name, r.made FROM (SELECT max(id) AS newest, min(id) AS first "
        "FROM rate_source GROUP BY min(base, quote), max(base, quote)) p JOIN rate_source r ON "
        "r.id = p.newest JOIN instrument i ON i.id = r.instrument ORDER BY p.first",
        error);
    if (code == ERROR_NONE)
        code = statement_gather(&statement, &rows, error);
    statement_finish(&statement);
    *sources = rows.list;
    *count = rows.count;
    return code;
}

int rate_store_set(struct book *book, const struct rate_source *source, struct error *error)
{
    struct instrument instrument;
    struct statement statement;
    int code = instrument_store_need(book, source->instrument, &instrument, error);
    if (code == ERROR_NONE)
        code = statement_prepare(
            &statement, book,
            "INSERT INTO rate_source(base, quote, instrument, made) VALUES(?1, ?2, ?3, ?4)", error);
    if (code != ERROR_NONE)
        return code;
    statement_bind_text(&statement, 1, source->pair.base);
    statement_bind_text(&statement, 2, source->pair.quote);
    statement_bind_integer(&statement, 3, instrument.id);
    statement_bind_integer(&statement, 4, source->made);
    code = statement_run(&statement, error);
    statement_finish(&statement);
    return code;
}
