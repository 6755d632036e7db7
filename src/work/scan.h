/* Finding signals in many instruments, by one setup or several. */
#ifndef RUSHLIGHT_WORK_SCAN_H
#define RUSHLIGHT_WORK_SCAN_H

#include "setup/checklist.h"
#include "work/newest.h"

struct scan_wish {
    const struct setup *setups;
    size_t setup_count;
    bool history;  /* the whole of it, not the newest bar only */
    bool criteria; /* each signal with its checklist */
};

/* One signal. */
struct scan_row {
    const struct setup *setup;
    char instrument[INSTRUMENT_NAME_SIZE];
    bool dated;          /* its times are dates */
    int64_t candle_time; /* of the candle's last bar */
    int64_t signal_time;
    double high; /* of the candle, as the chart has it whatever the side */
    double low;
    enum bar_state state;              /* of the bar of the signal; of history never BAR_OLD */
    int64_t due;                       /* when the instrument's next bar is */
    const struct checklist *checklist; /* NULL where it is not wished for; lent to `take` */
};

/* Of all setups and instruments together. */
struct scan_sum {
    size_t found;
    size_t old;        /* of these on the newest bar of an instrument that is behind */
    size_t untold;     /* candles that nothing told against */
    size_t dated_back; /* signals that rest on a level brought in with an older date */
    size_t instruments;
    int64_t newest; /* time of the newest bar looked at; INT64_MIN: there was none */
    bool dated;     /* such a time is a date */
    struct newest_bars bars;
};

/* Hands each signal to `take`, setup by setup and in the order of instruments,
 * from the calling thread: of history as they are found, of the newest bars once
 * all are looked at, since only then is it known which of them are old. The sum
 * is the caller's to free, also after an error. */
int scan_each(struct work *work, const struct scan_wish *wish,
              int (*take)(void *context, const struct scan_row *row, struct error *error),
              void *context, struct scan_sum *sum, struct error *error);
void scan_sum_free(struct scan_sum *sum);

/* High and low of a candle as the chart has them, whatever the side. */
void candle_on_chart(const struct rules_case *opened, const struct candle *candle, double *high,
                     double *low);

#endif
