/* One picture as a file of its own: SVG, PNG, a page of a PDF, or HTML with the
 * table that stands behind it for those who cannot see it. */
#ifndef RUSHLIGHT_REPORT_SHEET_FILE_H
#define RUSHLIGHT_REPORT_SHEET_FILE_H

#include "document/table.h"
#include "draw/output.h"
#include "draw/theme.h"

enum sheet_form { SHEET_SVG, SHEET_PNG, SHEET_PDF, SHEET_HTML };

struct sheet_target {
    enum sheet_form form;
    enum theme theme;
    enum paper paper; /* of a PDF */
    double scale;     /* pixels a unit of a PNG, 0.1 to 8 */
};

/* Appends the file to `file`; the (first) picture's own title is the document's. Of
 * several, a PDF has a page each and HTML one below the other, the table below the
 * first; SVG and PNG hold the first alone. The
 * HTML needs nothing else, not even the font, and is light or dark as the theme
 * is; its table is that of a title and a note. The same picture gives the same
 * bytes. ERROR_INPUT for a PNG too large, else only ERROR_MACHINE. */
int sheet_write_all(struct picture *const *pictures, size_t count, const struct table *table,
                    const struct sheet_target *target, struct text *file, struct error *error);
int sheet_write(struct picture *picture, const struct table *table,
                const struct sheet_target *target, struct text *file, struct error *error);

#endif
