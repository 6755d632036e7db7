/* Sheets that walk along a series. */
#include "measures/sheet_parts.h"

#include <assert.h>
#include <string.h>

struct sheet *sheet_walking(const char *zone)
{
    static const struct bars none;
    struct sheet *sheet = sheet_new(&none, zone);
    if (sheet != NULL)
        sheet->walks = true;
    return sheet;
}

/* Brings every column to the end of its window, so that each is whole there. */
static bool complete_columns(struct sheet *sheet)
{
    bool complete = true;
    for (size_t i = 0; i < sheet->column_count && sheet->moves > 0; i++)
        complete = column_complete(sheet, sheet->columns[i]) && complete;
    return complete;
}

/* Keeps the last `stay` values of each column, and nothing of what upper layers
 * found in bars that move. */
static void move_columns(struct sheet *sheet, size_t stay)
{
    for (size_t i = 0; i < sheet->column_count; i++) {
        struct filling *column = &sheet->columns[i]->column;
        if (column->values == NULL)
            continue;
        memmove(column->values, column->values + (column->first - stay),
                stay * sizeof *column->values);
        column->first = stay;
    }
    kept_free(sheet);
}

static void move_one(struct sheet *sheet, const struct bars *window, size_t stay)
{
    move_columns(sheet, stay);
    sheet->offset += sheet->count - stay;
    sheet->bars = window;
    sheet->count = bars_complete(window);
    sheet->moves++;
}

int sheet_move(struct sheet *sheet, const struct bars *window, size_t stay, struct error *error)
{
    struct sheet *mirror = sheet->mirror;
    assert(sheet->walks && !sheet_asked_late(sheet));
    if (!complete_columns(sheet) || (mirror != NULL && !complete_columns(mirror)))
        return error_memory(error);
    if (mirror != NULL) {
        int code = mirror_move(mirror, window, stay, error);
        if (code != ERROR_NONE)
            return code;
        move_one(mirror, &mirror->own_bars, stay);
    }
    move_one(sheet, window, stay);
    return ERROR_NONE;
}

size_t sheet_offset(const struct sheet *sheet)
{
    return sheet->offset;
}

bool sheet_asked_late(const struct sheet *sheet)
{
    return sheet->late || (sheet->mirror != NULL && sheet->mirror->late);
}

static void begin_one(struct sheet *sheet)
{
    for (size_t i = 0; i < sheet->column_count; i++)
        sheet->columns[i]->column.first = 0;
    kept_free(sheet);
    sheet->late = false;
    sheet->moves = 0;
    sheet->offset = 0;
    sheet->count = 0;
}

void sheet_begin_again(struct sheet *sheet)
{
    begin_one(sheet);
    if (sheet->mirror != NULL) {
        begin_one(sheet->mirror);
        sheet->mirror->own_bars.count = 0;
    }
}
