/* `check`: what is odd about the bars. */
#include "work/check.h"
#include "base/calendar.h"
#include "cli/commands.h"
#include "cli/paragraph.h"
#include "cli/table.h"
#include "cli/wishes.h"

#include <math.h>

static const struct column columns[] = {
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"interval", "interval", COLUMN_TEXT, 0, ""},
    {"finding", "finding", COLUMN_TEXT, 0, ""},
    {"count", "count", COLUMN_INTEGER, 0, ""},
    {"of", "of", COLUMN_INTEGER, 0, ""},
    {"examples", "examples", COLUMN_TEXT, 0, ""},
};

static void append_examples(struct text *text, const struct finding *finding, bool dated)
{
    for (size_t i = 0; i < finding->example_count; i++) {
        char time[CALENDAR_TEXT_SIZE];
        time_format(time, finding->examples[i].time, dated);
        text_append(text, i > 0 ? "; " : "");
        text_append(text, time);
        if (isnan(finding->examples[i].value))
            continue;
        text_append_format(text, " (%.6g)", finding->examples[i].value);
    }
}

static void put_rows(struct table *table, const struct checked *checked)
{
    char interval[INTERVAL_TEXT_SIZE];
    interval_format(interval, checked->interval);
    for (int k = 0; k < FINDING_KINDS; k++) {
        const struct finding *finding = &checked->findings.kinds[k];
        struct text text;
        if (finding->count == 0)
            continue;
        text_init(&text);
        append_examples(&text, finding, interval_is_dated(checked->interval));
        table_text(table, checked->instrument.name);
        table_text(table, interval);
        table_text(table, finding_name((enum finding_kind)k));
        table_integer(table, (int64_t)finding->count);
        table_integer(table, (int64_t)finding->of);
        table_text(table, text.bytes);
        text_free(&text);
    }
}

static void print_checked(FILE *out, const struct checked *checked)
{
    size_t found = 0;
    fprintf(out, "%s: %zu bars", checked->instrument.name, checked->bars);
    if (checked->set_aside > 0)
        fprintf(out, ", %zu lines set aside", checked->set_aside);
    fprintf(out, "\n");
    for (int k = 0; k < FINDING_KINDS; k++) {
        const struct finding *finding = &checked->findings.kinds[k];
        struct text text;
        if (finding->count == 0)
            continue;
        text_init(&text);
        text_append_format(&text, "%s: %llu of %llu, such as ", finding_name((enum finding_kind)k),
                           (unsigned long long)finding->count, (unsigned long long)finding->of);
        append_examples(&text, finding, interval_is_dated(checked->interval));
        text_append_format(&text, ". %s", finding_words((enum finding_kind)k));
        print_paragraph(out, text.bytes, 2);
        text_free(&text);
        found++;
    }
    if (found == 0)
        print_paragraph(out, "nothing odd was found.", 2);
}

struct check_answer {
    struct call *call;
    struct table table;
};

static int take_checked(void *context, const struct checked *checked, struct error *error)
{
    struct check_answer *answer = context;
    (void)error;
    if (answer->call->format == FORMAT_TEXT)
        print_checked(answer->call->out, checked);
    else
        put_rows(&answer->table, checked);
    return ERROR_NONE;
}

static int check_words(struct check_answer *answer, struct work *work, struct error *error)
{
    struct call *call = answer->call;
    char **words = NULL;
    size_t count = 0;
    bool named = call->argument_count > 0 || call_has(call, "list");
    int code = named ? series_words(work, 0, &words, &count, error)
                     : series_all_words(work, &words, &count, error);
    if (code == ERROR_NONE && call->format != FORMAT_TEXT)
        table_begin(&answer->table, call, "findings", columns, sizeof columns / sizeof columns[0]);
    if (code == ERROR_NONE)
        code = check_each(work, words, count, take_checked, answer, error);
    words_free(words, count);
    return code;
}

int command_check(struct call *call, struct error *error)
{
    struct check_answer answer = {.call = call};
    struct call_work opened;
    int code = call_work_open(&opened, call, error);
    if (code == ERROR_NONE)
        code = check_words(&answer, opened.work, error);
    if (code != ERROR_NONE)
        table_abandon(&answer.table);
    else if (call->format == FORMAT_TEXT)
        print_paragraph(call->out,
                        "Findings are questions, not faults: nothing was changed. Look at the "
                        "examples on the chart, or against a second source.",
                        0);
    else
        code = table_end(&answer.table, NULL, error);
    return call_work_close(&opened, code, error);
}
