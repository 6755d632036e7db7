#include "work/agree.h"

#include "base/array.h"
#include "base/calendar.h"
#include "prices/records.h"

#include <stdlib.h>
#include <string.h>

/* One date of the file. */
struct mark {
    char *word; /* the instrument as the file has it, NULL where it names none */
    int64_t time;
    bool used;
};

struct agreeing {
    struct work *work;
    struct agreed *agreed;
    struct mark *marks;
    size_t mark_count;
    size_t mark_room;
};

static int take_mark(void *context, const char *const *fields, uint64_t line, struct error *error)
{
    struct agreeing *agreeing = context;
    struct mark mark = {0};
    (void)line;
    int code = record_time(fields[0], "date", &mark.time, error);
    if (code != ERROR_NONE)
        return code;
    struct mark *marks = array_reserve(agreeing->marks, &agreeing->mark_room,
                                       agreeing->mark_count + 1, sizeof *marks);
    if (marks == NULL)
        return error_memory(error);
    agreeing->marks = marks;
    if (fields[1] != NULL && (mark.word = string_copy(fields[1])) == NULL)
        return error_memory(error);
    marks[agreeing->mark_count++] = mark;
    return ERROR_NONE;
}

static int read_marks(struct agreeing *agreeing, const char *file, struct error *error)
{
    static const struct record_column columns[] = {{"date", true}, {"instrument", false}};
    int code = records_read(file, columns, 2, take_mark, agreeing, error);
    if (code == ERROR_NONE && agreeing->mark_count == 0)
        code = error_set(error, ERROR_INPUT, "%s: no dates in it", file);
    return code;
}

static bool names_none(const struct mark *mark)
{
    return mark->word == NULL || mark->word[0] == '\0';
}

static bool has_word(const struct agreed *agreed, const char *word)
{
    for (size_t i = 0; i < agreed->count; i++)
        if (strcmp(agreed->words[i], word) == 0)
            return true;
    return false;
}

/* The instruments that the file names. */
static int gather_words(struct agreeing *agreeing, const char *file, struct error *error)
{
    struct agreed *agreed = agreeing->agreed;
    agreed->words = array_new(agreeing->mark_count, sizeof *agreed->words);
    if (agreed->words == NULL)
        return error_memory(error);
    for (size_t i = 0; i < agreeing->mark_count; i++) {
        const struct mark *mark = &agreeing->marks[i];
        if (names_none(mark))
            return error_because(error, ERROR_USAGE, ERROR_REASON_DATES_OF_NONE,
                                 "%s names no instrument for its dates", file);
        if (has_word(agreed, mark->word))
            continue;
        if ((agreed->words[agreed->count] = string_copy(mark->word)) == NULL)
            return error_memory(error);
        agreed->count++;
    }
    return ERROR_NONE;
}

/* Whether a mark is of this instrument: by its word or its name, or the only
 * instrument there is. */
static bool mark_is_of(const struct agreed *agreed, const struct mark *mark, size_t instrument)
{
    if (names_none(mark))
        return agreed->count == 1;
    return strcmp(mark->word, agreed->words[instrument]) == 0 ||
           strcmp(mark->word, agreed->cases[instrument].series.instrument.name) == 0;
}

static int add_instrument(struct agreeing *agreeing, size_t instrument, struct error *error)
{
    struct agreed *agreed = agreeing->agreed;
    const struct rules_case *opened = &agreed->cases[instrument];
    const struct bars *bars = &opened->series.bars;
    bool *marked = calloc(bars->count + 1, sizeof *marked);
    if (marked == NULL)
        return error_memory(error);
    for (size_t i = 0; i < agreeing->mark_count; i++) {
        struct mark *mark = &agreeing->marks[i];
        size_t bar = bars_find(bars, mark->time);
        if (!mark_is_of(agreed, mark, instrument) || bar < opened->series.first ||
            bar == bars->count || bars->time[bar] != mark->time)
            continue;
        marked[bar] = true;
        mark->used = true;
    }
    int code = agreement_add(&agreed->agreement, &opened->view, instrument, opened->series.first,
                             marked, error);
    free(marked);
    return code;
}

static int say_unused(const struct agreeing *agreeing, struct error *error)
{
    struct notices notices = {0};
    int code = ERROR_NONE;
    for (size_t i = 0; i < agreeing->mark_count && code == ERROR_NONE; i++) {
        const struct mark *mark = &agreeing->marks[i];
        char time[CALENDAR_TEXT_SIZE];
        if (mark->used)
            continue;
        time_format(time, mark->time, mark->time % SECONDS_PER_DAY == 0);
        code = notices_add(&notices, error, NOTICE_NO_BAR,
                           "%s%s%s: no bar of that time; mark left out",
                           mark->word != NULL ? mark->word : "", mark->word != NULL ? " " : "",
                           time);
    }
    notices_say(&notices, agreeing->work);
    return code;
}

static int compare(struct agreeing *agreeing, const struct setup *setup, struct error *error)
{
    struct agreed *agreed = agreeing->agreed;
    agreed->cases = calloc(agreed->count, sizeof *agreed->cases);
    if (agreed->cases == NULL)
        return error_memory(error);
    agreement_init(&agreed->agreement, setup);
    struct asides asides = {0};
    int code = rules_open_all(agreeing->work, agreed->words, agreed->count, setup, agreed->cases,
                              &asides, error);
    code = asides_end(&asides, agreeing->work, code, error);
    for (size_t i = 0; i < agreed->count && code == ERROR_NONE; i++)
        if (agreed->cases[i].sheet != NULL)
            code = add_instrument(agreeing, i, error);
    if (code == ERROR_NONE)
        code = agreement_search(&agreed->agreement, error);
    return code == ERROR_NONE ? say_unused(agreeing, error) : code;
}

int agree_find(struct work *work, const struct setup *setup, const char *file, size_t first_word,
               struct agreed *agreed, struct error *error)
{
    const struct wishes *wishes = work_wishes(work);
    struct agreeing agreeing = {.work = work, .agreed = agreed};
    *agreed = (struct agreed){0};
    int code = read_marks(&agreeing, file, error);
    if (code == ERROR_NONE)
        code = wishes->word_count > first_word || wishes->list != NULL
                   ? series_words(work, first_word, &agreed->words, &agreed->count, error)
                   : gather_words(&agreeing, file, error);
    if (code == ERROR_NONE)
        code = compare(&agreeing, setup, error);
    for (size_t i = 0; i < agreeing.mark_count; i++)
        free(agreeing.marks[i].word);
    free(agreeing.marks);
    return code;
}

void agreed_free(struct agreed *agreed)
{
    for (size_t i = 0; agreed->cases != NULL && i < agreed->count; i++)
        rules_close(&agreed->cases[i]);
    free(agreed->cases);
    words_free(agreed->words, agreed->count);
    agreement_free(&agreed->agreement);
    *agreed = (struct agreed){0};
}
