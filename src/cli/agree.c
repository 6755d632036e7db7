/* `agree`: dates that a person marked by hand against the rule. */
#include "base/array.h"
#include "base/calendar.h"
#include "cli/commands.h"
#include "cli/paragraph.h"
#include "cli/table.h"
#include "cli/wishes.h"
#include "prices/records.h"
#include "setup/agreement.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const struct column columns[] = {
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"candle_time", "candle", COLUMN_TEXT, 0, ""},
    {"verdict", "who sees it", COLUMN_TEXT, 0, ""},
    {"criterion", "criterion", COLUMN_TEXT, 0, ""},
    {"measured", "measured", COLUMN_NUMBER, 4, ""},
    {"comparison", "", COLUMN_TEXT, 0, ""},
    {"limit", "limit", COLUMN_NUMBER, 4, ""},
    {"unit", "unit", COLUMN_TEXT, 0, ""},
};

static const char *const verdict_names[] = {"", "both", "only the person", "only the rule"};

/* One date of the file. */
struct mark {
    char *word; /* the instrument as the file has it, NULL where it names none */
    int64_t time;
    bool used;
};

struct agree_call {
    struct call *call;
    struct call_work opened;
    struct setup setup;
    struct mark *marks;
    size_t mark_count;
    size_t mark_room;
    char **words; /* instruments to open */
    size_t word_count;
    struct rules_case *cases;
    struct agreement agreement;
    struct table table;
};

static int take_mark(void *context, const char *const *fields, uint64_t line, struct error *error)
{
    struct agree_call *work = context;
    struct mark mark = {0};
    (void)line;
    int code = record_time(fields[0], "date", &mark.time, error);
    if (code != ERROR_NONE)
        return code;
    struct mark *marks = array_reserve(work->marks, &work->mark_room, work->mark_count + 1,
                                       sizeof *marks);
    if (marks == NULL)
        return error_memory(error);
    work->marks = marks;
    if (fields[1] != NULL && (mark.word = string_copy(fields[1])) == NULL)
        return error_memory(error);
    marks[work->mark_count++] = mark;
    return ERROR_NONE;
}

static bool has_word(const struct agree_call *work, const char *word)
{
    for (size_t i = 0; i < work->word_count; i++)
        if (strcmp(work->words[i], word) == 0)
            return true;
    return false;
}

/* The instruments named in the call, else those that the file names. */
static int gather_words(struct agree_call *work, struct error *error)
{
    if (work->call->argument_count > 1 || call_has(work->call, "list"))
        return series_words(work->opened.work, 1, &work->words, &work->word_count, error);
    work->words = array_new(work->mark_count, sizeof *work->words);
    if (work->words == NULL)
        return error_memory(error);
    for (size_t i = 0; i < work->mark_count; i++) {
        const char *word = work->marks[i].word;
        if (word == NULL || word[0] == '\0')
            return error_set(error, ERROR_USAGE,
                             "agree: the file names no instrument for its dates; name it after the "
                             "file: rushlight agree %s INSTRUMENT",
                             work->call->arguments[0]);
        if (has_word(work, word))
            continue;
        if ((work->words[work->word_count] = string_copy(word)) == NULL)
            return error_memory(error);
        work->word_count++;
    }
    return ERROR_NONE;
}

/* Whether a mark is of this instrument: by its word or its name, or the only
 * instrument there is. */
static bool mark_is_of(const struct agree_call *work, const struct mark *mark, size_t instrument)
{
    if (mark->word == NULL || mark->word[0] == '\0')
        return work->word_count == 1;
    return strcmp(mark->word, work->words[instrument]) == 0 ||
           strcmp(mark->word, work->cases[instrument].series.instrument.name) == 0;
}

static int add_instrument(struct agree_call *work, size_t instrument, struct error *error)
{
    const struct rules_case *opened = &work->cases[instrument];
    const struct bars *bars = &opened->series.bars;
    bool *marked = calloc(bars->count + 1, sizeof *marked);
    if (marked == NULL)
        return error_memory(error);
    for (size_t i = 0; i < work->mark_count; i++) {
        struct mark *mark = &work->marks[i];
        size_t bar = bars_find(bars, mark->time);
        if (!mark_is_of(work, mark, instrument) || bar < opened->series.first ||
            bar == bars->count || bars->time[bar] != mark->time)
            continue;
        marked[bar] = true;
        mark->used = true;
    }
    int code = agreement_add(&work->agreement, &opened->view, instrument, opened->series.first,
                             marked, error);
    free(marked);
    return code;
}

static void say_unused(struct agree_call *work)
{
    for (size_t i = 0; i < work->mark_count; i++) {
        char time[CALENDAR_TEXT_SIZE];
        if (work->marks[i].used)
            continue;
        time_format(time, work->marks[i].time, work->marks[i].time % SECONDS_PER_DAY == 0);
        call_say(work->call, "%s%s%s: no bar of that time; mark left out",
                 work->marks[i].word != NULL ? work->marks[i].word : "",
                 work->marks[i].word != NULL ? " " : "", time);
        work->call->incomplete = true;
    }
}

static void put_check(struct agree_call *work, const struct agreement_bar *bar,
                      const struct check *check)
{
    const struct rules_case *opened = &work->cases[bar->instrument];
    const struct bars *bars = &opened->series.bars;
    char time[CALENDAR_TEXT_SIZE];
    char name[READING_NAME_SIZE];
    char criterion[READING_NAME_SIZE + 80];
    time_format(time, bars->time[bar->bar], interval_is_dated(bars->interval));
    table_text(&work->table, opened->series.instrument.name);
    table_text(&work->table, time);
    table_text(&work->table, verdict_names[bar->verdict]);
    if (check == NULL) {
        for (int i = 0; i < 5; i++)
            table_text(&work->table, NULL);
        return;
    }
    snprintf(criterion, sizeof criterion, "%s %s: %s", check_section_name(check->section),
             check->rule, reading_name(&check->reading, name));
    table_text(&work->table, criterion);
    table_number(&work->table, check->reading.value);
    table_text(&work->table, comparison_words(check->reading.comparison));
    table_number(&work->table, check->reading.limit);
    table_text(&work->table, check->reading.unit);
}

/* The criterion that the bar meets by least, of those with a limit that can be
 * moved: the one to tighten. */
static const struct check *tightest(const struct checklist *checklist)
{
    const struct check *found = NULL;
    double least = INFINITY;
    for (size_t i = 0; i < checklist->count; i++) {
        const struct check *check = &checklist->list[i];
        double scale = fmax(fabs(check->reading.limit), 1e-9);
        double margin = fabs(check->reading.value - check->reading.limit) / scale;
        bool movable = check->reading.parameter > 0 && !check->negated;
        if (check->holds == TRUTH_YES && movable && margin < least) {
            least = margin;
            found = check;
        }
    }
    return found;
}

static void put_bar(struct agree_call *work, const struct agreement_bar *bar)
{
    const struct setup_view *view = &work->cases[bar->instrument].view;
    struct checklist checklist;
    struct candle candle;
    if (bar->verdict == VERDICT_BOTH) {
        put_check(work, bar, NULL);
        return;
    }
    if (!candle_at(view, bar->bar, &candle))
        candle = candle_of_bar(view, bar->bar);
    checklist_read(view, &candle, bar->bar, &checklist);
    if (bar->verdict == VERDICT_RULE || checklist.count == 0) {
        put_check(work, bar, tightest(&checklist));
        return;
    }
    size_t shown = 0;
    for (size_t i = 0; i < checklist.count; i++) {
        if (checklist.list[i].holds == TRUTH_YES)
            continue;
        put_check(work, bar, &checklist.list[i]);
        shown++;
    }
    if (shown == 0)
        put_check(work, bar, NULL);
}

static void write_closing(const struct agree_call *work, struct text *closing)
{
    const struct agreement *a = &work->agreement;
    text_append_format(closing, "Both: %zu. Only the person: %zu. Only the rule: %zu.", a->both,
                       a->person, a->rule);
    size_t moved = 0;
    for (size_t i = 0; i < a->limit_count; i++) {
        const struct movable_limit *limit = &a->limits[i];
        if (limit->best == limit->limit)
            continue;
        text_append_format(closing, "%s %s: %s ", moved++ > 0 ? "," : " They agree best with",
                           limit->rule, limit->name);
        text_append_number(closing, limit->best);
        text_append(closing, " (now ");
        text_append_number(closing, limit->limit);
        text_append_char(closing, ')');
    }
    if (moved > 0)
        text_append_format(closing,
                           ". That would give %zu candles: both %zu, only the person %zu, only the "
                           "rule %zu.",
                           a->best_both + a->best_rule, a->best_both, a->best_person, a->best_rule);
    else
        text_append(closing, " No single limit can be moved to agree better.");
    text_append(closing,
                "\nLimits fitted to what one has marked fit those marks; they say nothing of other "
                "charts, and nothing of profit.");
}

static int print_answer(struct agree_call *work, struct error *error)
{
    struct text closing;
    text_init(&closing);
    table_begin(&work->table, work->call, "bars", columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < work->agreement.count; i++)
        if (work->agreement.bars[i].verdict != VERDICT_NEITHER)
            put_bar(work, &work->agreement.bars[i]);
    int code = table_end(&work->table, NULL, error);
    write_closing(work, &closing);
    if (code == ERROR_NONE && text_failed(&closing))
        code = error_memory(error);
    if (code == ERROR_NONE && work->call->format == FORMAT_TEXT) {
        fputc('\n', work->call->out);
        print_paragraph(work->call->out, closing.bytes, 0);
    }
    text_free(&closing);
    return code;
}

static int compare_all(struct agree_call *work, struct error *error)
{
    static const struct record_column record_columns[] = {{"date", true}, {"instrument", false}};
    int code = records_read(work->call->arguments[0], record_columns, 2, take_mark, work, error);
    if (code == ERROR_NONE && work->mark_count == 0)
        code = error_set(error, ERROR_INPUT, "%s: no dates in it", work->call->arguments[0]);
    if (code == ERROR_NONE)
        code = gather_words(work, error);
    if (code != ERROR_NONE)
        return code;
    work->cases = calloc(work->word_count, sizeof *work->cases);
    if (work->cases == NULL)
        return error_memory(error);
    agreement_init(&work->agreement, &work->setup);
    struct asides asides = {0};
    code = rules_open_all(work->opened.work, work->words, work->word_count, &work->setup,
                          work->cases, &asides, error);
    code = asides_end(&asides, work->opened.work, code, error);
    for (size_t i = 0; i < work->word_count && code == ERROR_NONE; i++)
        if (work->cases[i].sheet != NULL)
            code = add_instrument(work, i, error);
    if (code == ERROR_NONE)
        code = agreement_search(&work->agreement, error);
    if (code == ERROR_NONE)
        say_unused(work);
    return code == ERROR_NONE ? print_answer(work, error) : code;
}

int command_agree(struct call *call, struct error *error)
{
    struct agree_call work = {.call = call};
    int code = setup_of_call(call, &work.setup, error);
    if (code != ERROR_NONE)
        return code;
    code = call_work_open(&work.opened, call, error);
    if (code == ERROR_NONE)
        code = compare_all(&work, error);
    for (size_t i = 0; work.cases != NULL && i < work.word_count; i++)
        rules_close(&work.cases[i]);
    for (size_t i = 0; i < work.mark_count; i++)
        free(work.marks[i].word);
    free(work.marks);
    free(work.cases);
    words_free(work.words, work.word_count);
    agreement_free(&work.agreement);
    setup_free(&work.setup);
    return call_work_close(&work.opened, code, error);
}
