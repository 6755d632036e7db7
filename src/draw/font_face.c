#include "draw/font_face.h"

#include <glib.h>
#include <hb.h>

static void collect(const struct picture *picture, enum face face, hb_set_t *characters)
{
    size_t count = 0;
    const struct letters *letters = picture_letters(picture, &count);
    for (size_t i = 0; i < count; i++) {
        if (letters[i].type.face != face || !letters[i].shown)
            continue;
        for (const char *c = letters[i].text; *c != '\0'; c = g_utf8_next_char(c))
            hb_set_add(characters, g_utf8_get_char(c));
    }
}

static void append_face(const struct output_figure *figures, size_t count, enum face face,
                        struct text *css)
{
    hb_set_t *characters = hb_set_create();
    for (size_t i = 0; i < count; i++)
        collect(figures[i].picture, face, characters);
    hb_blob_t *blob = NULL;
    if (!hb_set_is_empty(characters))
        blob = typesetter_subset(picture_typesetter(figures[0].picture), face, characters);
    if (blob != NULL) {
        unsigned length = 0;
        const char *bytes = hb_blob_get_data(blob, &length);
        char *encoded = g_base64_encode((const unsigned char *)bytes, length);
        text_append_format(css,
                           "@font-face{font-family:%s;font-weight:%s;font-style:%s;"
                           "src:url(data:font/ttf;base64,",
                           typesetter_family, face == FACE_BOLD ? "bold" : "normal",
                           face == FACE_ITALIC ? "italic" : "normal");
        text_append(css, encoded);
        text_append(css, ")}\n");
        g_free(encoded);
        hb_blob_destroy(blob);
    }
    hb_set_destroy(characters);
}

void font_face_css(const struct output_figure *figures, size_t count, struct text *css)
{
    append_face(figures, count, FACE_REGULAR, css);
    append_face(figures, count, FACE_BOLD, css);
    append_face(figures, count, FACE_ITALIC, css);
}

int font_face_svg(struct picture *picture, enum theme theme, struct text *svg, struct error *error)
{
    const struct output_figure figure = {.picture = picture};
    struct text css;
    text_init(&css);
    picture_place(picture); /* which letters are shown is known from here on */
    font_face_css(&figure, 1, &css);
    int code = text_failed(&css) ? error_memory(error)
                                 : picture_write_styled(picture, theme, css.bytes, svg, error);
    text_free(&css);
    return code;
}
