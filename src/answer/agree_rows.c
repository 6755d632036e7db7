#include "answer/agree_rows.h"

#include "base/calendar.h"

#include <math.h>
#include <stdio.h>

static const struct column columns[] = {
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"candle_time", "candle", COLUMN_TEXT, 0, ""},
    {"verdict", "who sees it", COLUMN_TEXT, 0, ""},
    {"criterion", "criterion", COLUMN_TEXT, 0, ""},
    {"measured", "measured", COLUMN_NUMBER, 4, ""},
    {"comparison", "", COLUMN_TEXT, 0, ""},
    {"limit", "limit", COLUMN_NUMBER, 4, ""},
    {"unit", "unit", COLUMN_TEXT, 0, ""},
};

static const char *const verdict_names[] = {"", "both", "only the person", "only the rule"};

const struct column *agree_columns(size_t *count)
{
    *count = sizeof columns / sizeof columns[0];
    return columns;
}

static void put_check(struct table *table, const struct agreed *agreed,
                      const struct agreement_bar *bar, const struct check *check)
{
    const struct rules_case *opened = &agreed->cases[bar->instrument];
    const struct bars *bars = &opened->series.bars;
    char time[CALENDAR_TEXT_SIZE];
    char name[READING_NAME_SIZE];
    char criterion[READING_NAME_SIZE + 80];
    time_format(time, bars->time[bar->bar], interval_is_dated(bars->interval));
    table_text(table, opened->series.instrument.name);
    table_text(table, time);
    table_text(table, verdict_names[bar->verdict]);
    if (check == NULL) {
        for (int i = 0; i < 5; i++)
            table_text(table, NULL);
        return;
    }
    snprintf(criterion, sizeof criterion, "%s %s: %s", check_section_name(check->section),
             check->rule, reading_name(&check->reading, name));
    table_text(table, criterion);
    table_number(table, check->reading.value);
    table_text(table, comparison_words(check->reading.comparison));
    table_number(table, check->reading.limit);
    table_text(table, check->reading.unit);
}

/* The criterion that the bar meets by least, of those with a limit that can be
 * moved: the one to tighten. */
static const struct check *tightest(const struct checklist *checklist)
{
    const struct check *found = NULL;
    double least = INFINITY;
    for (size_t i = 0; i < checklist->count; i++) {
        const struct check *check = &checklist->list[i];
        double scale = fmax(fabs(check->reading.limit), 1e-9);
        double margin = fabs(check->reading.value - check->reading.limit) / scale;
        bool movable = check->reading.parameter > 0 && !check->negated;
        if (check->holds == TRUTH_YES && movable && margin < least) {
            least = margin;
            found = check;
        }
    }
    return found;
}

static void put_bar(struct table *table, const struct agreed *agreed,
                    const struct agreement_bar *bar)
{
    const struct setup_view *view = &agreed->cases[bar->instrument].view;
    struct checklist checklist;
    struct candle candle;
    if (bar->verdict == VERDICT_BOTH) {
        put_check(table, agreed, bar, NULL);
        return;
    }
    if (!candle_at(view, bar->bar, &candle))
        candle = candle_of_bar(view, bar->bar);
    checklist_read(view, &candle, bar->bar, &checklist);
    if (bar->verdict == VERDICT_RULE || checklist.count == 0) {
        put_check(table, agreed, bar, tightest(&checklist));
        return;
    }
    size_t shown = 0;
    for (size_t i = 0; i < checklist.count; i++) {
        if (checklist.list[i].holds == TRUTH_YES)
            continue;
        put_check(table, agreed, bar, &checklist.list[i]);
        shown++;
    }
    if (shown == 0)
        put_check(table, agreed, bar, NULL);
}

void agree_put(struct table *table, const struct agreed *agreed)
{
    for (size_t i = 0; i < agreed->agreement.count; i++)
        if (agreed->agreement.bars[i].verdict != VERDICT_NEITHER)
            put_bar(table, agreed, &agreed->agreement.bars[i]);
}

void agree_closing(struct text *closing, const struct agreement *agreement)
{
    text_append_format(closing, "Both: %zu. Only the person: %zu. Only the rule: %zu.",
                       agreement->both, agreement->person, agreement->rule);
    size_t moved = 0;
    for (size_t i = 0; i < agreement->limit_count; i++) {
        const struct movable_limit *limit = &agreement->limits[i];
        if (limit->best == limit->limit)
            continue;
        text_append_format(closing, "%s %s: %s ", moved++ > 0 ? "," : " They agree best with",
                           limit->rule, limit->name);
        text_append_number(closing, limit->best);
        text_append(closing, " (now ");
        text_append_number(closing, limit->limit);
        text_append_char(closing, ')');
    }
    if (moved > 0)
        text_append_format(closing,
                           ". That would give %zu candles: both %zu, only the person %zu, only the "
                           "rule %zu.",
                           agreement->best_both + agreement->best_rule, agreement->best_both,
                           agreement->best_person, agreement->best_rule);
    else
        text_append(closing, " No single limit can be moved to agree better.");
    text_append(closing,
                "\nLimits fitted to what one has marked fit those marks; they say nothing of other "
                "charts, and nothing of profit.");
}
