#include "answer/account_rows.h"

#include "base/calendar.h"

static const struct column account_columns[] = {
    {"account", "account", COLUMN_TEXT, 0, ""},
    {"currency", "currency", COLUMN_TEXT, 0, ""},
    {"balance", "balance", COLUMN_FIGURE, 0, ""},
    {"entries", "entries", COLUMN_INTEGER, 0, ""},
    {"risk", "risk", COLUMN_FIGURE, 0, ""},
    {"open_risk", "open risk %", COLUMN_FIGURE, 0, "%"},
    {"side_risk", "one side %", COLUMN_FIGURE, 0, "%"},
    {"currency_risk", "one currency %", COLUMN_FIGURE, 0, "%"},
    {"leverage", "leverage", COLUMN_FIGURE, 0, ""},
    {"day_loss", "day R", COLUMN_FIGURE, 0, "R"},
    {"week_loss", "week R", COLUMN_FIGURE, 0, "R"},
    {"day_trades", "trades a day", COLUMN_FIGURE, 0, ""},
    {"pause_after", "pause after losses", COLUMN_FIGURE, 0, ""},
};
const struct listing accounts_listing = {"accounts", account_columns,
                                         sizeof account_columns / sizeof account_columns[0],
                                         "The book has no accounts yet."};

static void put_money(struct table *table, const struct money *money)
{
    char text[MONEY_TEXT_SIZE];
    money_format(text, money);
    table_text(table, text);
}

void account_put(struct table *table, const struct account_view *view)
{
    table_text(table, view->account.name);
    table_text(table, view->account.currency.code);
    put_money(table, &view->balance);
    table_count(table, view->count);
    for (int id = 0; id < TERM_COUNT; id++)
        table_text(table, view->terms.text[id][0] != '\0' ? view->terms.text[id] : NULL);
}

static const struct column entry_columns[] = {
    {"number", "number", COLUMN_INTEGER, 0, ""},  {"time", "from", COLUMN_TEXT, 0, ""},
    {"kind", "kind", COLUMN_TEXT, 0, ""},         {"amount", "amount", COLUMN_FIGURE, 0, ""},
    {"balance", "balance", COLUMN_FIGURE, 0, ""}, {"corrects", "corrects", COLUMN_INTEGER, 0, ""},
    {"note", "note", COLUMN_TEXT, 0, ""},         {"made", "entered", COLUMN_TEXT, 0, ""},
};
const struct listing entries_listing = {"entries", entry_columns,
                                        sizeof entry_columns / sizeof entry_columns[0],
                                        "The account has no entries yet."};

static void put_time(struct table *table, int64_t time, bool date)
{
    char text[CALENDAR_TEXT_SIZE];
    time_format(text, time, date);
    table_text(table, text);
}

void entries_put(struct table *table, const struct account_view *view)
{
    struct money balance = {0, view->account.currency};
    for (size_t i = 0; i < view->count; i++) {
        const struct account_entry *entry = &view->entries[i];
        /* Fits: what was entered later was kept only where all of it does. */
        money_add(&balance, &entry->amount);
        table_integer(table, entry->id);
        put_time(table, entry->at, entry->at % SECONDS_PER_DAY == 0);
        table_text(table, movement_word(entry->kind));
        put_money(table, &entry->amount);
        put_money(table, &balance);
        if (entry->corrects > 0)
            table_integer(table, entry->corrects);
        else
            table_blank(table, 1);
        table_text(table, entry->note[0] != '\0' ? entry->note : NULL);
        put_time(table, entry->made, false);
    }
}

static const struct column rate_columns[] = {
    {"pair", "pair", COLUMN_TEXT, 0, ""},
    {"price", "price", COLUMN_FIGURE, 0, ""},
    {"time", "of", COLUMN_TEXT, 0, ""},
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
};
const struct listing rates_listing = {"rates", rate_columns,
                                      sizeof rate_columns / sizeof rate_columns[0],
                                      "The book knows no rates of exchange yet."};

void known_rate_put(struct table *table, const struct known_rate *known)
{
    char price[FRACTION_TEXT_SIZE];
    table_format(table, "%s/%s", known->rate.base, known->rate.quote);
    if (known->known) {
        fraction_format(price, known->rate.price, 0, 15);
        table_text(table, price);
        put_time(table, known->rate.at, known->rate.at % SECONDS_PER_DAY == 0);
    } else
        table_blank(table, 2);
    table_text(table, known->instrument);
}
