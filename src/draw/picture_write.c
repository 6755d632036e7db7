/* A picture as SVG: head, ground, layers, letters. */
#include "draw/picture_parts.h"

#include <math.h>

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
    append_view(svg, &box);
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
    return picture_write_styled(picture, theme, "", svg, error);
}

int picture_write_styled(struct picture *picture, enum theme theme, const char *css,
                         struct text *svg, struct error *error)
{
    picture_place(picture);
    write_head(picture, theme, true, svg);
    text_append(svg, "<style>\n");
    text_append(svg, css);
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
