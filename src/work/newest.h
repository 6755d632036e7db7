/* How new the newest bars of many instruments are, each by its own session.
 *
 * An instrument is behind where its session was over once more, after its newest
 * bar, at a time that the others know of: a share is not behind on a Sunday, and
 * is on a Tuesday if its newest bar is of Friday. Nothing is known of holidays.
 * Bars shorter than a day are judged by the day. */
#ifndef RUSHLIGHT_WORK_NEWEST_H
#define RUSHLIGHT_WORK_NEWEST_H

#include "work/rules.h"

/* What the bar is that something was found on. */
enum bar_state {
    BAR_WHOLE,
    BAR_PROVISIONAL, /* partial, taken as it stands */
    BAR_OLD          /* newest of an instrument that is behind, or has ended */
};

/* "whole", "provisional", "old". */
const char *bar_state_name(enum bar_state state);

/* The newest bar of an instrument; all zeroes: it has none. */
struct newest_bar {
    char instrument[INSTRUMENT_NAME_SIZE];
    int64_t time; /* as the bar's time is written */
    bool dated;
    bool ended;       /* the instrument itself has ended at it */
    bool provisional; /* it is partial */
    bool in_book;
    int64_t known; /* UTC time that it is evidence of: its end, of a partial one its start */
    int64_t due;   /* UTC time at which the session's next bar is over; INT64_MAX: never */
};

/* Any thread. ERROR_MACHINE where the zone of the session is not known. */
int newest_bar_read(const struct rules_case *opened, struct newest_bar *newest,
                    struct error *error);

/* Those of all instruments; all zeroes: none yet. */
struct newest_bars {
    struct newest_bar *list;
    size_t count;
    size_t room;
    int64_t known; /* the newest time that any of them is evidence of */
    size_t before; /* how many there were when the pass began */
    size_t cursor; /* where in them the pass is */
};

/* Several setups meet the same instruments in the same order: each a pass. */
void newest_bars_begin_pass(struct newest_bars *bars);

/* Nothing for an instrument without bars, or one that an earlier pass added. */
int newest_bars_add(struct newest_bars *bars, const struct newest_bar *newest, struct error *error);
void newest_bars_free(struct newest_bars *bars);

/* What a bar is, by when its instrument's next one is due. */
enum bar_state newest_bar_state(const struct newest_bars *bars, int64_t due, bool provisional);
/* Whether `index` of the list is behind; one that has ended is not. */
bool newest_bar_behind(const struct newest_bars *bars, size_t index);
/* Whether it is by more than a month, which no holiday makes: it has ended without a
 * word of it, or its prices are no longer brought in. */
bool newest_bar_long_behind(const struct newest_bars *bars, size_t index);
/* Whether at `now` a newer bar is due for every one of them that has not ended;
 * false where there is none, or a file is among them: who knows what it is of. */
bool newest_bars_all_due(const struct newest_bars *bars, int64_t now);

#endif
