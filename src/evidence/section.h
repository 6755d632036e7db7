/* Tables as text cells, the same for the terminal and for a report. */
#ifndef RUSHLIGHT_EVIDENCE_SECTION_H
#define RUSHLIGHT_EVIDENCE_SECTION_H

#include "base/error.h"
#include "base/text.h"

enum { SECTION_LIMIT = 112, SECTION_COLUMNS = 8 };

/* One table. */
struct section {
    struct text title;
    const char *note; /* a sentence that says how to read it; borrowed */
    size_t column_count;
    struct text cells; /* each ended by NUL, row by row, the headings first */
    size_t cell_count; /* headings included */
};

struct sections {
    struct section list[SECTION_LIMIT];
    size_t count;
};

/* Adds a table; the headings are copied. Appending never fails before
 * sections_check. */
struct section *sections_add(struct sections *sections, const char *title, const char *note,
                             const char *const *headings, size_t column_count);
/* ERROR_MACHINE where memory ran out in any of them. */
int sections_check(const struct sections *sections, struct error *error);
/* Also right for all zeroes. */
void sections_free(struct sections *sections);

/* Rows below the headings. */
size_t section_rows(const struct section *section);
/* The cells of the next row, headings first, into `row`; `cell` walks from
 * cells.bytes on. */
const char *section_next_row(const struct section *section, const char *cell,
                             const char *row[SECTION_COLUMNS]);

/* The next cell. Numbers that are not finite, and ranges with such an end, are
 * a dash; `signed` ones bear their + too. */
void section_text(struct section *section, const char *content);
void section_format(struct section *section, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void section_blank(struct section *section, size_t cells);
void section_count(struct section *section, size_t value);
void section_number(struct section *section, int places, double value);
void section_signed(struct section *section, int places, double value);
void section_range(struct section *section, int places, double low, double high);
void section_signed_range(struct section *section, int places, double low, double high);

#endif
