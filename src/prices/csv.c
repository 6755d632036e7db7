#include "prices/csv.h"

#include "base/calendar.h"
#include "prices/csv_cells.h"
#include "prices/csv_observe.h"
#include "prices/csv_order.h"
#include "prices/csv_plain.h"
#include "prices/csv_sniff.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* UTC time, or for dated bars the date at 00:00 UTC. */
static int64_t moment_time(struct csv_reader *reader, const struct csv_moment *moment, bool dated)
{
    /* A date is a date, however its midnight is written. */
    if (dated && (!moment->has_clock || moment->seconds % SECONDS_PER_DAY == 0))
        return moment->seconds;
    struct wall_clock *clock = reader->line_zone[0] != '\0' ? &reader->line_clock : &reader->clock;
    int64_t time = moment->utc ? moment->seconds : wall_clock_time(clock, moment->seconds);
    if (!moment->utc && !dated)
        reader->repeat = wall_clock_repeat(clock, time);
    return dated ? session_day(reader->session, time) * SECONDS_PER_DAY : time;
}

/* The zone that the line names becomes that of its time. */
static bool read_zone(struct csv_reader *reader, struct csv_field field, char *reason)
{
    struct error error;
    char name[ZONE_NAME_SIZE];
    if (field.length == 0 || field.length >= sizeof name) {
        snprintf(reason, CSV_REASON_SIZE, "zone '%.*s' is not known", csv_shown(field),
                 field.bytes);
        return false;
    }
    memcpy(name, field.bytes, field.length);
    name[field.length] = '\0';
    if (strcmp(name, reader->line_zone) == 0)
        return true;
    wall_clock_close(&reader->line_clock);
    reader->line_zone[0] = '\0';
    if (wall_clock_open(&reader->line_clock, name, &error) != ERROR_NONE) {
        snprintf(reason, CSV_REASON_SIZE, "zone '%.*s' is not known", csv_shown(field),
                 field.bytes);
        return false;
    }
    memcpy(reader->line_zone, name, field.length + 1);
    return true;
}

/* Reads a price; false with the reason where it is none. */
static bool read_price(const struct csv_reader *reader, struct csv_field field, const char *name,
                       double *value, char *reason)
{
    enum csv_number kind = csv_number_read(field, reader->facts.style, value);
    if (kind == CSV_MISSING)
        snprintf(reason, CSV_REASON_SIZE, "%s is missing", name);
    else if (kind == CSV_NO_NUMBER)
        snprintf(reason, CSV_REASON_SIZE, "%s '%.*s' is not a number", name, csv_shown(field),
                 field.bytes);
    else if (!(fabs(*value) <= CSV_LARGEST_PRICE))
        snprintf(reason, CSV_REASON_SIZE, "%s %g is beyond 1e100 in size", name, *value);
    else
        return true;
    return false;
}

static bool read_volume(const struct csv_reader *reader, const struct csv_field *fields,
                        double *value, char *reason)
{
    *value = NAN;
    if (reader->columns.where[CSV_VOLUME] < 0)
        return true;
    struct csv_field field = fields[reader->columns.where[CSV_VOLUME]];
    if (csv_number_read(field, reader->facts.style, value) == CSV_MISSING) {
        *value = NAN;
        return true;
    }
    if (!read_price(reader, field, "volume", value, reason))
        return false;
    if (*value >= 0)
        return true;
    snprintf(reason, CSV_REASON_SIZE, "volume %g is negative", *value);
    return false;
}

static bool read_prices(const struct csv_reader *reader, const struct csv_field *fields,
                        struct bar *bar, char *reason)
{
    const int *where = reader->columns.where;
    if (reader->columns.observations)
        return read_price(reader, fields[where[CSV_PRICE]], "price", &bar->close, reason);
    return read_price(reader, fields[where[CSV_OPEN]], "open", &bar->open, reason) &&
           read_price(reader, fields[where[CSV_HIGH]], "high", &bar->high, reason) &&
           read_price(reader, fields[where[CSV_LOW]], "low", &bar->low, reason) &&
           read_price(reader, fields[where[CSV_CLOSE]], "close", &bar->close, reason);
}

static bool read_bar(struct csv_reader *reader, const struct csv_field *fields, struct bar *bar,
                     char *reason)
{
    struct csv_moment moment;
    int zone = reader->columns.where[CSV_ZONE];
    if (!csv_line_moment(reader, fields, &moment, reason) ||
        (zone >= 0 && !read_zone(reader, fields[zone], reason)) ||
        !read_prices(reader, fields, bar, reason) ||
        !read_volume(reader, fields, &bar->volume, reason))
        return false;
    if (moment.ambiguous) {
        struct csv_field date = fields[reader->columns.where[CSV_TIME]];
        snprintf(reason, CSV_REASON_SIZE, "'%.*s' could be day/month or month/day", csv_shown(date),
                 date.bytes);
        return false;
    }
    bool observations = reader->columns.observations;
    reader->repeat = 0;
    bar->time = moment_time(reader, &moment, reader->facts.dated && !observations);
    return observations || bar_fault(bar, reason) == NULL;
}

static int deliver(struct csv_reader *reader, struct error *error)
{
    struct bars *block = &reader->block;
    int code = ERROR_NONE;
    if (block->count == 0)
        return ERROR_NONE;
    if (reader->facts.newest_first)
        bars_reverse(block);
    block->interval = reader->facts.interval;
    code = reader->sink->bars(reader->sink->context, block, error);
    block->count = 0;
    if (code == ERROR_NONE && reader->sink->progress != NULL)
        code = reader->sink->progress(reader->sink->context,
                                      reader->lines.offset + reader->lines.position,
                                      reader->facts.size, error);
    return code;
}

static int read_line(struct csv_reader *reader, const struct csv_line *line, struct error *error)
{
    struct csv_field fields[CSV_MOST_COLUMNS + 1];
    char reason[CSV_REASON_SIZE];
    struct bar bar;
    reader->summary->lines++;
    if (csv_line_fields(reader, line, fields, reason) && read_bar(reader, fields, &bar, reason))
        return csv_order_take(reader, &bar, line, error);
    struct csv_fault fault;
    csv_fault_begin(&fault, line);
    return csv_set_aside(reader, &fault, reason, error);
}

static int read_all(struct csv_reader *reader, struct error *error)
{
    struct csv_line line = {.bytes = ""};
    /* With the two bars that may be looked at beyond a block. */
    int code = bars_reserve(&reader->block, CSV_BLOCK + 2, error);
    while (code == ERROR_NONE && line.bytes != NULL) {
        csv_take_plain_lines(reader);
        if (reader->block.count >= CSV_BLOCK)
            code = deliver(reader, error);
        if (code == ERROR_NONE)
            code = csv_next_line(reader, &line, error);
        if (code == ERROR_NONE && line.bytes != NULL)
            code = read_line(reader, &line, error);
    }
    if (code == ERROR_NONE)
        code = csv_order_end(reader, error);
    if (code == ERROR_NONE)
        code = csv_observe_end(reader, error);
    if (code == ERROR_NONE)
        code = deliver(reader, error);
    if (code == ERROR_NONE && reader->summary->lines == 0)
        code = error_set(error, ERROR_INPUT, "has a header and no lines of prices");
    return code;
}

/* A partial bar is closed by the data only where they reach its end. */
static void settle_end(struct csv_reader *reader)
{
    struct csv_summary *summary = reader->summary;
    if (!reader->columns.observations || !summary->last_is_partial)
        return;
    struct bucket newest = session_bucket(reader->session, reader->facts.interval,
                                          summary->observed, false);
    summary->last_is_partial = summary->observed < newest.end;
}

static bool is_universal(const char *zone)
{
    static const char *const names[] = {"UTC", "GMT", "Z", "Etc/UTC", "Etc/GMT", "+00:00", "+0"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
        if (strcmp(zone, names[i]) == 0)
            return true;
    return false;
}

/* The clock of times that do not say theirs: the header's, the one asked for,
 * else the session's. */
static int settle_zone(struct csv_reader *reader, struct error *error)
{
    const char *asked = reader->options->zone;
    const char *named = reader->columns.zone;
    if (named[0] != '\0' && reader->columns.where[CSV_ZONE] >= 0)
        return error_set(error, ERROR_INPUT,
                         "the header names the zone %s for its times, and column %d names one for "
                         "each; leave one of them out of the file",
                         named, reader->columns.where[CSV_ZONE] + 1);
    if (named[0] != '\0' && asked != NULL && strcmp(asked, named) != 0 &&
        !(is_universal(asked) && is_universal(named)))
        return error_because(error, ERROR_INPUT, ERROR_REASON_OTHER_ZONE,
                             "the header says that its times are in %s, not %s", named, asked);
    if (named[0] == '\0' && asked == NULL) {
        reader->clock = reader->session->clock;
        return ERROR_NONE;
    }
    reader->own_clock = true;
    return wall_clock_open(&reader->clock, named[0] != '\0' ? named : asked, error);
}

static int read_text(struct csv_reader *reader, const char *name, struct error *error)
{
    bars_init(&reader->block);
    reader->utc = (struct session){.start = 0};
    wall_clock_open(&reader->utc.clock, "UTC", error);
    wall_clock_open(&reader->line_clock, "UTC", error);
    reader->session = reader->options->session != NULL ? reader->options->session : &reader->utc;
    int code = ERROR_NONE;
    if (code == ERROR_NONE)
        code = csv_lines_begin(&reader->lines, error);
    if (code == ERROR_NONE)
        code = csv_sniff(reader, error);
    if (code == ERROR_NONE)
        code = settle_zone(reader, error);
    reader->summary->facts = reader->facts;
    if (code == ERROR_NONE && reader->sink->begin != NULL)
        code = reader->sink->begin(reader->sink->context, &reader->facts, error);
    if (code == ERROR_NONE)
        code = read_all(reader, error);
    if (code == ERROR_NONE)
        settle_end(reader);
    else
        error_context(error, "%s", name);
    if (reader->own_clock)
        wall_clock_close(&reader->clock);
    wall_clock_close(&reader->line_clock);
    bars_free(&reader->block);
    csv_lines_close(&reader->lines);
    return code;
}

int csv_read_file(const char *path, const struct csv_options *options, const struct csv_sink *sink,
                  struct csv_summary *summary, struct error *error)
{
    struct csv_reader reader = {.options = options, .sink = sink, .summary = summary};
    *summary = (struct csv_summary){0};
    int code = csv_lines_open(&reader.lines, path, error);
    reader.lines.hasher = options->hasher;
    if (code == ERROR_NONE)
        return read_text(&reader, path, error);
    csv_lines_close(&reader.lines);
    return code;
}

int csv_read_memory(const char *bytes, size_t length, const char *name,
                    const struct csv_options *options, const struct csv_sink *sink,
                    struct csv_summary *summary, struct error *error)
{
    struct csv_reader reader = {.options = options, .sink = sink, .summary = summary};
    *summary = (struct csv_summary){0};
    csv_lines_open_memory(&reader.lines, bytes, length);
    return read_text(&reader, name, error);
}
