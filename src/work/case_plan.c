#include "work/case_plan.h"

#include <math.h>
#include <string.h>

static const struct way_row {
    const char *name;
    enum entry_kind kind;
    const char *entry; /* the usual row of its kind */
} ways[WAY_COUNT] = {
    [WAY_BREAK] = {"break", ENTRY_STOP_ORDER, "break_of_high"},
    [WAY_CLOSE] = {"close", ENTRY_CLOSE, "close_above_high"},
    [WAY_RETURN] = {"return", ENTRY_RETEST, "retest"},
    [WAY_OPEN] = {"open", ENTRY_MARKET, "next_open"},
    [WAY_LIMIT] = {"limit", ENTRY_LIMIT, "limit_below_close"},
};

const char *entry_way_name(enum entry_way way)
{
    return ways[way].name;
}

enum entry_way entry_way_find(const char *name, enum entry_way missing)
{
    for (int way = 0; name != NULL && way < WAY_COUNT; way++)
        if (strcmp(ways[way].name, name) == 0)
            return (enum entry_way)way;
    return missing;
}

enum entry_way entry_way_of(const struct setup *setup)
{
    int way = 0;
    while (ways[way].kind != setup->entry.entry->kind)
        way++;
    return (enum entry_way)way;
}

/* What is returned to is what the setup waits to see broken. */
static enum retest_of level_of(const struct entry *entry)
{
    if (strcmp(entry->name, "trend_line_break") == 0)
        return RETEST_TREND_LINE;
    return strcmp(entry->name, "swing_high_break") == 0 ? RETEST_SWING : RETEST_RETRACEMENT;
}

static void take_way(struct setup *setup, enum entry_way way)
{
    bool mirrored = false;
    const struct entry *own = setup->entry.entry;
    if (own->kind == ways[way].kind)
        return;
    setup->entry.entry = entry_find(ways[way].entry, &mirrored);
    setup->entry.retest_of = level_of(own);
    parameter_defaults(setup->entry.entry->parameters, setup->entry.values);
}

static int plan_way(const struct rules_case *opened, struct sheet *sheet, const struct setup *setup,
                    const struct signal *signal, enum entry_way way,
                    const struct planned_lines *lines, struct planned_orders *orders,
                    struct error *error)
{
    struct setup tried = *setup; /* borrows all that it points to */
    struct setup_view view;
    take_way(&tried, way);
    int code = setup_view_init(&view, &tried, sheet, &opened->around, error);
    if (code == ERROR_NONE)
        trade_plan(&view, &opened->terms, signal, lines, orders);
    return code;
}

int case_plan_make(const struct rules_case *opened, struct sheet *sheet, const struct setup *setup,
                   size_t at, enum entry_way way, const struct planned_lines *lines,
                   struct case_plan *plan, bool *found, struct error *error)
{
    const struct planned_lines others = {NAN, lines->stop, lines->target};
    struct setup_view view;
    struct signal signal = {.at = at, .state = SIGNAL_GIVEN};
    *plan = (struct case_plan){.own = entry_way_of(setup), .way = way};
    plan->supposed = setup->confirm.count > 0 && setup->confirm_wait > 0;
    int code = setup_view_init(&view, setup, sheet, &opened->around, error);
    *found = code == ERROR_NONE && candle_at(&view, at, &signal.candle);
    if (!*found)
        return code;
    for (int each = 0; code == ERROR_NONE && each < WAY_COUNT; each++) {
        plan->offered[each] = each < WAY_OPEN || plan->own == (enum entry_way)each;
        if (plan->offered[each])
            code = plan_way(opened, sheet, setup, &signal, (enum entry_way)each, &others,
                            &plan->ways[each], error);
    }
    if (code == ERROR_NONE && !plan->offered[way])
        plan->way = plan->own;
    if (code == ERROR_NONE)
        code = plan_way(opened, sheet, setup, &signal, plan->way, lines, &plan->orders, error);
    return code == ERROR_NONE && sheet_failed(sheet) ? error_memory(error) : code;
}
