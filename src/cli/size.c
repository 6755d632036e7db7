/* `size`: how much to hold between an entry and a stop. */
#include "answer/size.h"
#include "cli/commands.h"
#include "cli/record_options.h"
#include "cli/table.h"
#include "cli/wishes.h"
#include "document/document_write.h"
#include "version.h"
#include "work/account.h"

#include <string.h>

static int read_price(const char *label, const char *text, struct fraction *price,
                      struct error *error)
{
    if (fraction_read(text, strlen(text), price))
        return ERROR_NONE;
    return error_set(error, ERROR_USAGE, "--%s: found '%.40s'; a price such as 101.35 is allowed",
                     label, text);
}

static int take_account(const struct call *call, struct work *work, struct size_wish *wish,
                        struct error *error)
{
    struct account_view view;
    int code = account_open(work, call_option(call, "account"), &view, error);
    if (code == ERROR_NONE)
        wish->balance = view.balance;
    if (code == ERROR_NONE)
        wish->own_leverage = account_leverage(&view);
    if (code == ERROR_NONE && !call_has(call, "risk")) {
        if (view.terms.text[TERM_RISK][0] == '\0')
            code = error_set(error, ERROR_USAGE,
                             "%s: no risk of a trade is set; say it with --risk, or for good with "
                             "'account limits'",
                             view.account.name);
        else
            code = risk_read("risk", view.terms.text[TERM_RISK], &wish->balance.currency,
                             &wish->risk, error);
    }
    account_close(&view);
    return code;
}

static int read_account(const struct call *call, struct size_wish *wish, struct error *error)
{
    struct currency currency;
    int code = currency_find(call_option(call, "account-currency"), &currency, error);
    if (code != ERROR_NONE)
        return error_context(error, "--account-currency");
    code = money_read("--balance", call_option(call, "balance"), &currency, &wish->balance, error);
    wish->balance.currency = currency;
    return code;
}

static int read_wish(const struct call *call, struct work *work, const struct size_case *opened,
                     struct size_wish *wish, struct error *error)
{
    /* What the options say goes before what the book does. */
    struct instrument_record record = {.instrument = opened->series.instrument};
    int code = record_options_read(call, &record, error);
    wish->instrument = record.instrument;
    if (code == ERROR_NONE)
        code = read_price("entry", call_option(call, "entry"), &wish->entry, error);
    if (code == ERROR_NONE)
        code = read_price("stop", call_option(call, "stop"), &wish->stop, error);
    if (code == ERROR_NONE)
        code = call_has(call, "account") ? take_account(call, work, wish, error)
                                         : read_account(call, wish, error);
    if (code == ERROR_NONE && call_has(call, "risk"))
        code = risk_read("--risk", call_option(call, "risk"), &wish->balance.currency, &wish->risk,
                         error);
    return code;
}

static int print_answer(const struct call *call, const struct size_found *found,
                        struct error *error)
{
    struct document document;
    struct json json;
    struct text text;
    text_init(&text);
    switch (call->format) {
    case FORMAT_TEXT:
        document_init(&document);
        answer_size(&document, found);
        document_write_text(&text, &document);
        document_clear(&document);
        break;
    case FORMAT_CSV: size_csv(&text, found); break;
    case FORMAT_JSON:
        json_init(&json, &text, JSON_TIGHT);
        json_begin_object(&json);
        json_member_string(&json, "rushlight", RUSHLIGHT_VERSION);
        size_json(&json, found);
        json_end_object(&json);
        text_append_char(&text, '\n');
        break;
    }
    return print_text(call, &text, error);
}

static int answer(struct call *call, struct work *work, struct notices *notices,
                  struct error *error)
{
    struct size_case opened;
    struct rates rates = {0};
    struct size_found found = {.wish = {.rates = &rates}};
    const char *word = call->argument_count > 0 ? call->arguments[0] : NULL;
    const char *given = call_option(call, "rate");
    int code = size_open(work, notices, word, &opened, error);
    if (code == ERROR_NONE && given != NULL)
        code = size_rates_read(work, given, &rates, error);
    if (code == ERROR_NONE)
        code = known_rates_add(work, &rates, error);
    if (code == ERROR_NONE)
        code = read_wish(call, work, &opened, &found.wish, error);
    if (code == ERROR_NONE)
        code = size_find(&opened, &found, error);
    if (code == ERROR_NONE)
        code = print_answer(call, &found, error);
    call->incomplete = call->incomplete || (code == ERROR_NONE && found.sizing.refused);
    size_close(&opened);
    return code;
}

int command_size(struct call *call, struct error *error)
{
    struct call_work own;
    struct notices notices = {0};
    int code = call_work_open(&own, call, error);
    if (code == ERROR_NONE) {
        code = answer(call, own.work, &notices, error);
        notices_say(&notices, own.work);
    }
    notices_free(&notices);
    return call_work_close(&own, code, error);
}
