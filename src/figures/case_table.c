/* The tables behind the sheets. */
#include "base/array.h"
#include "figures/case_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static bool put(struct case_table *table, size_t row, size_t column, const char *text)
{
    char **cell = &table->cells[row * table->columns + column];
    *cell = string_copy(text);
    return *cell != NULL;
}

static bool make_room(struct case_table *table, size_t columns, size_t rows)
{
    table->columns = columns;
    table->rows = rows;
    table->cells = calloc(columns * rows, sizeof *table->cells);
    return table->cells != NULL;
}

static bool put_heads(struct case_table *table, const char *const *heads)
{
    bool ok = true;
    for (size_t i = 0; i < table->columns; i++)
        ok &= put(table, 0, i, heads[i]);
    return ok;
}

static bool put_checks(struct case_table *table, const struct checklist *checklist)
{
    static const char *const heads[] = {"criterion", "measured", "limit", "met"};
    static const char *const words[] = {"not met", "met", "cannot be told"};
    if (!make_room(table, 4, checklist->count + 1))
        return false;
    table->caption = "Every criterion with what was measured and its limit";
    bool ok = put_heads(table, heads);
    for (size_t i = 0; i < checklist->count; i++) {
        const struct reading *reading = &checklist->list[i].reading;
        char name[READING_NAME_SIZE];
        char text[160];
        snprintf(text, sizeof text, "%s: %s%s", check_section_name(checklist->list[i].section),
                 checklist->list[i].negated ? "not " : "", reading_name(reading, name));
        ok &= put(table, i + 1, 0, text);
        text[0] = '\0';
        if (!isnan(reading->value))
            snprintf(text, sizeof text, "%.10g", reading->value);
        ok &= put(table, i + 1, 1, text);
        text[0] = '\0';
        if (!isnan(reading->limit))
            snprintf(text, sizeof text, "%s %.10g %s", comparison_words(reading->comparison),
                     reading->limit, reading->unit);
        ok &= put(table, i + 1, 2, text);
        ok &= put(table, i + 1, 3, words[checklist->list[i].holds]);
    }
    return ok;
}

static bool put_result(struct case_table *table, size_t row, const struct case_facts *facts)
{
    char text[TICK_TEXT_SIZE];
    case_time(facts, facts->candle, text);
    bool ok = put(table, row, 0, text);
    const double prices[] = {facts->entry, facts->stop};
    for (size_t i = 0; i < 2; i++) {
        text[0] = '\0';
        if (!isnan(prices[i]))
            case_price(facts, prices[i], text);
        ok &= put(table, row, 1 + i, text);
    }
    bool closed = facts->filled && trade_closed(facts->trade.reason);
    ok &= put(table, row, 3, facts->request->outcome ? trade_reason_name(facts->trade.reason) : "");
    text[0] = '\0';
    if (closed)
        case_r_text(facts->trade.r, text);
    return put(table, row, 4, text) && ok;
}

static int put_results(struct case_table *table, const struct case_request *requests, size_t count,
                       struct error *error)
{
    static const char *const heads[] = {"candle", "entry", "stop", "reason", "result"};
    if (!make_room(table, 5, count + 1) || !put_heads(table, heads))
        return error_memory(error);
    table->caption = "The cases and what followed";
    for (size_t i = 0; i < count; i++) {
        struct case_facts facts;
        int code = case_facts_make(&facts, &requests[i], error);
        if (code == ERROR_NONE && !put_result(table, i + 1, &facts))
            code = error_memory(error);
        case_facts_free(&facts);
        if (code != ERROR_NONE)
            return code;
    }
    return ERROR_NONE;
}

int case_table_make(struct case_table *table, const struct case_request *requests, size_t count,
                    struct error *error)
{
    struct checklist checklist;
    *table = (struct case_table){0};
    if (count > 1)
        return put_results(table, requests, count, error);
    checklist_read(requests->view, &requests->signal.candle, requests->signal.at, &checklist);
    return put_checks(table, &checklist) ? ERROR_NONE : error_memory(error);
}

void case_table_free(struct case_table *table)
{
    for (size_t i = 0; table->cells != NULL && i < table->columns * table->rows; i++)
        free(table->cells[i]);
    free(table->cells);
    *table = (struct case_table){0};
}
