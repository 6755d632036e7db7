/* `ledger` and `seal`. */
#include "answer/answer.h"
#include "base/calendar.h"
#include "base/number.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/differences.h"
#include "cli/paragraph.h"
#include "cli/report_file.h"
#include "cli/table.h"
#include "cli/wishes.h"
#include "document/cautions.h"
#include "evidence/tries.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const struct column columns[] = {
    {"try", "try", COLUMN_INTEGER, 0, ""},
    {"at", "entered", COLUMN_TEXT, 0, ""},
    {"command", "by", COLUMN_TEXT, 0, ""},
    {"setup", "setup", COLUMN_TEXT, 0, ""},
    {"family", "family", COLUMN_TEXT, 0, ""},
    {"instruments", "instruments", COLUMN_INTEGER, 0, ""},
    {"first", "from", COLUMN_TEXT, 0, ""},
    {"last", "to", COLUMN_TEXT, 0, ""},
    {"seed", "seed", COLUMN_INTEGER, 0, ""},
    {"finished", "finished", COLUMN_BOOLEAN, 0, ""},
    {"closed", "trades", COLUMN_INTEGER, 0, ""},
    {"mean_r", "mean R", COLUMN_NUMBER, 3, ""},
    {"low", "low", COLUMN_NUMBER, 3, ""},
    {"high", "high", COLUMN_NUMBER, 3, ""},
    {"p", "p", COLUMN_NUMBER, 4, ""},
    {"p_adjusted", "p of many", COLUMN_NUMBER, 4, ""},
    {"setup_hash", "setup text", COLUMN_TEXT, 0, ""},
    {"data_hash", "data", COLUMN_TEXT, 0, ""},
};

enum { COLUMN_COUNT = sizeof columns / sizeof columns[0] };

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

static void put_line(struct table *table, const struct ledger_line *line, double adjusted)
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

/* Benjamini-Hochberg over the tries listed; one without p counts as 1. */
static int adjust_lines(const struct ledger *ledger, double *adjusted, struct error *error)
{
    for (size_t i = 0; i < ledger->count; i++)
        adjusted[i] = isnan(ledger->lines[i].p) ? 1 : ledger->lines[i].p;
    int code = adjust_tries(adjusted, adjusted, ledger->count, error);
    for (size_t i = 0; i < ledger->count; i++)
        adjusted[i] = isnan(ledger->lines[i].p) ? NAN : adjusted[i];
    return code;
}

static int write_report(struct call *call, const struct ledger *ledger, const double *adjusted,
                        struct error *error)
{
    struct document document;
    document_init(&document);
    answer_ledger(&document, ledger, adjusted);
    int code = report_file_write(call, &(const struct report_target){.file = NULL}, &document,
                                 error);
    document_clear(&document);
    return code;
}

static int list_ledger(struct call *call, const struct ledger *ledger, struct error *error)
{
    struct table table;
    double *adjusted = malloc((ledger->count + 1) * sizeof *adjusted);
    int code = adjusted == NULL ? error_memory(error) : adjust_lines(ledger, adjusted, error);
    if (code == ERROR_NONE)
        code = write_report(call, ledger, adjusted, error);
    if (code == ERROR_NONE) {
        table_begin(&table, call, "tries", columns, COLUMN_COUNT);
        for (size_t i = 0; i < ledger->count; i++)
            put_line(&table, &ledger->lines[i], adjusted[i]);
        struct text closing;
        text_init(&closing);
        text_append(&closing,
                    "Every row is a try whose outcome was shown, or was about to be. The more "
                    "tries, the better\nthe best of them looks by luck alone: 'p of many' is p "
                    "after Benjamini and Hochberg over\nthese rows.\n");
        text_append_caution(&closing, caution_short);
        code = table_end_text(&table, &closing, error);
    }
    free(adjusted);
    return code;
}

static const struct ledger_line *find_try(const struct ledger *ledger, const char *word,
                                          struct error *error)
{
    int64_t id = 0;
    if (number_parse_integer(word, strlen(word), &id))
        for (size_t i = 0; i < ledger->count; i++)
            if (ledger->lines[i].id == id)
                return &ledger->lines[i];
    error_set(error, ERROR_INPUT, "the ledger has no try '%s'; 'ledger' lists them", word);
    return NULL;
}

static void say_try(struct text *closing, const struct ledger_line *line)
{
    text_append_format(closing, "try %lld, %s: ", (long long)line->id, line->setup);
    if (line->closed > 0)
        text_append_format(closing, "%lld trade%s, mean %+.3f R\n", (long long)line->closed,
                           line->closed == 1 ? "" : "s", line->mean_r);
    else
        text_append(closing, "no trade closed\n");
}

static int compare_tries(struct call *call, const struct ledger *ledger, struct error *error)
{
    const struct ledger_line *a = find_try(ledger, call->arguments[0], error);
    const struct ledger_line *b = a != NULL ? find_try(ledger, call->arguments[1], error) : NULL;
    if (b == NULL)
        return error->code;
    struct text closing;
    text_init(&closing);
    say_try(&closing, a);
    say_try(&closing, b);
    if (strcmp(a->data_hash, b->data_hash) != 0)
        text_append(&closing,
                    "The data differ: other instruments, another range, or other prices.\n");
    return differences_print(call, a->text, b->text, &closing, error);
}

static int open_book(struct call *call, struct book **book, struct error *error)
{
    if (call->book == NULL)
        return error_set(error, ERROR_USAGE, "no book is known; --book FILE names one");
    return book_open(book, call->book, BOOK_WRITE, 10, error);
}

int command_ledger(struct call *call, struct error *error)
{
    struct book *book = NULL;
    struct ledger ledger = {0};
    if (call->argument_count == 1)
        return error_set(error, ERROR_USAGE, "ledger: two tries to compare, or none to list them");
    if (call->argument_count == 2 && call_has(call, "output"))
        return error_set(error, ERROR_USAGE,
                         "-o: the report is of all tries; leave the two out, or -o");
    int code = report_file_check(call, error);
    if (code == ERROR_NONE)
        code = open_book(call, &book, error);
    if (code == ERROR_NONE)
        code = ledger_read(&ledger, book, call_option(call, "family"), error);
    if (code == ERROR_NONE)
        code = call->argument_count == 2 ? compare_tries(call, &ledger, error)
                                         : list_ledger(call, &ledger, error);
    ledger_free(&ledger);
    return book_done(book, code, error);
}

static int say_seal(struct call *call, struct book *book, struct error *error)
{
    char date[CALENDAR_TEXT_SIZE];
    int64_t day = 0;
    int code = seal_read(book, &day, error);
    if (code != ERROR_NONE)
        return code;
    time_format(date, day == INT64_MAX ? 0 : day * SECONDS_PER_DAY, true);
    if (day == INT64_MAX)
        print_paragraph(call->out, "Nothing is sealed: every study sees all bars.", 0);
    else
        fprintf(call->out,
                "Bars from %s on are sealed: no outcome looks at them. scan sees them.\n", date);
    print_paragraph(
        call->out,
        "A seal guards an honest person against a slip; nothing on one's own machine can "
        "do more.",
        0);
    return ERROR_NONE;
}

static int freeze(struct call *call, struct book *book, struct error *error)
{
    struct setup setup;
    int code = setup_named(call, call_option(call, "freeze"), &setup, error);
    if (code != ERROR_NONE)
        return code;
    const char *name = call_has(call, "as") ? call_option(call, "as") : setup.name;
    if (name[0] == '\0') {
        setup_free(&setup);
        return error_set(error, ERROR_USAGE, "--as: found ''; a name is needed");
    }
    code = frozen_add(book, name, &setup, clock_now(), error);
    if (code == ERROR_NONE)
        fprintf(
            call->out,
            "%s is frozen as it is now. 'study --forward %s' judges it on bars that come later, "
            "and on no others.\n",
            setup.name, name);
    setup_free(&setup);
    return code;
}

static int change_seal(struct call *call, struct book *book, struct error *error)
{
    if (call_has(call, "open"))
        return seal_open(book, clock_now(), error);
    if (call_has(call, "from"))
        return seal_close(book, day_of_time(call_time(call, "from", 0)), clock_now(), error);
    return ERROR_NONE;
}

int command_seal(struct call *call, struct error *error)
{
    struct book *book = NULL;
    int asked = call_has(call, "from") + call_has(call, "open") + call_has(call, "freeze");
    if (asked > 1)
        return error_set(error, ERROR_USAGE, "seal: one of --from, --open and --freeze at a time");
    int code = open_book(call, &book, error);
    if (code == ERROR_NONE && call_has(call, "freeze"))
        code = freeze(call, book, error);
    else if (code == ERROR_NONE)
        code = change_seal(call, book, error);
    if (code == ERROR_NONE && !call_has(call, "freeze"))
        code = say_seal(call, book, error);
    return book_done(book, code, error);
}
