/* Events, own levels and finer bars. */
#define _POSIX_C_SOURCE 200809L /* stat */
#include "base/array.h"
#include "base/calendar.h"
#include "base/text.h"
#include "book/event_store.h"
#include "prices/records.h"
#include "work/as_of.h"
#include "work/book_files.h"
#include "work/level_file.h"
#include "work/own_lines.h"
#include "work/rules_parts.h"

#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

struct reading_extras {
    struct rules_case *opened;
    size_t event_room;
    size_t mark_room;
    struct session session;
    int64_t end; /* the end of the day as of which all is known; INT64_MAX */
};

/* Whether a line is of this instrument: it names it, or `all`, or none. */
static bool is_of(const struct rules_case *opened, const char *name)
{
    return name == NULL || name[0] == '\0' || strcmp(name, "all") == 0 ||
           strcmp(name, opened->series.instrument.name) == 0;
}

/* One that had not become known as of the day is left out. */
static int add_event(struct reading_extras *extras, const struct event *given, struct error *error)
{
    struct rules_case *opened = extras->opened;
    int64_t known = given->known;
    if (given->known_dated)
        known = session_begins(&extras->session, day_of_time(known) + 1) - 1;
    if (given->known_later && known >= extras->end)
        return ERROR_NONE;
    struct setup_event *events = array_reserve(opened->events, &extras->event_room,
                                               opened->around.event_count + 1, sizeof *events);
    if (events == NULL)
        return error_memory(error);
    opened->events = events;
    struct setup_event event = {.time = given->time,
                                .kind = string_copy(given->kind),
                                .known_later = given->known_later,
                                .known = known};
    if (event.kind == NULL)
        return error_memory(error);
    events[opened->around.event_count++] = event;
    return ERROR_NONE;
}

static int take_event(void *context, const char *const *fields, uint64_t line, struct error *error)
{
    struct reading_extras *extras = context;
    struct event event = {.time = 0};
    (void)line;
    int code = record_text(fields[0], "kind", event.kind, sizeof event.kind, error);
    if (code == ERROR_NONE)
        code = record_time(fields[1], "time", &event.time, error);
    if (code == ERROR_NONE)
        code = event_known_read(fields[3], &event, error);
    if (code != ERROR_NONE || !is_of(extras->opened, fields[2]))
        return code;
    return add_event(extras, &event, error);
}

/* Whether a list of criteria, or a group in it, has a condition that asks so. */
static bool any_asks(const struct criterion *list, size_t count,
                     bool (*asks)(const struct condition *condition))
{
    for (size_t i = 0; i < count; i++)
        if ((list[i].kind == CRITERION_CONDITION && asks(list[i].condition)) ||
            any_asks(list[i].parts, list[i].part_count, asks))
            return true;
    return false;
}

bool rules_ask(const struct setup *setup, bool (*asks)(const struct condition *condition))
{
    return any_asks(setup->place.list, setup->place.count, asks) ||
           any_asks(setup->confirm.list, setup->confirm.count, asks) ||
           any_asks(setup->exit.when.list, setup->exit.when.count, asks);
}

/* The events of the book, for an instrument of it and a setup that asks. */
static int take_book_events(struct work *work, const struct setup *setup,
                            struct reading_extras *extras, struct error *error)
{
    const struct instrument *instrument = &extras->opened->series.instrument;
    struct event_choice choice = {.instrument = instrument->name,
                                  .from = INT64_MIN,
                                  .to = INT64_MAX};
    struct book *book = NULL;
    struct event *events = NULL;
    size_t count = 0;
    if (instrument->id == 0 || !rules_ask(setup, condition_asks_for_events))
        return ERROR_NONE;
    int code = work_borrow(work, &book, error);
    if (code == ERROR_NONE)
        code = event_store_list(book, &choice, &events, &count, error);
    for (size_t i = 0; i < count && code == ERROR_NONE; i++)
        code = add_event(extras, &events[i], error);
    free(events);
    work_return(work, book);
    return code;
}

/* A row of the file: nobody can tell that it was there on its date. */
static int take_own_level(void *context, struct own_line *line, struct error *error)
{
    struct reading_extras *extras = context;
    struct rules_case *opened = extras->opened;
    if (!is_of(opened, line->instrument))
        return ERROR_NONE;
    /* A level is marked in the prices of its day. */
    for (int i = 0; i < 2; i++)
        if (line->points[i].time == INT64_MIN)
            line->points[i].time = line->since;
    if (line->since_is_date)
        line->since = session_begins(&extras->session, day_of_time(line->since) + 1) - 1;
    line->dated_back = true;
    int code = own_line_check(line, error);
    return code == ERROR_NONE
               ? own_line_mark(opened, &extras->session, &extras->mark_room, line, INT64_MAX, error)
               : code;
}

static bool aims_at_levels(const struct setup *setup)
{
    for (size_t i = 0; i < setup->exit.target_count; i++)
        if (target_is_own_level(setup->exit.targets[i].kind))
            return true;
    return false;
}

bool rules_read_levels(const struct setup *setup)
{
    return aims_at_levels(setup) || rules_ask(setup, condition_asks_for_levels);
}

/* A target that no trade can ever have is not left out in silence. */
static int say_no_targets(struct notices *notices, const struct setup *setup,
                          const struct rules_case *opened, struct error *error)
{
    const struct surroundings *around = &opened->around;
    const char *name = opened->series.instrument.name;
    /* Bars that stay in the book are looked through for signals alone. */
    if (!aims_at_levels(setup) || around->mark_count == 0 || opened->series.unread.id != 0)
        return ERROR_NONE;
    for (size_t i = 0; i < around->mark_count; i++)
        if (!opened->marks[i].dated_back)
            return ERROR_NONE;
    return notices_add(notices, error, NOTICE_NO_TARGET,
                       "%s: no trade has a target by own_level: each level was brought in with an "
                       "older date, by a file or by hand, and nobody could have aimed at it",
                       name);
}

/* The levels of a file; without one those of the book, for a setup that asks. */
static int take_own_levels(struct work *work, struct notices *notices, const struct setup *setup,
                           struct reading_extras *extras, struct error *error)
{
    const char *path = work_wishes(work)->levels;
    int code = ERROR_NONE;
    if (path != NULL)
        code = level_file_read(path, LEVEL_FILE_BESIDE, take_own_level, extras, error);
    else if (extras->opened->series.instrument.id != 0 && rules_read_levels(setup))
        code = own_lines_mark(work, extras->opened, &extras->mark_room, error);
    return code == ERROR_NONE ? say_no_targets(notices, setup, extras->opened, error) : code;
}

/* What was opened as finer bars must be, and of the same instrument. */
static int check_finer(const char *path, const struct rules_case *opened, struct error *error)
{
    const struct series *finer = &opened->finer;
    const struct series *series = &opened->series;
    char own[INTERVAL_TEXT_SIZE];
    char coarse[INTERVAL_TEXT_SIZE];
    if (strcmp(finer->instrument.name, series->instrument.name) != 0)
        return error_because(error, ERROR_USAGE, ERROR_REASON_OTHER_FINER,
                             "%s holds bars of %s, not of %s", path, finer->instrument.name,
                             series->instrument.name);
    if (finer->bars.interval.unit == INTERVAL_NONE ||
        interval_seconds(finer->bars.interval) < interval_seconds(series->bars.interval))
        return ERROR_NONE;
    interval_format(own, finer->bars.interval);
    interval_format(coarse, series->bars.interval);
    return error_because(error, ERROR_USAGE, ERROR_REASON_NOT_FINER,
                         "%s holds bars of %s, which are no finer than those of %s looked into",
                         path, own, coarse);
}

/* Finer bars of the same instrument: a file named as it is, or that file in a
 * folder. */
static int open_finer(struct work *work, struct notices *notices, const char *word,
                      struct rules_case *opened, struct error *error)
{
    struct stat status;
    struct text path;
    text_init(&path);
    text_append(&path, word);
    if (stat(word, &status) == 0 && S_ISDIR(status.st_mode))
        text_append_format(&path, "/%s.csv", opened->series.instrument.name);
    int code = text_failed(&path) ? error_memory(error)
                                  : series_open_like(work, notices, path.bytes, &opened->series,
                                                     &opened->finer, error);
    if (code == ERROR_NONE)
        code = check_finer(path.bytes, opened, error);
    text_free(&path);
    return code;
}

/* The shortest bars that the book has of the instrument, where the setup asks
 * for finer ones and nobody names them. */
static int open_finest(struct work *work, struct notices *notices, const struct setup *setup,
                       struct rules_case *opened, struct error *error)
{
    const struct series *series = &opened->series;
    if (setup->same_bar != SAME_BAR_FINER || opened->finer.bars.count > 0 ||
        interval_seconds(series->finest) == 0 ||
        interval_seconds(series->finest) >= interval_seconds(series->bars.interval))
        return ERROR_NONE;
    char interval[INTERVAL_TEXT_SIZE];
    struct text named;
    interval_format(interval, series->finest);
    text_init(&named);
    text_append_format(&named, "%s@%s", series->instrument.name, interval);
    int code = text_failed(&named) ? error_memory(error)
                                   : open_finer(work, notices, named.bytes, opened, error);
    text_free(&named);
    return code;
}

int rules_open_extras(struct work *work, struct notices *notices, const struct setup *setup,
                      struct rules_case *opened, struct error *error)
{
    static const struct record_column event_columns[] = {{"kind", true},
                                                         {"time", true},
                                                         {"instrument", false},
                                                         {"known", false}};
    struct reading_extras extras = {.opened = opened};
    const struct wishes *wishes = work_wishes(work);
    int code = session_open(&extras.session, &opened->series.instrument, error);
    if (code == ERROR_NONE)
        code = as_of_end(wishes, &opened->series.instrument, &extras.end, error);
    if (code == ERROR_NONE && wishes->events != NULL)
        code = records_read(wishes->events, event_columns, 4, take_event, &extras, error);
    if (code == ERROR_NONE)
        code = take_book_events(work, setup, &extras, error);
    if (code == ERROR_NONE)
        code = take_own_levels(work, notices, setup, &extras, error);
    if (code == ERROR_NONE && wishes->finer != NULL)
        code = open_finer(work, notices, wishes->finer, opened, error);
    session_close(&extras.session);
    opened->around.events = opened->events;
    opened->around.marks = opened->marks;
    return code == ERROR_NONE ? open_finest(work, notices, setup, opened, error) : code;
}
