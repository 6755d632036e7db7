#include "document/table.h"

#include "base/array.h"

#include <assert.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The columns and their words in one block. */
static struct column *copy_columns(const struct column *columns, size_t count)
{
    size_t bytes = 0;
    for (size_t i = 0; i < count; i++)
        bytes += strlen(columns[i].name) + strlen(columns[i].title) + strlen(columns[i].unit) + 3;
    struct column *copy = malloc(count * sizeof *copy + bytes + 1);
    if (copy == NULL)
        return NULL;
    char *at = (char *)(copy + count);
    for (size_t i = 0; i < count; i++) {
        const char *words[] = {columns[i].name, columns[i].title, columns[i].unit};
        const char **to[] = {&copy[i].name, &copy[i].title, &copy[i].unit};
        copy[i] = columns[i];
        for (size_t w = 0; w < 3; w++) {
            size_t size = strlen(words[w]) + 1;
            *to[w] = memcpy(at, words[w], size);
            at += size;
        }
    }
    return copy;
}

void table_init(struct table *table, const char *name, const struct column *columns,
                size_t column_count)
{
    *table = (struct table){.column_count = column_count, .missing = ""};
    text_init(&table->cells);
    table->name = string_copy(name);
    table->columns = copy_columns(columns, column_count);
    table->failed = table->name == NULL || table->columns == NULL;
}

void table_set_member(struct table *table, const char *name, int64_t value)
{
    assert(table->member_count < TABLE_MEMBERS);
    table->members[table->member_count++] = (struct table_member){name, value};
}

static void set_words(struct table *table, char **to, const char *words)
{
    free(*to);
    *to = words != NULL ? string_copy(words) : NULL;
    table->failed = table->failed || (words != NULL && *to == NULL);
}

void table_set_words(struct table *table, const char *title, const char *note)
{
    set_words(table, &table->title, title);
    set_words(table, &table->note, note);
}

void table_free(struct table *table)
{
    free(table->name);
    free(table->title);
    free(table->note);
    free(table->columns);
    text_free(&table->cells);
    *table = (struct table){0};
    text_init(&table->cells);
}

bool table_failed(const struct table *table)
{
    return table->failed || text_failed(&table->cells);
}

/* --- cells: a kind, then what it needs ------------------------------------------------ */

/* As it stands before a cell. */
struct mark {
    char kind; /* enum cell_kind */
    char own_digits;
    char sign;
    signed char digits;
};

static void put(struct table *table, struct mark mark, const void *content, size_t size)
{
    assert(table->column_count > 0);
    text_append_bytes(&table->cells, (const char *)&mark, sizeof mark);
    text_append_bytes(&table->cells, content, size);
    if (++table->cell < table->column_count)
        return;
    table->cell = 0;
    table->held++;
    table->row_count++;
}

void table_text(struct table *table, const char *text)
{
    if (text == NULL)
        put(table, (struct mark){.kind = CELL_EMPTY}, "", 0);
    else
        put(table, (struct mark){.kind = CELL_TEXT}, text, strlen(text) + 1);
}

void table_format(struct table *table, const char *format, ...)
{
    char content[256];
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(content, sizeof content, format, arguments);
    va_end(arguments);
    if (length >= 0 && (size_t)length < sizeof content) {
        table_text(table, content);
        return;
    }
    char *all = length >= 0 ? malloc((size_t)length + 1) : NULL;
    table->failed = table->failed || all == NULL;
    if (all != NULL) {
        va_start(arguments, format);
        vsnprintf(all, (size_t)length + 1, format, arguments);
        va_end(arguments);
    }
    table_text(table, all);
    free(all);
}

void table_number(struct table *table, double number)
{
    put(table, (struct mark){.kind = CELL_NUMBER}, &number, sizeof number);
}

void table_integer(struct table *table, int64_t number)
{
    put(table, (struct mark){.kind = CELL_INTEGER}, &number, sizeof number);
}

void table_count(struct table *table, size_t count)
{
    table_integer(table, (int64_t)count);
}

void table_json(struct table *table, const struct text *json)
{
    table->failed = table->failed || text_failed(json);
    put(table, (struct mark){.kind = CELL_JSON}, json->bytes, json->length + 1);
}

void table_blank(struct table *table, size_t count)
{
    for (size_t i = 0; i < count; i++)
        table_text(table, NULL);
}

static void put_own(struct table *table, int digits, bool sign, double number)
{
    const struct mark mark = {CELL_NUMBER, true, (char)sign, (signed char)digits};
    put(table, mark, &number, sizeof number);
}

static void put_range(struct table *table, int digits, bool sign, double low, double high)
{
    const struct mark mark = {CELL_RANGE, true, (char)sign, (signed char)digits};
    const double ends[] = {low, high};
    put(table, mark, ends, sizeof ends);
}

void table_decimals(struct table *table, int digits, double number)
{
    put_own(table, digits, false, number);
}

void table_signed(struct table *table, int digits, double number)
{
    put_own(table, digits, true, number);
}

void table_range(struct table *table, int digits, double low, double high)
{
    put_range(table, digits, false, low, high);
}

void table_signed_range(struct table *table, int digits, double low, double high)
{
    put_range(table, digits, true, low, high);
}

void table_clear_rows(struct table *table)
{
    assert(table->cell == 0);
    bool failed = table_failed(table);
    text_clear(&table->cells);
    table->failed = failed;
    table->held = 0;
}

/* --- reading -------------------------------------------------------------------------- */

void table_walk(struct table_walk *walk, const struct table *table)
{
    *walk = (struct table_walk){.table = table,
                                .at = table->cells.bytes,
                                .left = table_failed(table) ? 0
                                                            : table->held * table->column_count};
}

static const void *take(struct table_walk *walk, void *to, size_t size)
{
    memcpy(to, walk->at, size);
    walk->at += size;
    return to;
}

bool table_next(struct table_walk *walk, struct cell *cell)
{
    struct mark mark;
    if (walk->left == 0)
        return false;
    walk->left--;
    walk->column = walk->next_column;
    walk->next_column = (walk->next_column + 1) % walk->table->column_count;
    take(walk, &mark, sizeof mark);
    *cell = (struct cell){.kind = (enum cell_kind)mark.kind,
                          .own_digits = mark.own_digits != 0,
                          .sign = mark.sign != 0,
                          .digits = mark.digits};
    switch (cell->kind) {
    case CELL_EMPTY: break;
    case CELL_TEXT:
    case CELL_JSON:
        cell->text = walk->at;
        walk->at += strlen(walk->at) + 1;
        break;
    case CELL_INTEGER: take(walk, &cell->integer, sizeof cell->integer); break;
    case CELL_NUMBER: take(walk, &cell->number, sizeof cell->number); break;
    case CELL_RANGE:
        take(walk, &cell->number, sizeof cell->number);
        take(walk, &cell->high, sizeof cell->high);
        break;
    }
    return true;
}

static void number_words(struct text *text, const struct cell *cell, double number, int digits)
{
    if (digits < 0 || !isfinite(number))
        text_append_number(text, number);
    else
        text_append_format(text, cell->sign ? "%+.*f" : "%.*f", digits, number);
}

void cell_words(struct text *text, const struct cell *cell, const struct table *table,
                size_t column)
{
    const struct column *of = &table->columns[column];
    bool missing = isnan(cell->number) || (cell->own_digits && !isfinite(cell->number)) ||
                   !isfinite(cell->high);
    int digits = cell->own_digits ? cell->digits : of->digits;
    switch (cell->kind) {
    case CELL_EMPTY:
    case CELL_JSON: break;
    case CELL_TEXT: text_append_shown(text, cell->text); break;
    case CELL_INTEGER:
        if (of->kind == COLUMN_BOOLEAN)
            text_append(text, cell->integer ? "yes" : "no");
        else
            text_append_integer(text, cell->integer);
        break;
    case CELL_NUMBER:
    case CELL_RANGE:
        if (missing) {
            text_append(text, table->missing);
            break;
        }
        number_words(text, cell, cell->number, digits);
        if (cell->kind == CELL_RANGE) {
            text_append(text, " to ");
            number_words(text, cell, cell->high, digits);
        }
        break;
    }
}

bool column_is_text(const struct column *column)
{
    return column->kind == COLUMN_TEXT;
}
