#include "work/held.h"

#include "base/array.h"
#include "work/rules_parts.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* --- opening -------------------------------------------------------------------------- */

/* What decides which bars are opened, and what beside them. */
static int key_of(const struct work *work, const struct setup *setup, const char *stamp, char **key,
                  struct error *error)
{
    struct setup_other others[SETUP_OTHERS];
    size_t count = setup_others(setup, others);
    char interval[INTERVAL_TEXT_SIZE];
    struct text text;
    const char *list = work_wishes(work)->list;
    text_init(&text);
    interval_format(interval, setup->interval);
    text_append_format(&text, "%s\n%s\n%s\n%d%d%d", stamp, list != NULL ? list : "", interval,
                       rules_ask(setup, condition_asks_for_events), rules_read_levels(setup),
                       setup->same_bar == SAME_BAR_FINER);
    for (size_t i = 0; i < count; i++) {
        interval_format(interval, others[i].interval);
        text_append_format(&text, "\n%s@%s", others[i].name, interval);
    }
    *key = text_take(&text);
    return *key != NULL ? ERROR_NONE : error_memory(error);
}

static int open_one(struct held *held, struct work *work, const struct setup *setup,
                    const char *word, struct error *error)
{
    struct notices notices = {0};
    struct error own = {0};
    struct held_series *one = &held->list[held->count];
    int code = rules_open(work, &notices, word, setup, &one->opened, &own);
    notices_free(&notices);
    if (code == ERROR_NONE) {
        one->memory = criterion_memory_new(one->opened.series.bars.count, HELD_BYTES / 16);
        held->count++;
        return one->memory != NULL ? ERROR_NONE : error_memory(error);
    }
    rules_close(&one->opened);
    if (code == ERROR_MACHINE) {
        *error = own;
        return code;
    }
    if (held->set_aside++ == 0)
        held->why = own;
    return ERROR_NONE;
}

int held_open(struct held *held, struct work *work, const struct setup *setup, const char *stamp,
              struct error *error)
{
    char **words = NULL;
    size_t count = 0;
    char *key = NULL;
    int code = key_of(work, setup, stamp, &key, error);
    if (code != ERROR_NONE)
        return code;
    if (held->key != NULL && strcmp(held->key, key) == 0) {
        free(key);
        return ERROR_NONE;
    }
    held_free(held);
    code = series_words(work, 0, &words, &count, error);
    held->list = code == ERROR_NONE ? calloc(count + 1, sizeof *held->list) : NULL;
    if (code == ERROR_NONE && held->list == NULL)
        code = error_memory(error);
    for (size_t i = 0; i < count && code == ERROR_NONE; i++)
        code = open_one(held, work, setup, words[i], error);
    words_free(words, count);
    if (code == ERROR_NONE)
        held->key = key;
    else
        free(key);
    return code;
}

void held_free(struct held *held)
{
    for (size_t i = 0; held->list != NULL && i < held->count; i++) {
        rules_close(&held->list[i].opened);
        criterion_memory_free(held->list[i].memory);
    }
    free(held->list);
    free(held->key);
    criterion_texts_free(&held->texts);
    *held = (struct held){0};
}

int held_view(const struct held *held, size_t index, const struct setup *setup,
              struct setup_view *view, struct error *error)
{
    const struct held_series *one = &held->list[index];
    int code = setup_view_init(view, setup, one->opened.sheet, &one->opened.around, error);
    view->memory = one->memory;
    return code;
}

/* Everything is opened anew the next time where it has grown too large. */
static void trim(struct held *held)
{
    size_t bytes = 0;
    for (size_t i = 0; i < held->count; i++)
        bytes += sheet_bytes(held->list[i].opened.sheet) +
                 criterion_memory_size(held->list[i].memory);
    if (bytes > HELD_BYTES) {
        free(held->key);
        held->key = NULL;
    }
}

/* --- each of them ------------------------------------------------------------------------ */

typedef int look_at(const struct held *held, const struct setup_view *view, size_t index,
                    void *result, struct error *error);

static int look_at_all(struct held *held, struct work *work, struct setup *setup, look_at *look,
                       void *results, size_t size, struct error *error)
{
    size_t failed = SIZE_MAX;
    int code = criterion_texts_number(&held->texts, setup, error);
    if (code != ERROR_NONE)
        return code;
#pragma omp parallel for schedule(dynamic, 1) num_threads(work_wishes(work)->threads)
    for (size_t i = 0; i < held->count; i++) {
        struct error own = {0};
        struct setup_view view;
        int one = held_view(held, i, setup, &view, &own);
        if (one == ERROR_NONE)
            one = look(held, &view, i, (char *)results + i * size, &own);
        if (one == ERROR_NONE && sheet_failed(view.plain))
            one = error_memory(&own);
        if (one == ERROR_NONE)
            continue;
#pragma omp critical(held_error)
        if (i < failed) { /* the first of them, in whatever order they were looked at */
            failed = i;
            code = one;
            *error = own;
        }
    }
    return code;
}

/* --- counting ------------------------------------------------------------------------------ */

static struct tally_row *add_row(struct tally *tally, enum check_section section, size_t item)
{
    struct tally_row *row = &tally->rows[tally->count++];
    *row = (struct tally_row){.section = section, .item = item};
    return row;
}

/* A candle of one shape is counted by its criteria, one of several by shapes. */
static void lay_rows(const struct setup *setup, struct tally *tally)
{
    for (size_t i = 0; setup->candle_count > 1 && i < setup->candle_count; i++)
        add_row(tally, CHECK_CANDLE, i);
    for (size_t i = 0; i < setup->place.count; i++)
        add_row(tally, CHECK_PLACE, i);
    for (size_t i = 0; i < setup->confirm.count; i++)
        add_row(tally, CHECK_CONFIRM, i);
}

/* The criteria of the one shape, put before the other rows once a bar tells
 * them. */
static void put_readings(struct tally *tally, const struct readings *readings)
{
    memmove(&tally->rows[readings->count], &tally->rows[0], tally->count * sizeof *tally->rows);
    for (size_t i = 0; i < readings->count; i++)
        tally->rows[i] = (struct tally_row){.section = CHECK_CANDLE,
                                            .reading = readings->list[i],
                                            .has_reading = true};
    tally->count += readings->count;
}

/* Whether the candle's own rows are met; counts them. */
static bool count_shape(const struct setup_view *view, size_t at, struct tally *tally)
{
    const struct setup *setup = view->setup;
    bool all = true;
    if (setup->candle_count > 1) {
        bool any = false;
        for (size_t i = 0; i < setup->candle_count; i++) {
            bool fits = shape_ends(view, &setup->candles[i], at);
            any = any || fits;
            tally->rows[i].alone += fits;
            tally->rows[i].together += any;
        }
        return any;
    }
    struct readings readings;
    readings.count = 0;
    bool fits = shape_fits(&setup->candles[0], view->plain, at, &readings);
    if (readings.count == 0)
        return fits;
    if (tally->rows[0].section != CHECK_CANDLE || tally->count == 0)
        put_readings(tally, &readings);
    for (size_t i = 0; i < readings.count; i++) {
        bool met = readings.list[i].met == TRUTH_YES;
        all = all && met;
        tally->rows[i].alone += met;
        tally->rows[i].together += all;
    }
    return all;
}

static void count_bar(const struct setup_view *view, size_t at, struct tally *tally)
{
    const struct setup *setup = view->setup;
    size_t bars = setup->candles[0].shape->bars;
    bool all = count_shape(view, at, tally);
    struct candle candle = candle_of_bar(view, at);
    if (at + 1 < bars)
        return;
    candle.first = at + 1 - bars;
    for (size_t i = 0; i < tally->count; i++) {
        struct tally_row *row = &tally->rows[i];
        if (row->section == CHECK_CANDLE)
            continue;
        const struct criteria *list = row->section == CHECK_PLACE ? &setup->place : &setup->confirm;
        bool met = criterion_holds(view, &list->list[row->item], &candle, at) == TRUTH_YES;
        row->alone += met;
        if (row->section == CHECK_CONFIRM)
            continue;
        all = all && met;
        row->together += all;
    }
}

static int count_series(const struct held *held, const struct setup_view *view, size_t index,
                        void *result, struct error *error)
{
    struct tally *tally = result;
    struct signals signals;
    size_t first = held->list[index].opened.series.first;
    size_t count = sheet_count(view->plain);
    lay_rows(view->setup, tally);
    tally->bars = count > first ? count - first : 0;
    for (size_t at = first; at < count; at++)
        count_bar(view, at, tally);
    int code = signals_find(view, first, SIZE_MAX, true, &signals, error);
    tally->candidates = signals.candidates;
    tally->signals = signals.count;
    signals_free(&signals);
    return code;
}

/* Rows of an instrument without a bar that could be a candle lack the readings;
 * they add nothing. */
static void add_tally(struct tally *all, const struct tally *one)
{
    all->bars += one->bars;
    all->candidates += one->candidates;
    all->signals += one->signals;
    if (one->count > all->count) {
        memcpy(all->rows, one->rows, sizeof all->rows);
        all->count = one->count;
        return;
    }
    for (size_t i = 0; one->count == all->count && i < one->count; i++) {
        all->rows[i].alone += one->rows[i].alone;
        all->rows[i].together += one->rows[i].together;
    }
}

int held_tally(struct held *held, struct work *work, struct setup *setup, struct tally *tally,
               struct error *error)
{
    struct tally *each = calloc(held->count + 1, sizeof *each);
    *tally = (struct tally){0};
    if (each == NULL)
        return error_memory(error);
    int code = look_at_all(held, work, setup, count_series, each, sizeof *each, error);
    for (size_t i = 0; code == ERROR_NONE && i < held->count; i++)
        add_tally(tally, &each[i]);
    for (size_t i = 0; i < tally->count; i++)
        if (tally->rows[i].section == CHECK_CONFIRM)
            tally->rows[i].together = tally->signals;
    free(each);
    trim(held);
    return code;
}

/* --- cases ------------------------------------------------------------------------------------ */

double case_nearness(const struct setup_view *view, const struct signal *signal)
{
    struct checklist checklist;
    double least = INFINITY;
    checklist_read(view, &signal->candle, signal->at, &checklist);
    for (size_t i = 0; i < checklist.count; i++) {
        const struct check *check = &checklist.list[i];
        const struct reading *reading = &check->reading;
        double scale = fabs(reading->limit) > 0 ? fabs(reading->limit) : 1;
        double room = fabs(reading->value - reading->limit) /
                      (reading->kind == READING_PRICE ? checklist.atr : scale);
        if (check->holds == TRUTH_YES && !check->negated && room < least)
            least = room;
    }
    return least;
}

struct found_cases {
    struct held_case *list;
    size_t count;
};

static int find_cases(const struct held *held, const struct setup_view *view, size_t index,
                      void *result, struct error *error)
{
    struct found_cases *found = result;
    struct signals signals;
    const struct bars *bars = &held->list[index].opened.series.bars;
    int code = signals_find(view, held->list[index].opened.series.first, SIZE_MAX, true, &signals,
                            error);
    found->list = code == ERROR_NONE ? array_new(signals.count, sizeof *found->list) : NULL;
    if (code == ERROR_NONE && found->list == NULL)
        code = error_memory(error);
    for (size_t i = 0; code == ERROR_NONE && i < signals.count; i++)
        found->list[found->count++] = (struct held_case){
            .series = index,
            .signal = signals.list[i],
            .time = bars->time[signals.list[i].candle.at],
            .nearness = case_nearness(view, &signals.list[i]),
        };
    signals_free(&signals);
    return code;
}

int held_case_by_time(const struct held_case *x, const struct held_case *y)
{
    if (x->time != y->time)
        return x->time < y->time ? -1 : 1;
    return (x->series > y->series) - (x->series < y->series);
}

int held_case_by_nearness(const struct held_case *x, const struct held_case *y)
{
    if (x->nearness < y->nearness || y->nearness < x->nearness)
        return x->nearness < y->nearness ? -1 : 1;
    return held_case_by_time(x, y);
}

static int by_time(const void *a, const void *b)
{
    return held_case_by_time(a, b);
}

static int by_nearness(const void *a, const void *b)
{
    return held_case_by_nearness(a, b);
}

void held_cases_by_nearness(struct held_cases *cases)
{
    if (cases->count > 0)
        qsort(cases->list, cases->count, sizeof *cases->list, by_nearness);
}

int held_cases_find(struct held *held, struct work *work, struct setup *setup,
                    struct held_cases *cases, struct error *error)
{
    struct found_cases *each = calloc(held->count + 1, sizeof *each);
    size_t count = 0;
    *cases = (struct held_cases){0};
    if (each == NULL)
        return error_memory(error);
    int code = look_at_all(held, work, setup, find_cases, each, sizeof *each, error);
    for (size_t i = 0; i < held->count; i++)
        count += each[i].count;
    cases->list = array_new(count, sizeof *cases->list);
    if (code == ERROR_NONE && cases->list == NULL)
        code = error_memory(error);
    for (size_t i = 0; i < held->count; i++) {
        for (size_t k = 0; code == ERROR_NONE && k < each[i].count; k++)
            cases->list[cases->count++] = each[i].list[k];
        free(each[i].list);
    }
    free(each);
    if (cases->count > 0)
        qsort(cases->list, cases->count, sizeof *cases->list, by_time);
    return code;
}

void held_cases_free(struct held_cases *cases)
{
    free(cases->list);
    *cases = (struct held_cases){0};
}
