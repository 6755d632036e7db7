/* `instrument`: records shown, edited, written to CSV and read back. */
#include "book/instrument_store.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/table.h"
#include "market/instrument_record.h"
#include "prices/records.h"

#include <stdlib.h>
#include <string.h>

enum { FIELD_LIMIT = RECORD_FIELDS - 1 };

static size_t field_count(void)
{
    size_t count = 0;
    while (record_fields[count].name != NULL)
        count++;
    return count;
}

/* The option of a field: its name with dashes. */
static void option_name(char name[32], const struct record_field *field)
{
    size_t i = 0;
    for (; i < 31 && field->name[i] != '\0'; i++)
        name[i] = field->name[i] == '_' ? '-' : field->name[i];
    name[i] = '\0';
}

static int load_ticks(struct book *book, struct instrument_record *record, struct error *error)
{
    struct dated_tick *ticks;
    size_t count = 0;
    int code = instrument_store_ticks(book, record->instrument.id, &ticks, &count, error);
    if (code == ERROR_NONE && count > RECORD_TICKS)
        code = error_set(error, ERROR_INPUT, "%s: more than %d ticks; the book is damaged",
                         record->instrument.name, RECORD_TICKS);
    record->tick_count = code == ERROR_NONE ? count : 0;
    for (size_t i = 0; i < record->tick_count; i++)
        record->ticks[i] = ticks[i];
    free(ticks);
    return code;
}

static int load_record(struct book *book, const char *name, struct instrument_record *record,
                       bool *found, struct error *error)
{
    int code = instrument_store_find(book, name, &record->instrument, found, error);
    record->tick_count = 0;
    return code == ERROR_NONE && *found ? load_ticks(book, record, error) : code;
}

static int save_record(struct book *book, struct instrument_record *record, struct error *error)
{
    int code = instrument_record_check(record, error);
    if (code == ERROR_NONE)
        code = instrument_store_save(book, &record->instrument, error);
    if (code == ERROR_NONE)
        code = instrument_store_set_ticks(book, record->instrument.id, record->ticks,
                                          record->tick_count, error);
    return code;
}

static void put_record(struct table *table, const struct instrument_record *record)
{
    struct text text;
    text_init(&text);
    table_text(table, record->instrument.name);
    for (const struct record_field *field = record_fields; field->name != NULL; field++) {
        text_clear(&text);
        field->write(record, &text);
        double number = 0;
        if (field->number && number_parse(text.bytes, text.length, &number))
            table_number(table, number);
        else
            table_text(table, text.length > 0 ? text.bytes : NULL);
    }
    text_free(&text);
}

/* In text one record is read down the page, many across it. */
static void print_record(FILE *out, const struct instrument_record *record)
{
    struct text text;
    text_init(&text);
    fprintf(out, "%s\n", record->instrument.name);
    for (const struct record_field *field = record_fields; field->name != NULL; field++) {
        char label[32];
        text_clear(&text);
        option_name(label, field);
        for (char *c = label; *c != '\0'; c++)
            *c = *c == '-' ? ' ' : *c;
        field->write(record, &text);
        fprintf(out, "  %-14s %s\n", label, text.length > 0 ? text.bytes : "not known");
    }
    text_free(&text);
}

static void begin_table(struct table *table, struct column columns[FIELD_LIMIT + 1],
                        const struct call *call)
{
    columns[0] = (struct column){"instrument", "instrument", COLUMN_TEXT, 0, ""};
    for (size_t i = 0; i < field_count(); i++)
        columns[i + 1] = (struct column){record_fields[i].name, record_fields[i].name,
                                         record_fields[i].number ? COLUMN_NUMBER : COLUMN_TEXT, -1,
                                         ""};
    table_begin(table, call, "instruments", columns, field_count() + 1);
}

static int show_all(struct call *call, struct book *book, struct error *error)
{
    struct column columns[FIELD_LIMIT + 1];
    struct instrument_record record;
    struct instrument *all = NULL;
    struct table table;
    size_t count = 0;
    int code = instrument_store_all(book, &all, &count, error);
    begin_table(&table, columns, call);
    for (size_t i = 0; code == ERROR_NONE && i < count; i++) {
        record.instrument = all[i];
        code = load_ticks(book, &record, error);
        if (code == ERROR_NONE)
            put_record(&table, &record);
    }
    free(all);
    if (code != ERROR_NONE) {
        table_abandon(&table);
        return code;
    }
    return table_end(&table, count > 0 ? NULL : "The book has no instruments yet.", error);
}

static int show_one(struct call *call, const struct instrument_record *record, struct error *error)
{
    struct column columns[FIELD_LIMIT + 1];
    struct table table;
    if (call->format == FORMAT_TEXT) {
        print_record(call->out, record);
        return ERROR_NONE;
    }
    begin_table(&table, columns, call);
    put_record(&table, record);
    return table_end(&table, NULL, error);
}

/* The fields that were given; *given counts them. */
static int take_options(struct call *call, struct instrument_record *record, size_t *given,
                        struct error *error)
{
    int code = ERROR_NONE;
    *given = 0;
    for (size_t i = 0; code == ERROR_NONE && i < field_count(); i++) {
        const struct record_field *field = &record_fields[i];
        char name[32];
        char label[40];
        option_name(name, field);
        const char *text = call_option(call, name);
        if (text == NULL)
            continue;
        ++*given;
        snprintf(label, sizeof label, "--%s", name);
        code = record_field_read(field, label, record, text, error);
        if (code != ERROR_NONE)
            code = error->code = ERROR_USAGE;
    }
    return code;
}

static int edit(struct call *call, struct book *book, struct instrument_record *record,
                struct error *error)
{
    int code = book_begin(book, "editing an instrument", error);
    if (code == ERROR_NONE)
        code = book_settle(book, save_record(book, record, error), error);
    if (code == ERROR_NONE)
        call_say(call, "%s: kept", record->instrument.name);
    return code;
}

static int one_instrument(struct call *call, struct book *book, bool may_write, struct error *error)
{
    const char *name = call->arguments[0];
    struct instrument_record record;
    bool found = false;
    size_t given = 0;
    int code = load_record(book, name, &record, &found, error);
    if (code != ERROR_NONE)
        return code;
    if (!found && !call_has(call, "new"))
        return error_set(error, ERROR_INPUT,
                         "%s: there is no such instrument in the book; 'instrument' lists them, "
                         "--new makes one",
                         name);
    if (found && call_has(call, "new"))
        return error_set(error, ERROR_INPUT, "%s: is in the book already", name);
    if (!found && (!instrument_name_allowed(name) || !instrument_init(&record.instrument, name)))
        return error_set(error, ERROR_USAGE, "'%s' cannot be the name of an instrument; %s", name,
                         instrument_name_rule);
    code = take_options(call, &record, &given, error);
    if (code == ERROR_NONE && may_write)
        code = edit(call, book, &record, error);
    return code == ERROR_NONE ? show_one(call, &record, error) : code;
}

struct reading_in {
    struct book *book;
    size_t made;
    size_t changed;
};

static int take_row(void *context, const char *const *fields, uint64_t line, struct error *error)
{
    (void)line;
    struct reading_in *in = context;
    struct instrument_record record;
    bool found = false;
    int code = load_record(in->book, fields[0], &record, &found, error);
    if (code == ERROR_NONE && !found &&
        (!instrument_name_allowed(fields[0]) || !instrument_init(&record.instrument, fields[0])))
        code = error_set(error, ERROR_INPUT, "'%.60s' cannot be the name of an instrument; %s",
                         fields[0], instrument_name_rule);
    for (size_t i = 0; code == ERROR_NONE && record_fields[i].name != NULL; i++)
        if (fields[i + 1] != NULL)
            code = record_field_read(&record_fields[i], record_fields[i].name, &record,
                                     fields[i + 1], error);
    if (code == ERROR_NONE)
        code = save_record(in->book, &record, error);
    in->changed += found;
    in->made += !found;
    return code;
}

/* All lines or none. */
static int read_file(struct call *call, struct book *book, const char *path, struct error *error)
{
    struct record_column columns[RECORD_FIELDS] = {{"instrument", true}};
    struct reading_in in = {.book = book};
    for (size_t i = 0; i < field_count(); i++)
        columns[i + 1] = (struct record_column){record_fields[i].name, false};
    int code = book_begin(book, "reading instruments", error);
    if (code != ERROR_NONE)
        return code;
    code = records_read(path, columns, field_count() + 1, take_row, &in, error);
    code = book_settle(book, code, error);
    if (code == ERROR_NONE)
        fprintf(call->out, "%s: %zu instrument%s made, %zu changed\n", path, in.made,
                in.made == 1 ? "" : "s", in.changed);
    return code;
}

/* Whether anything is to be written; else a book that only can be read will do. */
static bool wants_to_write(const struct call *call)
{
    if (call_has(call, "read") || call_has(call, "new"))
        return true;
    for (const struct record_field *field = record_fields; field->name != NULL; field++) {
        char name[32];
        option_name(name, field);
        if (call_has(call, name))
            return true;
    }
    return false;
}

int command_instrument(struct call *call, struct error *error)
{
    struct book *book;
    bool writes = wants_to_write(call);
    const char *file = call_option(call, "read");
    if (call->argument_count == 0 && file == NULL && writes)
        return error_set(error, ERROR_USAGE, "instrument: name the one to edit");
    if (call->argument_count > 0 && file != NULL)
        return error_set(error, ERROR_USAGE,
                         "instrument: --read takes the names from the file; leave '%s' out",
                         call->arguments[0]);
    int code = book_of_call(call, writes ? BOOK_WRITE : BOOK_READ, &book, error);
    if (code == ERROR_NONE && file != NULL)
        code = read_file(call, book, file, error);
    else if (code == ERROR_NONE && call->argument_count == 0)
        code = show_all(call, book, error);
    else if (code == ERROR_NONE)
        code = one_instrument(call, book, writes, error);
    return book_done(book, code, error);
}
