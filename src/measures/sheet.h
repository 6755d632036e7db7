/* A sheet: the bars of one instrument with everything that has been computed
 * from them, each once, on first demand.
 *
 * A sheet belongs to one thread at a time. It has a mirror: the sheet of the
 * same bars with prices negated, on which the rows of the other side are
 * evaluated; and one longer sheet for each longer interval asked for.
 *
 * Memory that runs out is noted once in the sheet and asked for once, at the
 * end, by sheet_failed: a column that could not be made is NULL, and whoever
 * reads it takes its values as undefined. */
#ifndef RUSHLIGHT_MEASURES_SHEET_H
#define RUSHLIGHT_MEASURES_SHEET_H

#include "base/error.h"
#include "base/parameter.h"
#include "market/bars.h"
#include "market/instrument.h"
#include "market/session.h"

#include <stdbool.h>
#include <stddef.h>

struct sheet;

/* A column while it is made, or gone on with where a sheet walks. */
struct filling {
    double *values;  /* sheet_count of them */
    size_t first;    /* the first to write; those before stand */
    double state[2]; /* what a recurrence carries on beside its last value */
};

/* One measure: a column of numbers, one a bar. */
struct measure {
    const char *name; /* NULL ends the table */
    struct parameter parameters[PARAMETER_LIMIT];
    const char *help;
    const char *source;
    const char *unit; /* "price", "%", "price a bar" …, "" for none */
    /* Writes the column from its first to sheet_count. False without memory. */
    bool (*compute)(struct sheet *sheet, const double *values, struct filling *column);
    /* The same for LANE_COUNT sheets at once, where that is faster; NULL: it is
     * not. */
    bool (*together)(struct sheet *const *sheets, const double *values,
                     struct filling *const *columns);
};

/* Rows of the table of measures, in its order. */
enum measure_id {
    MEASURE_RANGE,
    MEASURE_BODY,
    MEASURE_UPPER_SHADOW,
    MEASURE_LOWER_SHADOW,
    MEASURE_AVERAGE,
    MEASURE_EXPONENTIAL_AVERAGE,
    MEASURE_WILDER_AVERAGE,
    MEASURE_TRUE_RANGE,
    MEASURE_ATR,
    MEASURE_RSI,
    MEASURE_RSI_AVERAGE,
    MEASURE_MACD,
    MEASURE_MACD_SIGNAL,
    MEASURE_MACD_HISTOGRAM,
    MEASURE_STOCHASTIC_RAW,
    MEASURE_STOCHASTIC_SMOOTH,
    MEASURE_STOCHASTIC,
    MEASURE_DEVIATION,
    MEASURE_UPPER_BAND,
    MEASURE_LOWER_BAND,
    MEASURE_DIRECTIONAL_UP,
    MEASURE_DIRECTIONAL_DOWN,
    MEASURE_ADX,
    MEASURE_SLOPE,
    MEASURE_SLOPE_T,
    MEASURE_HIGHEST,
    MEASURE_LOWEST,
    MEASURE_AVERAGE_VOLUME,
    MEASURE_COUNT
};

/* The table of all measures. */
extern const struct measure measures[];
/* The row of this name, NULL if there is none. */
const struct measure *measure_find(const char *name);

/* A sheet over bars that stay the caller's and must outlive it, as must the
 * name of the session's zone (NULL: UTC); a partial last bar is left out. NULL
 * without memory. */
struct sheet *sheet_new(const struct bars *bars, const char *zone);
/* The session's start (minutes after midnight of the zone) and days, as in
 * market/session.h; without this call midnight and every day. To be called
 * before anything is asked of the sheet. */
void sheet_set_session(struct sheet *sheet, int start, unsigned days);
/* Opens the session of a sheet, to be closed by session_close, also after an
 * error. */
int sheet_session(const struct sheet *sheet, struct session *session, struct error *error);
/* A sheet over bars of an instrument, with its zone and session; the bars and
 * the instrument must outlive it. */
struct sheet *sheet_of_instrument(const struct bars *bars, const struct instrument *instrument);
/* Frees the sheet, its mirror and its longer sheets; NULL is allowed. To be
 * called on the sheet that sheet_new gave. */
void sheet_free(struct sheet *sheet);

/* A sheet that walks along a series too long to be held at once. Its bars are a
 * window, which moves on; what is measured on it is bit for bit what a sheet of
 * all bars holds at the same places, where nothing reads further back than the
 * bars that stay (for a measure: the sum of its lengths and one more).
 *
 * `window` are bars of the caller, the first `stay` of which are the last so
 * many of the window before (none at first); they must stay as they are until
 * the next move. Columns asked for in the first window are carried along; one
 * asked for later cannot be made: it is NULL, and sheet_asked_late becomes true.
 * The walk is then to be begun again with sheet_begin_again, which forgets the
 * bars and knows the columns. Such a sheet has no longer sheets. */
struct sheet *sheet_walking(const char *zone);
/* Moves the sheet on; ERROR_MACHINE without memory. */
int sheet_move(struct sheet *sheet, const struct bars *window, size_t stay, struct error *error);
/* Index in the series of the window's first bar. */
size_t sheet_offset(const struct sheet *sheet);
bool sheet_asked_late(const struct sheet *sheet);
void sheet_begin_again(struct sheet *sheet);

/* The trading day of a bar by the sheet's session, in days since 1970-01-01; of a
 * dated bar its date. A zone that is not known, or no memory, fails the sheet. */
int64_t sheet_day(struct sheet *sheet, size_t index);
/* The UTC time at which a bar is over by the sheet's session, its first second that is
 * past: the end of the bar that its interval has there. Where the length of the bars is
 * not known, the second after its time. Fails the sheet as sheet_day does. */
int64_t sheet_bar_end(struct sheet *sheet, size_t index);

const struct bars *sheet_bars(const struct sheet *sheet);
/* Bars that may be used: 0 .. count-1. */
size_t sheet_count(const struct sheet *sheet);
/* Whether memory ran out for this sheet, its mirror or a longer one. */
bool sheet_failed(const struct sheet *sheet);
void sheet_fail(struct sheet *sheet);
/* Bytes that its columns take, those of its mirror and longer sheets included. */
size_t sheet_bytes(const struct sheet *sheet);

/* The mirrored sheet; the mirror's mirror is this sheet again. NULL without
 * memory. */
struct sheet *sheet_mirror(struct sheet *sheet);

/* The sheet of a longer interval, its bars made from these. NULL without
 * memory, which fails the sheet; check first with interval_seconds that these
 * bars can make that interval. */
struct sheet *sheet_longer(struct sheet *sheet, struct interval interval);
/* Index, on such a longer sheet, of the last bar that had closed when bar
 * `index` of the shorter sheet was complete; SIZE_MAX if none had. */
size_t sheet_longer_index(const struct sheet *longer, size_t index);

/* The column of a measure with these parameter values (PARAMETER_LIMIT of
 * them; those beyond the row's own are ignored). Owned by the sheet. */
const double *sheet_measure(struct sheet *sheet, const struct measure *measure,
                            const double *values);

/* Makes a column on several sheets, which several lanes do faster than one
 * after the other; the columns are the same. Failures are noted in the sheets. */
void sheets_measure(struct sheet *const *sheets, size_t count, const struct measure *measure,
                    const double *values);

/* The measures asked for most, by their plain parameters. */
const double *sheet_atr(struct sheet *sheet, size_t n);
const double *sheet_rsi(struct sheet *sheet, size_t n);
const double *sheet_mean(struct sheet *sheet, size_t n);
const double *sheet_slope(struct sheet *sheet, size_t n);
const double *sheet_lowest(struct sheet *sheet, size_t n);
const double *sheet_highest(struct sheet *sheet, size_t n);
/* Any measure, with up to three values. */
const double *sheet_column(struct sheet *sheet, enum measure_id measure, double a, double b,
                           double c);

/* Room for what upper layers compute from a sheet and want to keep with it,
 * until its bars move: looked up by owner (the address of a static object) and
 * values. Keeping
 * hands `data` over; without memory it is released at once and false comes
 * back. */
void *sheet_kept(const struct sheet *sheet, const void *owner, const double *values);
bool sheet_keep(struct sheet *sheet, const void *owner, const double *values, void *data,
                void (*release)(void *data));

#endif
