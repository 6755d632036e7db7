#include "web/page.h"

#include "draw/theme.h"
#include "draw/typesetter.h"
#include "web/assets.h"
#include "web/sheets.h"

#include <hb.h>
#include <stdlib.h>
#include <string.h>

/* --- the letters ------------------------------------------------------------------------- */

/* Latin of Europe, Greek, Cyrillic, punctuation, signs of money and arithmetic:
 * what sheets are written in; anything else the reader's machine draws. */
static const struct {
    hb_codepoint_t first, last;
} letter_ranges[] = {{0x20, 0x7E},     {0xA0, 0x24F},    {0x370, 0x3FF},   {0x400, 0x45F},
                     {0x2010, 0x2044}, {0x20A0, 0x20BF}, {0x2190, 0x2193}, {0x2200, 0x2265}};

static const char *const face_files[PAGE_FACES] = {
    [FACE_REGULAR] = "/own/lato.ttf",
    [FACE_BOLD] = "/own/lato-bold.ttf",
    [FACE_ITALIC] = "/own/lato-italic.ttf",
};

static int cut_face(struct page *page, struct typesetter *typesetter, enum face face,
                    const hb_set_t *characters, struct error *error)
{
    hb_blob_t *blob = typesetter_subset(typesetter, face, characters);
    unsigned size = 0;
    if (blob == NULL)
        return ERROR_NONE; /* the reader's machine has its own */
    const char *bytes = hb_blob_get_data(blob, &size);
    page->faces[face].bytes = malloc(size);
    if (page->faces[face].bytes != NULL) {
        memcpy(page->faces[face].bytes, bytes, size);
        page->faces[face].size = size;
    }
    hb_blob_destroy(blob);
    return page->faces[face].bytes != NULL ? ERROR_NONE : error_memory(error);
}

static int cut_letters(struct page *page, struct error *error)
{
    struct typesetter *typesetter = NULL;
    int code = typesetter_new(&typesetter, error);
    hb_set_t *characters = hb_set_create();
    for (size_t i = 0; i < sizeof letter_ranges / sizeof letter_ranges[0]; i++)
        hb_set_add_range(characters, letter_ranges[i].first, letter_ranges[i].last);
    for (int face = 0; code == ERROR_NONE && face < PAGE_FACES; face++)
        code = cut_face(page, typesetter, (enum face)face, characters, error);
    hb_set_destroy(characters);
    typesetter_free(typesetter);
    return code;
}

/* --- making it ----------------------------------------------------------------------------- */

int page_new(struct page **made, const struct page_options *options, struct error *error)
{
    struct page *page = calloc(1, sizeof *page);
    *made = NULL;
    if (page == NULL)
        return error_memory(error);
    page->options = *options;
    text_init(&page->inks);
    theme_stylesheet(&page->inks, THEME_AUTO);
    int code = text_failed(&page->inks) ? error_memory(error) : cut_letters(page, error);
    if (code != ERROR_NONE) {
        page_free(page);
        return code;
    }
    *made = page;
    return ERROR_NONE;
}

void page_free(struct page *page)
{
    if (page == NULL)
        return;
    for (int face = 0; face < PAGE_FACES; face++)
        free(page->faces[face].bytes);
    text_free(&page->inks);
    free(page);
}

/* --- the ways through it -------------------------------------------------------------------- */

static const struct route routes[] = {
    {"/", false, sheet_start},
    {"/today", false, sheet_today},
    {"/charts", false, sheet_charts},
    {"/charts/figure", false, part_figure},
    {"/charts/bar", false, part_bar},
    {"/data", false, sheet_data},
    {"/data/import", true, change_import},
    {"/keys", false, sheet_keys},
    {NULL, false, NULL},
};

/* What is in the program itself, under /own/. */
static bool answer_own(const struct page *page, struct exchange *exchange)
{
    static const char own[] = "/own/";
    if (exchange->is_change || strncmp(exchange->path, own, sizeof own - 1) != 0)
        return false;
    const struct asset *asset = asset_find(exchange->path + sizeof own - 1);
    if (asset != NULL) {
        exchange->type = asset->type;
        exchange->saved = asset->mark;
        exchange->fixed = asset->bytes;
        exchange->fixed_size = asset->size;
        return true;
    }
    if (strcmp(exchange->path, "/own/inks.css") == 0) {
        exchange->type = "text/css; charset=utf-8";
        exchange->fixed = page->inks.bytes;
        exchange->fixed_size = page->inks.length;
        return true;
    }
    for (int face = 0; face < PAGE_FACES; face++) {
        if (strcmp(exchange->path, face_files[face]) != 0 || page->faces[face].size == 0)
            continue;
        exchange->type = "font/ttf";
        exchange->saved = "\"1\"";
        exchange->fixed = page->faces[face].bytes;
        exchange->fixed_size = page->faces[face].size;
        return true;
    }
    return false;
}

int page_answer(void *context, struct exchange *exchange, struct error *error)
{
    struct page *page = context;
    bool known = false;
    if (answer_own(page, exchange))
        return ERROR_NONE;
    for (const struct route *route = routes; route->path != NULL; route++) {
        if (strcmp(route->path, exchange->path) != 0)
            continue;
        if (route->is_change == exchange->is_change)
            return route->answer(page, exchange, error);
        known = true;
    }
    exchange->status = known ? STATUS_WRONG_METHOD : STATUS_NOT_FOUND;
    return error_set(error, ERROR_INPUT,
                     known ? "This address takes another kind of request."
                           : "There is no such sheet here; the line above names those there are.");
}

/* A stranger is shown nothing of the page but the sentence. */
void page_refuse(void *context, struct exchange *exchange, const char *sentence)
{
    struct page *page = context;
    struct html html;
    html_init(&html, &exchange->body);
    exchange->type = "text/html; charset=utf-8";
    if (exchange->path != NULL && exchange->status != STATUS_FORBIDDEN) {
        const struct sheet_head head = {SHEET_COUNT, "That did not work", sentence, NULL};
        frame_begin(&html, page, exchange, &head);
        frame_end(&html, exchange);
        return;
    }
    html_markup(&html, "<!doctype html>\n");
    html_open(&html, "html");
    html_attribute(&html, "lang", "en");
    html_open(&html, "head");
    html_element(&html, "title", "rushlight");
    html_close(&html);
    html_open(&html, "body");
    html_element(&html, "p", sentence);
    html_close_all(&html, html.depth);
    html_line(&html);
}
