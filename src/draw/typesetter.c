#define _DEFAULT_SOURCE /* MAP_ANONYMOUS */
#include "draw/typesetter.h"

#include "base/array.h"

#include <hb-subset.h>
#include <pango/pangocairo.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>

const char typesetter_families[] = "Lato, 'DejaVu Sans', sans-serif";
const char typesetter_family[] = "Lato";

/* What has been measured before; a full table is emptied and begun anew. */
enum { MEMORY_SLOTS = 2048, MEMORY_FULL = 1400, CLEAN_CHARACTERS = 600 };

struct remembered {
    char *text; /* NULL: free */
    struct type type;
    struct extent extent;
};

struct typesetter {
    PangoFontMap *map;
    PangoContext *context;
    PangoLayout *layout;
    struct type type; /* of the layout; size 0 while unset */
    struct remembered memory[MEMORY_SLOTS];
    size_t remembered;
};

/* The libraries of fonts and pictures end the process where they get no memory,
 * or wait for ever for a thread of theirs that could not be started: so the room
 * that they take is asked for beforehand. */
int typesetter_room(struct error *error)
{
    enum { ROOM = 256 << 20 };
    void *room = mmap(NULL, ROOM, PROT_NONE, MAP_PRIVATE | MAP_ANONYMOUS | MAP_NORESERVE, -1, 0);
    if (room != MAP_FAILED && munmap(room, ROOM) == 0)
        return ERROR_NONE;
    return error_set(error, ERROR_MACHINE,
                     "there is too little memory to draw; figures take 256 MB beside the rest, "
                     "so allow the program more");
}

int typesetter_new(struct typesetter **typesetter, struct error *error)
{
    if (typesetter_room(error) != ERROR_NONE)
        return error->code;
    struct typesetter *made = calloc(1, sizeof *made);
    if (made == NULL)
        return error_memory(error);
    /* A map of its own: the default one belongs to the thread. */
    made->map = pango_cairo_font_map_new();
    made->context = pango_font_map_create_context(made->map);
    /* One unit is one pixel, so that sizes are what they say. */
    pango_cairo_context_set_resolution(made->context, 72);
    pango_context_set_round_glyph_positions(made->context, FALSE);
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    pango_cairo_context_set_font_options(made->context, options);
    cairo_font_options_destroy(options);
    made->layout = pango_layout_new(made->context);
    pango_layout_set_auto_dir(made->layout, FALSE);
    *typesetter = made;
    if (typesetter_measure(made, (struct type){FACE_REGULAR, 10}, "0").width > 0)
        return ERROR_NONE;
    typesetter_free(made);
    *typesetter = NULL;
    return error_set(error, ERROR_MACHINE,
                     "no font to draw letters with; install the Debian package fonts-lato");
}

static void forget(struct typesetter *typesetter)
{
    for (size_t i = 0; i < MEMORY_SLOTS; i++) {
        free(typesetter->memory[i].text);
        typesetter->memory[i].text = NULL;
    }
    typesetter->remembered = 0;
}

void typesetter_free(struct typesetter *typesetter)
{
    if (typesetter == NULL)
        return;
    forget(typesetter);
    g_object_unref(typesetter->layout);
    g_object_unref(typesetter->context);
    g_object_unref(typesetter->map);
    free(typesetter);
}

static PangoFontDescription *describe(struct type type)
{
    PangoFontDescription *font = pango_font_description_new();
    pango_font_description_set_family_static(font, "Lato,DejaVu Sans,sans-serif");
    pango_font_description_set_absolute_size(font, type.size * PANGO_SCALE);
    if (type.face == FACE_BOLD)
        pango_font_description_set_weight(font, PANGO_WEIGHT_BOLD);
    if (type.face == FACE_ITALIC)
        pango_font_description_set_style(font, PANGO_STYLE_ITALIC);
    return font;
}

static void set_type(struct typesetter *typesetter, struct type type)
{
    if (type.face == typesetter->type.face && type.size == typesetter->type.size)
        return;
    PangoFontDescription *font = describe(type);
    pango_layout_set_font_description(typesetter->layout, font);
    pango_font_description_free(font);
    typesetter->type = type;
}

static double larger(double a, double b)
{
    return a > b ? a : b;
}

static struct extent measure(struct typesetter *typesetter, struct type type, const char *text)
{
    set_type(typesetter, type);
    pango_layout_set_width(typesetter->layout, -1);
    pango_layout_set_text(typesetter->layout, text, -1);
    PangoRectangle ink;
    PangoRectangle advance;
    pango_layout_get_extents(typesetter->layout, &ink, &advance);
    int baseline = pango_layout_get_baseline(typesetter->layout);
    struct extent extent = {.above = 0.73 * type.size, .below = 0.21 * type.size};
    extent.width = larger(advance.width, ink.x + ink.width) / PANGO_SCALE;
    extent.left = larger(0, -ink.x) / PANGO_SCALE;
    if (ink.height > 0) {
        extent.above = larger(extent.above, (double)(baseline - ink.y) / PANGO_SCALE);
        extent.below = larger(extent.below, (double)(ink.y + ink.height - baseline) / PANGO_SCALE);
    }
    return extent;
}

/* FNV-1a, 64 bits. */
static size_t slot_of(struct type type, const char *text)
{
    uint64_t hash = 14695981039346656037u ^ (uint64_t)(type.size * 64) ^
                    ((uint64_t)type.face << 32);
    for (; *text != '\0'; text++)
        hash = (hash ^ (unsigned char)*text) * 1099511628211u;
    return (size_t)(hash ^ (hash >> 29)) % MEMORY_SLOTS;
}

struct extent typesetter_measure(struct typesetter *typesetter, struct type type, const char *text)
{
    if (text[0] == '\0')
        return (struct extent){0};
    size_t slot = slot_of(type, text);
    for (; typesetter->memory[slot].text != NULL; slot = (slot + 1) % MEMORY_SLOTS) {
        const struct remembered *known = &typesetter->memory[slot];
        if (known->type.size == type.size && known->type.face == type.face &&
            strcmp(known->text, text) == 0)
            return known->extent;
    }
    struct extent extent = measure(typesetter, type, text);
    if (typesetter->remembered >= MEMORY_FULL) {
        forget(typesetter);
        slot = slot_of(type, text);
    }
    char *copy = string_copy(text);
    if (copy != NULL) {
        typesetter->memory[slot] = (struct remembered){copy, type, extent};
        typesetter->remembered++;
    }
    return extent;
}

static bool unfit(gunichar c)
{
    return g_unichar_iscntrl(c) || c == 0x2028 || c == 0x2029 || c == 0x200e || c == 0x200f ||
           c == 0x061c || (c >= 0x202a && c <= 0x202e) || (c >= 0x2066 && c <= 0x2069) ||
           c == 0xfeff || (c & 0xfffe) == 0xfffe || (c >= 0xfdd0 && c <= 0xfdef);
}

char *text_clean(const char *text)
{
    size_t length = strlen(text);
    /* Bounds the work on hostile input: no character is longer than 6 bytes. */
    if (length > (size_t)CLEAN_CHARACTERS * 6)
        length = (size_t)CLEAN_CHARACTERS * 6;
    char *valid = g_utf8_make_valid(text, (gssize)length);
    char *clean = malloc(strlen(valid) + 1);
    if (clean == NULL) {
        g_free(valid);
        return NULL;
    }
    size_t used = 0;
    int characters = 0;
    for (const char *c = valid; *c != '\0' && characters < CLEAN_CHARACTERS;
         c = g_utf8_next_char(c), characters++) {
        if (unfit(g_utf8_get_char(c))) {
            clean[used++] = ' ';
            continue;
        }
        size_t bytes = (size_t)(g_utf8_next_char(c) - c);
        memcpy(clean + used, c, bytes);
        used += bytes;
    }
    clean[used] = '\0';
    g_free(valid);
    return clean;
}

char *typesetter_cut(struct typesetter *typesetter, struct type type, const char *text, double room)
{
    char *copy = malloc(strlen(text) + sizeof "…");
    if (copy == NULL)
        return NULL;
    strcpy(copy, text);
    struct extent extent = typesetter_measure(typesetter, type, copy);
    if (extent.left + extent.width <= room)
        return copy;
    /* The most characters that fit, by halving; widths are nearly monotonic,
     * and the loop below mends the rest. */
    long low = 0;
    long high = g_utf8_strlen(text, -1);
    while (low < high) {
        long middle = (low + high + 1) / 2;
        size_t bytes = (size_t)(g_utf8_offset_to_pointer(text, middle) - text);
        strcpy(copy + bytes, "…");
        memcpy(copy, text, bytes);
        if (measure(typesetter, type, copy).width <= room)
            low = middle;
        else
            high = middle - 1;
    }
    for (; low > 0; low--) {
        size_t bytes = (size_t)(g_utf8_offset_to_pointer(text, low) - text);
        memcpy(copy, text, bytes);
        while (bytes > 0 && copy[bytes - 1] == ' ')
            bytes--;
        strcpy(copy + bytes, "…");
        extent = measure(typesetter, type, copy);
        if (extent.left + extent.width <= room)
            return copy;
    }
    copy[0] = '\0';
    return copy;
}

int typesetter_wrap(struct typesetter *typesetter, struct type type, const char *text, double room,
                    int (*line)(void *context, const char *text), void *context)
{
    set_type(typesetter, type);
    pango_layout_set_text(typesetter->layout, text, -1);
    pango_layout_set_wrap(typesetter->layout, PANGO_WRAP_WORD_CHAR);
    pango_layout_set_width(typesetter->layout, (int)(larger(room, 1) * PANGO_SCALE));
    /* The lines are copied out first: `line` may measure, which sets the
     * layout anew. */
    int count = pango_layout_get_line_count(typesetter->layout);
    char **lines = calloc((size_t)count + 1, sizeof *lines);
    int result = lines == NULL ? ERROR_MACHINE : ERROR_NONE;
    for (int i = 0; i < count && result == ERROR_NONE; i++) {
        PangoLayoutLine *piece = pango_layout_get_line_readonly(typesetter->layout, i);
        size_t length = (size_t)piece->length;
        const char *start = text + piece->start_index;
        while (length > 0 && start[length - 1] == ' ')
            length--;
        lines[i] = malloc(length + 1);
        if (lines[i] == NULL) {
            result = ERROR_MACHINE;
            break;
        }
        memcpy(lines[i], start, length);
        lines[i][length] = '\0';
    }
    for (int i = 0; i < count && result == ERROR_NONE; i++)
        result = line(context, lines[i]);
    for (int i = 0; lines != NULL && i < count; i++)
        free(lines[i]);
    free(lines);
    return result;
}

hb_blob_t *typesetter_subset(struct typesetter *typesetter, enum face face,
                             const hb_set_t *characters)
{
    PangoFontDescription *description = describe((struct type){face, 10});
    PangoFont *font = pango_font_map_load_font(typesetter->map, typesetter->context, description);
    pango_font_description_free(description);
    if (font == NULL)
        return NULL;
    hb_face_t *whole = hb_font_get_face(pango_font_get_hb_font(font));
    hb_blob_t *blob = NULL;
    hb_subset_input_t *input = hb_subset_input_create_or_fail();
    if (input != NULL) {
        hb_set_union(hb_subset_input_unicode_set(input), characters);
        hb_face_t *part = hb_subset_or_fail(whole, input);
        if (part != NULL)
            blob = hb_face_reference_blob(part);
        hb_face_destroy(part);
    }
    hb_subset_input_destroy(input);
    g_object_unref(font);
    return blob;
}

double type_leading(struct type type)
{
    return type.size * 1.36;
}
