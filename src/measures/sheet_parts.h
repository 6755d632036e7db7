/* What a sheet is made of. Private to the measures layer. */
#ifndef RUSHLIGHT_MEASURES_SHEET_PARTS_H
#define RUSHLIGHT_MEASURES_SHEET_PARTS_H

#include "market/session.h"
#include "measures/sheet.h"

/* What an upper layer keeps. */
struct kept {
    const void *owner;
    double values[PARAMETER_LIMIT];
    void *data;
    void (*release)(void *data);
};

/* One measure with its values, as far as it is made. */
struct made_column {
    const struct measure *measure;
    double key[PARAMETER_LIMIT];
    struct filling column; /* its first: how many values there are */
    size_t room;
};

struct sheet {
    const struct bars *bars;
    const char *zone; /* of the session, NULL: UTC */
    int session_start;
    unsigned session_days;
    struct session session; /* opened on first demand */
    bool session_is_open;
    size_t count;
    bool failed;
    struct made_column **columns;
    size_t column_count;
    size_t column_room;
    struct kept *kept;
    size_t kept_count;
    size_t kept_room;
    struct sheet *mirror;
    struct bars own_bars; /* of a mirror or a longer sheet */
    struct sheet **longer;
    size_t longer_count;
    size_t longer_room;
    size_t *closed; /* of a longer sheet: for each shorter bar the last closed one, or SIZE_MAX */
    /* Of one that walks. */
    bool walks;
    bool late;
    size_t moves;
    size_t offset;
};

/* Makes what is missing of a column; false without memory, or where it was
 * asked for too late. */
bool column_complete(struct sheet *sheet, struct made_column *column);
void columns_free(struct sheet *sheet);
void kept_free(struct sheet *sheet);
/* Lays the mirror of the window's bars behind those that stay. */
int mirror_move(struct sheet *mirror, const struct bars *window, size_t stay, struct error *error);

#endif
