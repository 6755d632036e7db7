/* The page's style sheet and modules, held in the program. The table is made
 * from src/web/assets by cmake/embed.cmake. */
#ifndef RUSHLIGHT_WEB_ASSETS_H
#define RUSHLIGHT_WEB_ASSETS_H

#include <stddef.h>

struct asset {
    const char *name; /* of the file; NULL ends the table */
    const char *type; /* media type */
    const unsigned char *bytes;
    size_t size;
};

extern const struct asset assets[];

/* The asset of that name; NULL where there is none. */
const struct asset *asset_find(const char *name);

#endif
