/* `instrument`: records shown, edited, written to CSV and read back. */
#include "answer/instrument_rows.h"
#include "book/instrument_store.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/record_options.h"
#include "cli/table.h"
#include "work/book_files.h"

#include <stdlib.h>
#include <string.h>

static int show_all(struct call *call, struct book *book, struct error *error)
{
    struct instrument_listing instruments;
    struct instrument_record record;
    struct instrument *all = NULL;
    struct table table;
    size_t count = 0;
    int code = instrument_store_all(book, &all, &count, error);
    instrument_listing_init(&instruments);
    listing_begin(&table, call, &instruments.listing);
    for (size_t i = 0; code == ERROR_NONE && i < count; i++) {
        record.instrument = all[i];
        code = instrument_record_load_ticks(book, &record, error);
        if (code == ERROR_NONE)
            instrument_put(&table, &record);
    }
    free(all);
    return listing_end(&table, &instruments.listing, code, error);
}

/* In text one record is read down the page, many across it. */
static int show_one(struct call *call, const struct instrument_record *record, struct error *error)
{
    struct instrument_listing instruments;
    struct table table;
    if (call->format == FORMAT_TEXT) {
        struct text text;
        text_init(&text);
        instrument_words(&text, record);
        return print_text(call, &text, error);
    }
    instrument_listing_init(&instruments);
    listing_begin(&table, call, &instruments.listing);
    instrument_put(&table, record);
    return listing_end(&table, &instruments.listing, ERROR_NONE, error);
}

static int edit(struct call *call, struct book *book, struct instrument_record *record,
                struct error *error)
{
    int code = instrument_record_keep(book, record, error);
    if (code == ERROR_NONE)
        call_say(call, "%s: kept", record->instrument.name);
    return code;
}

static int one_instrument(struct call *call, struct book *book, bool may_write, struct error *error)
{
    const char *name = call->arguments[0];
    struct instrument_record record;
    bool found = false;
    int code = instrument_record_load(book, name, &record, &found, error);
    if (code != ERROR_NONE)
        return code;
    if (!found && !call_has(call, "new"))
        return error_set(error, ERROR_INPUT,
                         "%s: there is no such instrument in the book; 'instrument' lists them, "
                         "--new makes one",
                         name);
    if (found && call_has(call, "new"))
        return error_set(error, ERROR_INPUT, "%s: is in the book already", name);
    if (!found && instrument_record_new(name, &record, error) != ERROR_NONE)
        return error->code = ERROR_USAGE;
    code = record_options_read(call, &record, error);
    if (code == ERROR_NONE && may_write)
        code = edit(call, book, &record, error);
    return code == ERROR_NONE ? show_one(call, &record, error) : code;
}

static int read_file(struct call *call, struct book *book, const char *path, struct error *error)
{
    struct file_counts counts;
    int code = instruments_read(book, path, &counts, error);
    if (code == ERROR_NONE)
        fprintf(call->out, "%s: %zu instrument%s made, %zu changed\n", path, counts.added,
                counts.added == 1 ? "" : "s", counts.replaced);
    return code;
}

/* Whether anything is to be written; else a book that only can be read will do. */
static bool wants_to_write(const struct call *call)
{
    return call_has(call, "import") || call_has(call, "new") || record_options_given(call) > 0;
}

int command_instrument(struct call *call, struct error *error)
{
    struct book *book;
    bool writes = wants_to_write(call);
    const char *file = call_option(call, "import");
    if (call->argument_count == 0 && file == NULL && writes)
        return error_set(error, ERROR_USAGE, "instrument: name the one to edit");
    if (call->argument_count > 0 && file != NULL)
        return error_set(error, ERROR_USAGE,
                         "instrument: --import takes the names from the file; leave '%s' out",
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
