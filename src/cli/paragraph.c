#include "cli/paragraph.h"

#include "document/table_write.h"

#include <string.h>

static void spaces(FILE *out, size_t count)
{
    for (size_t i = 0; i < count; i++)
        fputc(' ', out);
}

void print_paragraph(FILE *out, const char *text, size_t indent)
{
    print_hanging(out, text, indent, 0);
}

void print_hanging(FILE *out, const char *text, size_t indent, size_t column)
{
    char word[512];
    size_t used = column;
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
        size_t gap = used < indent ? indent - used : used == 0 ? 0 : 1;
        spaces(out, gap);
        used += gap + columns;
        fwrite(text, 1, length, out);
        text += length;
    }
    if (used > 0)
        fputc('\n', out);
}

static void measure_columns(size_t width[SECTION_COLUMNS], const struct section *section)
{
    const char *cell = section->cells.bytes;
    for (size_t c = 0; c < section->column_count; c++)
        width[c] = 0;
    for (size_t r = 0; r <= section_rows(section); r++) {
        const char *row[SECTION_COLUMNS];
        cell = section_next_row(section, cell, row);
        for (size_t c = 0; c < section->column_count; c++) {
            size_t columns = text_columns(row[c]);
            width[c] = columns > width[c] ? columns : width[c];
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

void print_section(FILE *out, const struct section *section)
{
    size_t width[SECTION_COLUMNS];
    const char *cell = section->cells.bytes;
    measure_columns(width, section);
    fprintf(out, "%s\n", section->title.bytes);
    for (size_t r = 0; r <= section_rows(section); r++) {
        const char *row[SECTION_COLUMNS];
        cell = section_next_row(section, cell, row);
        for (size_t c = 0; c < section->column_count; c++)
            print_cell(out, row[c], c, width, section->column_count - 1);
        fputc('\n', out);
    }
    print_paragraph(out, section->note, 2);
    fputc('\n', out);
}
