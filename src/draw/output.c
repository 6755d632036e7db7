#include "draw/output.h"

#include "draw/pdf_language.h"

#include <cairo-pdf.h>
#include <librsvg/rsvg.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* An unprintable edge, and air: 12 mm. */
static const double MARGIN = 34;

static const struct {
    double width, height;
} papers[] = {
    [PAPER_A4] = {595.276, 841.89}, [PAPER_A4_LANDSCAPE] = {841.89, 595.276},
    [PAPER_LETTER] = {612, 792},    [PAPER_LETTER_LANDSCAPE] = {792, 612},
    [PAPER_SLIDE] = {960, 540},     [PAPER_PHONE] = {360, 0},
};

void paper_size(enum paper paper, double *width, double *height)
{
    *width = papers[paper].width;
    *height = papers[paper].height;
}

double paper_shape(enum paper paper)
{
    double width;
    double height;
    paper_size(paper, &width, &height);
    return height > 0 ? (height - 2 * MARGIN) / (width - 2 * MARGIN) : 0;
}

static cairo_status_t append_bytes(void *closure, const unsigned char *bytes, unsigned length)
{
    struct text *text = closure;
    text_append_bytes(text, (const char *)bytes, length);
    return text_failed(text) ? CAIRO_STATUS_NO_MEMORY : CAIRO_STATUS_SUCCESS;
}

static int cairo_error(struct error *error, const char *what, cairo_status_t status)
{
    if (status == CAIRO_STATUS_NO_MEMORY)
        return error_memory(error);
    return error_set(error, ERROR_MACHINE, "%s could not be drawn: %s", what,
                     cairo_status_to_string(status));
}

static int render(cairo_t *cairo, const struct output_figure *figure, double left, double top,
                  double scale, struct error *error)
{
    GError *fault = NULL;
    RsvgHandle *handle = rsvg_handle_new_from_data((const guint8 *)figure->svg->bytes,
                                                   figure->svg->length, &fault);
    RsvgRectangle place = {left, top, picture_width(figure->picture) * scale,
                           picture_height(figure->picture) * scale};
    int code = ERROR_NONE;
    if (handle == NULL || !rsvg_handle_render_document(handle, cairo, &place, &fault))
        code = error_set(error, ERROR_MACHINE, "the figure could not be drawn: %s",
                         fault != NULL ? fault->message : "no reason given");
    g_clear_error(&fault);
    if (handle != NULL)
        g_object_unref(handle);
    return code;
}

int output_png(const struct output_figure *figure, double scale, struct text *png,
               struct error *error)
{
    double width = ceil(picture_width(figure->picture) * scale);
    double height = ceil(picture_height(figure->picture) * scale);
    if (!(width >= 1 && width <= 20000 && height >= 1 && height <= 20000))
        return error_set(error, ERROR_INPUT,
                         "a picture of %.0f by %.0f pixels is too large; 20000 is allowed", width,
                         height);
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, (int)width,
                                                          (int)height);
    cairo_t *cairo = cairo_create(surface);
    int code = render(cairo, figure, 0, 0, scale, error);
    cairo_status_t status = cairo_status(cairo);
    cairo_destroy(cairo);
    if (code == ERROR_NONE && status == CAIRO_STATUS_SUCCESS)
        status = cairo_surface_write_to_png_stream(surface, append_bytes, png);
    cairo_surface_destroy(surface);
    if (code == ERROR_NONE && status != CAIRO_STATUS_SUCCESS)
        code = cairo_error(error, "the picture", status);
    return code;
}

static double page_scale(const struct output_figure *figure, double width, double height)
{
    return fmin((width - 2 * MARGIN) / picture_width(figure->picture),
                (height - 2 * MARGIN) / picture_height(figure->picture));
}

static int draw_page(cairo_t *cairo, const struct output_figure *figure, double width,
                     double height, struct error *error)
{
    double scale = page_scale(figure, width, height);
    double left = (width - picture_width(figure->picture) * scale) / 2;
    int code = render(cairo, figure, left, MARGIN, scale, error);
    cairo_show_page(cairo);
    return code;
}

static void add_bookmark(cairo_surface_t *surface, const struct output_figure *figures,
                         const struct output_bookmark *bookmark, double width, double height)
{
    char place[96];
    double y = MARGIN + bookmark->y * page_scale(&figures[bookmark->page], width, height);
    snprintf(place, sizeof place, "page=%zu pos=[0 %.0f]", bookmark->page + 1, floor(y));
    cairo_pdf_surface_add_outline(surface, CAIRO_PDF_OUTLINE_ROOT, bookmark->words, place,
                                  (cairo_pdf_outline_flags_t)0);
}

static void add_bookmarks(cairo_surface_t *surface, const struct output_figure *figures,
                          size_t count, const struct output_words *document, double width,
                          double height)
{
    for (size_t i = 0; i < document->bookmark_count; i++)
        if (document->bookmarks[i].page < count)
            add_bookmark(surface, figures, &document->bookmarks[i], width, height);
    for (size_t i = 0; document->bookmark_count == 0 && i < count; i++)
        add_bookmark(surface, figures,
                     &(struct output_bookmark){picture_title(figures[i].picture), i, 0}, width,
                     height);
}

int output_pdf(const struct output_figure *figures, size_t count, enum paper paper,
               const struct output_words *document, struct text *pdf, struct error *error)
{
    double width;
    double height;
    struct text plain;
    text_init(&plain);
    paper_size(paper, &width, &height);
    if (height <= 0)
        for (size_t i = 0; i < count; i++)
            height = fmax(height, 2 * MARGIN + picture_height(figures[i].picture) *
                                                   (width - 2 * MARGIN) /
                                                   picture_width(figures[i].picture));
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(append_bytes, &plain, width,
                                                                   height);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, document->title);
    cairo_t *cairo = cairo_create(surface);
    int code = ERROR_NONE;
    for (size_t i = 0; i < count && code == ERROR_NONE; i++)
        code = draw_page(cairo, &figures[i], width, height, error);
    if (code == ERROR_NONE)
        add_bookmarks(surface, figures, count, document, width, height);
    cairo_status_t status = cairo_status(cairo);
    cairo_destroy(cairo);
    cairo_surface_finish(surface);
    if (status == CAIRO_STATUS_SUCCESS)
        status = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    if (code == ERROR_NONE && status != CAIRO_STATUS_SUCCESS)
        code = cairo_error(error, "the page", status);
    if (code == ERROR_NONE)
        code = pdf_set_language(&plain, document->language, pdf, error);
    text_free(&plain);
    return code;
}
