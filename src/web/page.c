#include "web/page.h"

#include "draw/theme.h"
#include "draw/typesetter.h"
#include "store/book_shelf.h"
#include "web/page_parts.h"

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

static bool make_locks(struct page *page)
{
    if (pthread_mutex_init(&page->held_lock, NULL) != 0)
        return false;
    if (pthread_mutex_init(&page->jobs_lock, NULL) == 0)
        return true;
    pthread_mutex_destroy(&page->held_lock);
    return false;
}

int page_new(struct page **made, const struct page_options *options, struct error *error)
{
    struct page *page = calloc(1, sizeof *page);
    *made = NULL;
    if (page == NULL)
        return error_memory(error);
    page->options = *options;
    if (!make_locks(page)) {
        free(page);
        return error_memory(error);
    }
    text_init(&page->inks);
    theme_stylesheet(&page->inks, THEME_AUTO);
    int code = text_failed(&page->inks) ? error_memory(error) : cut_letters(page, error);
    page_mark_own(page);
    if (code == ERROR_NONE)
        code = known_book_new(&page->book, options->book, error);
    if (code == ERROR_NONE)
        code = book_shelf_new(&page->shelf, options->book, error);
    if (code == ERROR_NONE)
        code = page_typesetters_new(&page->typesetters, error);
    if (code == ERROR_NONE)
        code = today_kept_new(&page->today, page, error);
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
    for (int queue = 0; queue < QUEUE_COUNT; queue++)
        jobs_free(page->queues[queue]);
    today_kept_free(page->today);
    page_typesetters_free(page->typesetters);
    for (size_t i = 0; i < CHECKED; i++)
        free(page->checked[i].words);
    for (int face = 0; face < PAGE_FACES; face++)
        free(page->faces[face].bytes);
    text_free(&page->inks);
    held_free(&page->held);
    book_shelf_free(page->shelf);
    known_book_free(page->book);
    pthread_mutex_destroy(&page->held_lock);
    pthread_mutex_destroy(&page->jobs_lock);
    free(page);
}
