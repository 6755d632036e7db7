#include "base/array.h"
#include "draw/picture_parts.h"

#include <math.h>
#include <stdlib.h>

struct picture *picture_new(struct typesetter *typesetter, double width, double height,
                            const char *prefix)
{
    struct picture *picture = calloc(1, sizeof *picture);
    if (picture == NULL)
        return NULL;
    picture->typesetter = typesetter;
    picture->width = width;
    picture->height = height;
    for (int i = 0; i < LAYER_COUNT; i++)
        text_init(&picture->layers[i]);
    picture->prefix = string_copy(prefix);
    picture->failed = picture->prefix == NULL;
    return picture;
}

void picture_free(struct picture *picture)
{
    if (picture == NULL)
        return;
    for (int i = 0; i < LAYER_COUNT; i++)
        text_free(&picture->layers[i]);
    placing_free(&picture->placing);
    free(picture->prefix);
    free(picture->title);
    free(picture->description);
    free(picture);
}

double picture_width(const struct picture *picture)
{
    return picture->width;
}

double picture_height(const struct picture *picture)
{
    return picture->height;
}

struct typesetter *picture_typesetter(const struct picture *picture)
{
    return picture->typesetter;
}

void picture_set_left(struct picture *picture, double left)
{
    picture->left = left;
}

void picture_set_width(struct picture *picture, double width)
{
    picture->width = width;
}

void picture_set_height(struct picture *picture, double height)
{
    picture->height = height;
}

const char *picture_title(const struct picture *picture)
{
    return picture->title != NULL ? picture->title : "";
}

void picture_describe(struct picture *picture, const char *title, const char *description)
{
    free(picture->title);
    free(picture->description);
    picture->title = string_copy(title);
    picture->description = string_copy(description);
    if (picture->title == NULL || picture->description == NULL)
        picture->failed = true;
}

/* --- labels ------------------------------------------------------------------------- */

void picture_label(struct picture *picture, const struct label *label)
{
    if (!placing_add(&picture->placing, label))
        picture->failed = true;
}

static void add_spot(struct label *label, double x, double y, enum align align)
{
    if (label->spot_count < SPOT_LIMIT)
        label->spots[label->spot_count++] = (struct spot){x, y, align};
}

void label_around(struct label *label, double x, double y, bool above, double distance)
{
    static const double steps[] = {1, 2.5, 5};
    double size = label->type.size;
    label->pointed = true;
    label->point_x = x;
    label->point_y = y;
    for (size_t far = 0; far < sizeof steps / sizeof steps[0]; far++)
        for (int side = 0; side < 2; side++) {
            bool up = above == (side == 0);
            double away = distance * steps[far];
            double baseline = up ? y - away - 0.21 * size : y + away + 0.73 * size;
            add_spot(label, x, baseline, ALIGN_MIDDLE);
            add_spot(label, x + distance, baseline, ALIGN_START);
            add_spot(label, x - distance, baseline, ALIGN_END);
        }
}

void picture_word(struct picture *picture, const char *text, struct type type, enum ink ink,
                  enum priority priority, struct spot spot, double room)
{
    picture_label(picture, &(struct label){.text = text,
                                           .type = type,
                                           .ink = ink,
                                           .priority = priority,
                                           .spots = {spot},
                                           .spot_count = 1,
                                           .room = room});
}

struct paragraph {
    struct picture *picture;
    struct type type;
    enum ink ink;
    enum priority priority;
    struct box box;
    double y; /* below what was set */
};

static int set_line(void *context, const char *text)
{
    struct paragraph *paragraph = context;
    struct extent extent = typesetter_measure(paragraph->picture->typesetter, paragraph->type,
                                              text);
    /* Letters of tall scripts get the room they take. */
    double above = fmax(extent.above, 0.73 * paragraph->type.size);
    double below = fmax(extent.below, 0.21 * paragraph->type.size);
    double lead = fmax(type_leading(paragraph->type), above + below + 1);
    if (paragraph->y + lead > paragraph->box.bottom + 0.5)
        return 1;
    picture_word(paragraph->picture, text, paragraph->type, paragraph->ink, paragraph->priority,
                 (struct spot){paragraph->box.left, paragraph->y + above, ALIGN_START},
                 paragraph->box.right - paragraph->box.left);
    paragraph->y += lead;
    return ERROR_NONE;
}

double picture_paragraph(struct picture *picture, const char *text, struct type type, enum ink ink,
                         enum priority priority, struct box box)
{
    struct paragraph paragraph = {picture, type, ink, priority, box, box.top};
    char *clean = text_clean(text);
    if (clean == NULL || typesetter_wrap(picture->typesetter, type, clean, box.right - box.left,
                                         set_line, &paragraph) == ERROR_MACHINE)
        picture->failed = true;
    free(clean);
    return paragraph.y;
}

void picture_block(struct picture *picture, struct box box)
{
    if (!placing_block(&picture->placing, box))
        picture->failed = true;
}

void picture_place(struct picture *picture)
{
    if (!placing_run(&picture->placing, picture->typesetter,
                     (struct box){picture->left, 0, picture->left + picture->width,
                                  picture->height}))
        picture->failed = true;
}

const struct letters *picture_letters(const struct picture *picture, size_t *count)
{
    *count = picture->placing.count;
    return picture->placing.letters;
}
