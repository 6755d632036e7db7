/* How much hangs on each number of a setup: the mean with its interval as the
 * number is moved (docs/method.md 10). Every cell is a trial. */
#ifndef RUSHLIGHT_EVIDENCE_SENSITIVITY_H
#define RUSHLIGHT_EVIDENCE_SENSITIVITY_H

#include "evidence/study.h"
#include "evidence/swept.h"

enum { NUMBER_NAME_SIZE = 96, NUMBER_LIMIT = 640, SWEEP_LIMIT = 7 };

/* Where a number sits in a setup. */
enum number_part {
    PART_CANDLE, /* limit `parameter` of candle `index` */
    PART_PLACE,  /* number `parameter` of condition `index` */
    PART_CONFIRM,
    PART_ENTRY, /* of the entry's row */
    PART_VALID,
    PART_STOP,     /* of stop member `index` */
    PART_TARGET_R, /* of target `index` */
    PART_TIME_STOP
};

/* Which number of a `compare` it is. */
enum compared_number {
    COMPARED_NOTHING, /* none: one of the condition's own row */
    COMPARED_NUMBER,  /* what the value is compared with */
    COMPARED_RUN,
    COMPARED_BY,
    COMPARED_VALUE, /* number `parameter` of the value's measure, or of the other's */
    COMPARED_OTHER
};

struct named_number {
    /* Its path as setup diff has it: place.downtrend.bars, exit.targets.1.r; of a
     * comparison place.compare.above, confirm.of.compare.value.rsi.length. */
    char name[NUMBER_NAME_SIZE];
    enum number_part part;
    size_t index;
    size_t parameter;
    enum compared_number compared;
    bool whole;
    bool from_hundred; /* the row is read mirrored: what is written is 100 less it */
    bool negated;      /* likewise: what is written is its negative */
    bool from_the_end; /* the rule holds 100 less it: it is moved from the nearer end */
    double value;      /* as the row holds it */
    double least;
    double most;
};

/* All numbers of a setup that can be moved: those that are set and not 0, and
 * not inside any or not. Returns how many, at most NUMBER_LIMIT. */
size_t setup_numbers(const struct setup *setup, struct named_number numbers[NUMBER_LIMIT]);

/* The value as written in the setup file. */
double number_as_written(const struct named_number *number, double value);

/* The values to try: half to twice the setup's own in seven steps, inside the
 * number's limits, ascending and different; the own one among them. Returns
 * how many. */
size_t sweep_values(const struct named_number *number, double values[SWEEP_LIMIT]);

/* A copy of a setup with some numbers changed; the caller's to free. */
int setup_with(struct setup *copy, const struct setup *setup,
               const struct named_number *const *numbers, const double *values, size_t count,
               struct error *error);

struct sensitivity_cell {
    double value[2]; /* of the first number and, in a map, of the second; as held */
    size_t closed;
    struct estimate mean;
    bool own; /* the setup as it is */
};

enum sensitivity_form {
    FORM_TOO_LITTLE, /* no interval at the setup's own value */
    FORM_PLATEAU,    /* both neighbours within a standard error of it */
    FORM_SLOPE,
    FORM_PEAK /* the best of the strip, and both neighbours less than half of it */
};

/* A strip (one number) or a map (two), row by row of the first number. */
struct sensitivity {
    struct named_number numbers[2];
    size_t number_count;
    size_t sizes[2];
    struct sensitivity_cell *cells;
    size_t cell_count;
    enum sensitivity_form form; /* of a strip */
};

/* Called before each cell is run, with its setup, and after it with what came
 * out; an error stops the sweep. */
struct sweep_watch {
    int (*before)(void *context, const struct setup *setup, struct error *error);
    int (*after)(void *context, const struct estimate *mean, const struct date_grid *grid,
                 const struct closed_trades *closed, struct error *error);
    void *context;
};

/* `swept` keeps what other sweeps of the same series may find again; `watch` may be
 * NULL. The sensitivity is the caller's to free, also after an
 * error. */
int sensitivity_run(struct sensitivity *sensitivity, const struct setup *setup,
                    const struct named_number *const *numbers, size_t number_count,
                    const struct study_series *series, struct swept *swept,
                    const struct study_options *options, const struct sweep_watch *watch,
                    struct error *error);
void sensitivity_free(struct sensitivity *sensitivity);

/* The mean of a setup's closed trades, as a study has it, and no more; the setup
 * gets the numbers of its texts. The
 * trades are the caller's to free, also after an error. */
int mean_run(struct estimate *mean, struct closed_trades *closed, struct setup *setup,
             const struct study_series *series, struct swept *swept,
             const struct study_options *options, struct error *error);

#endif
