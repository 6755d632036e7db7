/* What a chart window says to those who cannot see it: a description made from
 * facts, and the table. */
#include "base/calendar.h"
#include "figures/chart_parts.h"
#include "figures/chart_window.h"

#include <math.h>
#include <stdio.h>

/* --- description -------------------------------------------------------------------- */

static void append_price(const struct draft *draft, struct text *text, double price)
{
    char number[TICK_TEXT_SIZE];
    number_text(price, draft->places, number);
    text_append(text, number);
}

static void append_at(const struct draft *draft, struct text *text, const char *what, double price,
                      size_t bar)
{
    char time[TICK_TEXT_SIZE];
    window_time(draft->request, bar, time);
    text_append(text, what);
    append_price(draft, text, price);
    text_append_format(text, " on %s", time);
}

static void append_range(const struct draft *draft, struct text *text)
{
    const struct bars *bars = draft->bars;
    size_t low = draft->seen_from;
    size_t high = low;
    for (size_t i = low; i < draft->seen_to; i++) {
        if (bars->low[i] < bars->low[low])
            low = i;
        if (bars->high[i] > bars->high[high])
            high = i;
    }
    append_at(draft, text, "The lowest price is ", bars->low[low], low);
    append_at(draft, text, ", the highest ", bars->high[high], high);
    append_at(draft, text, ", the last close ", bars->close[draft->seen_to - 1],
              draft->seen_to - 1);
    text_append(text, ". ");
}

/* The values of the measures on the last bar in view. */
static void append_measures(const struct draft *draft, struct text *text)
{
    static const char *const words[] = {"", "", "RSI", "MACD", "Stochastic", "ADX"};
    const struct window_request *request = draft->request;
    size_t end = draft->seen_to < draft->complete ? draft->seen_to : draft->complete;
    for (size_t i = 0; i < request->strip_count && end > 0; i++) {
        struct window_columns columns = window_columns_of(request->sheet, &request->strips[i]);
        if (columns.main == NULL || isnan(columns.main[end - 1]))
            continue;
        text_append_format(text, "%s there: %.4g", words[request->strips[i].kind],
                           columns.main[end - 1]);
        if (columns.other != NULL && !isnan(columns.other[end - 1]))
            text_append_format(text, " and %.4g", columns.other[end - 1]);
        text_append(text, ". ");
    }
}

static void append_marks(const struct draft *draft, struct text *text)
{
    const struct window_request *request = draft->request;
    size_t counts[2] = {0, 0};
    for (size_t i = 0; i < request->mark_count; i++)
        if (request->marks[i].bar >= draft->seen_from && request->marks[i].bar < draft->seen_to)
            counts[request->marks[i].full ? 1 : 0]++;
    if (request->mark_count > 0)
        text_append_format(text, "In view: %zu signal%s and %zu other candidate%s. ", counts[1],
                           counts[1] == 1 ? "" : "s", counts[0], counts[0] == 1 ? "" : "s");
}

static void append_orders(const struct draft *draft, struct text *text)
{
    static const char *const words[] = {"Entry", "Stop", "Target"};
    const struct window_request *request = draft->request;
    for (size_t i = 0; i < request->order_count; i++) {
        text_append_format(text, "%s ", words[request->orders[i].kind]);
        append_price(draft, text, request->orders[i].price);
        text_append(text, ". ");
    }
    for (size_t i = 0; i < request->line_count; i++)
        if (request->lines[i].name != NULL)
            text_append_format(text, "Line: %s. ", request->lines[i].name);
}

void window_describe(struct draft *draft)
{
    struct text title;
    struct text description;
    char length[INTERVAL_TEXT_SIZE];
    text_init(&title);
    text_init(&description);
    interval_format(length, draft->bars->interval);
    text_append(&title, draft->request->name);
    if (length[0] != '\0')
        text_append_format(&title, ", bars of %s", length);
    if (draft->seen_from < draft->seen_to) {
        char first[TICK_TEXT_SIZE];
        char last[TICK_TEXT_SIZE];
        window_time(draft->request, draft->seen_from, first);
        window_time(draft->request, draft->seen_to - 1, last);
        size_t count = draft->seen_to - draft->seen_from;
        text_append_format(&title, ", %s to %s", first, last);
        text_append_format(&description, "%zu bar%s%s. ", count, count == 1 ? "" : "s",
                           draft->window->places[0].pane.logarithmic ? ", on a logarithmic scale"
                                                                     : "");
        append_range(draft, &description);
        append_measures(draft, &description);
        append_marks(draft, &description);
        append_orders(draft, &description);
    } else {
        text_append(&description, "No bars in view.");
    }
    picture_describe(draft->window->still, title.bytes, description.bytes);
    text_free(&title);
    text_free(&description);
}

/* --- table -------------------------------------------------------------------------- */

enum {
    PRICE_COLUMNS = 6,
    COLUMN_LIMIT = PRICE_COLUMNS + WINDOW_CURVE_LIMIT + 3 * WINDOW_STRIP_LIMIT
};

struct bar_column {
    const double *values;
    int decimals; /* -1: four significant digits */
    char head[48];
};

static void add_column(struct bar_column *columns, size_t *count, const double *values,
                       int decimals, const char *head)
{
    if (values == NULL || *count == COLUMN_LIMIT)
        return;
    columns[*count].values = values;
    columns[*count].decimals = decimals;
    snprintf(columns[*count].head, sizeof columns[*count].head, "%.47s", head);
    (*count)++;
}

static size_t list_columns(const struct window_request *request, struct bar_column *columns)
{
    static const char *const heads[][4] = {{""},
                                           {""},
                                           {"RSI", "its average"},
                                           {"MACD", "its signal", "", "their difference"},
                                           {"stochastic", "its average"},
                                           {"ADX", "movement up", "movement down"}};
    const struct bars *bars = sheet_bars(request->sheet);
    int places = decimals_of(request->tick);
    size_t count = 0;
    add_column(columns, &count, bars->open, places, "open");
    add_column(columns, &count, bars->high, places, "high");
    add_column(columns, &count, bars->low, places, "low");
    add_column(columns, &count, bars->close, places, "close");
    add_column(columns, &count, bars->volume, -1, "volume");
    for (size_t i = 0; i < request->curve_count; i++)
        add_column(columns, &count, window_curve_column(request->sheet, &request->curves[i]),
                   places,
                   request->curves[i].name != NULL ? request->curves[i].name
                                                   : measures[request->curves[i].measure].name);
    for (size_t i = 0; i < request->strip_count; i++) {
        const struct window_strip *strip = &request->strips[i];
        struct window_columns found = window_columns_of(request->sheet, strip);
        if (strip->kind == WINDOW_VOLUME)
            continue;
        add_column(columns, &count, found.main, -1, heads[strip->kind][0]);
        add_column(columns, &count, found.other, -1, heads[strip->kind][1]);
        add_column(columns, &count, found.third, -1, heads[strip->kind][2]);
        add_column(columns, &count, found.differences, -1, heads[strip->kind][3]);
    }
    return count;
}

static void put_row(struct table *table, const struct window_request *request,
                    const struct bar_column *columns, size_t bar)
{
    char text[TICK_TEXT_SIZE];
    window_time(request, bar, text);
    table_text(table, text);
    for (size_t i = 0; i + 1 < table->column_count; i++) {
        /* A partial last bar has prices, but no measures yet. */
        bool known = i < PRICE_COLUMNS - 1 || bar < sheet_count(request->sheet);
        double value = known ? columns[i].values[bar] : NAN;
        if (columns[i].decimals >= 0 || isnan(value))
            table_decimals(table, columns[i].decimals, value);
        else
            table_format(table, "%.10g", value);
    }
}

int chart_window_table(struct table *table, const struct window_request *request, size_t most,
                       struct error *error)
{
    struct bar_column columns[COLUMN_LIMIT];
    struct column heads[COLUMN_LIMIT + 1] = {{"bar", "bar", COLUMN_TEXT, 0, ""}};
    size_t count = list_columns(request, columns);
    size_t bars = sheet_bars(request->sheet)->count;
    size_t last = request->last <= 0 ? 0 : (size_t)fmin(ceil(request->last), (double)bars);
    size_t first = request->first <= 0 ? 0 : (size_t)fmin(floor(request->first), (double)last);
    if (last - first > most)
        first = last - most;
    for (size_t i = 0; i < count; i++)
        heads[i + 1] = (struct column){columns[i].head, columns[i].head, COLUMN_FIGURE, 0, ""};
    table_init(table, "bars", heads, count + 1);
    table_set_words(table, "The bars in view, with their measures", NULL);
    for (size_t i = first; i < last; i++)
        put_row(table, request, columns, i);
    return table_failed(table) || sheet_failed(request->sheet) ? error_memory(error) : ERROR_NONE;
}
