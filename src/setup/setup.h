/* A setup: what candle, where, what must confirm it, how to enter, protect and
 * leave (docs/setup-file.md). */
#ifndef RUSHLIGHT_SETUP_SETUP_H
#define RUSHLIGHT_SETUP_SETUP_H

#include "base/error.h"
#include "base/parameter.h"
#include "base/text.h"
#include "candles/shapes.h"
#include "market/costs.h"
#include "market/interval.h"
#include "setup/comparing.h"
#include "setup/conditions.h"
#include "setup/entries.h"
#include "setup/leavings.h"
#include "setup/stops.h"
#include "setup/targets.h"
#include "setup/trails.h"

#include <stdbool.h>
#include <stddef.h>

enum setup_side { SIDE_LONG, SIDE_SHORT };

enum criterion_kind { CRITERION_CONDITION, CRITERION_ANY, CRITERION_NOT };

/* One item of a list of conditions. */
struct criterion {
    enum criterion_kind kind;
    const struct condition *condition; /* CRITERION_CONDITION */
    bool mirrored;                     /* its mirror row was named; `compare`: read on negated
                                        * prices, the rule being turned for them */
    double values[PARAMETER_LIMIT];    /* in the row's own orientation */
    char *word;                        /* kind of event; NULL for most */
    struct compare_rule *compare;      /* of the condition `compare`; NULL for others */
    struct interval interval;          /* NONE: the setup's own bars */
    size_t within;                     /* also on so many bars before, of the setup's own */
    size_t kept;                       /* number of its text (kept.h); 0: none */
    struct criterion *parts;           /* any, not */
    size_t part_count;
};

struct criteria {
    struct criterion *list;
    size_t count;
};

enum {
    CANDLE_CHOICES = 16,
    PLACE_LIMIT = 32,   /* items of place; those of a group count as one */
    CONFIRM_LIMIT = 16, /* items of confirm */
    TARGET_LIMIT = 8,
    STOP_MEMBERS = 8
};

/* Distance added beyond a price: ticks, or ATR of the signal bar. */
struct buffer {
    double ticks;
    double atr; /* 0: not used */
};

enum late_rule { LATE_SKIP, LATE_TAKE };

struct entry_rule {
    const struct entry *entry;
    double values[PARAMETER_LIMIT];
    enum retest_of retest_of;
    size_t valid; /* bars, at least 1 */
    struct buffer buffer;
    bool at_close; /* fill at the close of the firing bar, else at the next open */
    enum late_rule late;
    double largest_gap_atr; /* NaN: any */
    double least_room_r;    /* NaN: any */
};

struct stop_member {
    const struct stop *stop;
    double values[PARAMETER_LIMIT];
};

/* The lowest of its members, less one buffer. */
struct stop_rule {
    struct stop_member members[STOP_MEMBERS];
    size_t count; /* 1 unless `several` */
    bool several; /* written as lower_of (higher_of) */
    struct buffer buffer;
};

struct target {
    const struct target_kind *kind;
    double value;
    double share;
};

struct exit_rule {
    struct target targets[TARGET_LIMIT];
    size_t target_count;
    size_t time_stop;          /* bars; 0: none */
    double break_even_at_r;    /* NaN: never */
    const struct trail *trail; /* NULL: none */
    double trail_value;        /* of its row */
    struct criteria when;
};

enum same_bar_rule { SAME_BAR_NEAREST, SAME_BAR_WORST, SAME_BAR_BEST, SAME_BAR_FINER };
enum overlap_rule { OVERLAP_ONE, OVERLAP_ALL };

struct setup {
    char *name;
    char *title;
    char *family;
    enum setup_side side;
    struct interval interval; /* NONE: the file's own */
    struct shape_choice candles[CANDLE_CHOICES];
    size_t candle_count;
    bool candle_any_of; /* written as any_of */
    struct criteria place;
    struct criteria confirm;
    size_t confirm_at_least;
    size_t confirm_wait;
    struct entry_rule entry;
    struct stop_rule stop;
    struct exit_rule exit;
    struct costs costs; /* without a commission a trade, which needs a size */
    bool costs_given;
    enum same_bar_rule same_bar;
    enum overlap_rule overlap;
    double least_mean_r;
};

/* Reads a setup file. The error names file, line, column and key, what was
 * found and what is allowed. A setup that is `mirror_of` another file is read
 * with that file's rules mirrored. On an error nothing has to be freed. */
int setup_read_file(struct setup *setup, const char *path, struct error *error);
/* The same from memory; `name` stands for the file in messages. `mirror_of`
 * is looked for beside `name`. */
int setup_read(struct setup *setup, const char *name, const char *bytes, size_t length,
               struct error *error);
/* The same for the text of a setup that was kept in a book, in former words
 * (base/former.h) too. */
int setup_read_kept(struct setup *setup, const char *name, const char *text, struct error *error);
void setup_free(struct setup *setup);

/* Turns the setup into the one of the other side, each row to its mirror. The
 * name gets `-mirrored`, or loses it. ERROR_MACHINE without memory. */
int setup_mirror(struct setup *setup, struct error *error);

/* Writes the setup as a file in a fixed form, defaults left out: reading it
 * gives the same setup, and equal setups give equal texts. */
void setup_write(const struct setup *setup, struct text *text);

/* Another instrument that a setup names. */
struct setup_other {
    const char *name;
    struct interval interval; /* of its bars; NONE: that of the setup's own */
};

enum { SETUP_OTHERS = 16 };

/* The other instruments that the setup's conditions read, each once; a setup
 * that names more than SETUP_OTHERS cannot be read. The names are the setup's. */
size_t setup_others(const struct setup *setup, struct setup_other others[SETUP_OTHERS]);

/* A number of a table's row as it is written in the file: `14`, `[mon, tue]`,
 * `'09:30'`. */
void setup_write_value(struct text *text, const struct parameter *parameter, bool mirrored,
                       double value);

/* Whether a buffer or a comparison of the setup is counted in ticks. */
bool setup_counts_ticks(const struct setup *setup);

/* A JSON Schema (2020-12) of setup files, made from the tables. */
void setup_schema(struct text *text);

const char *side_name(enum setup_side side);
const char *same_bar_name(enum same_bar_rule rule);
/* All of them in the order of the enumeration, ended by NULL. */
extern const char *const same_bar_words[];

/* Bars before the candle of the fall that targets are measured on: those of a
 * retest of a retracement, else 60. */
size_t setup_fall_bars(const struct setup *setup);

/* Bars of the longest candle shape the setup may end. */
size_t setup_longest_shape(const struct setup *setup);

#endif
