#define _POSIX_C_SOURCE 200809L /* access */
#include "cli/series.h"

#include "base/array.h"
#include "base/calendar.h"
#include "base/number.h"
#include "market/csv_collect.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* More lines than this are counted, not shown. */
enum { MOST_FAULTS_SAID = 20 };

struct loading {
    struct call *call;
    const char *path;
    struct series *series;
};

static int take_fault(void *context, const struct csv_fault *fault, struct error *error)
{
    (void)error;
    struct loading *loading = context;
    if (loading->series->set_aside++ < MOST_FAULTS_SAID)
        call_say(loading->call, "%s:%llu: %s; line set aside", loading->path,
                 (unsigned long long)fault->line, fault->reason);
    return ERROR_NONE;
}

static int load_file(struct call *call, const char *path, struct series *series,
                     struct error *error)
{
    struct loading loading = {call, path, series};
    const struct csv_source source = {.path = path};
    struct csv_options options = {.interval = series->instrument.interval,
                                  .zone = call_option(call, "zone")};
    struct csv_summary summary;
    int code = csv_collect(&source, &options, &series->bars, take_fault, &loading, &summary, error);
    if (code != ERROR_NONE)
        return code;
    if (series->set_aside > MOST_FAULTS_SAID)
        call_say(call, "%s: %zu more lines set aside", path, series->set_aside - MOST_FAULTS_SAID);
    if (series->set_aside > 0)
        call->incomplete = true;
    series->instrument.interval = summary.facts.interval;
    return ERROR_NONE;
}

/* The file's stem: `prices/amber.csv` names amber. */
static bool name_from_path(const char *path, struct instrument *instrument)
{
    char name[INSTRUMENT_NAME_SIZE];
    const char *slash = strrchr(path, '/');
    const char *start = slash != NULL ? slash + 1 : path;
    const char *dot = strrchr(start, '.');
    size_t length = dot != NULL && dot > start ? (size_t)(dot - start) : strlen(start);
    if (length >= sizeof name)
        return false;
    memcpy(name, start, length);
    name[length] = '\0';
    return instrument_init(instrument, name);
}

static int read_interval(struct call *call, struct series *series, struct error *error)
{
    const char *text = call_option(call, "interval");
    if (text == NULL || interval_parse(text, &series->instrument.interval))
        return ERROR_NONE;
    return error_set(error, ERROR_USAGE,
                     "--interval: found '%s'; a length such as 1d, 1w, 4h or 30m is allowed", text);
}

/* The tick that was asked for, else the smallest step seen. */
static int settle_tick(struct call *call, const char *word, struct series *series,
                       struct error *error)
{
    struct instrument *instrument = &series->instrument;
    double step = 0;
    int code = call_number(call, "tick", 1e-15, 1e15, 0, &step, error);
    if (code != ERROR_NONE)
        return code;
    if (step > 0) {
        if (!tick_from_number(&instrument->tick, step))
            return error_set(error, ERROR_USAGE,
                             "--tick: found '%s'; a decimal of at most 15 places is allowed",
                             call_option(call, "tick"));
        instrument->tick_known = true;
        return ERROR_NONE;
    }
    if (instrument->tick_known || series->bars.count == 0)
        return ERROR_NONE;
    if (!tick_from_number(&instrument->tick, bars_smallest_step(&series->bars)))
        return error_set(error, ERROR_INPUT,
                         "%s: no price step can be seen in the prices; say it with --tick", word);
    char text[NUMBER_TEXT_SIZE];
    number_format(text, instrument->tick.value);
    call_say(call, "%s: no tick is known; taking the smallest step seen, %s (--tick says another)",
             word, text);
    instrument->tick_known = true;
    series->tick_assumed = true;
    return ERROR_NONE;
}

/* Leaves out what lies outside --from and --to, both included. */
static int cut_range(struct call *call, struct series *series, struct error *error)
{
    int64_t from = 0;
    int64_t to = 0;
    int code = call_time(call, "from", INT64_MIN, &from, error);
    if (code == ERROR_NONE)
        code = call_time(call, "to", INT64_MAX, &to, error);
    if (code != ERROR_NONE)
        return code;
    const char *last = call_option(call, "to");
    /* A date stands for its whole day. */
    if (last != NULL && strlen(last) == 10)
        to += SECONDS_PER_DAY - 1;
    size_t first = bars_find(&series->bars, from);
    size_t end = to < INT64_MAX ? bars_find(&series->bars, to + 1) : series->bars.count;
    if (first == 0 && end == series->bars.count)
        return ERROR_NONE;
    struct bars part;
    code = bars_slice(&part, &series->bars, first, end, error);
    if (code != ERROR_NONE)
        return code;
    bars_free(&series->bars);
    series->bars = part;
    return ERROR_NONE;
}

int series_open(struct call *call, const char *word, struct series *series, struct error *error)
{
    *series = (struct series){0};
    bars_init(&series->bars);
    if (access(word, F_OK) != 0)
        return error_set(error, ERROR_INPUT, "%s: there is no such file", word);
    if (!name_from_path(word, &series->instrument))
        return error_set(error, ERROR_INPUT, "%s: the file's name is no name for an instrument",
                         word);
    int code = read_interval(call, series, error);
    if (code == ERROR_NONE)
        code = load_file(call, word, series, error);
    /* The tick is that of the whole file, so that a range does not change it. */
    if (code == ERROR_NONE)
        code = settle_tick(call, word, series, error);
    if (code == ERROR_NONE)
        code = cut_range(call, series, error);
    return code;
}

void series_free(struct series *series)
{
    bars_free(&series->bars);
}

int series_words(struct call *call, size_t first, char ***words, size_t *count,
                 struct error *error)
{
    *count = 0;
    *words = NULL;
    if (call_has(call, "list"))
        return error_set(error, ERROR_INPUT, "--list: there is no book with a list '%s'",
                         call_option(call, "list"));
    if (call->argument_count <= first)
        return error_set(error, ERROR_USAGE, "%s: name an instrument, or a list with --list",
                         call->command->name);
    *words = array_new(call->argument_count - first, sizeof **words);
    if (*words == NULL)
        return error_memory(error);
    for (size_t i = first; i < call->argument_count; i++) {
        (*words)[*count] = string_copy(call->arguments[i]);
        if ((*words)[(*count)++] == NULL) {
            series_words_free(*words, *count);
            *words = NULL;
            return error_memory(error);
        }
    }
    return ERROR_NONE;
}

void series_words_free(char **words, size_t count)
{
    for (size_t i = 0; words != NULL && i < count; i++)
        free(words[i]);
    free(words);
}
