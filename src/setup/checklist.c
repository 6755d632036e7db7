#include "setup/checklist.h"

#include <math.h>

_Static_assert(READING_LIMIT + PLACE_LIMIT + CONFIRM_LIMIT <= CHECK_LIMIT,
               "a checklist has room for every criterion of a setup");

const char *check_section_name(enum check_section section)
{
    static const char *const names[] = {"candle", "place", "confirm"};
    return names[section];
}

static void add_check(struct checklist *checklist, struct check check)
{
    checklist->list[checklist->count++] = check;
}

/* The part of a group that decides: the first that holds, else the first. */
static const struct criterion *deciding_part(const struct setup_view *view,
                                             const struct criterion *criterion,
                                             const struct candle *candle, size_t at, bool *negated)
{
    while (criterion->kind != CRITERION_CONDITION) {
        const struct criterion *next = &criterion->parts[0];
        *negated = *negated != (criterion->kind == CRITERION_NOT);
        for (size_t i = 0; i < criterion->part_count; i++) {
            if (criterion_holds(view, &criterion->parts[i], candle, at) == TRUTH_YES) {
                next = &criterion->parts[i];
                break;
            }
        }
        criterion = next;
    }
    return criterion;
}

static enum truth add_criterion(const struct setup_view *view, const struct criterion *criterion,
                                const struct candle *candle, size_t at, enum check_section section,
                                struct checklist *checklist)
{
    struct check check = {.section = section,
                          .holds = criterion_holds(view, criterion, candle, at)};
    check.untold = criterion_untold(view, criterion, candle, at);
    const struct criterion *part = deciding_part(view, criterion, candle, at, &check.negated);
    check.rule = criterion_name(part);
    check.part = part;
    check.reading = criterion_reading(view, part, candle, at);
    add_check(checklist, check);
    return check.holds;
}

void checklist_read(const struct setup_view *view, const struct candle *candle, size_t at,
                    struct checklist *checklist)
{
    const struct setup *setup = view->setup;
    const struct shape_choice *choice = &setup->candles[candle->choice];
    const double *atr = sheet_atr(view->plain, 14);
    struct readings readings;
    *checklist = (struct checklist){.at_least = setup->confirm_at_least,
                                    .atr = atr != NULL ? atr[candle->at] : NAN};
    checklist->met = shape_fits(choice, view->plain, candle->at, &readings);
    for (size_t i = 0; i < readings.count; i++)
        add_check(checklist, (struct check){.section = CHECK_CANDLE,
                                            .rule = shape_name(choice),
                                            .reading = readings.list[i],
                                            .holds = readings.list[i].met});
    for (size_t i = 0; i < setup->place.count; i++)
        if (add_criterion(view, &setup->place.list[i], candle, candle->at, CHECK_PLACE,
                          checklist) != TRUTH_YES)
            checklist->met = false;
    for (size_t i = 0; i < setup->confirm.count; i++)
        checklist->confirmed += add_criterion(view, &setup->confirm.list[i], candle, at,
                                              CHECK_CONFIRM, checklist) == TRUTH_YES;
    if (checklist->confirmed < checklist->at_least)
        checklist->met = false;
}

bool checklist_untold(const struct checklist *checklist)
{
    size_t possible = checklist->confirmed;
    bool untold = false;
    for (size_t i = 0; i < checklist->count; i++) {
        const struct check *check = &checklist->list[i];
        bool confirm = check->section == CHECK_CONFIRM;
        if (check->holds != TRUTH_YES && !check->untold && !confirm)
            return false;
        possible += confirm && check->untold;
        untold = untold || check->untold;
    }
    return untold && !checklist->met && possible >= checklist->at_least;
}

static double missed_by_of(const struct reading *reading, double atr)
{
    double scale = fabs(reading->limit) > 0 ? fabs(reading->limit) : 1;
    if (reading->kind == READING_PRICE)
        scale = atr;
    double missed = fabs(reading->value - reading->limit) / scale;
    return isnan(missed) ? INFINITY : missed;
}

bool checklist_nearly(const struct checklist *checklist, const struct check **failed,
                      double *missed_by)
{
    size_t failures = 0;
    size_t missing = checklist->confirmed < checklist->at_least
                         ? checklist->at_least - checklist->confirmed
                         : 0;
    *failed = NULL;
    *missed_by = INFINITY;
    for (size_t i = 0; i < checklist->count; i++) {
        const struct check *check = &checklist->list[i];
        if (check->holds == TRUTH_YES)
            continue;
        double missed = check->negated ? INFINITY : missed_by_of(&check->reading, checklist->atr);
        bool confirm = check->section == CHECK_CONFIRM;
        failures += !confirm;
        if (confirm && missing == 0)
            continue;
        if (!confirm || *failed == NULL || missed < *missed_by) {
            *failed = check;
            *missed_by = missed;
        }
    }
    return failures + missing == 1;
}
