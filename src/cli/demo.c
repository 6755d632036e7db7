/* `demo`: the invented market on disk, and the main job run on it. */
#define _DEFAULT_SOURCE /* mkdir */
#include "cli/command_line.h"
#include "cli/commands.h"

#include "base/calendar.h"
#include "base/text.h"
#include "book/action_store.h"
#include "book/import.h"
#include "book/instrument_store.h"
#include "cli/book.h"
#include "cli/file.h"
#include "cli/wishes.h"
#include "demo/files.h"
#include "demo/market.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum { PATH_SIZE = 4096, BOOK_WAIT_SECONDS = 10 };

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
        return error_set(error, ERROR_USAGE, "--dir: the path is too long");
    return make_folder(path, error);
}

static int write_file(const char *dir, const char *folder, const char *name,
                      const struct text *text, struct error *error)
{
    char path[PATH_SIZE];
    if (snprintf(path, sizeof path, "%s/%s/%s.csv", dir, folder, name) >= PATH_SIZE)
        return error_set(error, ERROR_USAGE, "--dir: the path is too long");
    return file_write(path, text, error);
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
        code = list_store_add(book, list == 0 ? "reedlands" : market_kind_name(record.kind),
                              series->row->name, error);
    return book_settle(book, code, error);
}

struct import_counts {
    uint64_t bars;
    uint64_t set_aside;
};

static int import_series(struct book *book, const char *dir, const struct demo_series *series,
                         struct import_counts *counts, struct error *error)
{
    static const char *const folders[] = {"prices", "prices-hourly"};
    const struct import_options options = {.tick = series->row->tick, .now = clock_now()};
    const struct import_watch nobody = {0};
    int code = ERROR_NONE;
    for (size_t f = 0; code == ERROR_NONE && f < (series->hourly.count > 0 ? 2U : 1U); f++) {
        char path[PATH_SIZE];
        struct import_result result;
        snprintf(path, sizeof path, "%s/%s/%s.csv", dir, folders[f], series->row->name);
        code = import_file(book, path, &options, &nobody, &result, error);
        if (code != ERROR_NONE)
            return code;
        /* A demo that is run again finds its files in the book already. */
        counts->bars += result.already ? (f == 0 ? series->daily : series->hourly).count
                                       : result.added + result.known;
        counts->set_aside += result.already ? (f == 0 ? demo_bad_lines(series) : 0)
                                            : result.set_aside;
    }
    return code == ERROR_NONE ? save_record(book, series, error) : code;
}

static int write_series(const char *dir, const struct demo_series *series, struct error *error)
{
    struct text text;
    text_init(&text);
    demo_daily_csv(&text, series);
    int code = write_file(dir, "prices", series->row->name, &text, error);
    if (code == ERROR_NONE && series->hourly.count > 0) {
        text_clear(&text);
        demo_hourly_csv(&text, series);
        code = write_file(dir, "prices-hourly", series->row->name, &text, error);
    }
    text_free(&text);
    return code;
}

static int make_series(const struct demo_market *market, size_t index, const char *dir,
                       struct book *book, struct import_counts *counts, struct error *error)
{
    struct demo_series series;
    int code = demo_series_make(market, index, &series, error);
    if (code == ERROR_NONE)
        code = write_series(dir, &series, error);
    if (code == ERROR_NONE)
        code = import_series(book, dir, &series, counts, error);
    demo_series_free(&series);
    return code;
}

/* The files, and a book with all of them imported. */
static int make_market(const char *dir, const char *book_path, struct import_counts *counts,
                       struct error *error)
{
    struct demo_market market;
    struct book *book = NULL;
    int code = book_open(&book, book_path, BOOK_WRITE, BOOK_WAIT_SECONDS, error);
    if (code != ERROR_NONE)
        return code;
    code = demo_market_init(&market, DEMO_SEED, error);
    for (size_t i = 0; i < demo_roster_count && code == ERROR_NONE; i++)
        code = make_series(&market, i, dir, book, counts, error);
    demo_market_free(&market);
    return book_done(book, code, error);
}

/* --- the main job ------------------------------------------------------------------- */

/* Runs a command as a person would type it, and shows what was typed. */
static int run_words(struct call *call, char **words, int count, struct error *error)
{
    fprintf(call->out, "\n$");
    for (int i = 0; i < count; i++)
        fprintf(call->out, " %s", words[i]);
    fprintf(call->out, "\n\n");
    fflush(call->out);
    int status = command_line(count, words, call->out, call->messages);
    return status <= 1 ? ERROR_NONE : error_set(error, status, "%s %s failed", words[0], words[1]);
}

static int run_main_job(struct call *call, const char *dir, char *book, struct error *error)
{
    char sheet[PATH_SIZE];
    char program[] = "rushlight", scan[] = "scan", picture[] = "case", all[] = "--all",
         quiet[] = "--quiet", setup[] = "--setup", name[] = "low-inverted-hammer",
         since[] = "--from=2024-01-01", list[] = "--watchlist", reedlands[] = "reedlands",
         book_option[] = "--book", goods[] = "cut-rush", date[] = "2024-11-01", output[] = "-o";
    char *scan_words[] = {program, scan,  list,  reedlands,   setup, name,
                          all,     since, quiet, book_option, book};
    char *case_words[] = {program, picture, goods, date,        setup,
                          name,    output,  sheet, book_option, book};
    if (snprintf(sheet, sizeof sheet, "%s/case.svg", dir) >= PATH_SIZE)
        return error_set(error, ERROR_USAGE, "--dir: the path is too long");
    int code = run_words(call, scan_words, sizeof scan_words / sizeof scan_words[0], error);
    return code != ERROR_NONE
               ? code
               : run_words(call, case_words, sizeof case_words / sizeof case_words[0], error);
}

static void say_next(const struct call *call, const char *dir, const char *book)
{
    fprintf(call->out,
            "\nTo go on, and look around in a browser first:\n"
            "  rushlight serve --open --book %s\n"
            "  rushlight trades --watchlist reedlands --setup low-inverted-hammer --book %s\n"
            "  rushlight study --watchlist reedlands --setup low-inverted-hammer --book %s "
            "-o %s/study.html\n"
            "  rushlight catalogue shapes\n",
            book, book, book, dir);
}

int command_demo(struct call *call, struct error *error)
{
    const char *dir = call_word(call, "dir");
    char book[PATH_SIZE];
    struct import_counts counts = {0};
    if (snprintf(book, sizeof book, "%s/book.sqlite", dir) >= PATH_SIZE)
        return error_set(error, ERROR_USAGE, "--dir: the path is too long");
    int code = make_folder(dir, error);
    if (code == ERROR_NONE)
        code = make_subfolder(dir, "prices", error);
    if (code == ERROR_NONE)
        code = make_subfolder(dir, "prices-hourly", error);
    if (code == ERROR_NONE)
        code = make_market(dir, book, &counts, error);
    if (code != ERROR_NONE)
        return code;
    fprintf(call->out,
            "The demo market, an invented place, is in %s:\n"
            "  prices/         40 instruments, 15 years of daily bars\n"
            "  prices-hourly/  hourly bars of six of them\n"
            "  book.sqlite     all of it imported: %llu bars; %llu lines, wrong on purpose, set "
            "aside\n",
            dir, (unsigned long long)counts.bars, (unsigned long long)counts.set_aside);
    code = run_main_job(call, dir, book, error);
    if (code == ERROR_NONE)
        say_next(call, dir, book);
    return code;
}
