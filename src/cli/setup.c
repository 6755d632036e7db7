/* The setup file's own tools. */
#include "setup/setup.h"
#include "answer/setup_words.h"
#include "base/calendar.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/differences.h"
#include "cli/paragraph.h"
#include "cli/table.h"
#include "cli/wishes.h"
#include "setup/faults.h"

#include <string.h>

static void print_said(void *context, const struct setup_said *said)
{
    enum { PART_WIDTH = 9 };
    struct call *call = context;
    fprintf(call->out, "  %-*s", PART_WIDTH - 1, said->part);
    print_hanging(call->out, said->says, 2 + PART_WIDTH, 1 + PART_WIDTH);
}

static int say_setup(struct call *call, const char *path, const struct setup *setup,
                     struct table *table, struct error *error)
{
    if (table != NULL)
        return setup_said_put(table, setup, error);
    fprintf(call->out, "%s: a %s setup, '%s', family %s: no fault found\n", path,
            side_name(setup->side), setup->name, setup->family);
    return setup_say(setup, print_said, call) ? ERROR_NONE : error_memory(error);
}

/* The last fault is the command's, those before it are said here, so that they come in
 * the order of files and lines. */
static void note_fault(struct call *call, const struct error *fault, struct error *error)
{
    if (error->code != ERROR_NONE) {
        call_advise(call, error);
        fprintf(call->messages, "rushlight: %s\n", error->text);
    }
    *error = *fault;
}

static void check_file(struct call *call, const char *path, struct table *table,
                       struct error *error)
{
    struct setup setup;
    struct setup_faults faults = {0};
    struct error one = {0};
    int code = setup_check_file(&setup, path, &faults, &one);
    if (code == ERROR_NONE) {
        code = say_setup(call, path, &setup, table, &one);
        setup_free(&setup);
    }
    for (size_t i = 0; code == ERROR_INPUT && i < faults.count; i++)
        note_fault(call, &faults.list[i].error, error);
    if (faults.beyond > 0)
        error_set(&one, ERROR_INPUT, "%s: %zu more faults; %d are listed at a time", path,
                  faults.beyond, SETUP_FAULTS);
    if (code != ERROR_NONE && (faults.count == 0 || faults.beyond > 0 || code != ERROR_INPUT))
        note_fault(call, &one, error);
    setup_faults_free(&faults);
}

static int write_setup(struct call *call, const char *path, bool mirror, struct error *error)
{
    struct setup setup;
    struct text text;
    int code = setup_read_file(&setup, path, error);
    if (code != ERROR_NONE)
        return code;
    text_init(&text);
    if (mirror)
        code = setup_mirror(&setup, error);
    if (code == ERROR_NONE) {
        setup_write(&setup, &text);
        if (text_failed(&text))
            code = error_memory(error);
        else
            fwrite(text.bytes, 1, text.length, call->out);
    }
    text_free(&text);
    setup_free(&setup);
    return code;
}

static int read_written(const char *path, struct text *text, struct error *error)
{
    struct setup setup;
    int code = setup_read_file(&setup, path, error);
    if (code != ERROR_NONE)
        return code;
    setup_write(&setup, text);
    setup_free(&setup);
    return text_failed(text) ? error_memory(error) : ERROR_NONE;
}

static int print_differences(struct call *call, struct error *error)
{
    struct text first;
    struct text second;
    struct text closing;
    text_init(&first);
    text_init(&second);
    text_init(&closing);
    int code = read_written(call->arguments[1], &first, error);
    if (code == ERROR_NONE)
        code = read_written(call->arguments[2], &second, error);
    if (code == ERROR_NONE)
        code = differences_print(call, first.bytes, second.bytes, &closing, error);
    text_free(&first);
    text_free(&second);
    return code;
}

/* --- setups in the book ------------------------------------------------------------ */

static int read_bytes(const char *path, struct text *bytes, struct error *error)
{
    char part[4096];
    size_t length = 0;
    struct setup setup;
    /* The file as a file, with what it mirrors beside it. */
    int code = setup_read_file(&setup, path, error);
    if (code != ERROR_NONE)
        return code;
    FILE *file = fopen(path, "rb");
    if (file == NULL)
        code = error_set(error, ERROR_INPUT, "%s: cannot be opened again", path);
    while (file != NULL && (length = fread(part, 1, sizeof part, file)) > 0)
        text_append_bytes(bytes, part, length);
    if (file != NULL)
        fclose(file);
    /* In the book nothing stands beside it: what it mirrors is written out. */
    if (code == ERROR_NONE && strstr(bytes->bytes, "mirror_of") != NULL) {
        text_clear(bytes);
        setup_write(&setup, bytes);
    }
    setup_free(&setup);
    if (code == ERROR_NONE && !text_is_utf8(bytes->bytes, bytes->length))
        code = error_set(error, ERROR_INPUT, "%s: a setup in the book is text in UTF-8", path);
    return code == ERROR_NONE && text_failed(bytes) ? error_memory(error) : code;
}

static int keep_file(struct call *call, struct book *book, const char *path, struct error *error)
{
    struct text bytes;
    char name[SETUP_NAME_SIZE] = "";
    int64_t number = 0;
    text_init(&bytes);
    int code = read_bytes(path, &bytes, error);
    if (code == ERROR_NONE)
        code = rules_keep(book, path, bytes.bytes, NULL, -1, clock_now(), name, &number, error);
    if (code == ERROR_NONE)
        fprintf(call->out, "%s: version %lld of '%s' in the book\n", path, (long long)number, name);
    text_free(&bytes);
    return code;
}

static int keep_files(struct call *call, struct error *error)
{
    struct book *book = NULL;
    int code = book_of_call(call, BOOK_WRITE, &book, error);
    for (size_t i = 1; code == ERROR_NONE && i < call->argument_count; i++)
        code = keep_file(call, book, call->arguments[i], error);
    return book_done(book, code, error);
}

/* The newest version of each setup of the book, or every version of one. */
static int list_kept(struct call *call, struct error *error)
{
    static const struct column columns[] = {{"setup", "setup", COLUMN_TEXT, 0, ""},
                                            {"version", "version", COLUMN_INTEGER, 0, ""},
                                            {"kept", "kept", COLUMN_TEXT, 0, ""}};
    struct setup_versions versions = {0};
    struct book *book = NULL;
    struct table table;
    int code = book_of_call(call, BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = call->argument_count == 1
                   ? setup_store_newest(book, &versions, error)
                   : setup_store_versions(book, call->arguments[1], &versions, error);
    if (code == ERROR_NONE && versions.count == 0 && call->argument_count == 2)
        code = error_set(error, ERROR_INPUT,
                         "%s: the book has no setup of that name; 'rushlight "
                         "setup kept' lists those it has",
                         call->arguments[1]);
    if (code == ERROR_NONE) {
        table_begin(&table, call, "setups", columns, sizeof columns / sizeof columns[0]);
        for (size_t i = 0; i < versions.count; i++) {
            char kept[CALENDAR_TEXT_SIZE];
            table_text(&table, versions.list[i].name);
            table_integer(&table, versions.list[i].number);
            time_format(kept, versions.list[i].made, false);
            table_text(&table, kept);
        }
        code = table_end(&table,
                         versions.count > 0 ? NULL
                                            : "None is kept yet; 'rushlight setup keep FILE' keeps "
                                              "one.",
                         error);
    }
    setup_versions_free(&versions);
    return book_done(book, code, error);
}

/* Every file is checked. */
static int check_files(struct call *call, struct error *error)
{
    struct table table;
    bool rows = call->format != FORMAT_TEXT;
    if (rows)
        listing_begin(&table, call, &setup_said_listing);
    for (size_t i = 1; i < call->argument_count; i++)
        check_file(call, call->arguments[i], rows ? &table : NULL, error);
    return rows ? listing_end(&table, &setup_said_listing, error->code, error) : error->code;
}

int command_setup(struct call *call, struct error *error)
{
    const char *verb = call->arguments[0];
    if (strcmp(verb, "schema") == 0 && call->argument_count == 1) {
        struct text text;
        text_init(&text);
        setup_schema(&text);
        bool failed = text_failed(&text);
        if (!failed)
            fwrite(text.bytes, 1, text.length, call->out);
        text_free(&text);
        return failed ? error_memory(error) : ERROR_NONE;
    }
    if (strcmp(verb, "check") == 0 && call->argument_count >= 2)
        return check_files(call, error);
    if (strcmp(verb, "mirror") == 0 && call->argument_count == 2)
        return write_setup(call, call->arguments[1], true, error);
    if (strcmp(verb, "write") == 0 && call->argument_count == 2)
        return write_setup(call, call->arguments[1], false, error);
    if (strcmp(verb, "diff") == 0 && call->argument_count == 3)
        return print_differences(call, error);
    if (strcmp(verb, "keep") == 0 && call->argument_count >= 2)
        return keep_files(call, error);
    if (strcmp(verb, "kept") == 0 && call->argument_count <= 2)
        return list_kept(call, error);
    return error_set(
        error, ERROR_USAGE,
        "setup: 'check FILE…', 'keep FILE…', 'kept [NAME]', 'mirror FILE', 'write FILE', 'diff FILE FILE' or "
        "'schema' is allowed");
}
