#define _DEFAULT_SOURCE /* mkdir */
#include "work/demo_market.h"

#include "base/calendar.h"
#include "base/new_file.h"
#include "book/action_store.h"
#include "book/import.h"
#include "book/instrument_store.h"
#include "book/list_store.h"
#include "demo/files.h"
#include "demo/market.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { PATH_SIZE = 4096, BOOK_WAIT_SECONDS = 10 };

/* All of it. */
#define DEMO_LIST "reedlands"

static int make_folder(const char *path, struct error *error)
{
    struct stat status;
    if (mkdir(path, 0777) == 0 ||
        (errno == EEXIST && stat(path, &status) == 0 && S_ISDIR(status.st_mode)))
        return ERROR_NONE;
    return error_set(error, ERROR_MACHINE, "%s: cannot make this folder: %s", path,
                     strerror(errno));
}

static int make_subfolder(const char *dir, const char *name, struct error *error)
{
    char path[PATH_SIZE];
    if (snprintf(path, sizeof path, "%s/%s", dir, name) >= PATH_SIZE)
        return error_set(error, ERROR_USAGE, "the folder of the demo market has too long a path");
    return make_folder(path, error);
}

/* A file of the folder, by its path. */
static int path_of(char path[PATH_SIZE], const struct demo_wish *wish, const char *folder,
                   const char *name, struct error *error)
{
    if (snprintf(path, PATH_SIZE, "%s/%s/%s.csv", wish->folder, folder, name) >= PATH_SIZE)
        return error_set(error, ERROR_USAGE, "the folder of the demo market has too long a path");
    return ERROR_NONE;
}

/* --- the book --------------------------------------------------------------------- */

static const struct demo_event *end_of(const struct demo_series *series)
{
    for (size_t e = 0; e < series->event_count; e++)
        if (series->events[e].kind == DEMO_END)
            return &series->events[e];
    return NULL;
}

/* Splits, dividends and rolls: the files have the prices as they were traded. */
static int save_actions(struct book *book, int64_t instrument, const struct demo_series *series,
                        struct error *error)
{
    static const struct {
        enum demo_event_kind event;
        enum action_kind action;
    } kinds[] = {{DEMO_SPLIT, ACTION_SPLIT},
                 {DEMO_DIVIDEND, ACTION_DIVIDEND},
                 {DEMO_ROLL, ACTION_ROLL}};
    enum action_outcome outcome;
    int code = ERROR_NONE;
    for (size_t e = 0; e < series->event_count; e++) {
        const struct demo_event *event = &series->events[e];
        for (size_t k = 0; code == ERROR_NONE && k < sizeof kinds / sizeof kinds[0]; k++) {
            const struct action action = {event->day * SECONDS_PER_DAY, kinds[k].action,
                                          event->value};
            if (event->kind == kinds[k].event)
                code = action_store_put(book, instrument, &action, true, &outcome, NULL, error);
        }
    }
    return code;
}

/* What no price file says of an instrument, and the list of its kind. */
static int save_record(struct book *book, const struct demo_series *series, struct error *error)
{
    struct instrument record;
    bool found = false;
    const struct demo_event *end = end_of(series);
    int code = instrument_store_find(book, series->row->name, &record, &found, error);
    if (code == ERROR_NONE)
        code = book_begin(book, "demo", error);
    if (code != ERROR_NONE)
        return code;
    record.kind = series->instrument.kind;
    record.tick = series->instrument.tick;
    record.tick_known = true;
    record.point_value = series->instrument.point_value;
    memcpy(record.currency, series->instrument.currency, CURRENCY_SIZE);
    if (end != NULL) {
        record.last_known = true;
        record.last_date = series->daily.time[series->daily.count - 1];
        snprintf(record.ended_why, sizeof record.ended_why, "wound up");
    }
    code = instrument_store_save(book, &record, error);
    if (code == ERROR_NONE)
        code = save_actions(book, record.id, series, error);
    for (int list = 0; code == ERROR_NONE && list < 2; list++)
        code = list_store_add(book, list == 0 ? DEMO_LIST : market_kind_name(record.kind),
                              series->row->name, LIST_ALWAYS, error);
    return book_settle(book, code, error);
}

struct import_counts {
    uint64_t bars;
    uint64_t set_aside;
};

static const char *const folders[] = {"prices", "prices-hourly"};

/* A demo that is made again finds its files in the book already. */
static void count(const struct demo_series *series, bool hourly, const struct import_result *result,
                  struct demo_made *made)
{
    if (result->already) {
        made->bars += (hourly ? series->hourly : series->daily).count;
        made->set_aside += hourly ? 0 : demo_bad_lines(series);
    } else {
        made->bars += result->added + result->known;
        made->set_aside += result->set_aside;
    }
}

static int bring_file(struct book *book, const struct demo_wish *wish,
                      const struct demo_series *series, bool hourly, struct demo_made *made,
                      struct error *error)
{
    const struct import_options options = {.tick = series->row->tick, .now = wish->now};
    const struct import_watch nobody = {0};
    struct import_result result;
    char path[PATH_SIZE];
    struct text text;
    text_init(&text);
    if (hourly)
        demo_hourly_csv(&text, series);
    else
        demo_daily_csv(&text, series);
    int code = path_of(path, wish, folders[hourly], series->row->name, error);
    if (code == ERROR_NONE)
        code = new_file_write(path, &text, error);
    text_free(&text);
    if (code != ERROR_NONE)
        return code;
    code = import_file(book, path, &options, &nobody, &result, error);
    if (!wish->keep)
        unlink(path);
    if (code == ERROR_NONE)
        count(series, hourly, &result, made);
    return code;
}

static int make_series(const struct demo_market *market, size_t index, const struct demo_wish *wish,
                       struct book *book, struct demo_made *made, struct error *error)
{
    struct demo_series series;
    int code = demo_series_make(market, index, &series, error);
    if (code == ERROR_NONE)
        code = bring_file(book, wish, &series, false, made, error);
    if (code == ERROR_NONE && series.hourly.count > 0)
        code = bring_file(book, wish, &series, true, made, error);
    if (code == ERROR_NONE)
        code = save_record(book, &series, error);
    demo_series_free(&series);
    return code;
}

static int check_stop(const struct demo_wish *wish, size_t done, struct error *error)
{
    if (wish->progress != NULL)
        wish->progress(wish->context, (double)done / (double)demo_roster_count);
    if (wish->stop != NULL && atomic_load(wish->stop))
        return error_set(error, ERROR_STOPPED, "the demo market was stopped half made");
    return ERROR_NONE;
}

static int make_all(const struct demo_wish *wish, struct demo_made *made, struct error *error)
{
    struct demo_market market;
    struct book *book = NULL;
    int code = book_open(&book, wish->book, BOOK_WRITE, BOOK_WAIT_SECONDS, error);
    if (code != ERROR_NONE)
        return code;
    code = demo_market_init(&market, DEMO_SEED, error);
    for (size_t i = 0; i < demo_roster_count && code == ERROR_NONE; i++) {
        code = check_stop(wish, i, error);
        if (code == ERROR_NONE)
            code = make_series(&market, i, wish, book, made, error);
    }
    demo_market_free(&market);
    return book_done(book, code, error);
}

static void drop_folders(const char *folder)
{
    char path[PATH_SIZE];
    for (int i = 0; i < 2; i++)
        if (snprintf(path, sizeof path, "%s/%s", folder, folders[i]) < PATH_SIZE)
            rmdir(path);
}

int demo_market_make(const struct demo_wish *wish, struct demo_made *made, struct error *error)
{
    *made = (struct demo_made){0};
    int code = make_folder(wish->folder, error);
    for (int i = 0; i < 2 && code == ERROR_NONE; i++)
        code = make_subfolder(wish->folder, folders[i], error);
    if (code == ERROR_NONE)
        code = make_all(wish, made, error);
    if (!wish->keep)
        drop_folders(wish->folder);
    return code;
}

int demo_market_look(struct book *book, enum demo_part *part, struct error *error)
{
    struct instrument *all = NULL;
    struct list_row *lists = NULL;
    size_t count = 0;
    size_t list_count = 0;
    int64_t members = 0; /* an instrument is put on its list when it is whole */
    *part = DEMO_NOTHING;
    int code = book != NULL ? instrument_store_all(book, &all, &count, error) : ERROR_NONE;
    if (code == ERROR_NONE && book != NULL)
        code = list_store_all(book, &lists, &list_count, error);
    for (size_t i = 0; i < list_count; i++)
        members = strcmp(lists[i].name, DEMO_LIST) == 0 ? lists[i].members : members;
    if (count > 0)
        *part = members == (int64_t)demo_roster_count ? DEMO_WHOLE : DEMO_PART;
    for (size_t i = 0; i < count; i++)
        if (demo_find(all[i].name) == demo_roster_count)
            *part = DEMO_MIXED;
    free(all);
    free(lists);
    return code;
}
