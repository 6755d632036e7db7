/* Placing labels: private to the drawing layer (picture.h says what is
 * promised). */
#ifndef RUSHLIGHT_DRAW_PLACING_H
#define RUSHLIGHT_DRAW_PLACING_H

#include "draw/label.h"

struct wish {
    struct label label; /* its text is that of the letters */
    size_t index;       /* of its letters; ties go to the one asked for first */
};

struct placing {
    struct letters *letters; /* in the order they were asked for */
    struct wish *wishes;     /* likewise, until they are sorted */
    size_t count;
    size_t letters_room;
    size_t wishes_room;
    struct box *blocks;
    size_t block_count;
    size_t block_room;
    bool done;
};

/* All but free: false without memory. */
bool placing_add(struct placing *placing, const struct label *label);
bool placing_block(struct placing *placing, struct box box);
bool placing_run(struct placing *placing, struct typesetter *typesetter, struct box page);
void placing_free(struct placing *placing);

#endif
