#include "answer/case_tables.h"

#include "figures/case_facts.h"

#include <math.h>

static const struct column check_columns[] = {
    {"criterion", "criterion", COLUMN_TEXT, 0, ""},
    {"measured", "measured", COLUMN_FIGURE, 0, ""},
    {"limit", "limit", COLUMN_TEXT, 0, ""},
    {"met", "met", COLUMN_TEXT, 0, ""},
};

static const struct column result_columns[] = {
    {"candle", "candle", COLUMN_TEXT, 0, ""},    {"entry", "entry", COLUMN_FIGURE, 0, "price"},
    {"stop", "stop", COLUMN_FIGURE, 0, "price"}, {"reason", "reason", COLUMN_TEXT, 0, ""},
    {"r", "result, R", COLUMN_FIGURE, 0, "R"},
};

static void put_check(struct table *table, const struct check *check)
{
    static const char *const words[] = {"not met", "met", "cannot be told"};
    const struct reading *reading = &check->reading;
    char name[READING_NAME_SIZE];
    table_format(table, "%s: %s%s", check_section_name(check->section),
                 check->negated ? "not " : "", reading_name(reading, name));
    if (isnan(reading->value))
        table_blank(table, 1);
    else
        table_format(table, "%.10g", reading->value);
    if (isnan(reading->limit))
        table_blank(table, 1);
    else
        table_format(table, "%s %.10g %s", comparison_words(reading->comparison), reading->limit,
                     reading->unit);
    table_text(table, words[check->holds]);
}

static void put_checks(struct table *table, const struct case_request *request)
{
    struct checklist checklist;
    checklist_read(request->view, &request->signal.candle, request->signal.at, &checklist);
    table_init(table, "criteria", check_columns, sizeof check_columns / sizeof check_columns[0]);
    table_set_words(table, "Every criterion with what was measured and its limit", NULL);
    for (size_t i = 0; i < checklist.count; i++)
        put_check(table, &checklist.list[i]);
}

static void put_result(struct table *table, const struct case_facts *facts)
{
    const struct case_request *request = facts->request;
    char time[TICK_TEXT_SIZE];
    bool closed = facts->filled && trade_closed(facts->trade.reason);
    case_time(facts, facts->candle, time);
    table_text(table, time);
    table_decimals(table, facts->places, facts->entry);
    table_decimals(table, facts->places, facts->stop);
    if (request->nearly)
        table_text(table, "nearly a case");
    else
        table_text(table, request->outcome ? trade_reason_name(facts->trade.reason) : NULL);
    table_signed(table, 2, closed ? facts->trade.r : NAN);
}

static int put_results(struct table *table, const struct case_request *requests, size_t count,
                       struct error *error)
{
    table_init(table, "cases", result_columns, sizeof result_columns / sizeof result_columns[0]);
    table_set_words(table, "The cases and what followed", NULL);
    for (size_t i = 0; i < count; i++) {
        struct case_facts facts;
        int code = case_facts_make(&facts, &requests[i], error);
        if (code == ERROR_NONE)
            put_result(table, &facts);
        case_facts_free(&facts);
        if (code != ERROR_NONE)
            return code;
    }
    return ERROR_NONE;
}

int case_table_make(struct table *table, const struct case_request *requests, size_t count,
                    struct error *error)
{
    int code = ERROR_NONE;
    if (count == 1)
        put_checks(table, requests);
    else
        code = put_results(table, requests, count, error);
    return code == ERROR_NONE && table_failed(table) ? error_memory(error) : code;
}
