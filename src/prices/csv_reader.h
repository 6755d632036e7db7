/* The state of a reading, which the parts of the CSV reader hand on. */
#ifndef RUSHLIGHT_PRICES_CSV_READER_H
#define RUSHLIGHT_PRICES_CSV_READER_H

#include "prices/csv_columns.h"
#include "prices/csv_lines.h"
#include "prices/csv_sink.h"

enum { CSV_REASON_SIZE = BAR_REASON_SIZE };

/* Makes bars of observations, oldest or newest first. */
struct csv_observer {
    struct bar bar; /* of the bucket under way */
    struct bucket bucket;
    bool any;
};

/* A bar, or an observation, that is not given on yet, and its line. */
struct csv_held {
    bool any;
    struct bar bar;
    int64_t repeat; /* its clock shows the same again after so many seconds; 0: it does not */
    struct csv_fault fault; /* without a reason */
};

struct csv_reader {
    struct csv_lines lines;
    struct csv_columns columns;
    const struct csv_options *options;
    const struct csv_sink *sink;
    struct csv_summary *summary;
    struct csv_facts facts;
    struct wall_clock clock;      /* of the file's times */
    bool own_clock;               /* it is not the session's */
    struct wall_clock line_clock; /* of the last line that named its own */
    char line_zone[ZONE_NAME_SIZE];
    struct session utc; /* the session where the options name none */
    struct session *session;
    struct bars block;
    struct csv_observer observer;
    int64_t last_time;        /* of the line given on last */
    bool any;                 /* a line has been given on */
    struct csv_held held;     /* the line behind that one */
    int64_t repeat;           /* of the line just read, as in csv_held */
    struct csv_held doubtful; /* a line that does not follow the held one, but what was before it */
    int roles[CSV_MOST_COLUMNS]; /* of each column */
};

#endif
