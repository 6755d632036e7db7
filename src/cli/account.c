/* `account`: money, what a trade may risk, limits, and rates of exchange. */
#include "work/account.h"
#include "answer/account_rows.h"
#include "cli/commands.h"
#include "cli/table.h"
#include "cli/wishes.h"

#include <stdlib.h>
#include <string.h>

/* --- showing --------------------------------------------------------------------------- */

static int all_names(struct work *work, struct account **accounts, size_t *count,
                     struct error *error)
{
    struct book *book = NULL;
    *accounts = NULL;
    *count = 0;
    int code = work_borrow(work, &book, error);
    if (code == ERROR_NONE)
        code = account_store_all(book, accounts, count, error);
    work_return(work, book);
    return code;
}

static int put_account(struct table *table, struct work *work, const char *name,
                       struct error *error)
{
    struct account_view view;
    int code = account_open(work, name, &view, error);
    if (code == ERROR_NONE)
        account_put(table, &view);
    account_close(&view);
    return code;
}

static int show_all(const struct call *call, struct work *work, struct error *error)
{
    struct account *accounts;
    struct table table;
    size_t count;
    int code = all_names(work, &accounts, &count, error);
    listing_begin(&table, call, &accounts_listing);
    for (size_t i = 0; code == ERROR_NONE && i < count; i++)
        code = put_account(&table, work, accounts[i].name, error);
    free(accounts);
    return listing_end(&table, &accounts_listing, code, error);
}

static int show_one(const struct call *call, struct work *work, const char *name,
                    struct error *error)
{
    struct table table;
    listing_begin(&table, call, &accounts_listing);
    return listing_end(&table, &accounts_listing, put_account(&table, work, name, error), error);
}

static int show_entries(const struct call *call, struct work *work, const char *name,
                        struct error *error)
{
    struct account_view view;
    struct table table;
    int code = account_open(work, name, &view, error);
    listing_begin(&table, call, &entries_listing);
    if (code == ERROR_NONE)
        entries_put(&table, &view);
    account_close(&view);
    return listing_end(&table, &entries_listing, code, error);
}

static int show_rates(const struct call *call, struct work *work, struct error *error)
{
    struct known_rate *rates;
    struct table table;
    size_t count;
    int code = known_rates(work, &rates, &count, error);
    listing_begin(&table, call, &rates_listing);
    for (size_t i = 0; code == ERROR_NONE && i < count; i++)
        known_rate_put(&table, &rates[i]);
    free(rates);
    return listing_end(&table, &rates_listing, code, error);
}

/* --- one word each ------------------------------------------------------------------------ */

typedef int verb_run(struct call *call, struct work *work, struct error *error);

static int do_show(struct call *call, struct work *work, struct error *error)
{
    return call->argument_count > 1 ? show_entries(call, work, call->arguments[1], error)
                                    : show_all(call, work, error);
}

static int do_make(struct call *call, struct work *work, struct error *error)
{
    int code = account_make(work, call->arguments[1], call->arguments[2], error);
    return code == ERROR_NONE ? show_one(call, work, call->arguments[1], error) : code;
}

static int do_move(struct call *call, struct work *work, struct error *error)
{
    const struct account_movement movement = {.kind = movement_of(call->arguments[0]),
                                              .amount = call->arguments[2],
                                              .at = call_time(call, "date", INT64_MIN),
                                              .note = call_option(call, "note")};
    int code = account_move(work, call->arguments[1], &movement, error);
    return code == ERROR_NONE ? show_one(call, work, call->arguments[1], error) : code;
}

static int do_correct(struct call *call, struct work *work, struct error *error)
{
    int code = account_correct(work, call->arguments[1], call->arguments[2], call->arguments[3],
                               call_option(call, "note"), error);
    return code == ERROR_NONE ? show_one(call, work, call->arguments[1], error) : code;
}

static int do_terms(struct call *call, struct work *work, struct error *error)
{
    char labels[TERM_COUNT][TERM_TEXT_SIZE];
    const char *label[TERM_COUNT];
    const char *texts[TERM_COUNT];
    for (int id = 0; id < TERM_COUNT; id++) {
        snprintf(labels[id], TERM_TEXT_SIZE, "--%s", account_terms[id].name);
        for (char *c = labels[id]; *c != '\0'; c++)
            *c = *c == '_' ? '-' : *c;
        label[id] = labels[id];
        texts[id] = call_option(call, labels[id] + 2);
    }
    int code = account_set_terms(work, call->arguments[1], texts, label, error);
    return code == ERROR_NONE ? show_one(call, work, call->arguments[1], error) : code;
}

static int do_rates(struct call *call, struct work *work, struct error *error)
{
    int code = call->argument_count == 1
                   ? ERROR_NONE
                   : known_rate_set(work, call->arguments[1], call->arguments[2], error);
    return code == ERROR_NONE ? show_rates(call, work, error) : code;
}

static const struct verb {
    const char *word;
    size_t least, most; /* words, its own among them */
    const char *needs;
    verb_run *run;
} verbs[] = {
    {"show", 1, 2, "at most NAME", do_show},
    {"make", 3, 3, "NAME CURRENCY", do_make},
    {"in", 3, 3, "NAME MONEY", do_move},
    {"out", 3, 3, "NAME MONEY", do_move},
    {"gain", 3, 3, "NAME MONEY", do_move},
    {"loss", 3, 3, "NAME MONEY", do_move},
    {"correct", 4, 4, "NAME NUMBER MONEY", do_correct},
    {"limits", 2, 2, "NAME", do_terms},
    {"rates", 1, 3, "nothing, or PAIR INSTRUMENT", do_rates},
};

static const struct verb *find_verb(const char *word)
{
    for (size_t i = 0; i < sizeof verbs / sizeof verbs[0]; i++)
        if (strcmp(verbs[i].word, word) == 0)
            return &verbs[i];
    return NULL;
}

int command_account(struct call *call, struct error *error)
{
    struct call_work own;
    size_t count = call->argument_count;
    const struct verb *verb = find_verb(count > 0 ? call->arguments[0] : "show");
    if (verb == NULL)
        return error_set(error, ERROR_USAGE,
                         "account: found '%.40s'; show, make, in, out, gain, loss, correct, limits "
                         "or rates is allowed",
                         call->arguments[0]);
    if (count > 0 &&
        (count < verb->least || count > verb->most || (verb->run == do_rates && count == 2)))
        return error_set(error, ERROR_USAGE, "account: %s takes %s", verb->word, verb->needs);
    bool shows = verb->run == do_show || (verb->run == do_rates && count == 1);
    if (!shows && call_has(call, "as-of"))
        return error_set(error, ERROR_USAGE,
                         "--as-of: a past date is only looked at; nothing is kept there, use "
                         "'account show' or 'account rates'");
    int code = call_work_open(&own, call, error);
    if (code == ERROR_NONE)
        code = verb->run(call, own.work, error);
    return call_work_close(&own, code, error);
}
