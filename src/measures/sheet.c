#include "measures/sheet_parts.h"

#include "base/array.h"
#include "base/calendar.h"
#include "market/longer.h"

#include <assert.h>
#include <stdint.h>
#include <stdlib.h>

struct sheet *sheet_new(const struct bars *bars, const char *zone)
{
    struct sheet *sheet = calloc(1, sizeof *sheet);
    if (sheet == NULL)
        return NULL;
    sheet->bars = bars;
    sheet->zone = zone;
    sheet->count = bars_complete(bars);
    return sheet;
}

void sheet_set_session(struct sheet *sheet, int start, unsigned days)
{
    sheet->session_start = start;
    sheet->session_days = days;
}

int sheet_session(const struct sheet *sheet, struct session *session, struct error *error)
{
    *session = (struct session){.start = sheet->session_start, .days = sheet->session_days};
    return wall_clock_open(&session->clock, sheet->zone != NULL ? sheet->zone : "", error);
}

struct sheet *sheet_of_instrument(const struct bars *bars, const struct instrument *instrument)
{
    struct sheet *sheet = sheet_new(bars, instrument->zone);
    if (sheet != NULL)
        sheet_set_session(sheet, instrument->session_start, instrument->session_days);
    return sheet;
}

static void free_one(struct sheet *sheet)
{
    kept_free(sheet);
    columns_free(sheet);
    for (size_t i = 0; i < sheet->longer_count; i++)
        sheet_free(sheet->longer[i]);
    free(sheet->kept);
    free(sheet->longer);
    free(sheet->closed);
    bars_free(&sheet->own_bars);
    if (sheet->session_is_open)
        session_close(&sheet->session);
    free(sheet);
}

void sheet_free(struct sheet *sheet)
{
    if (sheet == NULL)
        return;
    if (sheet->mirror != NULL)
        free_one(sheet->mirror);
    free_one(sheet);
}

static bool open_session(struct sheet *sheet, struct session *session)
{
    struct error error;
    const char *zone = sheet->zone != NULL ? sheet->zone : "";
    *session = (struct session){.start = sheet->session_start, .days = sheet->session_days};
    if (wall_clock_open(&session->clock, zone, &error) == ERROR_NONE)
        return true;
    session_close(session);
    sheet->failed = true;
    return false;
}

static bool has_session(struct sheet *sheet)
{
    if (!sheet->session_is_open)
        sheet->session_is_open = open_session(sheet, &sheet->session);
    return sheet->session_is_open;
}

int64_t sheet_day(struct sheet *sheet, size_t index)
{
    int64_t time = sheet->bars->time[index];
    if (interval_is_dated(sheet->bars->interval))
        return day_of_time(time);
    return has_session(sheet) ? session_day(&sheet->session, time) : day_of_time(time);
}

int64_t sheet_bar_end(struct sheet *sheet, size_t index)
{
    struct interval interval = sheet->bars->interval;
    int64_t time = sheet->bars->time[index];
    if (interval.unit == INTERVAL_NONE || !has_session(sheet))
        return time + 1;
    return session_bucket(&sheet->session, interval, time, true).end;
}

const struct bars *sheet_bars(const struct sheet *sheet)
{
    return sheet->bars;
}

size_t sheet_count(const struct sheet *sheet)
{
    return sheet->count;
}

static size_t own_bytes(const struct sheet *sheet)
{
    size_t bytes = sheet->column_count * sheet->count * sizeof(double);
    for (size_t i = 0; i < sheet->longer_count; i++)
        bytes += sheet_bytes(sheet->longer[i]);
    return bytes;
}

size_t sheet_bytes(const struct sheet *sheet)
{
    return own_bytes(sheet) + (sheet->mirror != NULL ? own_bytes(sheet->mirror) : 0);
}

static bool any_longer_failed(const struct sheet *sheet)
{
    for (size_t i = 0; i < sheet->longer_count; i++)
        if (sheet_failed(sheet->longer[i]))
            return true;
    return false;
}

bool sheet_failed(const struct sheet *sheet)
{
    const struct sheet *mirror = sheet->mirror;
    return sheet->failed || any_longer_failed(sheet) ||
           (mirror != NULL && (mirror->failed || any_longer_failed(mirror)));
}

void sheet_fail(struct sheet *sheet)
{
    sheet->failed = true;
}

struct sheet *sheet_mirror(struct sheet *sheet)
{
    if (sheet->mirror != NULL)
        return sheet->mirror;
    struct error error;
    struct sheet *mirror = calloc(1, sizeof *mirror);
    int code = mirror == NULL ? ERROR_MACHINE
               : sheet->walks ? mirror_move(mirror, sheet->bars, 0, &error)
                              : bars_mirror(&mirror->own_bars, sheet->bars, &error);
    if (code != ERROR_NONE) {
        free(mirror);
        sheet->failed = true;
        return NULL;
    }
    mirror->bars = &mirror->own_bars;
    mirror->walks = sheet->walks;
    mirror->moves = sheet->moves;
    mirror->offset = sheet->offset;
    mirror->zone = sheet->zone;
    sheet_set_session(mirror, sheet->session_start, sheet->session_days);
    mirror->count = sheet->count;
    mirror->mirror = sheet;
    sheet->mirror = mirror;
    return mirror;
}

/* Maps each bar of the shorter sheet to the last longer bar that had closed
 * by its end. */
static void map_closed(const struct sheet *sheet, struct sheet *longer, const int64_t *known,
                       struct session *session)
{
    size_t next = 0;
    for (size_t i = 0; i < sheet->count; i++) {
        int64_t now = bar_known(session, sheet->bars->interval, sheet->bars->time[i]);
        while (next < longer->count && known[next] <= now)
            next++;
        longer->closed[i] = next > 0 ? next - 1 : SIZE_MAX;
    }
}

static struct sheet *make_longer(struct sheet *sheet, struct interval interval)
{
    struct error error;
    struct longer made = {.known = NULL};
    struct session session = {.start = 0};
    struct sheet *longer = calloc(1, sizeof *longer);
    if (longer == NULL)
        return NULL;
    longer->closed = array_new(sheet->count, sizeof *longer->closed);
    int code = sheet_session(sheet, &session, &error);
    if (code == ERROR_NONE)
        code = longer_make(&made, sheet->bars, interval, &session, &error);
    longer->own_bars = made.bars;
    if (longer->closed == NULL || code != ERROR_NONE) {
        free(made.known);
        session_close(&session);
        sheet_free(longer);
        return NULL;
    }
    longer->bars = &longer->own_bars;
    longer->zone = sheet->zone;
    sheet_set_session(longer, sheet->session_start, sheet->session_days);
    longer->count = bars_complete(longer->bars);
    map_closed(sheet, longer, made.known, &session);
    free(made.known);
    session_close(&session);
    return longer;
}

struct sheet *sheet_longer(struct sheet *sheet, struct interval interval)
{
    assert(!sheet->walks);
    for (size_t i = 0; i < sheet->longer_count; i++)
        if (interval_equal(sheet->longer[i]->bars->interval, interval))
            return sheet->longer[i];
    struct sheet **list = array_reserve(sheet->longer, &sheet->longer_room, sheet->longer_count + 1,
                                        sizeof *list);
    struct sheet *longer = list != NULL ? make_longer(sheet, interval) : NULL;
    sheet->longer = list != NULL ? list : sheet->longer;
    if (longer == NULL) {
        sheet->failed = true;
        return NULL;
    }
    sheet->longer[sheet->longer_count++] = longer;
    return longer;
}

size_t sheet_longer_index(const struct sheet *longer, size_t index)
{
    return longer->closed[index];
}
