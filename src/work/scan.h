/* Finding signals, and bars that only just are none, in many instruments. */
#ifndef RUSHLIGHT_WORK_SCAN_H
#define RUSHLIGHT_WORK_SCAN_H

#include "setup/checklist.h"
#include "work/rules.h"

/* A bar that fails one criterion. */
struct near_miss {
    size_t bar;
    double missed_by; /* prices in ATR, the rest as a share of the limit */
    struct check failed;
};

/* What one instrument gave: signals, or near misses by what they missed by. */
struct found {
    bool more; /* finds of the same instrument follow */
    struct signals signals;
    struct near_miss *misses;
    size_t miss_count;
    size_t untold; /* bars that nothing told against, where near misses are wanted */
};

struct scan_wish {
    bool history;  /* the whole of it, not the newest bar only */
    size_t nearly; /* instead the bars of each instrument that missed by least; 0: signals */
};

/* Of all instruments together. */
struct scan_sum {
    size_t found;      /* signals or near misses */
    size_t untold;     /* candles, or bars, that nothing told against */
    size_t dated_back; /* signals that rest on a level brought in with an older date */
    size_t instruments;
    int64_t newest; /* time of the newest bar looked at; INT64_MIN: there was none */
    bool dated;     /* such a time is a date */
};

/* Hands each instrument's finds to `take`, in order, from the calling thread;
 * they are freed after it. Those of a long series of the book come in several
 * parts: its bars are then those of a window that holds all that they need. */
int scan_each(struct work *work, const struct setup *setup, const struct scan_wish *wish,
              int (*take)(void *context, const struct rules_case *opened, const struct found *found,
                          struct error *error),
              void *context, struct scan_sum *sum, struct error *error);

/* High and low of a candle as the chart has them, whatever the side. */
void candle_on_chart(const struct rules_case *opened, const struct candle *candle, double *high,
                     double *low);

#endif
