#include "work/rules.h"

#include "base/array.h"
#include "base/text.h"
#include "market/longer.h"
#include "setup/walking.h"
#include "work/rules_parts.h"

#include <stdlib.h>

/* Makes the bars that the setup is read on, where its interval is longer. */
static int settle_interval(const struct work *work, const char *word, const struct setup *setup,
                           struct series *series, struct error *error)
{
    struct interval own = series->bars.interval;
    if (setup->interval.unit == INTERVAL_NONE || interval_equal(setup->interval, own))
        return ERROR_NONE;
    struct longer longer = {.known = NULL};
    struct session session;
    int code = session_open(&session, &series->instrument, error);
    if (code == ERROR_NONE)
        code = longer_make(&longer, &series->bars, setup->interval, &session, error);
    session_close(&session);
    if (code != ERROR_NONE) {
        longer_free(&longer);
        char asked[INTERVAL_TEXT_SIZE];
        char found[INTERVAL_TEXT_SIZE];
        interval_format(asked, setup->interval);
        interval_format(found, own);
        return error->code != ERROR_INPUT
                   ? error->code
                   : error_because(error, ERROR_INPUT, ERROR_REASON_LENGTH_NOT_MADE,
                                   "%s: setup %s is read on %s bars, which these (%s) cannot make",
                                   word, setup->name, asked, found[0] != '\0' ? found : "unknown");
    }
    bars_free(&series->bars);
    series->bars = longer.bars;
    free(longer.known);
    series_settle_first(work, series);
    return ERROR_NONE;
}

/* A setup's own interval and another that was asked for are no answer together. */
static int check_interval(struct work *work, const char *word, const struct setup *setup,
                          struct error *error)
{
    char asked[INTERVAL_TEXT_SIZE];
    char own[INTERVAL_TEXT_SIZE];
    struct interval interval = {INTERVAL_NONE, 0};
    if (setup->interval.unit == INTERVAL_NONE)
        return ERROR_NONE;
    int code = series_word_interval(work, word, &interval, error);
    if (code != ERROR_NONE || interval.unit == INTERVAL_NONE ||
        interval_equal(interval, setup->interval))
        return code;
    interval_format(asked, interval);
    interval_format(own, setup->interval);
    return error_because(error, ERROR_USAGE, ERROR_REASON_OTHER_INTERVAL,
                         "%s: bars of %s are asked for, and setup %s is read on bars of %s", word,
                         asked, setup->name, own);
}

/* Of an instrument of the book the bars that the setup is read on, where nobody
 * names others. */
static int open_bars(struct work *work, struct notices *notices, const char *word,
                     const struct setup *setup, size_t most, struct series *series,
                     struct error *error)
{
    bool plain = false;
    int code = check_interval(work, word, setup, error);
    if (code == ERROR_NONE && setup->interval.unit != INTERVAL_NONE &&
        work_wishes(work)->interval.unit == INTERVAL_NONE)
        code = series_word_is_plain(work, notices, word, &plain, error);
    if (code != ERROR_NONE || !plain)
        return code == ERROR_NONE
                   ? series_open_up_to(work, notices, word, false, most, series, error)
                   : code;
    char interval[INTERVAL_TEXT_SIZE];
    struct text named;
    interval_format(interval, setup->interval);
    text_init(&named);
    text_append_format(&named, "%s@%s", word, interval);
    code = text_failed(&named)
               ? error_memory(error)
               : series_open_up_to(work, notices, named.bytes, true, most, series, error);
    text_free(&named);
    return code;
}

static struct sheet *new_sheet(const struct series *series)
{
    const struct instrument *instrument = &series->instrument;
    if (series->unread.id == 0)
        return sheet_of_instrument(&series->bars, instrument);
    struct sheet *sheet = sheet_walking(instrument->zone);
    if (sheet != NULL)
        sheet_set_session(sheet, instrument->session_start, instrument->session_days);
    return sheet;
}

static int take_dividends(struct rules_case *opened, struct error *error)
{
    const struct series *series = &opened->series;
    opened->flows = array_new(series->dividend_count, sizeof *opened->flows);
    if (opened->flows == NULL)
        return error_memory(error);
    for (size_t i = 0; i < series->dividend_count; i++)
        opened->flows[i] = (struct cash_flow){series->dividends[i].date,
                                              series->dividends[i].value};
    return ERROR_NONE;
}

/* Where it is wished, a partial last bar is taken as if it were whole. */
static int look_provisionally(const struct work *work, struct notices *notices, const char *word,
                              struct rules_case *opened, struct error *error)
{
    struct bars *bars = &opened->series.bars;
    if (!bars->last_is_partial || !work_wishes(work)->provisional)
        return ERROR_NONE;
    bars->last_is_partial = false;
    opened->provisional = true;
    return notices_add(notices, error, NOTICE_PROVISIONAL,
                       "%s: the last bar is partial and is taken as it stands; it may still change",
                       word);
}

static struct trade_terms terms_of(const struct rules_case *opened)
{
    const struct instrument *instrument = &opened->series.instrument;
    return (
        struct trade_terms){.tick = instrument->tick_known ? instrument->tick : (struct tick){0},
                            .ticks = opened->series.ticks,
                            .tick_count = opened->series.tick_count,
                            .point_value = instrument->point_value,
                            .costs = instrument_has_costs(instrument) ? &instrument->costs : NULL,
                            .finer = opened->finer.bars.count > 0 ? &opened->finer.bars : NULL,
                            .ended = opened->series.ended,
                            .basis = instrument->basis,
                            .flows = opened->flows,
                            .flow_count = opened->series.dividend_count};
}

/* Lengths that are counted in ticks need one, and nobody guesses it; without them the
 * orders stay as they are worked out, and that is said. */
static int need_tick(struct notices *notices, const char *word, const struct setup *setup,
                     const struct series *series, struct error *error)
{
    static const char unknown[] = "no tick is known, and the prices show none to believe";
    if (series->instrument.tick_known || series->bars.count == 0)
        return ERROR_NONE;
    if (setup_counts_ticks(setup))
        return error_because(error, ERROR_INPUT, ERROR_REASON_NO_TICK,
                             "%s: %s, while setup %s counts in ticks", word, unknown, setup->name);
    return notices_add(notices, error, NOTICE_NO_TICK, "%s: %s: orders are not rounded", word,
                       unknown);
}

int rules_open(struct work *work, struct notices *notices, const char *word,
               const struct setup *setup, struct rules_case *opened, struct error *error)
{
    return rules_open_up_to(work, notices, word, setup, SIZE_MAX, opened, error);
}

int rules_open_up_to(struct work *work, struct notices *notices, const char *word,
                     const struct setup *setup, size_t most, struct rules_case *opened,
                     struct error *error)
{
    *opened = (struct rules_case){0};
    if (!setup_walks(setup))
        most = SIZE_MAX;
    int code = open_bars(work, notices, word, setup, most, &opened->series, error);
    if (code == ERROR_NONE)
        code = settle_interval(work, word, setup, &opened->series, error);
    if (code == ERROR_NONE)
        code = need_tick(notices, word, setup, &opened->series, error);
    if (code == ERROR_NONE)
        code = rules_open_extras(work, notices, setup, opened, error);
    if (code == ERROR_NONE)
        code = rules_open_others(work, notices, setup, opened, error);
    if (code == ERROR_NONE)
        code = take_dividends(opened, error);
    if (code == ERROR_NONE)
        code = look_provisionally(work, notices, word, opened, error);
    if (code != ERROR_NONE)
        return code;
    const struct instrument *instrument = &opened->series.instrument;
    opened->sheet = new_sheet(&opened->series);
    if (opened->sheet == NULL)
        return error_memory(error);
    opened->around.zone = instrument->zone;
    opened->terms = terms_of(opened);
    opened->around.tick = instrument->tick_known ? &opened->terms.tick : NULL;
    opened->around.ticks = opened->terms.ticks;
    opened->around.tick_count = opened->terms.tick_count;
    return setup_view_init(&opened->view, setup, opened->sheet, &opened->around, error);
}

void rules_close(struct rules_case *opened)
{
    for (size_t i = 0; i < opened->around.event_count; i++)
        free((char *)opened->events[i].kind);
    free(opened->events);
    free(opened->marks);
    free(opened->flows);
    for (size_t i = 0; i < opened->around.other_count; i++)
        series_free(&opened->others[i]);
    free(opened->others);
    free(opened->other_bars);
    sheet_free(opened->sheet);
    series_free(&opened->series);
    series_free(&opened->finer);
    *opened = (struct rules_case){0};
}
