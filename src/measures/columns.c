/* The columns of a sheet, and what upper layers keep with it. */
#include "base/array.h"
#include "measures/series.h"
#include "measures/sheet_parts.h"

#include <stdlib.h>
#include <string.h>

void *sheet_kept(const struct sheet *sheet, const void *owner, const double *values)
{
    for (size_t i = 0; i < sheet->kept_count; i++) {
        const struct kept *kept = &sheet->kept[i];
        if (kept->owner == owner && memcmp(kept->values, values, sizeof kept->values) == 0)
            return kept->data;
    }
    return NULL;
}

bool sheet_keep(struct sheet *sheet, const void *owner, const double *values, void *data,
                void (*release)(void *data))
{
    struct kept *list = array_reserve(sheet->kept, &sheet->kept_room, sheet->kept_count + 1,
                                      sizeof *list);
    if (list == NULL) {
        release(data);
        sheet->failed = true;
        return false;
    }
    sheet->kept = list;
    struct kept *kept = &list[sheet->kept_count++];
    kept->owner = owner;
    kept->data = data;
    kept->release = release;
    memcpy(kept->values, values, sizeof kept->values);
    return true;
}

void kept_free(struct sheet *sheet)
{
    for (size_t i = 0; i < sheet->kept_count; i++)
        sheet->kept[i].release(sheet->kept[i].data);
    sheet->kept_count = 0;
}

void columns_free(struct sheet *sheet)
{
    for (size_t i = 0; i < sheet->column_count; i++) {
        free(sheet->columns[i]->column.values);
        free(sheet->columns[i]);
    }
    free(sheet->columns);
}

/* The key of a column: the row's own values, the others 0. */
static void column_key(double *key, const struct measure *measure, const double *values)
{
    memset(key, 0, PARAMETER_LIMIT * sizeof *key);
    memcpy(key, values, parameter_count(measure->parameters) * sizeof *key);
}

static struct made_column *find_column(const struct sheet *sheet, const struct measure *measure,
                                       const double *key)
{
    for (size_t i = 0; i < sheet->column_count; i++) {
        struct made_column *made = sheet->columns[i];
        if (made->measure == measure && memcmp(made->key, key, sizeof made->key) == 0)
            return made;
    }
    return NULL;
}

/* A column that holds nothing yet. NULL without memory, which fails the sheet. */
static struct made_column *add_column(struct sheet *sheet, const struct measure *measure,
                                      const double *key)
{
    struct made_column **list = array_reserve(sheet->columns, &sheet->column_room,
                                              sheet->column_count + 1, sizeof *list);
    sheet->columns = list != NULL ? list : sheet->columns;
    struct made_column *made = list != NULL ? calloc(1, sizeof *made) : NULL;
    if (made == NULL) {
        sheet->failed = true;
        return NULL;
    }
    made->measure = measure;
    memcpy(made->key, key, sizeof made->key);
    list[sheet->column_count++] = made;
    return made;
}

static struct made_column *column_of(struct sheet *sheet, const struct measure *measure,
                                     const double *key)
{
    struct made_column *made = find_column(sheet, measure, key);
    return made != NULL ? made : add_column(sheet, measure, key);
}

/* Room for a value for each bar. */
static bool make_room(struct sheet *sheet, struct made_column *made)
{
    struct filling *column = &made->column;
    if (column->values != NULL && made->room >= sheet->count)
        return true;
    double *values = array_new(sheet->count, sizeof *values);
    if (values == NULL) {
        sheet->failed = true;
        return false;
    }
    if (column->first > 0)
        memcpy(values, column->values, column->first * sizeof *values);
    free(column->values);
    column->values = values;
    made->room = sheet->count;
    return true;
}

/* Whether the values before the window are gone that a column would need. */
static bool asked_late(struct sheet *sheet, const struct made_column *made)
{
    bool late = sheet->moves > 1 && made->column.values == NULL;
    sheet->late = sheet->late || late;
    return late;
}

static bool is_complete(const struct sheet *sheet, const struct made_column *made)
{
    return made->column.values != NULL && made->column.first == sheet->count;
}

bool column_complete(struct sheet *sheet, struct made_column *made)
{
    if (is_complete(sheet, made))
        return true;
    if (asked_late(sheet, made) || !make_room(sheet, made))
        return false;
    if (!made->measure->compute(sheet, made->key, &made->column)) {
        sheet->failed = sheet->failed || !sheet->late;
        return false;
    }
    made->column.first = sheet->count;
    return true;
}

const double *sheet_measure(struct sheet *sheet, const struct measure *measure,
                            const double *values)
{
    double key[PARAMETER_LIMIT];
    column_key(key, measure, values);
    struct made_column *made = column_of(sheet, measure, key);
    return made != NULL && column_complete(sheet, made) ? made->column.values : NULL;
}

/* Makes a column on LANE_COUNT sheets, on none of which it is complete. */
static void measure_lanes(struct sheet *const *sheets, struct made_column *const *made)
{
    struct filling *columns[LANE_COUNT];
    bool ready = true;
    for (int l = 0; l < LANE_COUNT; l++) {
        ready = !asked_late(sheets[l], made[l]) && make_room(sheets[l], made[l]) && ready;
        columns[l] = &made[l]->column;
    }
    if (!ready)
        return;
    bool done = made[0]->measure->together(sheets, made[0]->key, columns);
    for (int l = 0; l < LANE_COUNT; l++) {
        if (done)
            columns[l]->first = sheets[l]->count;
        else
            sheets[l]->failed = sheets[l]->failed || !sheets[l]->late;
    }
}

void sheets_measure(struct sheet *const *sheets, size_t count, const struct measure *measure,
                    const double *values)
{
    struct sheet *waiting[LANE_COUNT];
    struct made_column *made[LANE_COUNT];
    size_t lanes = 0;
    double key[PARAMETER_LIMIT];
    column_key(key, measure, values);
    for (size_t i = 0; i < count; i++) {
        made[lanes] = column_of(sheets[i], measure, key);
        if (made[lanes] == NULL || is_complete(sheets[i], made[lanes]))
            continue;
        if (measure->together == NULL) {
            column_complete(sheets[i], made[lanes]);
            continue;
        }
        waiting[lanes++] = sheets[i];
        if (lanes == LANE_COUNT) {
            measure_lanes(waiting, made);
            lanes = 0;
        }
    }
    for (size_t i = 0; i < lanes; i++)
        column_complete(waiting[i], made[i]);
}
