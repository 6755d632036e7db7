/* Levels and lines of a person's own. */
#include "work/level_file.h"

#include "prices/records.h"
#include "work/book_files.h"
#include "work/own_lines.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* --- the file ----------------------------------------------------------------------- */

enum {
    FIELD_INSTRUMENT,
    FIELD_KIND,
    FIELD_TIME,
    FIELD_PRICE,
    FIELD_OTHER_TIME,
    FIELD_OTHER_PRICE,
    FIELD_WIDTH,
    FIELD_NOTE,
    FIELD_FROM,
    FIELD_COUNT
};

struct from_file {
    level_file_take *take;
    void *context;
    enum level_file kind;
};

static bool is_given(const char *field)
{
    return field != NULL && field[0] != '\0';
}

int level_kind_read(const char *word, enum line_kind *kind, struct error *error)
{
    *kind = line_kind_of(word);
    if (*kind != LINE_KINDS)
        return ERROR_NONE;
    return error_set(error, ERROR_INPUT,
                     "kind: found '%.40s'; level, trend, retracement, channel, note or ruler is "
                     "allowed",
                     word);
}

static int read_point(const char *const *fields, size_t time, size_t price,
                      struct line_point *point, struct error *error)
{
    int code = is_given(fields[time]) ? record_time(fields[time], "time", &point->time, error)
                                      : ERROR_NONE;
    if (code == ERROR_NONE && is_given(fields[price]))
        code = record_number(fields[price], "price", &point->price, error);
    return code;
}

/* A date alone may be any moment of that day. */
static int read_from(const char *from, enum level_file kind, struct own_line *line,
                     struct error *error)
{
    if (!is_given(from) && kind == LEVEL_FILE_KEPT)
        return ERROR_NONE;
    line->since_is_date = is_given(from) && strchr(from, 'T') == NULL;
    return record_time(from, "from", &line->since, error);
}

static int read_fields(const char *const *fields, enum level_file kind, struct own_line *line,
                       struct error *error)
{
    int code = record_text(fields[FIELD_INSTRUMENT], "instrument", line->instrument,
                           sizeof line->instrument, error);
    if (kind == LEVEL_FILE_BESIDE && strcmp(line->instrument, "all") == 0)
        line->instrument[0] = '\0';
    if (code == ERROR_NONE && is_given(fields[FIELD_KIND]))
        code = level_kind_read(fields[FIELD_KIND], &line->kind, error);
    if (code == ERROR_NONE)
        code = read_point(fields, FIELD_TIME, FIELD_PRICE, &line->points[0], error);
    if (code == ERROR_NONE)
        code = read_point(fields, FIELD_OTHER_TIME, FIELD_OTHER_PRICE, &line->points[1], error);
    if (code == ERROR_NONE && is_given(fields[FIELD_WIDTH]))
        code = record_number(fields[FIELD_WIDTH], "width", &line->width, error);
    if (code == ERROR_NONE)
        code = record_text(fields[FIELD_NOTE], "note", line->note, sizeof line->note, error);
    return code == ERROR_NONE ? read_from(fields[FIELD_FROM], kind, line, error) : code;
}

static int take_fields(void *context, const char *const *fields, uint64_t number,
                       struct error *error)
{
    struct from_file *file = context;
    struct own_line line = {.kind = LINE_LEVEL,
                            .points = {{INT64_MIN, NAN}, {INT64_MIN, NAN}},
                            .since = INT64_MIN};
    (void)number;
    int code = read_fields(fields, file->kind, &line, error);
    return code == ERROR_NONE ? file->take(file->context, &line, error) : code;
}

int level_file_read(const char *path, enum level_file kind, level_file_take *take, void *context,
                    struct error *error)
{
    const struct record_column columns[FIELD_COUNT] = {{"instrument", kind == LEVEL_FILE_KEPT},
                                                       {"kind", false},
                                                       {"time", false},
                                                       {"price", true},
                                                       {"other_time", false},
                                                       {"other_price", false},
                                                       {"width", false},
                                                       {"note", false},
                                                       {"from", kind == LEVEL_FILE_BESIDE}};
    struct from_file file = {take, context, kind};
    return records_read(path, columns, FIELD_COUNT, take_fields, &file, error);
}

/* --- into the book --------------------------------------------------------------------- */

struct reading_in {
    struct book *book;
    int64_t now;
    struct file_counts *counts;
};

/* What a row leaves open. */
struct left_open {
    bool time;
    bool since;
};

static bool same_moment(const struct own_line *a, const struct own_line *b,
                        const struct left_open *open)
{
    if (open->time)
        return open->since || a->since == b->since;
    return a->points[0].time == b->points[0].time;
}

static bool same(const struct own_line *a, const struct own_line *b, const struct left_open *open)
{
    bool two = line_kind_points(a->kind) == 2;
    return !a->withdrawn && a->kind == b->kind && same_moment(a, b, open) &&
           a->points[0].price == b->points[0].price &&
           (!two ||
            (a->points[1].time == b->points[1].time && a->points[1].price == b->points[1].price)) &&
           (a->kind != LINE_CHANNEL || a->width == b->width) && strcmp(a->note, b->note) == 0;
}

/* Whether one like it stands already. */
static int find_same(struct book *book, const struct own_line *line, const struct left_open *open,
                     bool *found, struct error *error)
{
    struct own_line *lines = NULL;
    size_t count = 0;
    int code = level_store_list(book, line->instrument, &lines, &count, error);
    *found = false;
    for (size_t i = 0; code == ERROR_NONE && i < count; i++)
        *found = *found || same(&lines[i], line, open);
    free(lines);
    return code;
}

static int take_line(void *context, struct own_line *line, struct error *error)
{
    struct reading_in *in = context;
    const struct left_open open = {.time = line->points[0].time == INT64_MIN,
                                   .since = line->since == INT64_MIN};
    bool found = false;
    int code = own_line_settle(in->book, in->now, INT64_MAX, line, error);
    if (code == ERROR_NONE)
        code = find_same(in->book, line, &open, &found, error);
    if (code == ERROR_NONE && !found)
        code = level_store_add(in->book, line, error);
    in->counts->known += found;
    in->counts->added += !found;
    return code;
}

int levels_read(struct book *book, const char *path, int64_t now, struct file_counts *counts,
                struct error *error)
{
    struct reading_in in = {book, now, counts};
    *counts = (struct file_counts){0};
    int code = book_begin(book, "reading levels", error);
    if (code != ERROR_NONE)
        return code;
    code = level_file_read(path, LEVEL_FILE_KEPT, take_line, &in, error);
    return book_settle(book, code, error);
}
