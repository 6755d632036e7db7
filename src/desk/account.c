#include "desk/account.h"

#include <string.h>

static const char *const kind_words[MOVEMENT_KINDS] = {[MOVED_IN] = "in",
                                                       [MOVED_OUT] = "out",
                                                       [MOVED_GAIN] = "gain",
                                                       [MOVED_LOSS] = "loss",
                                                       [MOVED_CORRECTION] = "correction"};

const char *movement_word(enum movement_kind kind)
{
    return kind_words[kind];
}

enum movement_kind movement_of(const char *word)
{
    int kind = 0;
    while (kind < MOVEMENT_KINDS && strcmp(kind_words[kind], word) != 0)
        kind++;
    return (enum movement_kind)kind;
}

int account_balance(const struct account *account, const struct account_entry *entries,
                    size_t count, int64_t known, struct money *balance, struct error *error)
{
    *balance = (struct money){0, account->currency};
    for (size_t i = 0; i < count; i++)
        if (entries[i].at <= known && !money_add(balance, &entries[i].amount))
            return error_set(error, ERROR_INPUT,
                             "%s: its entries come to more than an account can hold",
                             account->name);
    return ERROR_NONE;
}

/* --- terms --------------------------------------------------------------------------- */

#define A_SHARE "a share of the balance in %, above 0 and at most 100, such as 5"

const struct account_term account_terms[TERM_COUNT] = {
    [TERM_RISK] = {"risk", "", "1% of the balance, or money such as 250", false, NULL},
    [TERM_OPEN_RISK] = {"open_risk", "%", A_SHARE, false, "the open risk would be"},
    [TERM_SIDE_RISK] = {"side_risk", "%", A_SHARE, false, "the risk in this direction would be"},
    [TERM_CURRENCY_RISK] = {"currency_risk", "%", A_SHARE, false,
                            "the risk in this currency would be"},
    [TERM_LEVERAGE] = {"leverage", "times the balance", "a number above 0", false,
                       "all positions would be worth"},
    [TERM_DAY_LOSS] = {"day_loss", "R", "a number above 0", false, "today's loss is"},
    [TERM_WEEK_LOSS] = {"week_loss", "R", "a number above 0", false, "this week's loss is"},
    [TERM_DAY_TRADES] = {"day_trades", "trades", "a whole number from 1 on", true,
                         "today's trades would be"},
    [TERM_PAUSE] = {"pause_after", "losses", "a whole number from 1 on", true,
                    "the losses in a row are"},
};

static bool allows(enum account_term_id id, const char *text)
{
    struct fraction number;
    bool share = strcmp(account_terms[id].unit, "%") == 0;
    if (!fraction_read(text, strlen(text), &number) || fraction_failed(number) ||
        fraction_sign(number) <= 0)
        return false;
    if (account_terms[id].whole && number.bottom != 1)
        return false;
    return !share || fraction_compare(number, fraction_of(100, 1)) <= 0;
}

int account_term_check(enum account_term_id id, const char *label, const char *text,
                       const struct currency *currency, struct error *error)
{
    struct risk risk;
    if (text[0] == '\0')
        return ERROR_NONE;
    if (id == TERM_RISK && strlen(text) < TERM_TEXT_SIZE)
        return risk_read(label, text, currency, &risk, error);
    if (strlen(text) < TERM_TEXT_SIZE && allows(id, text))
        return ERROR_NONE;
    return error_set(error, ERROR_INPUT, "%s: found '%.40s'; %s is allowed", label, text,
                     account_terms[id].allowed);
}

bool account_term_number(const struct account_terms_set *terms, enum account_term_id id,
                         struct fraction *number)
{
    const char *text = terms->text[id];
    return text[0] != '\0' && fraction_read(text, strlen(text), number);
}
