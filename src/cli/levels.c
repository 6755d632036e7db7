/* `levels`: levels and lines of the trader's own, in the book. */
#include "answer/levels.h"
#include "base/calendar.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/table.h"
#include "prices/records.h"
#include "work/book_files.h"
#include "work/level_file.h"
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
    struct newest_stored newest;
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
                            .since = call_time(call, "from", INT64_MIN)};
    const char *from = call_option(call, "from");
    int code = record_text(call->arguments[1], "INSTRUMENT", line.instrument,
                           sizeof line.instrument, error);
    line.since_is_date = from != NULL && strchr(from, 'T') == NULL;
    if (code == ERROR_NONE)
        code = level_kind_read(call->arguments[2], &line.kind, error);
    if (code == ERROR_NONE)
        code = read_points(call, &line, error);
    if (code == ERROR_NONE)
        code = record_text(call_option(call, "note"), "--note", line.note, sizeof line.note, error);
    if (code == ERROR_NONE)
        code = book_begin(book, "adding a level", error);
    if (code != ERROR_NONE)
        return code;
    code = own_line_enter(book, (int64_t)time(NULL), INT64_MAX, &line, error);
    code = book_settle(book, code, error);
    return code == ERROR_NONE ? write_rows(call, &line, 1, error) : code;
}

/* --- reading a file ---------------------------------------------------------------------- */

static int read_file(struct call *call, struct book *book, struct error *error)
{
    struct file_counts counts;
    const char *path = call->arguments[1];
    int code = levels_read(book, path, (int64_t)time(NULL), &counts, error);
    if (code == ERROR_NONE)
        fprintf(call->out, "%s: %zu level%s or line%s added, %zu known before\n", path,
                counts.added, counts.added == 1 ? "" : "s", counts.added == 1 ? "" : "s",
                counts.known);
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

static int check_words(const struct call *call, const char *word, struct error *error)
{
    size_t count = call->argument_count;
    if (strcmp(word, "add") == 0)
        return count >= 4 ? ERROR_NONE
                          : error_set(error, ERROR_USAGE,
                                      "levels: add needs INSTRUMENT KIND and its points, each "
                                      "DATE PRICE");
    if (strcmp(word, "import") == 0)
        return count == 2 ? ERROR_NONE
                          : error_set(error, ERROR_USAGE, "levels: import needs one FILE");
    if (strcmp(word, "remove") == 0)
        return count == 3 ? ERROR_NONE
                          : error_set(error, ERROR_USAGE, "levels: remove needs INSTRUMENT NUMBER");
    bool shows = strcmp(word, "show") == 0;
    if (count <= (shows ? 2 : 1))
        return ERROR_NONE;
    if (shows)
        return error_set(error, ERROR_USAGE, "levels: show takes one INSTRUMENT, or none for all");
    return error_set(error, ERROR_USAGE,
                     "levels: found '%.40s %.40s'; show, add, import FILE or remove is allowed, or "
                     "one INSTRUMENT, of which they are shown",
                     word, call->arguments[1]);
}

int command_levels(struct call *call, struct error *error)
{
    struct book *book;
    size_t count = call->argument_count;
    const char *word = count > 0 ? call->arguments[0] : "show";
    bool adds = strcmp(word, "add") == 0;
    bool reads = strcmp(word, "import") == 0;
    bool removes = strcmp(word, "remove") == 0;
    bool shows = strcmp(word, "show") == 0;
    int code = check_words(call, word, error);
    if (code != ERROR_NONE)
        return code;
    const char *instrument = shows ? (count > 1 ? call->arguments[1] : NULL) : word;
    code = book_of_call(call, adds || reads || removes ? BOOK_WRITE : BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = adds      ? add(call, book, error)
               : reads   ? read_file(call, book, error)
               : removes ? withdraw(call, book, error)
                         : show(call, book, instrument, error);
    return book_done(book, code, error);
}
