/* The sentences and the reckoning of a size. */
#include "answer/size.h"

#include "base/calendar.h"
#include "document/cautions.h"

#include <string.h>

static const char *const bound_words[] =
    {[SIZE_BY_RISK] = "risk", [SIZE_BY_ROOM] = "open_risk", [SIZE_BY_LEVERAGE] = "leverage"};

void text_append_money(struct text *text, const struct money *money)
{
    char amount[MONEY_TEXT_SIZE];
    money_format(amount, money);
    text_append_format(text, "%s %s", amount, money->currency.code);
}

static void append_decimal(struct text *text, struct fraction fraction, int least, int most)
{
    char decimal[FRACTION_TEXT_SIZE];
    fraction_format(decimal, fraction, least, most);
    text_append(text, decimal);
}

void text_append_price(struct text *text, const struct instrument *instrument,
                       struct fraction price)
{
    append_decimal(text, price, instrument->tick_known ? instrument->tick.digits : 0, 10);
}

/* --- the sentences --------------------------------------------------------------------- */

static void append_name(struct text *text, const struct size_found *found)
{
    if (found->wish.instrument.name[0] != '\0')
        text_append_format(text, " of %s", found->wish.instrument.name);
}

static void append_size(struct text *text, struct fraction size)
{
    append_decimal(text, size, 0, 15);
}

static bool has_costs(const struct sizing *sizing)
{
    return fraction_sign(sizing->costs) > 0 || sizing->costs_paid.units > 0;
}

static void append_no(struct text *text, const struct size_found *found)
{
    const struct sizing *sizing = &found->sizing;
    text_append(text, "No size");
    append_name(text, found);
    text_append(text, " keeps to the limits: the smallest, ");
    append_size(text, sizing->size);
    if (sizing->bound == SIZE_BY_LEVERAGE) {
        text_append(text, ", is worth ");
        text_append_money(text, &sizing->notional);
        text_append_format(text, ", and the leverage allows ");
        text_append_money(text, &sizing->most_notional);
    } else {
        text_append(text, ", would lose ");
        text_append_money(text, &sizing->at_risk);
        text_append(text, " at the stop, and ");
        text_append_money(text, &sizing->allowed);
        text_append(text, sizing->bound == SIZE_BY_ROOM ? " is what the limit on open risk leaves"
                                                        : " may be lost");
    }
    text_append(text, ".\n");
}

static void append_yes(struct text *text, const struct size_found *found)
{
    const struct sizing *sizing = &found->sizing;
    text_append(text, sizing->is_short ? "Sell " : "Buy ");
    append_size(text, sizing->size);
    append_name(text, found);
    text_append(text, " at ");
    text_append_price(text, &found->wish.instrument, sizing->entry);
    text_append(text, ", with the stop at ");
    text_append_price(text, &found->wish.instrument, sizing->stop);
    text_append(text, ".\nA fill of the stop at its price loses ");
    text_append_money(text, &sizing->at_risk);
    text_append(text, has_costs(sizing) ? ", costs included, of " : " of ");
    text_append_money(text, &sizing->allowed);
    text_append(text, " allowed; one step more, ");
    append_size(text, sizing->next);
    text_append(text, ", would lose ");
    text_append_money(text, &sizing->next_at_risk);
    text_append(text, ".\n");
    if (sizing->bound == SIZE_BY_LEVERAGE) {
        text_append(text, "The leverage keeps it from being larger: positions of ");
        text_append_money(text, &sizing->most_notional);
        text_append(text, " in all are allowed.\n");
    }
    if (sizing->bound == SIZE_BY_ROOM)
        text_append(text, "The limit on open risk keeps it from being larger.\n");
}

static void append_gap(struct text *text, const struct size_found *found)
{
    if (!found->gap.known) {
        text_append(text, "A market can jump the stop; how far this one does cannot be told "
                          "without bars of it, and the loss is then more than that.\n");
        return;
    }
    text_append(text, "A market can jump the stop: 99 openings in 100 so far went against the "
                      "position by no more than ");
    text_append_price(text, &found->wish.instrument, found->wish.gap);
    text_append(text, "; a jump of that size loses ");
    text_append_money(text, &found->sizing.if_gapped);
    text_append(text, ", and it can be more.\n");
}

static void append_moved(struct text *text, const struct size_found *found)
{
    const struct sizing *sizing = &found->sizing;
    if (fraction_compare(sizing->entry, found->wish.entry) == 0 &&
        fraction_compare(sizing->stop, found->wish.stop) == 0)
        return;
    text_append(text, "Entry and stop are put on the tick, each to the worse side: ");
    text_append_price(text, &found->wish.instrument, sizing->entry);
    text_append(text, " and ");
    text_append_price(text, &found->wish.instrument, sizing->stop);
    text_append(text, ".\n");
}

/* --- the reckoning, one line a figure ----------------------------------------------------- */

struct line {
    const char *key;
    const char *title;
    struct text *value; /* a decimal */
    const char *unit;
    struct text *how;
};

/* Where the lines go: each door takes them in its own form. */
struct lines {
    void (*take)(void *to, const struct line *line);
    void *to;
    const struct size_found *found;
    struct text value;
    struct text how;
    bool failed;
};

static void put(struct lines *lines, const char *key, const char *title, const char *unit)
{
    const struct line line = {key, title, &lines->value, unit, &lines->how};
    lines->failed = lines->failed || text_failed(&lines->value) || text_failed(&lines->how);
    lines->take(lines->to, &line);
    text_clear(&lines->value);
    text_clear(&lines->how);
}

static void put_money(struct lines *lines, const char *key, const char *title,
                      const struct money *money)
{
    char amount[MONEY_TEXT_SIZE];
    money_format(amount, money);
    text_append(&lines->value, amount);
    put(lines, key, title, money->currency.code);
}

static void put_price(struct lines *lines, const char *key, const char *title,
                      struct fraction price)
{
    text_append_price(&lines->value, &lines->found->wish.instrument, price);
    put(lines, key, title, "");
}

static void put_decimal(struct lines *lines, const char *key, const char *title,
                        struct fraction fraction, int most, const char *unit)
{
    append_decimal(&lines->value, fraction, 0, most);
    put(lines, key, title, unit);
}

static void say_legs(struct lines *lines)
{
    const struct rate_way *way = &lines->found->sizing.way;
    for (size_t i = 0; i < way->count; i++) {
        char date[CALENDAR_TEXT_SIZE];
        const struct rate *leg = way->legs[i];
        text_append_format(&lines->how, "%s%s/%s ",
                           i > 0            ? (way->turned[i] ? " / " : " \xC3\x97 ")
                           : way->turned[i] ? "1 / "
                                            : "",
                           leg->base, leg->quote);
        append_decimal(&lines->how, leg->price, 0, 10);
        time_format(date, leg->at, leg->at % SECONDS_PER_DAY == 0);
        text_append_format(&lines->how, leg->dated ? " of %s" : "%.0s", date);
    }
}

static void put_rate(struct lines *lines)
{
    const struct sizing *sizing = &lines->found->sizing;
    if (sizing->way.count == 0)
        return;
    say_legs(lines);
    put_decimal(lines, "rate", "rate of exchange", sizing->rate, 8, "");
}

static void put_risk_lines(struct lines *lines)
{
    const struct size_wish *wish = &lines->found->wish;
    const struct sizing *sizing = &lines->found->sizing;
    char value[FRACTION_TEXT_SIZE];
    put_price(lines, "entry", "entry", sizing->entry);
    put_price(lines, "stop", "stop", sizing->stop);
    if (sizing->bound == SIZE_BY_ROOM)
        text_append(&lines->how, "what the limit on open risk leaves");
    else if (wish->risk.by_percent) {
        append_decimal(&lines->how, wish->risk.percent, 0, 10);
        text_append(&lines->how, " % of ");
        text_append_money(&lines->how, &wish->balance);
    } else
        text_append(&lines->how, "as given");
    put_money(lines, "allowed", "may be lost", &sizing->allowed);
    put_price(lines, "distance", "from entry to stop", sizing->distance);
    text_append(&lines->how, has_costs(sizing) ? "spread, slippage and commission of both orders"
                                               : "none are known");
    append_decimal(&lines->value, sizing->costs, 0, 10);
    put(lines, "costs", "costs, as a price", "");
    put_rate(lines);
    fraction_format(value, fraction_of_number(wish->instrument.point_value), 0, 15);
    text_append_format(&lines->how, "stop and costs \xC3\x97 %s a point%s", value,
                       sizing->way.count > 0 ? " \xC3\x97 rate" : "");
    put_decimal(lines, "unit_risk", "one unit loses", sizing->unit_risk, 8,
                wish->balance.currency.code);
}

static void put_size_lines(struct lines *lines)
{
    const struct size_wish *wish = &lines->found->wish;
    const struct sizing *sizing = &lines->found->sizing;
    text_append(&lines->how, "in steps of ");
    append_size(&lines->how, fraction_of_number(wish->instrument.size_step));
    text_append(&lines->how, sizing->refused ? ", the smallest there is" : ", rounded down");
    put_decimal(lines, "size", "size", sizing->size, 15, "");
    put_money(lines, "at_risk", "lost at the stop", &sizing->at_risk);
    put_decimal(lines, "next_size", "one step more", sizing->next, 15, "");
    put_money(lines, "next_at_risk", "would lose", &sizing->next_at_risk);
    append_decimal(&lines->how, sizing->costs_r, 2, 2);
    text_append(&lines->how, " R");
    put_money(lines, "costs_paid", "costs included", &sizing->costs_paid);
    put_decimal(lines, "costs_r", "costs, in R", sizing->costs_r, 6, "R");
}

static void put_worth_lines(struct lines *lines)
{
    const struct size_wish *wish = &lines->found->wish;
    const struct sizing *sizing = &lines->found->sizing;
    put_money(lines, "notional", "worth at the entry", &sizing->notional);
    if (wish->instrument.leverage > 0) {
        text_append(&lines->how, "worth / ");
        append_decimal(&lines->how, fraction_of_number(wish->instrument.leverage), 0, 10);
        put_money(lines, "margin", "margin", &sizing->margin);
    }
    if (!lines->found->gap.known)
        return;
    text_append_format(
        &lines->how,
        "99th percentile of how far %zu openings went against it, 0 where they did not; "
        "%.2f ATR",
        lines->found->gap.count, lines->found->gap.atrs);
    put_price(lines, "gap", "stop jumped by", wish->gap);
    put_money(lines, "if_gapped", "then lost", &sizing->if_gapped);
}

/* False where memory ran out. */
static bool put_lines(const struct size_found *found, void (*take)(void *, const struct line *),
                      void *to)
{
    struct lines lines = {.take = take, .to = to, .found = found};
    text_init(&lines.value);
    text_init(&lines.how);
    put_risk_lines(&lines);
    put_size_lines(&lines);
    put_worth_lines(&lines);
    text_free(&lines.value);
    text_free(&lines.how);
    return !lines.failed;
}

/* --- the doors' forms ----------------------------------------------------------------------- */

struct rows {
    struct table *table;
    const struct sizing *sizing;
};

static void take_row(void *to, const struct line *line)
{
    const struct rows *rows = to;
    struct table *table = rows->table;
    bool of_costs = strncmp(line->key, "costs_", 6) == 0;
    /* Those in R stand beside the money. */
    if (strcmp(line->key, "costs_r") == 0 || (of_costs && !has_costs(rows->sizing)))
        return;
    table_text(table, line->title);
    table_text(table, line->value->bytes);
    table_text(table, line->unit);
    table_text(table, line->how->bytes);
}

void answer_size(struct document *document, const struct size_found *found)
{
    static const struct column columns[] = {{"figure", "figure", COLUMN_TEXT, 0, ""},
                                            {"value", "value", COLUMN_FIGURE, 0, ""},
                                            {"unit", "", COLUMN_TEXT, 0, ""},
                                            {"how", "how it comes about", COLUMN_TEXT, 0, ""}};
    struct text words;
    text_init(&words);
    document_title(document, "Size");
    if (found->sizing.refused)
        append_no(&words, found);
    else {
        append_yes(&words, found);
        append_gap(&words, found);
    }
    append_moved(&words, found);
    document_lines(document, BLOCK_ANSWER, &words);
    struct rows rows = {document_table(document, "reckoning", "The reckoning", NULL, columns, 4),
                        &found->sizing};
    if (!put_lines(found, take_row, &rows))
        document->failed = true;
    document_words(document, BLOCK_CAUTION, caution_plan);
}

static void take_member(void *to, const struct line *line)
{
    struct json *json = to;
    json_put_key(json, line->key);
    if (line->value->length > 0)
        json_put_written(json, line->value->bytes, line->value->length);
    else
        json_put_null(json);
}

void size_json(struct json *json, const struct size_found *found)
{
    const struct instrument *instrument = &found->wish.instrument;
    json_member_string(json, "instrument", instrument->name[0] != '\0' ? instrument->name : NULL);
    json_member_string(json, "side", found->sizing.is_short ? "short" : "long");
    json_member_string(json, "currency", found->wish.balance.currency.code);
    json_member_boolean(json, "refused", found->sizing.refused);
    json_member_string(json, "bound", bound_words[found->sizing.bound]);
    if (!put_lines(found, take_member, json))
        json->text->failed = true;
}

static void take_csv(void *to, const struct line *line)
{
    struct text *text = to;
    text_append_format(text, "%s,%s,%s\n", line->key, line->value->bytes, line->unit);
}

void size_csv(struct text *text, const struct size_found *found)
{
    text_append(text, "figure,value,unit\n");
    if (!put_lines(found, take_csv, text))
        text->failed = true;
    text_append_format(text, "refused,%d,\nbound,%s,\n", found->sizing.refused,
                       bound_words[found->sizing.bound]);
}
