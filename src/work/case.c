#include "work/case.h"

#include "base/array.h"
#include "base/calendar.h"
#include "work/nearly.h"

#include <stdlib.h>

static bool same_time(const struct bars *bars, size_t bar, const struct case_date *date)
{
    return date->date_only ? day_of_time(bars->time[bar]) == day_of_time(date->time)
                           : bars->time[bar] == date->time;
}

/* The signal whose candle, or else whose own bar, has this time; NULL: none. */
static const struct signal *find_signal(const struct bars *bars, const struct signals *signals,
                                        const struct case_date *date)
{
    for (size_t i = 0; i < signals->count; i++)
        if (same_time(bars, signals->list[i].candle.at, date))
            return &signals->list[i];
    for (size_t i = 0; i < signals->count; i++)
        if (same_time(bars, signals->list[i].at, date))
            return &signals->list[i];
    return NULL;
}

/* The bar of this time that fails one criterion by least; false: none does. */
static bool find_nearly(const struct rules_case *opened, const struct case_date *date,
                        struct near_bar *nearest)
{
    const struct bars *bars = &opened->series.bars;
    size_t count = sheet_count(opened->sheet);
    bool found = false;
    size_t first = bars_find(bars, date->date_only ? day_of_time(date->time) * SECONDS_PER_DAY
                                                   : date->time);
    for (size_t bar = first < opened->series.first ? opened->series.first : first;
         bar < count && same_time(bars, bar, date); bar++) {
        struct near_bar near;
        if (!nearly_at(&opened->view, bar, &near) ||
            (found && near.missed_by >= nearest->missed_by))
            continue;
        *nearest = near;
        found = true;
    }
    return found;
}

/* Says that there is no signal, and which are the nearest before and after. */
static int no_signal(const struct rules_case *opened, const char *word,
                     const struct signals *signals, const struct case_date *date,
                     struct error *error)
{
    const struct bars *bars = &opened->series.bars;
    bool dated = interval_is_dated(bars->interval);
    const char *setup = opened->view.setup->name;
    char asked[CALENDAR_TEXT_SIZE];
    char before[CALENDAR_TEXT_SIZE] = "";
    char after[CALENDAR_TEXT_SIZE] = "";
    if (signals->count == 0)
        return error_because(error, ERROR_INPUT, ERROR_REASON_NO_CASE,
                             "%s: setup %s has no signal here at all", word, setup);
    for (size_t i = 0; i < signals->count; i++) {
        int64_t at = bars->time[signals->list[i].candle.at];
        if (at < date->time)
            time_format(before, at, dated);
        else if (after[0] == '\0')
            time_format(after, at, dated);
    }
    bool both = before[0] != '\0' && after[0] != '\0';
    time_format(asked, date->time, date->date_only);
    return error_set(error, ERROR_INPUT,
                     "%s: setup %s has no candle and no signal on %s; the nearest candle%s %s%s%s",
                     word, setup, asked, both ? "s are of" : " is of", before, both ? " and " : "",
                     after);
}

static int find_request(struct case_found *found, const struct case_wish *wish,
                        const struct signals *signals, const struct case_date *date,
                        struct error *error)
{
    const struct rules_case *opened = &found->opened;
    const struct signal *signal = find_signal(&opened->series.bars, signals, date);
    struct case_request request = {.view = &opened->view,
                                   .terms = &opened->terms,
                                   .instrument = opened->series.instrument.name,
                                   .context = wish->context,
                                   .outcome = wish->outcome,
                                   .number = 1,
                                   .before = wish->count > 1 ? CASE_FEW_BARS : 0};
    struct near_bar near = {.untold = false};
    if (signal != NULL) {
        request.signal = *signal;
    } else if (find_nearly(opened, date, &near)) {
        request.signal = (struct signal){.candle = near.candle, .at = near.candle.at};
        request.nearly = true;
        request.outcome = false;
    } else {
        return no_signal(opened, wish->word, signals, date, error);
    }
    found->requests[found->count++] = request;
    return ERROR_NONE;
}

static int find_requests(struct case_found *found, const struct case_wish *wish,
                         struct error *error)
{
    struct signals signals;
    int code = signals_find(&found->opened.view, found->opened.series.first, SIZE_MAX, true,
                            &signals, error);
    if (code != ERROR_NONE)
        return code;
    for (size_t i = 0; i < wish->count && code == ERROR_NONE; i++)
        code = find_request(found, wish, &signals, &wish->dates[i], error);
    signals_free(&signals);
    return code;
}

/* R of every closed trade of the setup here. */
static int rank_trades(struct case_found *found, struct error *error)
{
    const struct rules_case *opened = &found->opened;
    struct trades trades;
    size_t count = 0;
    int code = trades_find(&opened->view, &opened->terms, opened->series.first, SIZE_MAX, false,
                           &trades, error);
    if (code != ERROR_NONE)
        return code;
    found->ranked = array_new(trades.count, sizeof *found->ranked);
    if (found->ranked == NULL)
        code = error_memory(error);
    for (size_t i = 0; code == ERROR_NONE && i < trades.count; i++)
        if (trade_closed(trades.list[i].reason))
            found->ranked[count++] = trades.list[i].r;
    found->requests[0].ranked = found->ranked;
    found->requests[0].ranked_count = count;
    trades_free(&trades);
    return code;
}

/* A sheet with its outcome is a trial like any other; its result is that of the
 * trades it shows. */
static int enter(struct work *work, struct trial *trial, const struct setup *setup,
                 const struct case_found *found, struct error *error)
{
    const struct rules_case *opened = &found->opened;
    struct outcomes outcomes = {0};
    const struct study_series series = trial_series(opened);
    int code = trial_enter(work, trial, TRIAL_CASE, setup, &series, NULL, 1, error);
    for (size_t i = 0; code == ERROR_NONE && i < found->count; i++) {
        if (!found->requests[i].outcome)
            continue;
        struct trade trade = trade_of_signal(&opened->view, &opened->terms,
                                             &found->requests[i].signal, NULL);
        if (trade_closed(trade.reason))
            code = outcomes_add(&outcomes, series.bars->time[trade.entry_bar], trade.r, error);
    }
    if (code == ERROR_NONE)
        code = trial_finish_outcomes(trial, &outcomes, error);
    outcomes_free(&outcomes);
    return code;
}

static bool shows_an_outcome(const struct case_found *found)
{
    for (size_t i = 0; i < found->count; i++)
        if (found->requests[i].outcome)
            return true;
    return false;
}

int case_find(struct work *work, const struct setup *setup, const struct case_wish *wish,
              struct case_found *found, struct error *error)
{
    struct trial trial = {0};
    struct notices notices = {0};
    *found = (struct case_found){0};
    int code = wish->outcome ? trial_open(work, &trial, error) : ERROR_NONE;
    if (code != ERROR_NONE)
        return code;
    code = rules_open(work, &notices, wish->word, setup, &found->opened, error);
    notices_say(&notices, work);
    if (code == ERROR_NONE)
        code = find_requests(found, wish, error);
    if (code != ERROR_NONE || !shows_an_outcome(found))
        return code;
    code = enter(work, &trial, setup, found, error);
    return code == ERROR_NONE ? rank_trades(found, error) : code;
}

void case_free(struct case_found *found)
{
    free(found->ranked);
    rules_close(&found->opened);
    *found = (struct case_found){0};
}
