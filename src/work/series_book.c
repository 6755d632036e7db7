/* A series out of the book. */
#include "book/action_store.h"
#include "book/bars_store.h"
#include "book/instrument_store.h"
#include "market/longer.h"
#include "market/scale.h"
#include "work/as_of.h"
#include "work/series_parts.h"

#include <stdlib.h>
#include <string.h>

/* The stored bars to read for `wanted`: those very bars, else the longest that
 * can make them; for no wish those the instrument is usually read on, else the
 * longest there are. */
static const struct stored_series *choose(const struct stored_series *series, size_t count,
                                          struct interval usual, struct interval wanted)
{
    const struct stored_series *best = NULL;
    bool any = wanted.unit == INTERVAL_NONE;
    for (size_t i = 0; i < count; i++) {
        if (series[i].count == 0)
            continue;
        if (interval_equal(series[i].interval, any ? usual : wanted))
            return &series[i];
        if (any || longer_possible(series[i].interval, wanted))
            best = &series[i];
    }
    return best;
}

/* Whether bars stay in the book, because they are many and will do as they are. */
static int leave_them(struct book *book, const struct opening *opening,
                      const struct stored_series *chosen, bool *leave, struct error *error)
{
    const struct instrument *instrument = &opening->series->instrument;
    struct action *actions = NULL;
    size_t count = 0;
    *leave = false;
    if ((uint64_t)chosen->count <= opening->most ||
        (opening->wanted.unit != INTERVAL_NONE &&
         !interval_equal(opening->wanted, chosen->interval)) ||
        (!instrument->tick_known && !(work_wishes(opening->work)->tick.value > 0)))
        return ERROR_NONE;
    int code = action_store_list(book, instrument->id, &actions, &count, error);
    *leave = true;
    for (size_t i = 0; i < count; i++)
        *leave = *leave && !as_of_dated(work_wishes(opening->work), actions[i].date);
    free(actions);
    return code;
}

/* What is known of bars that stay in the book. */
static int note_unread(const struct work *work, const struct stored_series *chosen,
                       struct series *series, struct error *error)
{
    const struct wishes *wishes = work_wishes(work);
    int64_t last = INT64_MAX;
    int code = as_of_last(wishes, &series->instrument, chosen->interval, &last, error);
    series->unread = *chosen;
    series->unread_to = last < wishes->to ? last : wishes->to;
    series->bars.interval = chosen->interval;
    series->bars.last_is_partial = chosen->partial && chosen->last <= series->unread_to;
    return code;
}

/* Those of the chosen bars that are known. */
static int load_known(struct book *book, const struct opening *opening,
                      const struct stored_series *chosen, struct error *error)
{
    struct series *series = opening->series;
    int64_t last = INT64_MAX;
    int code = as_of_last(work_wishes(opening->work), &series->instrument, chosen->interval, &last,
                          error);
    return code == ERROR_NONE ? bars_store_load(book, chosen, INT64_MIN, last, &series->bars, error)
                              : code;
}

static int load(struct book *book, const struct opening *opening, struct error *error)
{
    struct series *series = opening->series;
    struct stored_series *stored = NULL;
    struct instrument *instrument = &series->instrument;
    size_t count = 0;
    int code = bars_store_list(book, instrument->id, &stored, &count, error);
    if (code == ERROR_NONE)
        code = as_of_stored(work_wishes(opening->work), book, instrument, stored, &count, error);
    const struct stored_series *chosen = NULL;
    if (code == ERROR_NONE) {
        chosen = choose(stored, count, instrument->interval, opening->wanted);
        if (chosen == NULL)
            code = error_set(error, ERROR_INPUT, "%s: the book has no bars of it%s%s",
                             opening->word, count > 0 ? " that short" : "",
                             as_of_wished(work_wishes(opening->work))
                                 ? " by that date; a later one may have some"
                                 : "; import some");
    }
    bool leave = false;
    if (code == ERROR_NONE)
        code = leave_them(book, opening, chosen, &leave, error);
    if (code == ERROR_NONE && leave)
        code = note_unread(opening->work, chosen, series, error);
    else if (code == ERROR_NONE)
        code = load_known(book, opening, chosen, error);
    for (size_t i = 0; code == ERROR_NONE && series->finest.unit == INTERVAL_NONE && i < count; i++)
        if (stored[i].count > 0)
            series->finest = stored[i].interval;
    free(stored);
    series->instrument.interval = series->bars.interval;
    series->ended = instrument->last_known;
    return code;
}

/* Keeps the dividends of the actions for the positions that receive them; a
 * later split that the prices hold makes more units of less money each. */
static void keep_dividends(struct series *series, struct action *actions, size_t count,
                           enum adjustment adjustment, int64_t view)
{
    size_t kept = 0;
    for (size_t i = 0; i < count && adjustment != ADJUST_ALL; i++) {
        struct action action = actions[i];
        if (action.kind != ACTION_DIVIDEND || action.date > view)
            continue;
        const struct price_scale *scale = bars_scale(&series->bars, action.date);
        if (scale != NULL)
            action.value /= scale->split;
        actions[kept++] = action;
    }
    series->dividends = actions;
    series->dividend_count = kept;
}

/* Applies what was known on the date of the view, its last bar. */
static int adjust(struct book *book, const struct opening *opening, struct error *error)
{
    const struct wishes *wishes = work_wishes(opening->work);
    struct series *series = opening->series;
    struct action *actions = NULL;
    size_t count = 0;
    int code = action_store_list(book, series->instrument.id, &actions, &count, error);
    if (code != ERROR_NONE || series->bars.count == 0) {
        free(actions);
        return code;
    }
    int64_t last = series->bars.time[series->bars.count - 1];
    int64_t view = wishes->to < last ? wishes->to : last;
    code = bars_adjust(&series->bars, actions, count, wishes->adjustment, view, error);
    keep_dividends(series, actions, count, wishes->adjustment, view);
    return code;
}

static int bring_to_view(struct book *book, const struct opening *opening, struct error *error)
{
    const struct series *like = opening->like;
    if (like == NULL)
        return adjust(book, opening, error);
    return bars_apply_scales(&opening->series->bars, like->bars.scales, like->bars.scale_count,
                             error);
}

/* The leading bars that were over by that instant. */
static size_t count_over(struct session *session, const struct bars *bars, int64_t instant)
{
    size_t low = 0;
    size_t high = bars->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (bar_known(session, bars->interval, bars->time[middle]) <= instant)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* Leaves out what may not be seen. The prices are adjusted already, and longer bars are
 * not yet made: of one that goes on beyond there is only the part that may be seen. */
static int cut_seen(const struct opening *opening, struct error *error)
{
    struct bars part;
    struct session session;
    struct bars *bars = &opening->series->bars;
    int64_t seen = work_wishes(opening->work)->seen;
    size_t end = bars->count;
    if (seen == INT64_MAX)
        return ERROR_NONE;
    int code = session_open(&session, &opening->series->instrument, error);
    if (code == ERROR_NONE)
        end = count_over(&session, bars, seen + 1);
    session_close(&session);
    if (code != ERROR_NONE || end == bars->count)
        return code;
    code = bars_slice(&part, bars, 0, end, error);
    if (code != ERROR_NONE)
        return code;
    bars_free(bars);
    *bars = part;
    return ERROR_NONE;
}

/* The changes of the tick that are known. */
static int load_ticks(struct book *book, const struct opening *opening, struct error *error)
{
    struct series *series = opening->series;
    const struct wishes *wishes = work_wishes(opening->work);
    int code = instrument_store_ticks(book, series->instrument.id, &series->ticks,
                                      &series->tick_count, error);
    while (code == ERROR_NONE && series->tick_count > 0 &&
           !as_of_dated(wishes, series->ticks[series->tick_count - 1].since))
        series->tick_count--;
    return code;
}

/* The tick that held last on the day wished for: the book tells the newest. */
static void settle_known(const struct opening *opening)
{
    struct series *series = opening->series;
    if (!as_of_wished(work_wishes(opening->work)))
        return;
    as_of_instrument(work_wishes(opening->work), &series->instrument);
    series->instrument.tick_known = series->tick_count > 0;
    if (series->tick_count > 0)
        series->instrument.tick = series->ticks[series->tick_count - 1].tick;
}

/* Changes do not matter where somebody wishes for another tick, or none is known. */
static void drop_ticks(const struct opening *opening)
{
    struct series *series = opening->series;
    if (work_wishes(opening->work)->tick.value > 0 || series->tick_assumed ||
        series->tick_count < 2)
        series->tick_count = 0;
}

static int load_whole(struct book *book, struct opening *opening, const char *name,
                      struct error *error)
{
    bool found = false;
    int code = instrument_store_find(book, name, &opening->series->instrument, &found, error);
    if (code == ERROR_NONE && !found)
        code = error_set(error, ERROR_INPUT,
                         "%s: there is no such file, and no such instrument in the book",
                         opening->word);
    if (code == ERROR_NONE)
        code = load_ticks(book, opening, error);
    if (code == ERROR_NONE) {
        settle_known(opening);
        code = load(book, opening, error);
    }
    /* The tick is that of all prices as traded. */
    if (code == ERROR_NONE)
        code = opening_settle_tick(opening, error);
    drop_ticks(opening);
    if (code == ERROR_NONE)
        code = bring_to_view(book, opening, error);
    if (code == ERROR_NONE)
        code = cut_seen(opening, error);
    return code == ERROR_NONE ? opening_make_longer(opening, error) : code;
}

bool opening_word_name(const char *word, char name[INSTRUMENT_NAME_SIZE])
{
    const char *at = strrchr(word, '@');
    size_t length = at != NULL ? (size_t)(at - word) : strlen(word);
    if (length == 0 || length >= INSTRUMENT_NAME_SIZE)
        return false;
    memcpy(name, word, length);
    name[length] = '\0';
    return true;
}

int opening_from_book(struct opening *opening, struct error *error)
{
    struct book *book = NULL;
    char name[INSTRUMENT_NAME_SIZE];
    const char *word = opening->word;
    const char *at = strrchr(word, '@');
    if (at != NULL && !interval_parse(at + 1, &opening->wanted))
        return error_set(
            error, ERROR_USAGE,
            "%s: found '%s' behind the @; a length such as 1d, 1w, 1month, 4h or 30m is allowed",
            word, at + 1);
    if (!work_has_book(opening->work))
        return error_set(error, ERROR_INPUT,
                         "%s: there is no such file, and no book to look it up in", word);
    if (!opening_word_name(word, name))
        return error_set(error, ERROR_INPUT, "%s: there is no such file", word);
    int code = work_borrow(opening->work, &book, error);
    if (code == ERROR_NONE)
        code = load_whole(book, opening, name, error);
    work_return(opening->work, book);
    return code;
}
