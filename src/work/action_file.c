/* Splits, dividends and rolls. */
#include "base/calendar.h"
#include "book/instrument_store.h"
#include "prices/records.h"
#include "work/book_files.h"

/* The file that is being read. */
struct actions_in {
    struct book *book;
    const char *path;
    bool replace;
    void (*replaced)(void *context, const struct action_replaced *what);
    void *context;
    struct file_counts *counts;
};

int action_kind_read(const char *word, enum action_kind *kind, struct error *error)
{
    return action_kind_parse(word, kind)
               ? ERROR_NONE
               : error_set(error, ERROR_INPUT,
                           "kind: found '%s'; split, dividend or roll is allowed", word);
}

static void count_outcome(struct file_counts *counts, enum action_outcome outcome)
{
    counts->added += outcome == ACTION_ADDED;
    counts->known += outcome == ACTION_KNOWN;
    counts->replaced += outcome == ACTION_REPLACED;
}

/* Reads one line of the file into the book. */
static int take_action(void *context, const char *const *fields, uint64_t line, struct error *error)
{
    struct actions_in *in = context;
    struct instrument instrument;
    struct action action = {0};
    enum action_outcome outcome = ACTION_KNOWN;
    double old = 0;
    int code = instrument_store_need(in->book, fields[0], &instrument, error);
    if (code == ERROR_NONE)
        code = record_date(fields[1], "date", &action.date, error);
    if (code == ERROR_NONE)
        code = action_kind_read(fields[2], &action.kind, error);
    if (code == ERROR_NONE)
        code = record_number(fields[3], "value", &action.value, error);
    if (code == ERROR_NONE)
        code = action_store_put(in->book, instrument.id, &action, in->replace, &outcome, &old,
                                error);
    if (code != ERROR_NONE)
        return code;
    count_outcome(in->counts, outcome);
    if (outcome == ACTION_REPLACED && in->replaced != NULL)
        in->replaced(in->context,
                     &(struct action_replaced){in->path, line, fields[0], &action, old});
    return ERROR_NONE;
}

int actions_read(struct book *book, const char *path, bool replace,
                 void (*replaced)(void *context, const struct action_replaced *what), void *context,
                 struct file_counts *counts, struct error *error)
{
    static const struct record_column columns[] = {{"instrument", true},
                                                   {"date", true},
                                                   {"kind", true},
                                                   {"value", true}};
    struct actions_in in = {book, path, replace, replaced, context, counts};
    *counts = (struct file_counts){0};
    int code = book_begin(book, "actions", error);
    if (code != ERROR_NONE)
        return code;
    code = records_read(path, columns, sizeof columns / sizeof columns[0], take_action, &in, error);
    return book_settle(book, code, error);
}

static int remove_one(struct book *book, const char *name, int64_t date, enum action_kind kind,
                      double *value, struct error *error)
{
    struct instrument instrument;
    bool found = false;
    int code = instrument_store_need(book, name, &instrument, error);
    if (code == ERROR_NONE)
        code = action_store_remove(book, instrument.id, date, kind, &found, value, error);
    if (code != ERROR_NONE || found)
        return code;
    char text[CALENDAR_TEXT_SIZE];
    time_format(text, date, true);
    return error_because(error, ERROR_INPUT, ERROR_REASON_NO_ACTION, "%s has no %s on %s", name,
                         action_kind_name(kind), text);
}

int actions_remove(struct book *book, const char *instrument, int64_t date, enum action_kind kind,
                   double *value, struct error *error)
{
    int code = book_begin(book, "removing an action", error);
    if (code != ERROR_NONE)
        return code;
    return book_settle(book, remove_one(book, instrument, date, kind, value, error), error);
}
