#include "answer/levels.h"

#include "base/calendar.h"

#include <math.h>

const struct column level_columns[LEVEL_COLUMNS] = {
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"number", "number", COLUMN_INTEGER, 0, ""},
    {"kind", "kind", COLUMN_TEXT, 0, ""},
    {"time", "at", COLUMN_TEXT, 0, ""},
    {"price", "price", COLUMN_NUMBER, -1, ""},
    {"other_time", "to", COLUMN_TEXT, 0, ""},
    {"other_price", "price", COLUMN_NUMBER, -1, ""},
    {"width", "width", COLUMN_NUMBER, -1, ""},
    {"note", "note", COLUMN_TEXT, 0, ""},
    {"made", "entered", COLUMN_TEXT, 0, ""},
    {"from", "counts after", COLUMN_TEXT, 0, ""},
    {"dated_back", "dated back", COLUMN_BOOLEAN, 0, ""},
    {"withdrawn", "withdrawn", COLUMN_TEXT, 0, ""},
};

/* Midnight is a date: of a daily bar, mostly. */
static void put_time(struct table *table, int64_t time)
{
    char text[CALENDAR_TEXT_SIZE];
    time_format(text, time, time % SECONDS_PER_DAY == 0);
    table_text(table, text);
}

static void put_moment(struct table *table, int64_t time)
{
    char text[CALENDAR_TEXT_SIZE];
    time_format(text, time, false);
    table_text(table, text);
}

void level_row_put(struct table *table, const struct own_line *line)
{
    table_text(table, line->instrument);
    table_integer(table, line->id);
    table_text(table, line_kind_word(line->kind));
    put_time(table, line->points[0].time);
    table_number(table, line->points[0].price);
    if (line_kind_points(line->kind) == 2) {
        put_time(table, line->points[1].time);
        table_number(table, line->points[1].price);
    } else
        table_blank(table, 2);
    table_number(table, line->kind == LINE_CHANNEL ? line->width : NAN);
    table_text(table, line->note[0] != '\0' ? line->note : NULL);
    put_moment(table, line->made);
    put_moment(table, line->since);
    table_integer(table, line->dated_back);
    if (line->withdrawn)
        put_moment(table, line->withdrawn_at);
    else
        table_blank(table, 1);
}

void level_closing(struct text *words, const struct own_line *lines, size_t count, bool shown)
{
    size_t dated_back = 0;
    size_t withdrawn = 0;
    for (size_t i = 0; i < count; i++) {
        withdrawn += lines[i].withdrawn;
        dated_back += lines[i].dated_back && !lines[i].withdrawn;
    }
    if (count == withdrawn && !(shown && withdrawn > 0))
        text_append(words, "No level or line of your own stands.");
    if (dated_back > 0)
        text_append_format(words,
                           "%s%zu %s brought in with an older date: nobody saw that date pass, so "
                           "whatever rests on %s is flagged.",
                           words->length > 0 ? " " : "", dated_back,
                           dated_back == 1 ? "was" : "were", dated_back == 1 ? "it" : "them");
    if (withdrawn > 0 && !shown)
        text_append_format(words, "%s%zu withdrawn %s not shown.", words->length > 0 ? " " : "",
                           withdrawn, withdrawn == 1 ? "is" : "are");
}
