/* What is odd about bars, and so about the candles made of them. Pure: bars and
 * what is known of the instrument in, findings out; nothing is repaired.
 *
 * Bars obey the rules of a bar (bars.h): what breaks those was set aside when
 * the file was read, two bars of one time included. Every limit is the named
 * number here; they are ours, no standard's. */
#ifndef RUSHLIGHT_MARKET_FINDINGS_H
#define RUSHLIGHT_MARKET_FINDINGS_H

#include "market/bars.h"
#include "market/instrument.h"

enum finding_kind {
    FINDING_GAP,         /* stretches without bars in the session's calendar */
    FINDING_DOUBLE,      /* a bar equal to the one before in all it has */
    FINDING_RANGE,       /* a range far out of the ordinary */
    FINDING_JUMP,        /* an open far from the close before */
    FINDING_SPLIT,       /* such a jump by the ratio of a split */
    FINDING_STALE,       /* stretches of bars without any move */
    FINDING_ZERO_VOLUME, /* bars in which nothing was traded */
    FINDING_OPENS,       /* opens that repeat the close before, where they are many */
    FINDING_OFF_GRID,    /* prices between the ticks */
    FINDING_ENDED,       /* the instrument has ended, or its bars have */
    FINDING_KINDS
};

/* Session days in a row without a bar of a day or less, from which on it is a
 * gap: fewer are holidays. Inside a day one bar is. */
enum { GAP_DAYS = 4 };
/* Bars in a row at one price that are stale. */
enum { STALE_BARS = 5 };
/* A split stands alone among this many bars on either side. */
enum { SPLIT_ALONE = 60 };
/* Days behind the newest bar of all, after which bars count as ended. */
enum { ENDED_DAYS = 30 };
/* Robust z, (x - median) / (1.4826 MAD), above which a range or a jump is out of
 * the ordinary. Iglewicz and Hoaglin 1993 take 3.5 for normal data; prices have
 * fatter tails. x is the range or jump in median ranges of some 200 bars around,
 * so that a wild year is not odd as a whole. */
#define OUTLIER_Z 15.0
/* Nor is it out of the ordinary below this many median ranges. */
#define OUTLIER_RANGES 3.0
/* The share of opens equal to the close before above which they look copied. */
#define OPENS_SHARE 0.2
/* How near a ratio has to be to that of a split, in logarithms. */
#define SPLIT_NEAR 0.04

enum { FINDING_EXAMPLES = 3 };

struct finding {
    uint64_t count; /* 0: nothing of the kind */
    uint64_t of;    /* the bars or pairs of bars looked at */
    size_t example_count;
    struct {
        int64_t time; /* the bar; of a stretch its first, of a gap the bar behind it */
        double value; /* range or jump as z; ratio of a split, new to old; bars or days missing;
                       * bars stale; the price off the grid; else NaN */
    } examples[FINDING_EXAMPLES]; /* the largest for outliers, else the first */
};

struct findings {
    struct finding kinds[FINDING_KINDS];
};

/* `ticks` (oldest first, may be none) are the grid; `newest` is the time of the
 * newest bar of all instruments looked at together. ERROR_MACHINE without
 * memory or where the zone of the session is not known. */
int findings_make(struct findings *findings, const struct bars *bars,
                  const struct instrument *instrument, const struct dated_tick *ticks,
                  size_t tick_count, int64_t newest, struct error *error);
/* Judges again whether bars, the last of them of time `last`, have ended, where
 * the newest bar of all becomes known only later. */
void findings_end(struct findings *findings, const struct instrument *instrument, int64_t last,
                  int64_t newest);

/* "gap", "double" …: part of the interface. */
const char *finding_name(enum finding_kind kind);
/* What it is, and what it does to candles: two sentences. */
const char *finding_words(enum finding_kind kind);

/* (x - median) / (1.4826 MAD) of each value into z; where the MAD is 0 the mean
 * absolute deviation times 1.2533 stands for it, and where that is 0 too all z
 * are 0. `scratch` has room for `count` values. */
void robust_z(const double *x, size_t count, double *z, double *scratch);

#endif
