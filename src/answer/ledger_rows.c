#include "answer/ledger_rows.h"

#include "answer/ledger_trials.h"
#include "base/calendar.h"
#include "document/cautions.h"
#include "document/paragraph.h"

#include <string.h>

static const struct column columns[] = {
    {"trial", "trial", COLUMN_INTEGER, 0, ""},
    {"at", "entered", COLUMN_TEXT, 0, ""},
    {"command", "by", COLUMN_TEXT, 0, ""},
    {"setup", "setup", COLUMN_TEXT, 0, ""},
    {"family", "family", COLUMN_TEXT, 0, ""},
    {"instruments", "instruments", COLUMN_INTEGER, 0, "instruments"},
    {"first", "from", COLUMN_TEXT, 0, ""},
    {"last", "to", COLUMN_TEXT, 0, ""},
    {"seed", "seed", COLUMN_INTEGER, 0, ""},
    {"finished", "finished", COLUMN_BOOLEAN, 0, ""},
    {"closed", "trades", COLUMN_INTEGER, 0, "trades"},
    {"mean_r", "mean R", COLUMN_NUMBER, 3, "R"},
    {"low", "low", COLUMN_NUMBER, 3, "R"},
    {"high", "high", COLUMN_NUMBER, 3, "R"},
    {"p", "p", COLUMN_NUMBER, 4, ""},
    {"p_adjusted", "p of many", COLUMN_NUMBER, 4, ""},
    {"setup_hash", "setup text", COLUMN_TEXT, 0, ""},
    {"data_hash", "data", COLUMN_TEXT, 0, ""},
};

const struct listing ledger_listing = {"trials", columns, sizeof columns / sizeof columns[0], NULL};

static size_t count_lines(const char *text)
{
    size_t count = *text != '\0';
    for (; *text != '\0'; text++)
        count += *text == '\n';
    return count;
}

static void put_date(struct table *table, int64_t time)
{
    char text[CALENDAR_TEXT_SIZE];
    if (time == INT64_MIN || time == INT64_MAX) {
        table_text(table, NULL);
        return;
    }
    time_format(text, time, true);
    table_text(table, text);
}

void ledger_put(struct table *table, const struct ledger_line *line, double adjusted)
{
    char at[CALENDAR_TEXT_SIZE];
    time_format(at, line->at, false);
    table_integer(table, line->id);
    table_text(table, at);
    table_text(table, line->command);
    table_text(table, line->setup);
    table_text(table, line->family);
    table_integer(table, (int64_t)count_lines(line->instruments));
    put_date(table, line->first);
    put_date(table, line->last);
    table_integer(table, line->seed);
    table_integer(table, line->finished);
    table_integer(table, line->closed);
    table_number(table, line->mean_r);
    table_number(table, line->low);
    table_number(table, line->high);
    table_number(table, line->p);
    table_number(table, adjusted);
    table_text(table, line->hash);
    table_text(table, line->data_hash);
}

void ledger_closing(struct text *closing)
{
    text_append(closing,
                "Every row is a trial whose outcome was shown, or was about to be. The more "
                "trials, the better\nthe best of them looks by luck alone: 'p of many' is p "
                "after Benjamini and Hochberg over\nthese rows.\n");
    text_append_caution(closing, caution_short);
}

void ledger_table(struct document *document, const struct ledger *ledger, const double *adjusted)
{
    static const struct column shown[] = {
        {"trial", "trial", COLUMN_TEXT, 0, ""},
        {"entered", "entered", COLUMN_FIGURE, 0, ""},
        {"what", "what was tried", COLUMN_TEXT, 0, ""},
        {"closed", "trades", COLUMN_FIGURE, 0, ""},
        {"mean_r", "mean R", COLUMN_FIGURE, 0, ""},
        {"interval", "95% interval", COLUMN_FIGURE, 0, ""},
        {"p", "p, one-sided", COLUMN_FIGURE, 0, ""},
        {"p_adjusted", "p of many", COLUMN_FIGURE, 0, ""},
    };
    struct table *table = document_table(
        document, "trials", "The ledger",
        "Every entry whose outcome was shown, or was about to be. 'p of many': after Benjamini and "
        "Hochberg over these rows.",
        shown, sizeof shown / sizeof shown[0]);
    table->missing = "\xe2\x80\x93";
    for (size_t i = 0; i < ledger->count; i++) {
        const struct ledger_line *line = &ledger->lines[i];
        char date[CALENDAR_TEXT_SIZE];
        struct text what;
        text_init(&what);
        ledger_say(&what, ledger, line);
        text_append(&what, line->finished ? "" : ", not finished");
        time_format(date, line->at, true);
        table_format(table, "%lld", (long long)line->id);
        table_text(table, date);
        table_text(table, what.bytes);
        table_format(table, "%lld", (long long)line->closed);
        table_signed(table, 3, line->mean_r);
        table_signed_range(table, 3, line->low, line->high);
        table_decimals(table, 4, line->p);
        table_decimals(table, 4, adjusted[i]);
        document->failed = document->failed || text_failed(&what);
        text_free(&what);
    }
}

static void say_trial(struct text *closing, const struct ledger_line *line)
{
    text_append_format(closing, "trial %lld, %s: ", (long long)line->id, line->setup);
    if (line->closed > 0)
        text_append_format(closing, "%lld trade%s, mean %+.3f R\n", (long long)line->closed,
                           line->closed == 1 ? "" : "s", line->mean_r);
    else
        text_append(closing, "no trade closed\n");
}

void trials_compared(struct text *text, const struct ledger_line *a, const struct ledger_line *b)
{
    say_trial(text, a);
    say_trial(text, b);
    if (!ledger_same_data(a, b))
        text_append(text, "The data differ: other instruments, another range, or other prices.\n");
}

void seal_words(struct text *text, int64_t day)
{
    char date[CALENDAR_TEXT_SIZE];
    time_format(date, day == INT64_MAX ? 0 : day * SECONDS_PER_DAY, true);
    if (day == INT64_MAX)
        text_append_paragraph(text, "Nothing is sealed: every study sees all bars.", 0);
    else
        text_append_format(text,
                           "Bars from %s on are sealed: no outcome looks at them. scan sees "
                           "them.\n",
                           date);
    text_append_paragraph(text,
                          "A seal guards an honest person against a slip; nothing on one's own "
                          "machine can do more.",
                          0);
}
