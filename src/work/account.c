#include "work/account.h"

#include "base/calendar.h"
#include "base/number.h"
#include "base/text.h"
#include "work/series.h"
#include "work/work_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- reading --------------------------------------------------------------------------- */

int account_read(struct work *work, struct book *book, const char *name, struct account_view *view,
                 struct error *error)
{
    *view = (struct account_view){0};
    int code = account_store_need(book, name, &view->account, error);
    if (code == ERROR_NONE)
        code = account_store_entries(book, &view->account, &view->entries, &view->count, error);
    if (code == ERROR_NONE)
        code = account_store_terms(book, &view->account, &view->terms, error);
    if (code == ERROR_NONE)
        code = account_balance(&view->account, view->entries, view->count, work_known_until(work),
                               &view->balance, error);
    return code;
}

int account_open(struct work *work, const char *name, struct account_view *view,
                 struct error *error)
{
    struct book *book = NULL;
    *view = (struct account_view){0};
    int code = work_borrow(work, &book, error);
    if (code == ERROR_NONE)
        code = account_read(work, book, name, view, error);
    work_return(work, book);
    return code;
}

struct fraction account_leverage(const struct account_view *view)
{
    struct fraction leverage;
    return account_term_number(&view->terms, TERM_LEVERAGE, &leverage) ? leverage
                                                                       : fraction_of_number(NAN);
}

void account_close(struct account_view *view)
{
    free(view->entries);
    *view = (struct account_view){0};
}

/* --- keeping ----------------------------------------------------------------------------- */

int account_make(struct work *work, const char *name, const char *currency, struct error *error)
{
    struct book *book = NULL;
    struct account account = {.made = work_wishes(work)->now};
    int code = work_copy_words(account.name, sizeof account.name, 0, "name", name, error);
    if (code == ERROR_NONE)
        code = currency_find(currency, &account.currency, error);
    if (code == ERROR_NONE)
        code = work_writer(work, &book, error);
    if (code == ERROR_NONE)
        code = book_begin(book, "making an account", error);
    if (code != ERROR_NONE)
        return code;
    return book_settle(book, account_store_make(book, &account, error), error);
}

/* Whether the balance can be held at every date with the entry in its place, behind all of its
 * own date: one that cannot would lock the account. */
static bool fits(const struct account_view *view, const struct account_entry *entry)
{
    struct money balance = {0, view->account.currency};
    size_t before = 0;
    bool held = true;
    while (before < view->count && view->entries[before].at <= entry->at)
        before++;
    for (size_t i = 0; i < before; i++)
        held = held && money_add(&balance, &view->entries[i].amount);
    held = held && money_add(&balance, &entry->amount);
    for (size_t i = before; i < view->count; i++)
        held = held && money_add(&balance, &view->entries[i].amount);
    return held;
}

static int keep_entry(struct book *book, const struct account_view *view,
                      struct account_entry *entry, struct error *error)
{
    if (fits(view, entry))
        return account_store_enter(book, &view->account, entry, error);
    return error_set(error, ERROR_INPUT,
                     "%s: with this entry its balance would be more than an account can hold, at "
                     "its date or after it",
                     view->account.name);
}

static int read_amount(const struct account *account, const char *text, struct money *amount,
                       struct error *error)
{
    int code = money_read("MONEY", text, &account->currency, amount, error);
    if (code == ERROR_NONE && amount->units < 0)
        code = error_set(error, ERROR_INPUT,
                         "MONEY: found '%.40s'; an amount from 0 on is allowed, the word before "
                         "says which way it went",
                         text);
    return code;
}

static bool goes_out(enum movement_kind kind)
{
    return kind == MOVED_OUT || kind == MOVED_LOSS;
}

static int not_come(int64_t at, struct error *error)
{
    char text[CALENDAR_TEXT_SIZE];
    time_format(text, at, at % SECONDS_PER_DAY == 0);
    return error_set(error, ERROR_INPUT,
                     "date: found %s, which has not come yet; today or an earlier one is allowed",
                     text);
}

static int make_movement(struct book *book, const struct account_view *view,
                         const struct account_movement *movement, int64_t now, struct error *error)
{
    struct account_entry entry = {.kind = movement->kind,
                                  .made = now,
                                  .at = movement->at == INT64_MIN ? now : movement->at};
    int code = work_copy_words(entry.note, sizeof entry.note, 0, "note", movement->note, error);
    if (code == ERROR_NONE)
        code = read_amount(&view->account, movement->amount, &entry.amount, error);
    if (code == ERROR_NONE && entry.amount.units == 0)
        code = error_set(error, ERROR_INPUT, "MONEY: found '%.40s'; an amount above 0 is allowed",
                         movement->amount);
    if (code == ERROR_NONE && entry.at > now)
        code = not_come(entry.at, error);
    if (goes_out(entry.kind))
        entry.amount.units = -entry.amount.units;
    return code == ERROR_NONE ? keep_entry(book, view, &entry, error) : code;
}

/* Opens the account inside a transaction of the writer's. */
static int begin(struct work *work, const char *name, const char *doing, struct book **book,
                 struct account_view *view, struct error *error)
{
    *view = (struct account_view){0};
    int code = work_writer(work, book, error);
    if (code == ERROR_NONE)
        code = book_begin(*book, doing, error);
    if (code != ERROR_NONE)
        return code;
    code = account_read(work, *book, name, view, error);
    return code == ERROR_NONE ? code : book_settle(*book, code, error);
}

int account_move(struct work *work, const char *name, const struct account_movement *movement,
                 struct error *error)
{
    struct book *book;
    struct account_view view;
    int code = begin(work, name, "entering money", &book, &view, error);
    if (code == ERROR_NONE)
        code = book_settle(book,
                           make_movement(book, &view, movement, work_wishes(work)->now, error),
                           error);
    account_close(&view);
    return code;
}

/* The entry of this number, and what it comes to with its corrections so far. */
static int find_entry(const struct account_view *view, const char *number,
                      const struct account_entry **entry, struct money *amount, struct error *error)
{
    int64_t id = 0;
    *entry = NULL;
    number_parse_integer(number, strlen(number), &id);
    for (size_t i = 0; i < view->count; i++)
        if (view->entries[i].id == id && view->entries[i].kind != MOVED_CORRECTION)
            *entry = &view->entries[i];
    if (*entry == NULL)
        return error_set(error, ERROR_INPUT,
                         "%s: found '%.20s'; the number of one of its entries that is no "
                         "correction itself is allowed",
                         view->account.name, number);
    *amount = (*entry)->amount;
    for (size_t i = 0; i < view->count; i++)
        if (view->entries[i].corrects == id)
            money_add(amount, &view->entries[i].amount);
    return ERROR_NONE;
}

static int make_correction(struct book *book, const struct account_view *view, const char *number,
                           const char *text, const char *note, int64_t now, struct error *error)
{
    struct account_entry entry = {.kind = MOVED_CORRECTION, .made = now};
    const struct account_entry *wrong;
    struct money amount;
    int code = find_entry(view, number, &wrong, &amount, error);
    if (code == ERROR_NONE)
        code = work_copy_words(entry.note, sizeof entry.note, 0, "note", note, error);
    if (code == ERROR_NONE)
        code = read_amount(&view->account, text, &entry.amount, error);
    if (code != ERROR_NONE)
        return code;
    if (goes_out(wrong->kind))
        entry.amount.units = -entry.amount.units;
    entry.at = wrong->at;
    entry.corrects = wrong->id;
    if (!money_subtract(&entry.amount, &amount))
        return error_set(error, ERROR_INPUT, "MONEY: found '%.40s', which is too much to be held",
                         text);
    return keep_entry(book, view, &entry, error);
}

int account_correct(struct work *work, const char *name, const char *number, const char *amount,
                    const char *note, struct error *error)
{
    struct book *book;
    struct account_view view;
    int code = begin(work, name, "correcting an entry", &book, &view, error);
    if (code == ERROR_NONE)
        code = book_settle(book,
                           make_correction(book, &view, number, amount, note,
                                           work_wishes(work)->now, error),
                           error);
    account_close(&view);
    return code;
}

static int change_terms(const struct account_view *view, const char *const texts[TERM_COUNT],
                        const char *const labels[TERM_COUNT], struct account_terms_set *terms,
                        struct error *error)
{
    int code = ERROR_NONE;
    *terms = view->terms;
    for (int id = 0; code == ERROR_NONE && id < TERM_COUNT; id++) {
        if (texts[id] == NULL)
            continue;
        code = account_term_check((enum account_term_id)id, labels[id], texts[id],
                                  &view->account.currency, error);
        if (code == ERROR_NONE)
            snprintf(terms->text[id], TERM_TEXT_SIZE, "%s", texts[id]);
    }
    return code;
}

int account_set_terms(struct work *work, const char *name, const char *const texts[TERM_COUNT],
                      const char *const labels[TERM_COUNT], struct error *error)
{
    struct book *book;
    struct account_view view;
    struct account_terms_set terms;
    int code = begin(work, name, "setting an account's terms", &book, &view, error);
    if (code == ERROR_NONE) {
        code = change_terms(&view, texts, labels, &terms, error);
        if (code == ERROR_NONE)
            code = account_store_set_terms(book, &view.account, &terms, work_wishes(work)->now,
                                           error);
        code = book_settle(book, code, error);
    }
    account_close(&view);
    return code;
}

/* --- rates ------------------------------------------------------------------------------- */

static int take_close(struct work *work, const char *instrument, struct rate *rate, bool *known,
                      struct error *error)
{
    struct series series = {0};
    struct notices unsaid = {0}; /* of its tick, which a rate does not need */
    int code = series_open_named(work, &unsaid, instrument, &series, error);
    size_t count = code == ERROR_NONE ? bars_complete(&series.bars) : 0;
    struct fraction close = fraction_of_number(count > 0 ? series.bars.close[count - 1] : NAN);
    *known = !fraction_failed(close) && fraction_sign(close) > 0;
    if (*known) {
        rate->price = close;
        rate->dated = true;
        rate->at = series.bars.time[count - 1];
    }
    notices_free(&unsaid);
    series_free(&series);
    return code;
}

int rate_of_close(struct work *work, const char *instrument, struct rate *rate, struct error *error)
{
    bool known;
    int code = take_close(work, instrument, rate, &known, error);
    if (code == ERROR_NONE && !known)
        code = error_set(error, ERROR_INPUT,
                         "%s: its newest whole bar has no close above 0, which a rate needs",
                         instrument);
    return code;
}

static int read_sources(struct work *work, struct rate_source **sources, size_t *count,
                        struct error *error)
{
    struct book *book = NULL;
    *sources = NULL;
    *count = 0;
    int code = work_borrow(work, &book, error);
    if (code == ERROR_NONE)
        code = rate_store_all(book, sources, count, error);
    work_return(work, book);
    return code;
}

int known_rates(struct work *work, struct known_rate **rates, size_t *count, struct error *error)
{
    struct rate_source *sources;
    int code = read_sources(work, &sources, count, error);
    *rates = code == ERROR_NONE ? calloc(*count + 1, sizeof **rates) : NULL;
    if (code == ERROR_NONE && *rates == NULL)
        code = error_memory(error);
    for (size_t i = 0; code == ERROR_NONE && i < *count; i++) {
        struct known_rate *rate = &(*rates)[i];
        rate->rate = sources[i].pair;
        memcpy(rate->instrument, sources[i].instrument, sizeof rate->instrument);
        /* One whose series has nothing by then is not known, and no error. */
        struct error ignored;
        int found = take_close(work, rate->instrument, &rate->rate, &rate->known, &ignored);
        if (found != ERROR_NONE && found != ERROR_INPUT) {
            *error = ignored;
            code = found;
        }
    }
    free(sources);
    return code;
}

int known_rates_add(struct work *work, struct rates *rates, struct error *error)
{
    struct known_rate *known;
    size_t count;
    if (!work_has_book(work))
        return ERROR_NONE;
    int code = known_rates(work, &known, &count, error);
    for (size_t i = 0; code == ERROR_NONE && i < count; i++)
        if (known[i].known)
            code = rates_add(rates, &known[i].rate, error);
    free(known);
    return code;
}

static int set_source(struct book *book, const struct rate_source *source, struct error *error)
{
    struct rate_source *named;
    size_t count;
    bool again = false;
    int code = rate_store_all(book, &named, &count, error);
    for (size_t i = 0; code == ERROR_NONE && i < count; i++)
        again = again || rate_same_pair(&named[i].pair, &source->pair);
    free(named);
    if (code == ERROR_NONE && !again && count >= RATE_NAMED_LIMIT)
        code = error_set(error, ERROR_INPUT,
                         "%s/%s: the book names %zu pairs already, and at most %d are allowed; "
                         "give this one when it is needed",
                         source->pair.base, source->pair.quote, count, RATE_NAMED_LIMIT);
    return code == ERROR_NONE ? rate_store_set(book, source, error) : code;
}

int known_rate_set(struct work *work, const char *pair, const char *instrument, struct error *error)
{
    struct book *book = NULL;
    struct rate_source source = {.made = work_wishes(work)->now};
    if (!rate_pair_read(pair, strlen(pair), &source.pair))
        return error_set(error, ERROR_INPUT,
                         "found '%.40s' for a pair; two currencies such as EUR/USD are allowed",
                         pair);
    int code = work_copy_words(source.instrument, sizeof source.instrument, 0, "INSTRUMENT",
                               instrument, error);
    if (code == ERROR_NONE)
        code = work_writer(work, &book, error);
    if (code == ERROR_NONE)
        code = book_begin(book, "naming a rate", error);
    if (code != ERROR_NONE)
        return code;
    return book_settle(book, set_source(book, &source, error), error);
}
