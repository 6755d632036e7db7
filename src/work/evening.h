/* What the newest bar of each instrument has for a setup: signals given on it,
 * older ones whose entry is still possible, and candles that nearly are one. */
#ifndef RUSHLIGHT_WORK_EVENING_H
#define RUSHLIGHT_WORK_EVENING_H

#include "setup/checklist.h"
#include "work/rules.h"

enum evening_kind {
    EVENING_SIGNAL,  /* given on the newest whole bar */
    EVENING_WAITING, /* given earlier, and its entry is not decided yet */
    EVENING_NEARLY   /* the newest whole bar fails one criterion */
};

struct evening_row {
    enum evening_kind kind;
    char instrument[INSTRUMENT_NAME_SIZE];
    char zone[ZONE_NAME_SIZE];
    struct tick tick;
    bool is_short;
    bool dated;          /* bars of days or longer */
    int64_t candle_time; /* of the candle's last bar */
    int64_t signal_time; /* not of EVENING_NEARLY */
    int64_t newest_time; /* of the newest whole bar */
    double close;        /* of that bar */
    double stop;         /* of the chart; NaN where it is not known yet */
    /* EVENING_SIGNAL and EVENING_WAITING: what has to happen next; nothing where
     * the signal came too late. */
    struct trade_awaited awaited;
    double away_atr; /* from the close to the price awaited, in ATR(14); NaN: none */
    /* EVENING_NEARLY: the criterion that fails, and by how much (checklist.h). */
    struct check failed;
    double missed_by;
};

/* All zeroes: none yet. */
struct evening {
    struct evening_row *list;
    size_t count;
    size_t room;
    size_t instruments; /* that were looked at */
};

/* Appends the rows of one setup over the instruments wished for, in their
 * order. */
int evening_find(struct work *work, const struct setup *setup, struct evening *evening,
                 struct error *error);
/* Sorts: signals first, then those that wait, nearest in ATR first, then near
 * ones, the nearest first; ties by name and candle. */
void evening_sort(struct evening *evening);
void evening_free(struct evening *evening);

/* "open", "touch", "close", "break", "return"; empty for nothing. */
const char *evening_awaits_name(enum trade_awaits what);
/* What must happen next, such as "a price at or above 560.00, on one of the 3
 * coming bars"; appended, nothing where nothing is awaited. */
void evening_say_awaited(const struct evening_row *row, struct text *text);

#endif
