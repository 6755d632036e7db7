/* The parts of the CSV reader among themselves. */
#ifndef RUSHLIGHT_PRICES_CSV_READER_H
#define RUSHLIGHT_PRICES_CSV_READER_H

#include "prices/csv.h"
#include "prices/csv_lines.h"

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
    struct wall_clock line_clock; /* of the last line that named its own */
    char line_zone[ZONE_NAME_SIZE];
    struct session utc; /* the session where the options name none */
    struct session *session;
    struct bars block;
    struct csv_observer observer;
    int64_t last_time;        /* of the line given on last */
    bool any;                 /* a line has been given on */
    struct csv_held held;     /* the line behind that one */
    struct csv_held doubtful; /* a line that does not follow the held one, but what was before it */
    int roles[CSV_MOST_COLUMNS]; /* of each column */
};

/* The next line that is not blank; bytes NULL at the end. */
int csv_next_line(struct csv_reader *reader, struct csv_line *line, struct error *error);
/* Splits a line into the header's columns; false with the reason. */
bool csv_line_fields(const struct csv_reader *reader, const struct csv_line *line,
                     struct csv_field fields[CSV_MOST_COLUMNS + 1], char *reason);
/* Reads the moment of a line; false with the reason. */
bool csv_line_moment(const struct csv_reader *reader, const struct csv_field *fields,
                     struct csv_moment *moment, char *reason);
/* Its UTC time, or for dated bars its date at 00:00 UTC. */
int64_t csv_moment_time(struct csv_reader *reader, const struct csv_moment *moment, bool dated);

/* Reads the header and looks at the lines until everything is known that the
 * reading needs; then goes back to the first line of prices. */
int csv_sniff(struct csv_reader *reader, struct error *error);

/* The line and as much of its text as is kept. */
void csv_fault_begin(struct csv_fault *fault, const struct csv_line *line);
int csv_set_aside(struct csv_reader *reader, struct csv_fault *fault, const char *reason,
                  struct error *error);

/* Whether a time lies behind another in the file's direction; several
 * observations may share a second. */
bool csv_time_follows(const struct csv_reader *reader, int64_t time, int64_t before);
/* A bar or an observation that is right in itself. Times must go one way: of a
 * line that does not follow the one before it, one of the two is wrong. It is
 * the one before where the next line goes on from this one and not from that:
 * a year in the future sets itself aside and not all lines behind it. */
int csv_order_take(struct csv_reader *reader, const struct bar *bar, const struct csv_line *line,
                   struct error *error);
/* Nothing more comes. */
int csv_order_end(struct csv_reader *reader, struct error *error);

/* Takes as many plain lines as it can straight from the buffer into the block:
 * a date of ISO 8601, prices with a decimal point, nothing quoted, everything
 * in order. It stops at the first line that is anything else. */
void csv_take_plain_lines(struct csv_reader *reader);

/* One observation; a finished bar goes into the block. */
int csv_observe(struct csv_reader *reader, int64_t time, double price, double volume,
                struct error *error);
int csv_observe_end(struct csv_reader *reader, struct error *error);

#endif
