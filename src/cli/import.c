#define _DEFAULT_SOURCE /* fts */
#include "cli/commands.h"

#include "base/array.h"
#include "base/calendar.h"
#include "base/number.h"
#include "base/words.h"
#include "book/import.h"
#include "cli/book.h"
#include "cli/columns_option.h"
#include "cli/progress.h"
#include "cli/table.h"
#include "cli/wishes.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <time.h>

#include <fts.h>

enum { MOST_SAID = 20 };

struct files {
    char **paths;
    size_t count;
    size_t capacity;
};

struct work {
    struct call *call;
    struct progress progress;
    size_t at; /* files done */
    size_t count;
    uint64_t set_aside; /* of this file */
    uint64_t contradicted;
};

static int add_file(struct files *files, const char *path, struct error *error)
{
    return strings_add(&files->paths, &files->count, &files->capacity, path) ? ERROR_NONE
                                                                             : error_memory(error);
}

static void free_files(struct files *files)
{
    for (size_t i = 0; i < files->count; i++)
        free(files->paths[i]);
    free(files->paths);
}

static bool is_price_file(const char *name)
{
    static const char *const endings[] = {".csv", ".CSV", ".tsv", ".txt"};
    const char *ending = strrchr(name, '.');
    for (size_t i = 0; ending != NULL && name[0] != '.' && i < 4; i++)
        if (strcmp(ending, endings[i]) == 0)
            return true;
    return false;
}

/* The price files in a folder and those below it. */
static int walk_folder(const char *folder, struct files *files, struct error *error)
{
    char *copy = string_copy(folder);
    char *roots[] = {copy, NULL};
    FTS *tree = copy != NULL ? fts_open(roots, FTS_PHYSICAL | FTS_NOCHDIR, NULL) : NULL;
    int code = tree != NULL ? ERROR_NONE : error_memory(error);
    FTSENT *entry;
    while (code == ERROR_NONE && (entry = fts_read(tree)) != NULL) {
        if (entry->fts_info == FTS_ERR || entry->fts_info == FTS_DNR)
            code = error_set(error, ERROR_INPUT, "%s: cannot be read: %s", entry->fts_path,
                             strerror(entry->fts_errno));
        else if (entry->fts_info == FTS_F && is_price_file(entry->fts_name))
            code = add_file(files, entry->fts_path, error);
    }
    if (tree != NULL)
        fts_close(tree);
    free(copy);
    return code;
}

static int compare_paths(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

/* The files named, and the price files of the folders named, in order of name. */
static int find_files(const struct call *call, struct files *files, struct error *error)
{
    int code = ERROR_NONE;
    for (size_t i = 0; code == ERROR_NONE && i < call->argument_count; i++) {
        struct stat status;
        const char *path = call->arguments[i];
        size_t first = files->count;
        if (stat(path, &status) != 0 || !S_ISDIR(status.st_mode)) {
            code = add_file(files, path, error);
            continue;
        }
        code = walk_folder(path, files, error);
        if (code == ERROR_NONE && files->count == first)
            code = error_set(error, ERROR_INPUT, "%s: holds no .csv, .tsv or .txt files", path);
        if (code == ERROR_NONE)
            qsort(files->paths + first, files->count - first, sizeof *files->paths, compare_paths);
    }
    return code;
}

static void say_fault(void *context, const char *path, const struct csv_fault *fault)
{
    struct work *work = context;
    if (work->set_aside++ < MOST_SAID)
        call_say(work->call, "%s:%llu: %s; line set aside", path, (unsigned long long)fault->line,
                 fault->reason);
}

/* The first price in which two bars differ. */
static void first_difference(const struct bar *old, const struct bar *new, const char **name,
                             double *a, double *b)
{
    const struct {
        const char *name;
        double old, new;
    } values[] = {{"open", old->open, new->open},
                  {"high", old->high, new->high},
                  {"low", old->low, new->low},
                  {"close", old->close, new->close},
                  {"volume", old->volume, new->volume}};
    int i = 0;
    while (i < 4 && values[i].old == values[i].new)
        i++;
    *name = values[i].name;
    *a = values[i].old;
    *b = values[i].new;
}

static void say_contradiction(void *context, const char *path, enum bar_outcome outcome,
                              const struct bar *old, const struct bar *new, bool dated)
{
    struct work *work = context;
    char time[CALENDAR_TEXT_SIZE];
    char a[NUMBER_TEXT_SIZE];
    char b[NUMBER_TEXT_SIZE];
    const char *name;
    double before;
    double now;
    if (work->contradicted++ >= MOST_SAID)
        return;
    time_format(time, new->time, dated);
    first_difference(old, new, &name, &before, &now);
    number_format(a, now);
    number_format(b, before);
    call_say(work->call, "%s: %s: %s %s here, %s in the book; %s", path, time, name, a, b,
             outcome == BAR_REPLACED ? "replaced, the old bar is kept as a revision"
                                     : "kept out (--replace takes the new bar)");
}

static void show_progress(void *context, const char *path, uint64_t done, uint64_t size)
{
    struct work *work = context;
    (void)path;
    double share = size > 0 ? (double)done / (double)size : 0;
    progress_show(&work->progress, ((double)work->at + fmin(share, 1)) / (double)work->count);
}

static int read_options(struct call *call, struct import_options *options,
                        struct csv_wishes *columns, struct error *error)
{
    bool given = false;
    struct tick tick;
    *options = (struct import_options){.instrument = call_option(call, "instrument"),
                                       .zone = call_option(call, "zone"),
                                       .replace = call_has(call, "replace"),
                                       .whole = call_has(call, "whole"),
                                       .interval = call_interval(call, "interval"),
                                       .adjustment = (enum adjustment)call_choice(call, "adjust"),
                                       .now = (int64_t)time(NULL)};
    if (call_has(call, "date-format"))
        options->dates = (enum csv_dates)(CSV_DATES_DMY + call_choice(call, "date-format"));
    int code = columns_of_call(call, columns, &given, error);
    if (given) {
        options->columns = columns;
        options->columns_text = call_option(call, "columns");
    }
    if (code != ERROR_NONE || !call_has(call, "tick"))
        return code;
    options->tick = call_number(call, "tick");
    if (tick_from_number(&tick, options->tick))
        return ERROR_NONE;
    return error_set(error, ERROR_USAGE,
                     "--tick: found '%s'; a decimal of at most 15 places is allowed",
                     call_option(call, "tick"));
}

static const struct column columns[] = {
    {"file", "file", COLUMN_TEXT, 0, ""},
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"interval", "bars of", COLUMN_TEXT, 0, ""},
    {"lines", "lines", COLUMN_INTEGER, 0, ""},
    {"added", "added", COLUMN_INTEGER, 0, ""},
    {"known", "there already", COLUMN_INTEGER, 0, ""},
    {"replaced", "replaced", COLUMN_INTEGER, 0, ""},
    {"kept_out", "kept out", COLUMN_INTEGER, 0, ""},
    {"set_aside", "set aside", COLUMN_INTEGER, 0, ""},
};

static void add_row(struct table *table, const char *path, const struct import_result *result)
{
    char interval[INTERVAL_TEXT_SIZE];
    interval_format(interval, result->interval);
    table_text(table, path);
    table_text(table, result->instrument.name);
    table_text(table, interval);
    table_integer(table, (int64_t)result->lines);
    table_integer(table, (int64_t)result->added);
    table_integer(table, (int64_t)result->known);
    table_integer(table, (int64_t)result->replaced);
    table_integer(table, (int64_t)result->kept_out);
    table_integer(table, (int64_t)result->set_aside);
}

static void say_readjusted(struct call *call, const char *path, const struct import_result *result)
{
    char time[CALENDAR_TEXT_SIZE];
    char value[NUMBER_TEXT_SIZE];
    time_format(time, result->before, interval_is_dated(result->interval));
    snprintf(value, sizeof value, "%.6g", result->factor);
    call_say(
        call,
        "%s: before %s its prices are those of the book %s %s: the file has been adjusted since; "
        "that was taken back, and the book keeps prices as traded",
        path, time, result->by_ratio ? "times" : "plus", value);
}

static void say_partial(struct call *call, const char *path, const struct import_result *result)
{
    char last[CALENDAR_TEXT_SIZE];
    char ends[CALENDAR_TEXT_SIZE];
    time_format(last, result->last, interval_is_dated(result->interval));
    time_format(ends, result->ends, false);
    call_say(call,
             "%s: the last bar, %s, is not over before %s: it is kept as partial, gives no signal, "
             "and a later file takes its place (--whole if it is whole)",
             path, last, ends);
}

static void say_rest(struct work *work, const char *path, const struct import_result *result)
{
    if (result->pattern[0] != '\0' && !result->already)
        call_say(work->call, "%s: read with the columns kept for '%s'", path, result->pattern);
    if (result->already)
        call_say(work->call, "%s: has been imported before; nothing to do", path);
    if (result->partial)
        say_partial(work->call, path, result);
    if (result->readjusted)
        say_readjusted(work->call, path, result);
    if (result->taken_back > 0)
        call_say(work->call, "%s: taken back from its prices: %zu action%s of the book", path,
                 result->taken_back, result->taken_back == 1 ? "" : "s");
    if (work->set_aside > MOST_SAID)
        call_say(work->call, "%s: %llu more %s set aside", path,
                 (unsigned long long)(work->set_aside - MOST_SAID),
                 count_word(work->set_aside - MOST_SAID, "line", "lines"));
    uint64_t contradicted = result->kept_out + result->replaced;
    if (contradicted > MOST_SAID)
        call_say(work->call, "%s: %llu more %s from those in the book", path,
                 (unsigned long long)(contradicted - MOST_SAID),
                 count_word(contradicted - MOST_SAID, "bar differs", "bars differ"));
    if (result->set_aside + result->kept_out > 0)
        work->call->incomplete = true;
}

/* A file that cannot be read is said and left out; the others go on. A book or
 * a machine that fails ends it. */
static int import_all(struct work *work, struct book *book, const struct files *files,
                      const struct import_options *options, struct table *table,
                      struct error *error)
{
    const struct import_watch watch = {work, say_fault, say_contradiction, show_progress};
    size_t refused = 0;
    int code = ERROR_NONE;
    for (work->at = 0; code == ERROR_NONE && work->at < files->count; work->at++) {
        const char *path = files->paths[work->at];
        struct import_result result;
        work->set_aside = work->contradicted = 0;
        code = import_file(book, path, options, &watch, &result, error);
        if (code == ERROR_INPUT && files->count > 1) {
            call_advise(work->call, error);
            call_say(work->call, "%s; file left out", error->text);
            work->call->incomplete = true;
            refused++;
            code = ERROR_NONE;
            continue;
        }
        if (code != ERROR_NONE)
            break;
        say_rest(work, path, &result);
        add_row(table, path, &result);
        table_flush(table);
    }
    if (code == ERROR_NONE && refused == files->count)
        code = error_set(error, ERROR_INPUT, "none of the %zu files could be imported", refused);
    return code;
}

int command_import(struct call *call, struct error *error)
{
    struct import_options options;
    struct csv_wishes columns_said;
    struct files files = {0};
    struct work work = {.call = call};
    struct book *book = NULL;
    int code = read_options(call, &options, &columns_said, error);
    if (code == ERROR_NONE)
        code = find_files(call, &files, error);
    if (code == ERROR_NONE && options.instrument != NULL && files.count > 1)
        call_say(call, "all %zu files go into the instrument %s", files.count, options.instrument);
    if (code == ERROR_NONE)
        code = book_of_call(call, BOOK_FILL, &book, error);
    if (code == ERROR_NONE) {
        struct table table;
        struct error ended;
        work.count = files.count;
        progress_begin(&work.progress, call);
        table_begin(&table, call, "files", columns, sizeof columns / sizeof columns[0]);
        code = import_all(&work, book, &files, &options, &table, error);
        progress_end(&work.progress);
        int end_code = table_end(&table, NULL, &ended);
        if (code == ERROR_NONE && end_code != ERROR_NONE) {
            *error = ended;
            code = end_code;
        }
    }
    code = book_done(book, code, error);
    free_files(&files);
    return code;
}
