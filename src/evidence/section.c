#include "evidence/section.h"

#include <assert.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

struct section *sections_add(struct sections *sections, const char *title, const char *note,
                             const char *const *headings, size_t column_count)
{
    assert(sections->count < SECTION_LIMIT && column_count <= SECTION_COLUMNS);
    struct section *section = &sections->list[sections->count++];
    *section = (struct section){.note = note, .column_count = column_count};
    text_init(&section->title);
    text_init(&section->cells);
    text_append(&section->title, title);
    for (size_t c = 0; c < column_count; c++)
        section_text(section, headings[c]);
    return section;
}

int sections_check(const struct sections *sections, struct error *error)
{
    for (size_t s = 0; s < sections->count; s++)
        if (text_failed(&sections->list[s].cells) || text_failed(&sections->list[s].title))
            return error_memory(error);
    return ERROR_NONE;
}

void sections_free(struct sections *sections)
{
    for (size_t s = 0; s < sections->count; s++) {
        text_free(&sections->list[s].title);
        text_free(&sections->list[s].cells);
    }
    sections->count = 0;
}

size_t section_rows(const struct section *section)
{
    return section->cell_count / section->column_count - 1;
}

const char *section_next_row(const struct section *section, const char *cell,
                             const char *row[SECTION_COLUMNS])
{
    for (size_t c = 0; c < section->column_count; c++) {
        row[c] = cell;
        cell += strlen(cell) + 1;
    }
    return cell;
}

void section_text(struct section *section, const char *content)
{
    text_append_bytes(&section->cells, content, strlen(content) + 1);
    section->cell_count++;
}

void section_format(struct section *section, const char *format, ...)
{
    char content[128];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(content, sizeof content, format, arguments);
    va_end(arguments);
    section_text(section, content);
}

void section_blank(struct section *section, size_t cells)
{
    for (size_t i = 0; i < cells; i++)
        section_text(section, "");
}

void section_count(struct section *section, size_t value)
{
    section_format(section, "%zu", value);
}

void section_number(struct section *section, int places, double value)
{
    if (isfinite(value))
        section_format(section, "%.*f", places, value);
    else
        section_text(section, "–");
}

void section_signed(struct section *section, int places, double value)
{
    if (isfinite(value))
        section_format(section, "%+.*f", places, value);
    else
        section_text(section, "–");
}

void section_range(struct section *section, int places, double low, double high)
{
    if (isfinite(low) && isfinite(high))
        section_format(section, "%.*f to %.*f", places, low, places, high);
    else
        section_text(section, "–");
}

void section_signed_range(struct section *section, int places, double low, double high)
{
    if (isfinite(low) && isfinite(high))
        section_format(section, "%+.*f to %+.*f", places, low, places, high);
    else
        section_text(section, "–");
}
