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

/* Whether a label may have this box; `clear`: of marks too. */
static bool is_free(const struct placing *placing, const struct label *label, const struct box *box,
                    const struct box *page, bool clear)
{
    const struct box *bounds = &label->bounds;
    bool bounded = bounds->right > bounds->left;
    return inside(box, page) && (!bounded || inside(box, bounds)) &&
           clear_of_letters(placing, box, label->gap) && (!clear || clear_of_blocks(placing, box));
}

/* Takes the first spot that will do. */
static bool take_spot(struct placing *placing, const struct wish *wish, struct extent extent,
                      const struct box *page, bool clear)
{
    struct letters *letters = &placing->letters[wish->index];
    for (size_t i = 0; i < wish->label.spot_count; i++) {
        struct spot spot = wish->label.spots[i];
        struct box box = box_at(spot, extent);
        if (!is_free(placing, &wish->label, &box, page, clear))
            continue;
        letters->spot = spot;
        letters->box = box;
        letters->shown = true;
        return true;
    }
    return false;
}

static double within(double low, double high, double value)
{
    return fmax(low, fmin(high, value));
}

/* Whether a line from the box to the point runs over words that stand already:
 * the parts of it that lie between are tried, not a unit apart. */
static bool leader_crosses(const struct placing *placing, const struct box *box, double x, double y,
                           double length)
{
    double from_x = within(box->left, box->right, x);
    double from_y = within(box->top, box->bottom, y);
    int steps = (int)(length / 2);
    for (size_t i = 0; i < placing->count; i++)
        for (int step = 1; placing->letters[i].shown && step < steps; step++) {
            double share = step / (double)steps;
            double at_x = from_x + (x - from_x) * share;
            double at_y = from_y + (y - from_y) * share;
            const struct box spot = {at_x - 1, at_y - 1, at_x + 1, at_y + 1};
            if (boxes_meet(&placing->letters[i].box, &spot))
                return true;
        }
    return false;
}

/* The free place with the shortest leader to what the label names, on a grid
 * around it; none near enough: the label is left out. */
static void search_spot(struct placing *placing, const struct wish *wish, struct extent extent,
                        const struct box *page)
{
    enum { ACROSS = 10, DOWN = 7, FAR = 110 };
    struct letters *letters = &placing->letters[wish->index];
    const struct label *label = &wish->label;
    double nearest = FAR;
    for (int row = -FAR / DOWN; row <= FAR / DOWN; row++)
        for (int column = -FAR / ACROSS; column <= FAR / ACROSS; column++) {
            struct spot spot = {label->point_x + column * ACROSS,
                                label->point_y + row * DOWN + extent.above / 2, ALIGN_MIDDLE};
            struct box box = box_at(spot, extent);
            double away_x = within(box.left, box.right, label->point_x) - label->point_x;
            double away_y = within(box.top, box.bottom, label->point_y) - label->point_y;
            double distance = hypot(away_x, away_y);
            if (distance >= nearest || !is_free(placing, label, &box, page, true) ||
                leader_crosses(placing, &box, label->point_x, label->point_y, distance))
                continue;
            nearest = distance;
            letters->spot = spot;
            letters->box = box;
            letters->shown = true;
        }
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
    if (!take_spot(placing, wish, extent, page, wish->label.clear_of_marks) &&
        wish->label.clear_of_marks && wish->label.pointed)
        search_spot(placing, wish, extent, page);
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
