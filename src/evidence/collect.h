/* What a study gathers from one instrument before anything is summed up.
 * Private to the evidence layer. */
#ifndef RUSHLIGHT_EVIDENCE_COLLECT_H
#define RUSHLIGHT_EVIDENCE_COLLECT_H

#include "evidence/study.h"

/* A growing list of structures of one size. */
struct list {
    void *items;
    size_t count;
    size_t room;
    size_t size;
};

void list_init(struct list *list, size_t size);
void list_free(struct list *list);
/* Room for one more at the end, or NULL without memory. */
void *list_add(struct list *list);
/* Appends all of another list; false without memory. */
bool list_join(struct list *list, const struct list *more);

/* One arm of a control: struct control_trade items. */
struct collected_arm {
    struct list trades;
    size_t signals;
};

enum { ARM_SETUP, ARM_OTHERS, ARM_COUNT };

/* Moves after a bar, in ATR of that bar. */
struct followed_move {
    size_t instrument;
    size_t date;
    double move[FOLLOWED_COUNT]; /* NaN beyond the end */
};

struct collected {
    struct list trades; /* struct study_trade */
    double same_bar_sum[SAME_BAR_COUNT];
    size_t same_bar_closed[SAME_BAR_COUNT];
    size_t untold;     /* candles that nothing told against (struct signals) */
    size_t dated_back; /* filled trades by a level brought in with an older date */
    size_t hung; /* trades, the worst being assumed, on whose bars the order of prices decided */
    struct collected_arm candle[ARM_COUNT];
    struct collected_arm place[ARM_COUNT];
    struct collected_arm confirm[CONFIRM_LIMIT][ARM_COUNT];
    struct list followed[ARM_COUNT]; /* struct followed_move */
    size_t candidates;
    size_t shapes;
    size_t signals;
    size_t shape_signals;
    size_t passed_over;
    size_t unfilled;
};

/* Setups made once for a study, all sharing the lists of the first. */
struct study_setups {
    const struct setup *setup;
    struct setup without_targets; /* for reach: only stop and time end a trade */
    struct setup same_bar[SAME_BAR_COUNT];
    struct setup without[CONFIRM_LIMIT];   /* one confirmation fewer */
    struct criterion *kept[CONFIRM_LIMIT]; /* their lists, the array alone */
    struct setup without_place;
    double floor_atr; /* least range of the shape, in ATR before */
};

int study_setups_init(struct study_setups *setups, const struct setup *setup, struct error *error);
void study_setups_free(struct study_setups *setups);

void collected_init(struct collected *collected);
void collected_free(struct collected *collected);

/* Gathers instrument number `index`. */
int collect_series(struct collected *collected, const struct study_setups *setups,
                   const struct study_series *series, size_t index, const struct date_grid *grid,
                   struct error *error);

/* The mean R of the setup's closed trades alone, summed: for resampled
 * markets. */
int collect_sum(const struct setup *setup, const struct study_series *series, double *sum,
                size_t *closed, struct error *error);

#endif
