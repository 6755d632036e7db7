#include "work/explain.h"

#include "base/calendar.h"
#include "work/explain_parts.h"
#include "work/nearly.h"

#include <math.h>
#include <string.h>

const char *const bar_price_words[BAR_PRICES] = {"open", "high", "low", "close"};

int explain_open(struct work *work, struct notices *notices, const char *word,
                 const struct setup *setup, struct rules_case *opened, struct error *error)
{
    if (setup != NULL)
        return rules_open(work, notices, word, setup, opened, error);
    *opened = (struct rules_case){0};
    int code = series_open(work, notices, word, &opened->series, error);
    if (code != ERROR_NONE)
        return code;
    opened->sheet = sheet_of_instrument(&opened->series.bars, &opened->series.instrument);
    return opened->sheet != NULL ? ERROR_NONE : error_memory(error);
}

/* --- which bar ---------------------------------------------------------------------- */

/* Whether the moment lies in the bar; a month has as many days as it has. */
static bool holds_moment(const struct bars *bars, size_t bar, int64_t time)
{
    int64_t begins = bars->time[bar];
    struct civil_time civil;
    if (bars->interval.unit != INTERVAL_MONTH) {
        int64_t seconds = interval_seconds(bars->interval);
        return time - begins < (seconds > 0 ? seconds : 1);
    }
    civil_from_time(&civil, begins);
    int month = civil.month - 1 + bars->interval.count;
    civil.year += month / 12;
    civil.month = month % 12 + 1;
    return time < civil_to_time(&civil);
}

static int no_bar(const struct bars *bars, const char *word, size_t next, int64_t time,
                  bool date_only, struct error *error)
{
    bool dated = interval_is_dated(bars->interval);
    char asked[CALENDAR_TEXT_SIZE];
    char before[CALENDAR_TEXT_SIZE] = "";
    char after[CALENDAR_TEXT_SIZE] = "";
    time_format(asked, time, date_only);
    if (next > 0)
        time_format(before, bars->time[next - 1], dated);
    if (next < bars->count)
        time_format(after, bars->time[next], dated);
    bool both = before[0] != '\0' && after[0] != '\0';
    return error_set(error, ERROR_INPUT, "%s: there is no bar of %s; the nearest %s of %s%s%s",
                     word, asked, both ? "are" : "is", before, both ? " and " : "", after);
}

int explain_find(const struct rules_case *opened, const char *word, int64_t time, bool date_only,
                 size_t *bar, struct error *error)
{
    const struct bars *bars = &opened->series.bars;
    bool dated = interval_is_dated(bars->interval);
    size_t next = bars_find(bars, time);
    if (bars->count == 0)
        return error_set(error, ERROR_INPUT, "%s: there are no bars of it", word);
    if (date_only && !dated) {
        size_t last = bars_find(bars, time + SECONDS_PER_DAY);
        if (last == next)
            return no_bar(bars, word, next, time, true, error);
        if (last - next > 1) {
            char first[CALENDAR_TEXT_SIZE];
            time_format(first, bars->time[next], false);
            return error_set(error, ERROR_USAGE,
                             "%s: that day has %zu bars; the time of one is needed, such as %s",
                             word, last - next, first);
        }
    } else if (next == bars->count || bars->time[next] != time) {
        if (next == 0 || !holds_moment(bars, next - 1, time))
            return no_bar(bars, word, next, time, date_only, error);
        next--;
    }
    *bar = next;
    return ERROR_NONE;
}

/* --- the shapes of the catalogue --------------------------------------------------- */

/* Keeps the shapes that miss by least, against the size of their limit. */
static void keep_nearest(struct nearly *list, const struct nearly *one, const double *scale)
{
    for (size_t i = 0; i < EXPLAIN_NEARLY; i++) {
        double there = fmax(fabs(list[i].missed.limit), 1e-9);
        if (list[i].found && list[i].missed_by / there <= one->missed_by / *scale)
            continue;
        memmove(&list[i + 1], &list[i], (EXPLAIN_NEARLY - 1 - i) * sizeof *list);
        list[i] = *one;
        return;
    }
}

/* A shape that fails one criterion alone, and that by a number. */
static void note_nearly(const struct shape_choice *choice, const struct readings *readings,
                        struct nearly *list)
{
    struct nearly one = {.choice = *choice};
    size_t failed = 0;
    for (size_t i = 0; i < readings->count; i++) {
        if (readings->list[i].met == TRUTH_YES)
            continue;
        failed++;
        one.missed = readings->list[i];
    }
    one.missed_by = fabs(one.missed.value - one.missed.limit);
    double scale = fmax(fabs(one.missed.limit), 1e-9);
    one.found = failed == 1 && one.missed.kind != READING_PRICE && one.missed_by <= scale;
    if (one.found)
        keep_nearest(list, &one, &scale);
}

static void look_at_shapes(struct sheet *sheet, struct explanation *explanation)
{
    for (const struct shape *row = shapes; row->name != NULL; row++) {
        for (int side = 0; side <= (row->mirror_name != NULL); side++) {
            struct shape_choice choice;
            struct readings readings;
            const char *name = side > 0 ? row->mirror_name : row->name;
            /* Every bar is "any": it says nothing. */
            if (strcmp(name, "any") == 0 || !shape_find(name, &choice))
                continue;
            if (!shape_fits(&choice, sheet, explanation->bar, &readings))
                note_nearly(&choice, &readings, explanation->nearly);
            else if (explanation->shape_count < EXPLAIN_SHAPES)
                explanation->shapes[explanation->shape_count++] = choice;
        }
    }
}

/* --- the criteria of the setup ------------------------------------------------------ */

/* The deciding part's row, for its words. */
static const struct criterion *row_of(const struct criterion *criterion, const char *rule)
{
    if (criterion->kind == CRITERION_CONDITION)
        return strcmp(criterion_name(criterion), rule) == 0 ? criterion : NULL;
    for (size_t i = 0; i < criterion->part_count; i++) {
        const struct criterion *found = row_of(&criterion->parts[i], rule);
        if (found != NULL)
            return found;
    }
    return NULL;
}

static void put_words(struct explained *explained, const struct parameter *parameters,
                      const char *help, const char *mirror_help, bool mirrored, const char *source)
{
    unsigned char limit = explained->check.reading.parameter;
    explained->words = mirrored && mirror_help != NULL ? mirror_help : help;
    explained->source = source;
    if (limit > 0 && limit <= parameter_count(parameters))
        explained->limit_words = parameters[limit - 1].help;
}

static void describe(const struct setup *setup, const struct candle *candle,
                     struct explanation *explanation)
{
    size_t shape_count = explanation->count - setup->place.count - setup->confirm.count;
    const struct shape_choice *choice = &setup->candles[candle->choice];
    for (size_t i = 0; i < explanation->count; i++) {
        struct explained *explained = &explanation->criteria[i];
        size_t at = i - shape_count;
        explained->check = explanation->checklist.list[i];
        if (i < shape_count) {
            put_words(explained, choice->shape->limits, choice->shape->help,
                      choice->shape->mirror_help, choice->mirrored, choice->shape->source);
            continue;
        }
        const struct criterion *criterion = at < setup->place.count
                                                ? &setup->place.list[at]
                                                : &setup->confirm.list[at - setup->place.count];
        explained->criterion = criterion;
        const struct criterion *row = row_of(criterion, explained->check.rule);
        if (row != NULL)
            put_words(explained, row->condition->parameters, row->condition->help,
                      row->condition->mirror_help, row->mirrored, row->condition->source);
    }
}

/* The newest earlier candle whose signal falls on this bar. */
static size_t candle_of_signal(const struct setup_view *view, size_t bar)
{
    size_t wait = view->setup->confirm_wait;
    for (size_t back = 1; back <= wait && back <= bar; back++) {
        struct candle candle;
        if (!candidate_at(view, bar - back, &candle))
            continue;
        struct signal signal = signal_of(view, &candle);
        if (signal.state == SIGNAL_GIVEN && signal.at == bar)
            return bar - back;
    }
    return SIZE_MAX;
}

static int explain_criteria(const struct rules_case *opened, struct explanation *explanation,
                            struct error *error)
{
    const struct setup_view *view = &opened->view;
    struct candle candle;
    nearest_candle(view, explanation->bar, &candle);
    checklist_read(view, &candle, explanation->bar, &explanation->checklist);
    explanation->count = explanation->checklist.count;
    describe(view->setup, &candle, explanation);
    explanation->candle_of = candle_of_signal(view, explanation->bar);
    return explain_turns(opened, &candle, explanation, error);
}

int explain_bar(const struct rules_case *opened, bool with_setup, size_t bar,
                struct explanation *explanation, struct error *error)
{
    const struct bars *bars = &opened->series.bars;
    const double *atr = sheet_atr(opened->sheet, 14);
    *explanation = (struct explanation){.bar = bar,
                                        .over = bar < bars_complete(bars),
                                        .prices = bars_at(bars, bar),
                                        .parts = anatomy_of(bars, bar),
                                        .atr = NAN,
                                        .candle_of = SIZE_MAX};
    if (!explanation->over)
        return ERROR_NONE;
    if (atr != NULL)
        explanation->atr = atr[bar];
    look_at_shapes(opened->sheet, explanation);
    int code = with_setup ? explain_criteria(opened, explanation, error) : ERROR_NONE;
    return code == ERROR_NONE && sheet_failed(opened->sheet) ? error_memory(error) : code;
}
