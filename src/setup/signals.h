/* From a setup and a sheet to candidates and signals (docs/method.md 6). */
#ifndef RUSHLIGHT_SETUP_SIGNALS_H
#define RUSHLIGHT_SETUP_SIGNALS_H

#include "base/error.h"
#include "setup/kept.h"

#include <stdbool.h>
#include <stddef.h>

/* A setup applied to one instrument. */
struct setup_view {
    const struct setup *setup;
    struct sheet *plain;               /* as on the chart */
    struct sheet *own;                 /* of the setup's side: plain, or its mirror */
    const struct surroundings *around; /* may be NULL */
    /* What was said before of these bars; NULL: nothing is kept. Not set by
     * setup_view_init but to NULL. */
    struct criterion_memory *memory;
};

/* Applies a setup to a sheet; ERROR_MACHINE without memory, ERROR_INPUT where
 * a condition asks for bars that these cannot make. Nothing to free: all three
 * stay the caller's. */
int setup_view_init(struct setup_view *view, const struct setup *setup, struct sheet *plain,
                    const struct surroundings *around, struct error *error);

/* Measures what the setup reads on several instruments at once, which is
 * faster than leaving each to its first reader; results do not depend on it. */
void setup_measure_ahead(const struct setup_view *const *views, size_t count);

/* The candle of a setup: one of its shapes, and the bars it takes. */
struct candle {
    size_t choice; /* index in setup->candles */
    size_t first;
    size_t at;
    double high; /* of all its bars, on the own sheet */
    double low;
};

/* Whether a shape of the setup ends at bar `at`. */
bool shape_ends(const struct setup_view *view, const struct shape_choice *shape, size_t at);
/* Whether one of the setup's shapes ends at bar `at`: the first of them that is
 * in its place there, or the first where none is. */
bool candle_at(const struct setup_view *view, size_t at, struct candle *candle);
/* Whether bar `at` is a candidate: one of the shapes ends there, in its place.
 * Each is tried with its own bars, in the order of the setup. */
bool candidate_at(const struct setup_view *view, size_t at, struct candle *candle);
/* The candle that shape `choice` of the setup would make with its last bar at
 * `at`, whether or not it is one; there have to be as many bars. */
struct candle candle_of_shape(const struct setup_view *view, size_t choice, size_t at);
/* The candle of a bar taken as if it were a shape of one bar (controls). */
struct candle candle_of_bar(const struct setup_view *view, size_t at);

/* Whether a criterion holds at bar `at`, for the candle that ends at
 * candle->at; `within` looks back from `at`. At another bar than the candle's
 * the candle is that bar alone. */
enum truth criterion_holds(const struct setup_view *view, const struct criterion *criterion,
                           const struct candle *candle, size_t at);
/* Whether it is undefined because nothing was given to tell it by: no events,
 * levels of one's own, or volume (struct reading, untold). */
bool criterion_untold(const struct setup_view *view, const struct criterion *criterion,
                      const struct candle *candle, size_t at);
/* The reading to show for it: that of the first bar, going back, on which it
 * is met, else that of `at`. Groups have none: name NULL. */
struct reading criterion_reading(const struct setup_view *view, const struct criterion *criterion,
                                 const struct candle *candle, size_t at);
/* The name as written in the file: `rsi_below`, `any`, `not`. */
const char *criterion_name(const struct criterion *criterion);

bool place_holds(const struct setup_view *view, const struct candle *candle);
/* Whether enough of the confirming conditions hold at bar `at`; true where
 * there are none. */
bool confirm_holds(const struct setup_view *view, const struct candle *candle, size_t at);

enum signal_state {
    SIGNAL_GIVEN,
    SIGNAL_BROKEN,  /* a low below the candle's came before any confirmation */
    SIGNAL_LAPSED,  /* no confirmation in time */
    SIGNAL_PENDING, /* the data end before it is decided */
};

struct signal {
    struct candle candle;
    size_t at; /* bar of the signal; of the break; the last bar waited for */
    enum signal_state state;
    /* Given, but only by a level of one's own that was brought in with an older
     * date (struct own_mark); of a trade also: so left by `when`. */
    bool dated_back;
};

/* Whether a criterion that holds does so only by levels of one's own that were
 * brought in with an older date. */
bool criterion_leans_back(const struct setup_view *view, const struct criterion *criterion,
                          const struct candle *candle, size_t at);

/* What becomes of a candidate. */
struct signal signal_of(const struct setup_view *view, const struct candle *candle);

struct signals {
    struct signal *list;
    size_t count;
    size_t room;
    size_t candidates; /* candles in their place */
    /* Candles that gave no signal though nothing that can be told fails: some
     * criterion cannot be told. */
    size_t untold;
};

/* All candidates of bars first..last-1 with what became of them, in order of
 * `at`, then of the candle. With `confirmed_only`, only those that gave a
 * signal. The list is the caller's to free. */
int signals_find(const struct setup_view *view, size_t first, size_t last, bool confirmed_only,
                 struct signals *signals, struct error *error);
/* Sorts by `at`, then by candle. */
void signals_sort(struct signals *signals);
void signals_free(struct signals *signals);

#endif
