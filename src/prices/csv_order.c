#include "prices/csv_order.h"

#include "base/calendar.h"
#include "prices/csv_cells.h"
#include "prices/csv_observe.h"

#include <stdio.h>

bool csv_time_follows(const struct csv_reader *reader, int64_t time, int64_t before)
{
    return (reader->facts.newest_first ? time < before : time > before) ||
           (reader->columns.observations && time == before);
}

static bool is_dated(const struct csv_reader *reader)
{
    return reader->facts.dated && !reader->columns.observations;
}

/* Sets a line aside that does not follow the one at `before`. */
static int set_aside_late(struct csv_reader *reader, struct csv_held *late, int64_t before,
                          struct error *error)
{
    char a[CALENDAR_TEXT_SIZE];
    char b[CALENDAR_TEXT_SIZE];
    char reason[CSV_REASON_SIZE];
    time_format(a, late->bar.time, is_dated(reader));
    time_format(b, before, is_dated(reader));
    if (late->bar.time == before)
        snprintf(reason, sizeof reason, "time %s is the same as in the bar before", a);
    else
        snprintf(reason, sizeof reason, "time goes %s from %s to %s",
                 reader->facts.newest_first ? "forward" : "back", b, a);
    late->any = false;
    return csv_set_aside(reader, &late->fault, reason, error);
}

/* The doubtful line is right, the held one is not. */
static int believe_doubtful(struct csv_reader *reader, struct error *error)
{
    char a[CALENDAR_TEXT_SIZE];
    char b[CALENDAR_TEXT_SIZE];
    char reason[CSV_REASON_SIZE];
    time_format(a, reader->held.bar.time, is_dated(reader));
    time_format(b, reader->doubtful.bar.time, is_dated(reader));
    snprintf(reason, sizeof reason, "time %s lies beyond the lines around it, which go on at %s", a,
             b);
    int code = csv_set_aside(reader, &reader->held.fault, reason, error);
    reader->held = reader->doubtful;
    reader->doubtful.any = false;
    return code;
}

/* Gives the held line on. */
static int release(struct csv_reader *reader, struct error *error)
{
    const struct bar *bar = &reader->held.bar;
    int code;
    if (!reader->held.any)
        return ERROR_NONE;
    if (reader->columns.observations) {
        code = csv_observe(reader, bar->time, bar->close, bar->volume, error);
    } else {
        reader->summary->bars++;
        code = bars_append(&reader->block, bar, error);
    }
    reader->last_time = bar->time;
    reader->any = true;
    reader->held.any = false;
    return code;
}

/* --- the hour that comes twice where the clock is put back --------------------------- */

static void settle_oldest_first(const struct csv_reader *reader, struct csv_held *next)
{
    int64_t before = reader->held.any ? reader->held.bar.time : reader->last_time;
    if ((!reader->held.any && !reader->any) || csv_time_follows(reader, next->bar.time, before) ||
        !csv_time_follows(reader, next->bar.time + next->repeat, before))
        return;
    next->bar.time += next->repeat;
    next->repeat = 0;
}

/* Bars at the end of the block that are read as of the first time. */
static size_t first_to_move(struct csv_reader *reader)
{
    size_t first = reader->block.count;
    while (first > 0 && wall_clock_repeat(&reader->clock, reader->block.time[first - 1]) > 0)
        first--;
    return first;
}

static void settle_newest_first(struct csv_reader *reader, const struct csv_held *next)
{
    struct csv_held *held = &reader->held;
    struct bars *block = &reader->block;
    if (!held->any || held->repeat == 0 || reader->columns.observations ||
        reader->line_zone[0] != '\0' || csv_time_follows(reader, next->bar.time, held->bar.time) ||
        !csv_time_follows(reader, next->bar.time, held->bar.time + held->repeat))
        return;
    size_t first = first_to_move(reader);
    if (first == 0 && reader->summary->bars > block->count)
        return;
    int64_t latest = first < block->count
                         ? block->time[first] +
                               wall_clock_repeat(&reader->clock, block->time[first])
                         : held->bar.time + held->repeat;
    if (first > 0 && !csv_time_follows(reader, latest, block->time[first - 1]))
        return; /* a third of the same time: the second stands there already */
    for (size_t i = first; i < block->count; i++)
        block->time[i] += wall_clock_repeat(&reader->clock, block->time[i]);
    if (block->count > 0)
        reader->last_time = block->time[block->count - 1];
    held->bar.time += held->repeat;
    held->repeat = 0;
}

/* A time that comes twice was read as the first. Where that does not follow the
 * line before and the second does, it is the second; in a file that begins with
 * the newest it is the lines before, back to where the clock was put back, that
 * are. Nothing is settled where the order does not tell, and (newest first) where
 * those lines have been given on: observations, and bars of another block. */
static void settle_repeated(struct csv_reader *reader, struct csv_held *next)
{
    if (next->repeat == 0)
        return;
    if (reader->facts.newest_first)
        settle_newest_first(reader, next);
    else
        settle_oldest_first(reader, next);
}

/* --- lines in order ------------------------------------------------------------------ */

int csv_order_take(struct csv_reader *reader, const struct bar *bar, const struct csv_line *line,
                   struct error *error)
{
    struct csv_held next = {.any = true, .bar = *bar, .repeat = reader->repeat};
    struct csv_held *held = &reader->held;
    struct csv_held *doubtful = &reader->doubtful;
    int code = ERROR_NONE;
    csv_fault_begin(&next.fault, line);
    settle_repeated(reader, &next);
    bar = &next.bar;
    if (!held->any && reader->any && !csv_time_follows(reader, bar->time, reader->last_time))
        return set_aside_late(reader, &next, reader->last_time, error);
    if (held->any && !csv_time_follows(reader, bar->time, held->bar.time)) {
        if (!doubtful->any && bar->time != held->bar.time &&
            (!reader->any || csv_time_follows(reader, bar->time, reader->last_time))) {
            *doubtful = next;
            return ERROR_NONE;
        }
        if (!doubtful->any)
            return set_aside_late(reader, &next, held->bar.time, error);
        if (!csv_time_follows(reader, bar->time, doubtful->bar.time))
            return set_aside_late(reader, &next, doubtful->bar.time, error);
        code = believe_doubtful(reader, error);
    } else if (doubtful->any) {
        code = set_aside_late(reader, doubtful, held->bar.time, error);
    }
    if (code == ERROR_NONE)
        code = release(reader, error);
    *held = next;
    return code;
}

int csv_order_end(struct csv_reader *reader, struct error *error)
{
    int code = ERROR_NONE;
    /* No line is left to tell: of two, the one nearer to what was before. */
    if (reader->doubtful.any && reader->any)
        code = believe_doubtful(reader, error);
    else if (reader->doubtful.any)
        code = set_aside_late(reader, &reader->doubtful, reader->held.bar.time, error);
    return code == ERROR_NONE ? release(reader, error) : code;
}
