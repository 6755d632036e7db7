/* `ledger` and `seal`. */
#include "answer/answer.h"
#include "answer/ledger_rows.h"
#include "base/calendar.h"
#include "base/number.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/differences.h"
#include "cli/report_file.h"
#include "cli/table.h"
#include "cli/wishes.h"

#include <stdlib.h>
#include <string.h>

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
    int code = adjusted == NULL ? error_memory(error) : ledger_adjust(ledger, adjusted, error);
    if (code == ERROR_NONE)
        code = write_report(call, ledger, adjusted, error);
    if (code == ERROR_NONE) {
        struct text closing;
        listing_begin(&table, call, &ledger_listing);
        for (size_t i = 0; i < ledger->count; i++)
            ledger_put(&table, &ledger->lines[i], adjusted[i]);
        text_init(&closing);
        ledger_closing(&closing);
        code = table_end_text(&table, &closing, error);
    }
    free(adjusted);
    return code;
}

static const struct ledger_line *find_trial(const struct ledger *ledger, const char *word,
                                            struct error *error)
{
    int64_t id = 0;
    if (number_parse_integer(word, strlen(word), &id))
        for (size_t i = 0; i < ledger->count; i++)
            if (ledger->lines[i].id == id)
                return &ledger->lines[i];
    error_set(error, ERROR_INPUT, "the ledger has no trial '%s'; 'ledger' lists them", word);
    return NULL;
}

static int compare_trials(struct call *call, const struct ledger *ledger, struct error *error)
{
    const struct ledger_line *a = find_trial(ledger, call->arguments[0], error);
    const struct ledger_line *b = a != NULL ? find_trial(ledger, call->arguments[1], error) : NULL;
    if (b == NULL)
        return error->code;
    struct text closing;
    text_init(&closing);
    trials_compared(&closing, a, b);
    return differences_print(call, a->text, b->text, &closing, error);
}

int command_ledger(struct call *call, struct error *error)
{
    struct book *book = NULL;
    struct ledger ledger = {0};
    if (call->argument_count == 1)
        return error_set(error, ERROR_USAGE, "ledger: two trials to compare, or none to list them");
    if (call->argument_count == 2 && call_has(call, "output"))
        return error_set(error, ERROR_USAGE,
                         "-o: the report is of all trials; leave the two out, or -o");
    int code = report_file_check(call, error);
    if (code == ERROR_NONE)
        code = book_of_call(call, BOOK_WRITE, &book, error);
    if (code == ERROR_NONE)
        code = ledger_read(&ledger, book, call_option(call, "family"), error);
    if (code == ERROR_NONE)
        code = call->argument_count == 2 ? compare_trials(call, &ledger, error)
                                         : list_ledger(call, &ledger, error);
    ledger_free(&ledger);
    return book_done(book, code, error);
}

static int say_seal(struct call *call, struct book *book, struct error *error)
{
    struct text text;
    int64_t day = 0;
    int code = seal_read(book, &day, error);
    if (code != ERROR_NONE)
        return code;
    text_init(&text);
    seal_words(&text, day);
    return print_text(call, &text, error);
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
    int code = book_of_call(call, BOOK_WRITE, &book, error);
    if (code == ERROR_NONE && call_has(call, "freeze"))
        code = freeze(call, book, error);
    else if (code == ERROR_NONE)
        code = change_seal(call, book, error);
    if (code == ERROR_NONE && !call_has(call, "freeze"))
        code = say_seal(call, book, error);
    return book_done(book, code, error);
}
