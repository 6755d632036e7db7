#include "draw/picture.h"

#include "base/array.h"
#include "draw/placing.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct picture {
    struct typesetter *typesetter;
    double left;
    double width;
    double height;
    const struct box *clip; /* in force, or NULL */
    struct box clip_box;
    bool clipped[LAYER_COUNT]; /* layers in which it has been opened */
    char *prefix;
    char *title;
    char *description;
    struct text layers[LAYER_COUNT];
    struct placing placing;
    bool failed;
};

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

/* --- marks -------------------------------------------------------------------------- */

void append_coordinate(struct text *text, double value)
{
    char digits[32];
    char *end = digits + sizeof digits;
    char *at = end;
    long tenths = lround(fmax(-1e8, fmin(1e8, value)) * 10);
    unsigned long rest = tenths < 0 ? 0UL - (unsigned long)tenths : (unsigned long)tenths;
    if (rest % 10 != 0) {
        *--at = (char)('0' + rest % 10);
        *--at = '.';
    }
    rest /= 10;
    do
        *--at = (char)('0' + rest % 10);
    while ((rest /= 10) > 0);
    if (tenths < 0)
        *--at = '-';
    text_append_bytes(text, at, (size_t)(end - at));
}

static void path_point(struct text *path, char command, double x, double y)
{
    text_append_char(path, command);
    append_coordinate(path, x);
    text_append_char(path, ' ');
    append_coordinate(path, y);
}

void path_move(struct text *path, double x, double y)
{
    path_point(path, 'M', x, y);
}

void path_line(struct text *path, double x, double y)
{
    path_point(path, 'L', x, y);
}

void path_horizontal(struct text *path, double x)
{
    text_append_char(path, 'H');
    append_coordinate(path, x);
}

void path_vertical(struct text *path, double y)
{
    text_append_char(path, 'V');
    append_coordinate(path, y);
}

void path_close(struct text *path)
{
    text_append_char(path, 'z');
}

static void append_attribute(struct text *svg, const char *name, double value)
{
    text_append_char(svg, ' ');
    text_append(svg, name);
    text_append(svg, "=\"");
    append_coordinate(svg, value);
    text_append_char(svg, '"');
}

static void append_box(struct text *svg, const struct box *box)
{
    text_append(svg, " viewBox=\"");
    append_coordinate(svg, box->left);
    text_append_char(svg, ' ');
    append_coordinate(svg, box->top);
    text_append_char(svg, ' ');
    append_coordinate(svg, box->right - box->left);
    text_append_char(svg, ' ');
    append_coordinate(svg, box->bottom - box->top);
    text_append_char(svg, '"');
}

/* An inner SVG element shows nothing outside its box. */
static void open_window(struct text *svg, const struct box *box)
{
    text_append(svg, "<svg");
    append_attribute(svg, "x", box->left);
    append_attribute(svg, "y", box->top);
    append_attribute(svg, "width", box->right - box->left);
    append_attribute(svg, "height", box->bottom - box->top);
    append_box(svg, box);
    text_append(svg, ">\n");
}

static struct text *layer_of(struct picture *picture, enum layer layer)
{
    if (picture->clip != NULL && !picture->clipped[layer]) {
        open_window(&picture->layers[layer], picture->clip);
        picture->clipped[layer] = true;
    }
    return &picture->layers[layer];
}

void picture_clip(struct picture *picture, const struct box *box)
{
    for (int i = 0; i < LAYER_COUNT; i++) {
        if (picture->clipped[i])
            text_append(&picture->layers[i], "</svg>\n");
        picture->clipped[i] = false;
    }
    picture->clip = NULL;
    if (box == NULL)
        return;
    picture->clip_box = *box;
    picture->clip = &picture->clip_box;
}

static void append_pen(struct text *svg, enum ink fill, struct pen pen)
{
    static const char *const dashes[] = {NULL, "5 3", "1 3"};
    text_append(svg, " class=\"");
    /* The line class sets fill to none, so a filled outline needs only the
     * fill class and a stroke of its own. */
    if (fill != INK_COUNT)
        text_append(svg, ink_fill_class(fill));
    if (pen.width > 0) {
        text_append(svg, fill != INK_COUNT ? " " : "");
        text_append(svg, ink_line_class(pen.ink));
    }
    text_append_char(svg, '"');
    if (fill == INK_COUNT)
        text_append(svg, " fill=\"none\"");
    if (pen.width > 0 && pen.width != 1)
        append_attribute(svg, "stroke-width", pen.width);
    if (pen.width > 0 && dashes[pen.dash] != NULL)
        text_append_format(svg, " stroke-dasharray=\"%s\"", dashes[pen.dash]);
}

void picture_line(struct picture *picture, enum layer layer, struct pen pen, double x1, double y1,
                  double x2, double y2)
{
    struct text *svg = layer_of(picture, layer);
    text_append(svg, "<path");
    append_pen(svg, INK_COUNT, pen);
    text_append(svg, " d=\"");
    path_move(svg, x1, y1);
    path_line(svg, x2, y2);
    text_append(svg, "\"/>\n");
}

void picture_rectangle(struct picture *picture, enum layer layer, enum ink fill, struct pen pen,
                       struct box box)
{
    struct text *svg = layer_of(picture, layer);
    text_append(svg, "<rect");
    append_pen(svg, fill, pen);
    append_attribute(svg, "x", box.left);
    append_attribute(svg, "y", box.top);
    append_attribute(svg, "width", fmax(0, box.right - box.left));
    append_attribute(svg, "height", fmax(0, box.bottom - box.top));
    text_append(svg, "/>\n");
}

void picture_circle(struct picture *picture, enum layer layer, enum ink fill, struct pen pen,
                    double x, double y, double radius)
{
    struct text *svg = layer_of(picture, layer);
    text_append(svg, "<circle");
    append_pen(svg, fill, pen);
    append_attribute(svg, "cx", x);
    append_attribute(svg, "cy", y);
    append_attribute(svg, "r", radius);
    text_append(svg, "/>\n");
}

void picture_path(struct picture *picture, enum layer layer, enum ink fill, struct pen pen,
                  const struct text *data)
{
    if (text_failed(data))
        picture->failed = true;
    if (data->length == 0)
        return;
    struct text *svg = layer_of(picture, layer);
    text_append(svg, "<path");
    append_pen(svg, fill, pen);
    text_append(svg, " d=\"");
    text_append_bytes(svg, data->bytes, data->length);
    text_append(svg, "\"/>\n");
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
    static const double steps[] = {1, 2.5, 5, 9, 14};
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

/* --- writing ------------------------------------------------------------------------ */

static double within(double low, double high, double value)
{
    return fmax(low, fmin(high, value));
}

/* From the nearest point of the label's box to what it names. */
static void write_leader(const struct letters *letters, struct text *svg)
{
    enum { NEAR = 12, SHY = 2 };
    double x = within(letters->box.left, letters->box.right, letters->point_x);
    double y = within(letters->box.top, letters->box.bottom, letters->point_y);
    double length = hypot(x - letters->point_x, y - letters->point_y);
    if (!letters->shown || !letters->pointed || length < NEAR)
        return;
    double share = (length - SHY) / length;
    text_append(svg, "<path");
    append_pen(svg, INK_COUNT, (struct pen){letters->ink, 0.6, DASH_NONE});
    text_append(svg, " d=\"");
    path_move(svg, x, y);
    path_line(svg, x + (letters->point_x - x) * share, y + (letters->point_y - y) * share);
    text_append(svg, "\"/>\n");
}

static void write_letters(const struct letters *letters, struct text *svg)
{
    static const char *const anchors[] = {"", " text-anchor=\"middle\"", " text-anchor=\"end\""};
    static const char *const faces[] = {"", " font-weight=\"700\"", " font-style=\"italic\""};
    if (!letters->shown)
        return;
    text_append_format(svg, "<text class=\"%s%s\"%s%s", letters->halo ? "rl-halo " : "",
                       ink_word_class(letters->ink), anchors[letters->spot.align],
                       faces[letters->type.face]);
    append_attribute(svg, "font-size", letters->type.size);
    append_attribute(svg, "x", letters->spot.x);
    append_attribute(svg, "y", letters->spot.y);
    text_append_char(svg, '>');
    text_append_xml(svg, letters->text);
    text_append(svg, "</text>\n");
}

/* The start of the outermost element; `named`: its title and description. */
static void write_head(const struct picture *picture, enum theme theme, bool named,
                       struct text *svg)
{
    const char *prefix = picture->prefix;
    const struct box box = {picture->left, 0, picture->left + picture->width, picture->height};
    text_append_format(svg, "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"rl-figure rl-%s\" ",
                       theme_name(theme));
    if (named)
        text_append_format(svg, "role=\"img\" lang=\"en\" aria-labelledby=\"%s-title %s-desc\"",
                           prefix, prefix);
    else
        text_append(svg, "aria-hidden=\"true\"");
    append_attribute(svg, "width", picture->width);
    append_attribute(svg, "height", picture->height);
    append_box(svg, &box);
    text_append_format(svg, " font-family=\"%s\">\n", typesetter_families);
    if (!named)
        return;
    text_append_format(svg, "<title id=\"%s-title\">", prefix);
    text_append_xml(svg, picture->title != NULL ? picture->title : "");
    text_append_format(svg, "</title>\n<desc id=\"%s-desc\">", prefix);
    text_append_xml(svg, picture->description != NULL ? picture->description : "");
    text_append(svg, "</desc>\n");
}

static void write_paper(const struct picture *picture, struct text *svg)
{
    text_append_format(svg, "<rect class=\"%s\"", ink_fill_class(INK_PAPER));
    if (picture->left != 0)
        append_attribute(svg, "x", picture->left);
    append_attribute(svg, "width", picture->width);
    append_attribute(svg, "height", picture->height);
    text_append(svg, "/>\n");
}

static bool is_within(const struct box *box, const struct box *around)
{
    return box->left >= around->left && box->right <= around->right && box->top >= around->top &&
           box->bottom <= around->bottom;
}

/* Marks and letters; of these, where there is a `window`, only those wholly in
 * it. */
static void write_body(struct picture *picture, const struct box *window, struct text *svg)
{
    picture_clip(picture, NULL);
    for (int i = 0; i < LAYER_COUNT; i++) {
        const struct text *layer = &picture->layers[i];
        if (text_failed(layer))
            picture->failed = true;
        if (layer->length == 0)
            continue;
        text_append(svg, i == LAYER_BARS ? "<g shape-rendering=\"crispEdges\">\n" : "<g>\n");
        text_append_bytes(svg, layer->bytes, layer->length);
        text_append(svg, "</g>\n");
    }
    text_append(svg, "<g>\n");
    for (int words = 0; words < 2; words++)
        for (size_t i = 0; i < picture->placing.count; i++) {
            const struct letters *letters = &picture->placing.letters[i];
            if (window != NULL && !is_within(&letters->box, window))
                continue;
            if (words)
                write_letters(letters, svg);
            else
                write_leader(letters, svg);
        }
    text_append(svg, "</g>\n");
}

int picture_write(struct picture *picture, enum theme theme, struct text *svg, struct error *error)
{
    picture_place(picture);
    write_head(picture, theme, true, svg);
    text_append(svg, "<style>\n");
    theme_stylesheet(svg, theme);
    text_append(svg, "</style>\n");
    write_paper(picture, svg);
    write_body(picture, NULL, svg);
    text_append(svg, "</svg>\n");
    if (picture->failed || text_failed(svg))
        return error_memory(error);
    return ERROR_NONE;
}

int picture_write_bare(struct picture *picture, enum theme theme, const struct picture_form *form,
                       struct text *svg, struct error *error)
{
    picture_place(picture);
    write_head(picture, theme, form->named, svg);
    if (form->paper)
        write_paper(picture, svg);
    if (form->below != NULL) {
        picture_place(form->below);
        open_window(svg, &form->below_box);
        write_body(form->below, &form->below_box, svg);
        text_append(svg, "</svg>\n");
        picture->failed |= form->below->failed;
    }
    write_body(picture, NULL, svg);
    text_append(svg, "</svg>\n");
    if (picture->failed || text_failed(svg))
        return error_memory(error);
    return ERROR_NONE;
}
