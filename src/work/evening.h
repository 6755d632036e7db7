/* What the newest bar of each instrument has for one setup or several: signals
 * given on it, older ones whose entry is still possible, and candles that nearly
 * are one. */
#ifndef RUSHLIGHT_WORK_EVENING_H
#define RUSHLIGHT_WORK_EVENING_H

#include "work/near_misses.h"
#include "work/newest.h"

enum evening_kind {
    EVENING_SIGNAL,  /* given on the newest whole bar */
    EVENING_WAITING, /* given earlier, and its entry is not decided yet */
    EVENING_NEARLY   /* the newest whole bar fails one criterion */
};

struct evening_row {
    enum evening_kind kind;
    const struct setup *setup; /* borrowed */
    char instrument[INSTRUMENT_NAME_SIZE];
    char zone[ZONE_NAME_SIZE];
    struct tick tick; /* a value of 0: not known */
    bool is_short;
    bool dated;          /* bars of days or longer */
    int64_t candle_time; /* of the candle's last bar */
    int64_t signal_time; /* not of EVENING_NEARLY */
    int64_t newest_time; /* of the newest whole bar */
    int64_t due;         /* when the instrument's next one is (newest.h) */
    bool provisional;    /* it rests on a partial bar, taken as it stands */
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
    size_t untold;      /* bars that nothing told against, where near misses are wanted */
    struct newest_bars newest;
};

/* Appends the rows of one setup over the instruments wished for, in their
 * order; nothing after an error. The setup must stay while the rows do. */
int evening_find(struct work *work, const struct setup *setup, struct evening *evening,
                 struct error *error);

struct nearly_wish {
    size_t most;  /* of each instrument */
    bool history; /* of all its bars, not the newest only */
};

/* The same with near misses alone. */
int evening_find_nearly(struct work *work, const struct setup *setup,
                        const struct nearly_wish *wish, struct evening *evening,
                        struct error *error);

/* One ranking over all setups: signals first, then those that wait, nearest in
 * ATR first, then near ones, the nearest first; ties by name, candle and setup. */
void evening_sort(struct evening *evening);
void evening_free(struct evening *evening);

/* Leaves those alone whose entry is still open, new ones and older ones alike. */
void evening_keep_open(struct evening *evening);
/* What the bar is that a row rests on; a near miss of history is never old. */
enum bar_state evening_state(const struct evening *evening, const struct evening_row *row);

#endif
