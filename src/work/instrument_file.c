/* Records of instruments. */
#include "book/instrument_store.h"
#include "prices/records.h"
#include "work/book_files.h"

#include <stdlib.h>

int instrument_record_load_ticks(struct book *book, struct instrument_record *record,
                                 struct error *error)
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

int instrument_record_load(struct book *book, const char *name, struct instrument_record *record,
                           bool *found, struct error *error)
{
    int code = instrument_store_find(book, name, &record->instrument, found, error);
    record->tick_count = 0;
    return code == ERROR_NONE && *found ? instrument_record_load_ticks(book, record, error) : code;
}

int instrument_record_new(const char *name, struct instrument_record *record, struct error *error)
{
    record->tick_count = 0;
    if (instrument_name_allowed(name) && instrument_init(&record->instrument, name))
        return ERROR_NONE;
    return error_set(error, ERROR_INPUT, "'%.60s' cannot be the name of an instrument; %s", name,
                     instrument_name_rule);
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

int instrument_record_keep(struct book *book, struct instrument_record *record, struct error *error)
{
    int code = book_begin(book, "editing an instrument", error);
    return code == ERROR_NONE ? book_settle(book, save_record(book, record, error), error) : code;
}

struct reading_in {
    struct book *book;
    struct file_counts *counts;
};

static int take_row(void *context, const char *const *fields, uint64_t line, struct error *error)
{
    (void)line;
    struct reading_in *in = context;
    struct instrument_record record;
    bool found = false;
    int code = instrument_record_load(in->book, fields[0], &record, &found, error);
    if (code == ERROR_NONE && !found)
        code = instrument_record_new(fields[0], &record, error);
    for (size_t i = 0; code == ERROR_NONE && record_fields[i].name != NULL; i++)
        if (fields[i + 1] != NULL)
            code = record_field_read(&record_fields[i], record_fields[i].name, &record,
                                     fields[i + 1], error);
    if (code == ERROR_NONE)
        code = save_record(in->book, &record, error);
    in->counts->replaced += found;
    in->counts->added += !found;
    return code;
}

int instruments_read(struct book *book, const char *path, struct file_counts *counts,
                     struct error *error)
{
    struct record_column columns[RECORD_FIELDS] = {{"instrument", true}};
    struct reading_in in = {book, counts};
    size_t count = 1;
    for (const struct record_field *field = record_fields; field->name != NULL; field++)
        columns[count++] = (struct record_column){field->name, false};
    *counts = (struct file_counts){0};
    int code = book_begin(book, "reading instruments", error);
    if (code != ERROR_NONE)
        return code;
    code = records_read(path, columns, count, take_row, &in, error);
    return book_settle(book, code, error);
}
