#include "draw/placing.h"

#include "base/array.h"

#include <math.h>
#include <stdlib.h>

bool boxes_meet(const struct box *a, const struct box *b)
{
    return a->left < b->right && b->left < a->right && a->top < b->bottom && b->top < a->bottom;
}

bool placing_add(struct placing *placing, const struct label *label)
{
    struct letters *letters = array_reserve(placing->letters, &placing->letters_room,
                                            placing->count + 1, sizeof *letters);
    if (letters == NULL)
        return false;
    placing->letters = letters;
    struct wish *wishes = array_reserve(placing->wishes, &placing->wishes_room, placing->count + 1,
                                        sizeof *wishes);
    if (wishes == NULL)
        return false;
    placing->wishes = wishes;
    char *text = text_clean(label->text);
    if (text == NULL)
        return false;
    letters[placing->count] = (struct letters){.text = text,
                                               .type = label->type,
                                               .ink = label->ink,
                                               .halo = label->clear_of_marks,
                                               .pointed = label->pointed,
                                               .point_x = label->point_x,
                                               .point_y = label->point_y,
                                               .spot = label->spots[0]};
    wishes[placing->count] = (struct wish){*label, placing->count};
    placing->count++;
    return true;
}

bool placing_block(struct placing *placing, struct box box)
{
    struct box *blocks = array_reserve(placing->blocks, &placing->block_room,
                                       placing->block_count + 1, sizeof *blocks);
    if (blocks == NULL)
        return false;
    placing->blocks = blocks;
    blocks[placing->block_count++] = box;
    return true;
}

void placing_free(struct placing *placing)
{
    for (size_t i = 0; i < placing->count; i++)
        free(placing->letters[i].text);
    free(placing->letters);
    free(placing->wishes);
    free(placing->blocks);
    *placing = (struct placing){0};
}

static int compare_wishes(const void *a, const void *b)
{
    const struct wish *x = a;
    const struct wish *y = b;
    if (x->label.priority != y->label.priority)
        return x->label.priority < y->label.priority ? -1 : 1;
    return x->index < y->index ? -1 : x->index > y->index;
}

static struct box box_at(struct spot spot, struct extent extent)
{
    double left = spot.x - extent.left;
    if (spot.align == ALIGN_MIDDLE)
        left -= extent.width / 2;
    if (spot.align == ALIGN_END)
        left -= extent.width;
    return (struct box){left, spot.y - extent.above, left + extent.left + extent.width,
                        spot.y + extent.below};
}

static bool clear_of_letters(const struct placing *placing, const struct box *box, double gap)
{
    struct box wide = {box->left - gap, box->top, box->right + gap, box->bottom};
    for (size_t i = 0; i < placing->count; i++)
        if (placing->letters[i].shown && boxes_meet(&placing->letters[i].box, &wide))
            return false;
    return true;
}

static bool clear_of_blocks(const struct placing *placing, const struct box *box)
{
    for (size_t i = 0; i < placing->block_count; i++)
        if (boxes_meet(&placing->blocks[i], box))
            return false;
    return true;
}

static bool inside(const struct box *box, const struct box *page)
{
    return box->left >= page->left && box->right <= page->right && box->top >= page->top &&
           box->bottom <= page->bottom;
}

/* Takes the first spot that will do. */
static bool take_spot(struct placing *placing, const struct wish *wish, struct extent extent,
                      const struct box *page, bool clear)
{
    struct letters *letters = &placing->letters[wish->index];
    const struct box *bounds = &wish->label.bounds;
    bool bounded = bounds->right > bounds->left;
    for (size_t i = 0; i < wish->label.spot_count; i++) {
        struct spot spot = wish->label.spots[i];
        struct box box = box_at(spot, extent);
        if (!inside(&box, page) || (bounded && !inside(&box, bounds)) ||
            !clear_of_letters(placing, &box, wish->label.gap) ||
            (clear && !clear_of_blocks(placing, &box)))
            continue;
        letters->spot = spot;
        letters->box = box;
        letters->shown = true;
        return true;
    }
    return false;
}

static bool place(struct placing *placing, const struct wish *wish, struct typesetter *typesetter,
                  const struct box *page)
{
    struct letters *letters = &placing->letters[wish->index];
    struct extent extent = typesetter_measure(typesetter, letters->type, letters->text);
    if (wish->label.room > 0 && extent.left + extent.width > wish->label.room) {
        char *cut = typesetter_cut(typesetter, letters->type, letters->text, wish->label.room);
        if (cut == NULL)
            return false;
        free(letters->text);
        letters->text = cut;
        extent = typesetter_measure(typesetter, letters->type, cut);
    }
    if (letters->text[0] == '\0')
        return true;
    if (!wish->label.clear_of_marks || !take_spot(placing, wish, extent, page, true))
        take_spot(placing, wish, extent, page, false);
    return true;
}

bool placing_run(struct placing *placing, struct typesetter *typesetter, struct box page)
{
    if (placing->done)
        return true;
    placing->done = true;
    if (placing->count > 0)
        qsort(placing->wishes, placing->count, sizeof *placing->wishes, compare_wishes);
    for (size_t i = 0; i < placing->count; i++)
        if (!place(placing, &placing->wishes[i], typesetter, &page))
            return false;
    return true;
}
