/* Events of a person's own. */
#include "prices/records.h"
#include "work/book_files.h"

#include <string.h>

struct reading_in {
    struct book *book;
    struct file_counts *counts;
};

int event_known_read(const char *field, struct event *event, struct error *error)
{
    if (field == NULL || field[0] == '\0')
        return ERROR_NONE;
    event->known_later = true;
    event->known_dated = strlen(field) == 10;
    return record_time(field, "known", &event->known, error);
}

static int read_event(const char *const *fields, struct event *event, struct error *error)
{
    const char *instrument = fields[2] != NULL && strcmp(fields[2], "all") == 0 ? "" : fields[2];
    int code = record_text(fields[0], "kind", event->kind, sizeof event->kind, error);
    if (code == ERROR_NONE && event->kind[0] == '\0')
        code = error_set(error, ERROR_INPUT, "kind: is empty; a word such as earnings is needed");
    if (code == ERROR_NONE)
        code = record_time(fields[1], "time", &event->time, error);
    event->dated = code == ERROR_NONE && strlen(fields[1]) == 10;
    if (code == ERROR_NONE)
        code = record_text(instrument, "instrument", event->instrument, sizeof event->instrument,
                           error);
    if (code == ERROR_NONE)
        code = record_text(fields[3], "note", event->note, sizeof event->note, error);
    return code == ERROR_NONE ? event_known_read(fields[4], event, error) : code;
}

static int take_row(void *context, const char *const *fields, uint64_t line, struct error *error)
{
    (void)line;
    struct reading_in *in = context;
    struct event event = {0};
    bool added = false;
    int code = read_event(fields, &event, error);
    if (code == ERROR_NONE)
        code = event_store_add(in->book, &event, &added, error);
    in->counts->added += added;
    in->counts->known += !added;
    return code;
}

int events_read(struct book *book, const char *path, struct file_counts *counts,
                struct error *error)
{
    static const struct record_column columns[] = {{"kind", true},
                                                   {"time", true},
                                                   {"instrument", false},
                                                   {"note", false},
                                                   {"known", false}};
    struct reading_in in = {book, counts};
    *counts = (struct file_counts){0};
    int code = book_begin(book, "reading events", error);
    if (code != ERROR_NONE)
        return code;
    code = records_read(path, columns, sizeof columns / sizeof columns[0], take_row, &in, error);
    return book_settle(book, code, error);
}

int events_remove(struct book *book, const struct event_choice *choice, int64_t *removed,
                  struct error *error)
{
    *removed = 0;
    int code = book_begin(book, "removing events", error);
    if (code != ERROR_NONE)
        return code;
    return book_settle(book, event_store_remove(book, choice, removed, error), error);
}
