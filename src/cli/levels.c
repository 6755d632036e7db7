/* `levels`: levels and lines of the trader's own, in the book. */
#include "answer/levels.h"
#include "base/calendar.h"
#include "base/number.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/table.h"
#include "prices/records.h"
#include "work/own_lines.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* --- showing ------------------------------------------------------------------------- */

static int write_rows(struct call *call, const struct own_line *lines, size_t count,
                      struct error *error)
{
    struct table table;
    struct text closing;
    bool withdrawn = call_has(call, "withdrawn");
    text_init(&closing);
    level_closing(&closing, lines, count, withdrawn);
    table_begin(&table, call, "levels", level_columns, LEVEL_COLUMNS);
    for (size_t i = 0; i < count; i++)
        if (withdrawn || !lines[i].withdrawn)
            level_row_put(&table, &lines[i]);
    if (closing.length > 0)
        return table_end_text(&table, &closing, error);
    text_free(&closing);
    return table_end(&table, NULL, error);
}

static int show(struct call *call, struct book *book, const char *instrument, struct error *error)
{
    struct own_line *lines = NULL;
    int64_t newest = 0;
    size_t count = 0;
    int code = instrument != NULL ? level_store_newest(book, instrument, &newest, error)
                                  : ERROR_NONE;
    if (code == ERROR_NONE)
        code = level_store_list(book, instrument, &lines, &count, error);
    if (code == ERROR_NONE)
        code = write_rows(call, lines, count, error);
    free(lines);
    return code;
}

/* --- adding ---------------------------------------------------------------------------- */

static int copy_word(char *to, size_t size, const char *what, const char *word, struct error *error)
{
    size_t length = word != NULL ? strlen(word) : 0;
    if (length >= size || !text_is_utf8(word != NULL ? word : "", length))
        return error_set(error, ERROR_INPUT,
                         "%s: found '%.60s'; UTF-8 of at most %zu bytes is allowed", what, word,
                         size - 1);
    memcpy(to, word != NULL ? word : "", length);
    to[length] = '\0';
    return ERROR_NONE;
}

static int read_kind(const char *word, enum line_kind *kind, struct error *error)
{
    *kind = line_kind_of(word);
    if (*kind != LINE_KINDS)
        return ERROR_NONE;
    return error_set(error, ERROR_INPUT,
                     "kind: found '%.40s'; level, trend, retracement, channel, note or ruler is "
                     "allowed",
                     word);
}

/* The words behind the kind: a date and a price for each point; of one point the
 * price alone, on the newest bar. */
static int read_points(const struct call *call, struct own_line *line, struct error *error)
{
    char **words = call->arguments + 3;
    size_t count = call->argument_count - 3;
    size_t points = (size_t)line_kind_points(line->kind);
    if (points == 1 && count == 1)
        return record_number(words[0], "PRICE", &line->points[0].price, error);
    if (count != 2 * points)
        return error_set(error, ERROR_USAGE,
                         points == 1 ? "levels: a %s takes PRICE, or DATE PRICE"
                                     : "levels: a %s takes DATE PRICE DATE PRICE",
                         line_kind_word(line->kind));
    int code = ERROR_NONE;
    for (size_t i = 0; i < points && code == ERROR_NONE; i++) {
        code = record_time(words[2 * i], "DATE", &line->points[i].time, error);
        if (code == ERROR_NONE)
            code = record_number(words[2 * i + 1], "PRICE", &line->points[i].price, error);
    }
    return code;
}

static int add(struct call *call, struct book *book, struct error *error)
{
    struct own_line line = {.points = {{INT64_MIN, 0}, {INT64_MIN, 0}},
                            .width = call_number(call, "width"),
                            .since = call_time_end(call, "from", INT64_MIN)};
    int code = copy_word(line.instrument, sizeof line.instrument, "INSTRUMENT", call->arguments[1],
                         error);
    if (code == ERROR_NONE)
        code = read_kind(call->arguments[2], &line.kind, error);
    if (code == ERROR_NONE)
        code = read_points(call, &line, error);
    if (code == ERROR_NONE)
        code = copy_word(line.note, sizeof line.note, "--note", call_option(call, "note"), error);
    if (code == ERROR_NONE)
        code = book_begin(book, "adding a level", error);
    if (code != ERROR_NONE)
        return code;
    code = own_line_enter(book, (int64_t)time(NULL), INT64_MAX, &line, error);
    code = book_settle(book, code, error);
    return code == ERROR_NONE ? write_rows(call, &line, 1, error) : code;
}

/* --- reading a file ---------------------------------------------------------------------- */

struct reading_in {
    struct book *book;
    int64_t now;
    size_t added;
    size_t known;
};

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

static bool is_given(const char *field)
{
    return field != NULL && field[0] != '\0';
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

static int read_fields(const char *const *fields, struct own_line *line, struct error *error)
{
    const char *from = fields[FIELD_FROM];
    int code = copy_word(line->instrument, sizeof line->instrument, "instrument",
                         fields[FIELD_INSTRUMENT], error);
    if (code == ERROR_NONE && is_given(fields[FIELD_KIND]))
        code = read_kind(fields[FIELD_KIND], &line->kind, error);
    if (code == ERROR_NONE)
        code = read_point(fields, FIELD_TIME, FIELD_PRICE, &line->points[0], error);
    if (code == ERROR_NONE)
        code = read_point(fields, FIELD_OTHER_TIME, FIELD_OTHER_PRICE, &line->points[1], error);
    if (code == ERROR_NONE && is_given(fields[FIELD_WIDTH]))
        code = record_number(fields[FIELD_WIDTH], "width", &line->width, error);
    if (code == ERROR_NONE)
        code = copy_word(line->note, sizeof line->note, "note", fields[FIELD_NOTE], error);
    if (code != ERROR_NONE || !is_given(from))
        return code;
    code = record_time(from, "from", &line->since, error);
    /* A date alone may be any moment of that day. */
    if (code == ERROR_NONE && strchr(from, 'T') == NULL)
        line->since += SECONDS_PER_DAY - 1;
    return code;
}

static bool same(const struct own_line *a, const struct own_line *b)
{
    bool two = line_kind_points(a->kind) == 2;
    return !a->withdrawn && a->kind == b->kind && a->points[0].time == b->points[0].time &&
           a->points[0].price == b->points[0].price &&
           (!two ||
            (a->points[1].time == b->points[1].time && a->points[1].price == b->points[1].price)) &&
           (a->kind != LINE_CHANNEL || a->width == b->width) && strcmp(a->note, b->note) == 0;
}

/* Whether one like it stands already. */
static int find_same(struct book *book, const struct own_line *line, bool *found,
                     struct error *error)
{
    struct own_line *lines = NULL;
    size_t count = 0;
    int code = level_store_list(book, line->instrument, &lines, &count, error);
    *found = false;
    for (size_t i = 0; code == ERROR_NONE && i < count; i++)
        *found = *found || same(&lines[i], line);
    free(lines);
    return code;
}

static int take_row(void *context, const char *const *fields, uint64_t number, struct error *error)
{
    struct reading_in *in = context;
    struct own_line line = {.kind = LINE_LEVEL,
                            .points = {{INT64_MIN, NAN}, {INT64_MIN, NAN}},
                            .since = INT64_MIN};
    bool found = false;
    (void)number;
    int code = read_fields(fields, &line, error);
    if (code == ERROR_NONE)
        code = find_same(in->book, &line, &found, error);
    if (code == ERROR_NONE && !found)
        code = own_line_enter(in->book, in->now, INT64_MAX, &line, error);
    in->known += found;
    in->added += !found;
    return code;
}

static int read_file(struct call *call, struct book *book, struct error *error)
{
    static const struct record_column columns[FIELD_COUNT] =
        {{"instrument", true}, {"kind", false},       {"time", false},
         {"price", true},      {"other_time", false}, {"other_price", false},
         {"width", false},     {"note", false},       {"from", false}};
    struct reading_in in = {.book = book, .now = (int64_t)time(NULL)};
    const char *path = call->arguments[1];
    int code = book_begin(book, "reading levels", error);
    if (code != ERROR_NONE)
        return code;
    code = records_read(path, columns, FIELD_COUNT, take_row, &in, error);
    code = book_settle(book, code, error);
    if (code == ERROR_NONE)
        fprintf(call->out, "%s: %zu level%s or line%s added, %zu known before\n", path, in.added,
                in.added == 1 ? "" : "s", in.added == 1 ? "" : "s", in.known);
    return code;
}

/* --- removing ------------------------------------------------------------------------------ */

static int withdraw(struct call *call, struct book *book, struct error *error)
{
    double number = 0;
    int code = record_number(call->arguments[2], "NUMBER", &number, error);
    if (code == ERROR_NONE && (number < 1 || number > 9e15 || number != floor(number)))
        code = error_set(error, ERROR_USAGE,
                         "levels: found '%.40s'; the number of a line, as 'levels' shows it, is "
                         "allowed",
                         call->arguments[2]);
    if (code == ERROR_NONE)
        code = book_begin(book, "withdrawing a level", error);
    if (code != ERROR_NONE)
        return code;
    code = level_store_withdraw(book, call->arguments[1], (int64_t)number, (int64_t)time(NULL),
                                error);
    code = book_settle(book, code, error);
    if (code == ERROR_NONE)
        fprintf(call->out, "%s: line %.0f is withdrawn; it stays in the book with its dates\n",
                call->arguments[1], number);
    return code;
}

/* --- the command ----------------------------------------------------------------------------- */

int command_levels(struct call *call, struct error *error)
{
    struct book *book;
    size_t count = call->argument_count;
    const char *word = count > 0 ? call->arguments[0] : "show";
    bool adds = strcmp(word, "add") == 0;
    bool reads = strcmp(word, "read") == 0;
    bool removes = strcmp(word, "remove") == 0;
    bool shows = strcmp(word, "show") == 0;
    if (adds && count < 4)
        return error_set(error, ERROR_USAGE,
                         "levels: add needs INSTRUMENT KIND and its points, each DATE PRICE");
    if (reads && count != 2)
        return error_set(error, ERROR_USAGE, "levels: read needs one FILE");
    if (removes && count != 3)
        return error_set(error, ERROR_USAGE, "levels: remove needs INSTRUMENT NUMBER");
    if (!adds && !reads && !removes && count > (shows ? 2 : 1))
        return error_set(error, ERROR_USAGE, "levels: one INSTRUMENT is shown at a time, or all");
    const char *instrument = shows ? (count > 1 ? call->arguments[1] : NULL) : word;
    int code = book_of_call(call, adds || reads || removes ? BOOK_WRITE : BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = adds      ? add(call, book, error)
               : reads   ? read_file(call, book, error)
               : removes ? withdraw(call, book, error)
                         : show(call, book, instrument, error);
    return book_done(book, code, error);
}
