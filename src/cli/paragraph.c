#include "cli/paragraph.h"

#include <string.h>

size_t text_columns(const char *text)
{
    size_t columns = 0;
    for (; *text != '\0'; text++)
        columns += ((unsigned char)*text & 0xc0) != 0x80;
    return columns;
}

static void spaces(FILE *out, size_t count)
{
    for (size_t i = 0; i < count; i++)
        fputc(' ', out);
}

void print_paragraph(FILE *out, const char *text, size_t indent)
{
    char word[512];
    size_t used = 0;
    while (*text != '\0') {
        if (*text == '\n') {
            fputc('\n', out);
            used = 0;
            text++;
            continue;
        }
        if (*text == ' ') {
            text++;
            continue;
        }
        size_t length = strcspn(text, " \n");
        size_t kept = length < sizeof word ? length : sizeof word - 1;
        memcpy(word, text, kept);
        word[kept] = '\0';
        size_t columns = text_columns(word);
        if (used > 0 && used + 1 + columns > TEXT_WIDTH) {
            fputc('\n', out);
            used = 0;
        }
        spaces(out, used == 0 ? indent : 1);
        used += (used == 0 ? indent : 1) + columns;
        fwrite(text, 1, length, out);
        text += length;
    }
    if (used > 0)
        fputc('\n', out);
}

enum { MOST_COLUMNS = 16 };

static void measure_columns(size_t *width, const char *const *columns, size_t column_count,
                            const char *cells, size_t row_count)
{
    for (size_t c = 0; c < column_count; c++)
        width[c] = text_columns(columns[c]);
    for (size_t r = 0; r < row_count; r++) {
        for (size_t c = 0; c < column_count; c++) {
            size_t columns_here = text_columns(cells);
            width[c] = columns_here > width[c] ? columns_here : width[c];
            cells += strlen(cells) + 1;
        }
    }
}

static void print_cell(FILE *out, const char *cell, size_t column, const size_t *width, size_t last)
{
    size_t room = width[column] - text_columns(cell);
    spaces(out, 2);
    if (column > 0)
        spaces(out, room);
    fputs(cell, out);
    if (column == 0 && column < last)
        spaces(out, room);
}

void print_cells(FILE *out, const char *title, const char *const *columns, size_t column_count,
                 const char *cells, size_t row_count, const char *note)
{
    size_t width[MOST_COLUMNS];
    measure_columns(width, columns, column_count, cells, row_count);
    fprintf(out, "%s\n", title);
    for (size_t c = 0; c < column_count; c++)
        print_cell(out, columns[c], c, width, column_count - 1);
    fputc('\n', out);
    for (size_t r = 0; r < row_count; r++) {
        for (size_t c = 0; c < column_count; c++) {
            print_cell(out, cells, c, width, column_count - 1);
            cells += strlen(cells) + 1;
        }
        fputc('\n', out);
    }
    if (note != NULL)
        print_paragraph(out, note, 2);
    fputc('\n', out);
}
