/* Marks: lines, boxes, circles and paths, written at once into their layers. */
#include "draw/picture_parts.h"

#include <math.h>

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

void append_attribute(struct text *svg, const char *name, double value)
{
    text_append_char(svg, ' ');
    text_append(svg, name);
    text_append(svg, "=\"");
    append_coordinate(svg, value);
    text_append_char(svg, '"');
}

void append_view(struct text *svg, const struct box *box)
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

void open_window(struct text *svg, const struct box *box)
{
    text_append(svg, "<svg");
    append_attribute(svg, "x", box->left);
    append_attribute(svg, "y", box->top);
    append_attribute(svg, "width", box->right - box->left);
    append_attribute(svg, "height", box->bottom - box->top);
    append_view(svg, box);
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

void append_pen(struct text *svg, enum ink fill, struct pen pen)
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
