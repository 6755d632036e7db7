#include "answer/check_rows.h"

#include "base/calendar.h"
#include "base/words.h"
#include "document/paragraph.h"

#include <math.h>

/* What is counted hangs on the finding: bars, pairs of them, or stretches. */
static const struct column columns[] = {
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"interval", "interval", COLUMN_TEXT, 0, ""},
    {"finding", "finding", COLUMN_TEXT, 0, ""},
    {"count", "count", COLUMN_INTEGER, 0, ""},
    {"of", "of", COLUMN_INTEGER, 0, ""},
    {"examples", "examples", COLUMN_TEXT, 0, ""},
};

const struct listing findings_listing = {"findings", columns, sizeof columns / sizeof columns[0],
                                         NULL};

const char findings_closing[] =
    "Findings are questions, not faults: nothing was changed. Look at the examples on the chart, "
    "or against a second source.";

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

void findings_put(struct table *table, const struct checked *checked)
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
        table->failed = table->failed || text_failed(&text);
        text_free(&text);
    }
}

static void append_finding(struct text *text, const struct checked *checked, enum finding_kind kind)
{
    const struct finding *finding = &checked->findings.kinds[kind];
    struct text words;
    text_init(&words);
    text_append_format(&words, "%s: %llu of %llu, such as ", finding_name(kind),
                       (unsigned long long)finding->count, (unsigned long long)finding->of);
    append_examples(&words, finding, interval_is_dated(checked->interval));
    text_append_format(&words, ". %s", finding_words(kind));
    text_append_paragraph(text, words.bytes, 2);
    text->failed = text->failed || text_failed(&words);
    text_free(&words);
}

void checked_words(struct text *text, const struct checked *checked)
{
    size_t found = 0;
    text_append_format(text, "%s: %zu %s", checked->instrument.name, checked->bars,
                       count_word(checked->bars, "bar", "bars"));
    if (checked->set_aside > 0)
        text_append_format(text, ", %zu %s set aside", checked->set_aside,
                           count_word(checked->set_aside, "line", "lines"));
    text_append_char(text, '\n');
    for (int k = 0; k < FINDING_KINDS; k++) {
        if (checked->findings.kinds[k].count == 0)
            continue;
        append_finding(text, checked, (enum finding_kind)k);
        found++;
    }
    if (found == 0)
        text_append_paragraph(text, "nothing odd was found.", 2);
}
