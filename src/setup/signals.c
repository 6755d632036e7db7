#include "setup/signals.h"

#include "base/array.h"
#include "candles/anatomy.h"
#include "market/longer.h"
#include "measures/series.h"

#include <math.h>
#include <stdlib.h>

/* The first criterion whose interval these bars cannot make; NULL: none. */
static const struct criterion *impossible_interval(const struct criterion *list, size_t count,
                                                   struct interval own)
{
    for (size_t i = 0; i < count; i++) {
        struct interval asked = list[i].interval;
        bool same = asked.unit == INTERVAL_NONE || interval_equal(asked, own);
        if (!same && !longer_possible(own, asked))
            return &list[i];
        const struct criterion *part = impossible_interval(list[i].parts, list[i].part_count, own);
        if (part != NULL)
            return part;
    }
    return NULL;
}

static int check_intervals(const struct setup *setup, struct interval own, struct error *error)
{
    const struct criteria *lists[] = {&setup->place, &setup->confirm, &setup->exit.when};
    for (size_t i = 0; i < 3; i++) {
        const struct criterion *wrong = impossible_interval(lists[i]->list, lists[i]->count, own);
        if (wrong == NULL)
            continue;
        char asked[INTERVAL_TEXT_SIZE];
        char found[INTERVAL_TEXT_SIZE];
        interval_format(asked, wrong->interval);
        interval_format(found, own);
        return error_set(error, ERROR_INPUT,
                         "setup %s: %s is read on %s bars, which %s bars cannot make", setup->name,
                         criterion_name(wrong), asked, found[0] != '\0' ? found : "these");
    }
    return ERROR_NONE;
}

int setup_view_init(struct setup_view *view, const struct setup *setup, struct sheet *plain,
                    const struct surroundings *around, struct error *error)
{
    view->setup = setup;
    view->plain = plain;
    view->around = around;
    view->memory = NULL;
    view->own = setup->side == SIDE_SHORT ? sheet_mirror(plain) : plain;
    int code = check_intervals(setup, sheet_bars(plain)->interval, error);
    if (code != ERROR_NONE)
        return code;
    return view->own != NULL ? ERROR_NONE : error_memory(error);
}

/* Gives the plain sheets, or their mirrors; false without memory. */
static bool sheets_of(const struct setup_view *const *views, size_t count, bool mirrored,
                      struct sheet **sheets)
{
    for (size_t i = 0; i < count; i++) {
        sheets[i] = mirrored ? sheet_mirror(views[i]->plain) : views[i]->plain;
        if (sheets[i] == NULL)
            return false;
    }
    return true;
}

static void measure_criteria(const struct setup_view *const *views, size_t count,
                             const struct criterion *list, size_t list_count)
{
    struct sheet *sheets[LANE_COUNT];
    for (size_t i = 0; i < list_count; i++) {
        const struct criterion *criterion = &list[i];
        measure_criteria(views, count, criterion->parts, criterion->part_count);
        if (criterion->kind != CRITERION_CONDITION || criterion->condition->measure == NULL ||
            criterion->interval.unit != INTERVAL_NONE)
            continue;
        if (sheets_of(views, count, criterion->mirrored, sheets))
            sheets_measure(sheets, count, criterion->condition->measure, criterion->values);
    }
}

void setup_measure_ahead(const struct setup_view *const *views, size_t count)
{
    static const double atr_length[PARAMETER_LIMIT] = {14};
    struct sheet *sheets[LANE_COUNT];
    for (size_t i = 0; i < count; i += LANE_COUNT) {
        size_t lanes = count - i < LANE_COUNT ? count - i : LANE_COUNT;
        const struct setup *setup = views[i]->setup;
        if (!sheets_of(views + i, lanes, setup->side == SIDE_SHORT, sheets))
            return;
        sheets_measure(sheets, lanes, &measures[MEASURE_ATR], atr_length);
        measure_criteria(views + i, lanes, setup->place.list, setup->place.count);
        measure_criteria(views + i, lanes, setup->confirm.list, setup->confirm.count);
        measure_criteria(views + i, lanes, setup->exit.when.list, setup->exit.when.count);
    }
}

/* High and low over the candle's bars. */
static void measure_candle(const struct setup_view *view, struct candle *candle)
{
    const struct bars *bars = sheet_bars(view->own);
    candle->high = bars->high[candle->first];
    candle->low = bars->low[candle->first];
    for (size_t i = candle->first + 1; i <= candle->at; i++) {
        candle->high = bars->high[i] > candle->high ? bars->high[i] : candle->high;
        candle->low = bars->low[i] < candle->low ? bars->low[i] : candle->low;
    }
}

/* What is kept of a bar, or is found by looking and then kept. */
bool shape_ends(const struct setup_view *view, const struct shape_choice *shape, size_t at)
{
    unsigned char *said = criterion_memory_bytes(view->memory, shape->kept, 0);
    if (said == NULL)
        return shape_fits(shape, view->plain, at, NULL);
    if (said[at] == 0)
        said[at] = shape_fits(shape, view->plain, at, NULL) ? 1 + TRUTH_YES : 1 + TRUTH_NO;
    return said[at] == 1 + TRUTH_YES;
}

/* The first of the shapes from `choice` on that ends at bar `at`. */
static bool next_candle(const struct setup_view *view, size_t at, size_t choice,
                        struct candle *candle)
{
    const struct setup *setup = view->setup;
    for (; choice < setup->candle_count; choice++) {
        if (!shape_ends(view, &setup->candles[choice], at))
            continue;
        *candle = (struct candle){.choice = choice,
                                  .first = at + 1 - setup->candles[choice].shape->bars,
                                  .at = at};
        measure_candle(view, candle);
        return true;
    }
    return false;
}

bool candle_at(const struct setup_view *view, size_t at, struct candle *candle)
{
    struct candle other;
    if (!next_candle(view, at, 0, candle))
        return false;
    if (!next_candle(view, at, candle->choice + 1, &other) || place_holds(view, candle))
        return true;
    do {
        if (place_holds(view, &other)) {
            *candle = other;
            return true;
        }
    } while (next_candle(view, at, other.choice + 1, &other));
    return true;
}

bool candidate_at(const struct setup_view *view, size_t at, struct candle *candle)
{
    for (size_t choice = 0; next_candle(view, at, choice, candle); choice = candle->choice + 1)
        if (place_holds(view, candle))
            return true;
    return false;
}

struct candle candle_of_shape(const struct setup_view *view, size_t choice, size_t at)
{
    struct candle candle = {.choice = choice,
                            .first = at + 1 - view->setup->candles[choice].shape->bars,
                            .at = at};
    measure_candle(view, &candle);
    return candle;
}

struct candle candle_of_bar(const struct setup_view *view, size_t at)
{
    struct candle candle = {.first = at, .at = at};
    measure_candle(view, &candle);
    return candle;
}

/* --- criteria ------------------------------------------------------------------ */

/* Reads a condition at one bar of the setup's own interval. */
static struct reading read_at(const struct setup_view *view, const struct criterion *criterion,
                              const struct candle *candle, size_t at)
{
    static const struct reading nothing = {.name = "no bar of that interval has closed yet",
                                           .unit = "",
                                           .value = NAN,
                                           .limit = NAN,
                                           .met = TRUTH_UNDEFINED};
    struct sheet *sheet = view->plain;
    size_t first = at == candle->at ? candle->first : at;
    size_t last = at;
    if (criterion->interval.unit != INTERVAL_NONE &&
        !interval_equal(criterion->interval, sheet_bars(sheet)->interval)) {
        struct sheet *longer = sheet_longer(sheet, criterion->interval);
        last = longer != NULL ? sheet_longer_index(longer, at) : SIZE_MAX;
        if (last == SIZE_MAX)
            return nothing;
        sheet = longer;
        first = last;
    }
    if (criterion->mirrored)
        sheet = sheet_mirror(sheet);
    if (sheet == NULL)
        return nothing;
    struct condition_view condition = {
        .sheet = sheet,
        .sheet_is_mirror = criterion->mirrored,
        .first = first,
        .at = last,
        .tolerance = price_tolerance(sheet_bars(sheet), first, last),
        .values = criterion->values,
        .word = criterion->word,
        .compare = criterion->compare,
        .around = view->around,
    };
    struct reading reading = criterion->condition->read(&condition);
    return criterion->mirrored ? reading_mirrored(reading) : reading;
}

/* At the candle's own bar a criterion may read all of its bars. */
static enum truth met_at(const struct setup_view *view, const struct criterion *criterion,
                         const struct candle *candle, size_t at)
{
    size_t span = at == candle->at ? at - candle->first : 0;
    unsigned char *said = criterion_memory_bytes(view->memory, criterion->kept, span);
    if (said == NULL)
        return read_at(view, criterion, candle, at).met;
    if (said[at] == 0)
        said[at] = (unsigned char)(1 + read_at(view, criterion, candle, at).met);
    return (enum truth)(said[at] - 1);
}

static enum truth condition_holds(const struct setup_view *view, const struct criterion *criterion,
                                  const struct candle *candle, size_t at)
{
    enum truth truth = TRUTH_NO;
    for (size_t back = 0; back <= criterion->within && truth != TRUTH_YES; back++) {
        if (back > at)
            return truth_or(truth, TRUTH_UNDEFINED);
        truth = truth_or(truth, met_at(view, criterion, candle, at - back));
    }
    return truth;
}

enum truth criterion_holds(const struct setup_view *view, const struct criterion *criterion,
                           const struct candle *candle, size_t at)
{
    enum truth truth = TRUTH_NO;
    switch (criterion->kind) {
    case CRITERION_CONDITION: return condition_holds(view, criterion, candle, at);
    case CRITERION_NOT: return truth_not(criterion_holds(view, criterion->parts, candle, at));
    case CRITERION_ANY: break;
    }
    for (size_t i = 0; i < criterion->part_count && truth != TRUTH_YES; i++)
        truth = truth_or(truth, criterion_holds(view, &criterion->parts[i], candle, at));
    return truth;
}

bool criterion_untold(const struct setup_view *view, const struct criterion *criterion,
                      const struct candle *candle, size_t at)
{
    if (criterion_holds(view, criterion, candle, at) != TRUTH_UNDEFINED)
        return false;
    if (criterion->kind == CRITERION_CONDITION) {
        bool untold = false;
        for (size_t back = 0; back <= criterion->within && back <= at && !untold; back++)
            untold = read_at(view, criterion, candle, at - back).untold;
        return untold;
    }
    bool untold = false;
    for (size_t i = 0; i < criterion->part_count; i++)
        untold = untold || criterion_untold(view, &criterion->parts[i], candle, at);
    return untold;
}

struct reading criterion_reading(const struct setup_view *view, const struct criterion *criterion,
                                 const struct candle *candle, size_t at)
{
    if (criterion->kind != CRITERION_CONDITION)
        return (struct reading){.name = NULL,
                                .unit = "",
                                .value = NAN,
                                .limit = NAN,
                                .met = criterion_holds(view, criterion, candle, at)};
    struct reading now = read_at(view, criterion, candle, at);
    for (size_t back = 1; back <= criterion->within && back <= at && now.met != TRUTH_YES; back++) {
        struct reading before = read_at(view, criterion, candle, at - back);
        if (before.met == TRUTH_YES)
            return before;
    }
    return now;
}

const char *criterion_name(const struct criterion *criterion)
{
    switch (criterion->kind) {
    case CRITERION_ANY: return "any";
    case CRITERION_NOT: return "not";
    case CRITERION_CONDITION: break;
    }
    return condition_name(criterion->condition, criterion->mirrored);
}

bool place_holds(const struct setup_view *view, const struct candle *candle)
{
    const struct criteria *place = &view->setup->place;
    for (size_t i = 0; i < place->count; i++)
        if (criterion_holds(view, &place->list[i], candle, candle->at) != TRUTH_YES)
            return false;
    return true;
}

bool confirm_holds(const struct setup_view *view, const struct candle *candle, size_t at)
{
    const struct setup *setup = view->setup;
    size_t held = 0;
    for (size_t i = 0; i < setup->confirm.count && held < setup->confirm_at_least; i++)
        held += criterion_holds(view, &setup->confirm.list[i], candle, at) == TRUTH_YES;
    return held >= setup->confirm_at_least;
}

/* --- what is missing, and what was dated back -------------------------------------- */

static bool asks_beyond_prices(const struct criterion *list, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if ((list[i].kind == CRITERION_CONDITION &&
             condition_asks_beyond_prices(list[i].condition)) ||
            (list[i].compare != NULL && compare_asks_beyond_prices(list[i].compare)) ||
            asks_beyond_prices(list[i].parts, list[i].part_count))
            return true;
    return false;
}

/* Whether the candle would be in its place by all that can be told. */
static bool place_untold(const struct setup_view *view, const struct candle *candle)
{
    const struct criteria *place = &view->setup->place;
    bool untold = false;
    for (size_t i = 0; i < place->count; i++) {
        if (criterion_holds(view, &place->list[i], candle, candle->at) == TRUTH_YES)
            continue;
        if (!criterion_untold(view, &place->list[i], candle, candle->at))
            return false;
        untold = true;
    }
    return untold;
}

/* Whether what cannot be told would be confirmation enough at bar `at`. */
static bool confirm_untold(const struct setup_view *view, const struct candle *candle, size_t at)
{
    const struct setup *setup = view->setup;
    size_t possible = 0;
    for (size_t i = 0; i < setup->confirm.count; i++) {
        const struct criterion *criterion = &setup->confirm.list[i];
        possible += criterion_holds(view, criterion, candle, at) == TRUTH_YES ||
                    criterion_untold(view, criterion, candle, at);
    }
    return possible >= setup->confirm_at_least;
}

/* Of a bar that is no candidate: whether one of its candles may be in place. */
static bool bar_untold(const struct setup_view *view, size_t at)
{
    struct candle candle;
    for (size_t choice = 0; next_candle(view, at, choice, &candle); choice = candle.choice + 1)
        if (place_untold(view, &candle))
            return true;
    return false;
}

static bool signal_untold(const struct setup_view *view, const struct signal *signal)
{
    if (signal->state != SIGNAL_LAPSED)
        return false;
    for (size_t at = signal->candle.at; at <= signal->at; at++)
        if (confirm_untold(view, &signal->candle, at))
            return true;
    return false;
}

bool criterion_leans_back(const struct setup_view *view, const struct criterion *criterion,
                          const struct candle *candle, size_t at)
{
    if (criterion->kind == CRITERION_CONDITION)
        return condition_asks_for_levels(criterion->condition) &&
               criterion_reading(view, criterion, candle, at).dated_back;
    bool leans = false;
    for (size_t i = 0; i < criterion->part_count; i++) {
        bool part = criterion_leans_back(view, &criterion->parts[i], candle, at);
        if (!part && criterion_holds(view, &criterion->parts[i], candle, at) == TRUTH_YES)
            return false;
        leans = leans || part;
    }
    return leans;
}

static bool signal_dated_back(const struct setup_view *view, const struct signal *signal)
{
    const struct setup *setup = view->setup;
    const struct candle *candle = &signal->candle;
    size_t sure = 0;
    if (view->around == NULL || view->around->mark_count == 0)
        return false;
    for (size_t i = 0; i < setup->place.count; i++)
        if (criterion_leans_back(view, &setup->place.list[i], candle, candle->at))
            return true;
    for (size_t i = 0; i < setup->confirm.count; i++)
        sure += criterion_holds(view, &setup->confirm.list[i], candle, signal->at) == TRUTH_YES &&
                !criterion_leans_back(view, &setup->confirm.list[i], candle, signal->at);
    return sure < setup->confirm_at_least;
}

/* --- signals ------------------------------------------------------------------- */

struct signal signal_of(const struct setup_view *view, const struct candle *candle)
{
    const struct bars *bars = sheet_bars(view->own);
    size_t count = sheet_count(view->own);
    size_t last = candle->at + view->setup->confirm_wait;
    struct signal signal = {.candle = *candle, .at = candle->at};
    for (size_t at = candle->at; at <= last; at++) {
        if (at == count) {
            signal.state = SIGNAL_PENDING;
            return signal;
        }
        signal.at = at;
        if (at > candle->at && bars->low[at] < candle->low) {
            signal.state = SIGNAL_BROKEN;
            return signal;
        }
        if (confirm_holds(view, candle, at)) {
            signal.state = SIGNAL_GIVEN;
            signal.dated_back = signal_dated_back(view, &signal);
            return signal;
        }
    }
    signal.state = SIGNAL_LAPSED;
    return signal;
}

static int compare_signals(const void *a, const void *b)
{
    const struct signal *x = a;
    const struct signal *y = b;
    if (x->at != y->at)
        return x->at < y->at ? -1 : 1;
    return x->candle.at < y->candle.at ? -1 : x->candle.at > y->candle.at;
}

void signals_sort(struct signals *signals)
{
    if (signals->count > 0)
        qsort(signals->list, signals->count, sizeof *signals->list, compare_signals);
}

int signals_find(const struct setup_view *view, size_t first, size_t last, bool confirmed_only,
                 struct signals *signals, struct error *error)
{
    size_t count = sheet_count(view->own);
    const struct setup *setup = view->setup;
    bool asks = asks_beyond_prices(setup->place.list, setup->place.count) ||
                asks_beyond_prices(setup->confirm.list, setup->confirm.count);
    *signals = (struct signals){0};
    for (size_t at = first; at < last && at < count; at++) {
        struct candle candle;
        if (!candidate_at(view, at, &candle)) {
            signals->untold += asks && bar_untold(view, at);
            continue;
        }
        signals->candidates++;
        struct signal signal = signal_of(view, &candle);
        signals->untold += asks && signal_untold(view, &signal);
        if (confirmed_only && signal.state != SIGNAL_GIVEN)
            continue;
        struct signal *list = array_reserve(signals->list, &signals->room, signals->count + 1,
                                            sizeof *list);
        if (list == NULL) {
            signals_free(signals);
            return error_memory(error);
        }
        signals->list = list;
        list[signals->count++] = signal;
    }
    if (sheet_failed(view->plain)) {
        signals_free(signals);
        return error_memory(error);
    }
    if (view->setup->confirm_wait > 0)
        signals_sort(signals);
    return ERROR_NONE;
}

void signals_free(struct signals *signals)
{
    free(signals->list);
    *signals = (struct signals){0};
}
