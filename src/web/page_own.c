/* What is in the program itself: style, modules, letters. Their addresses hold a mark of
 * all of them, so that a browser may keep each for good: it asks for none of them again
 * on its way from sheet to sheet, and for all of them after a new program. */
#include "draw/typesetter.h"
#include "web/assets.h"
#include "web/page_parts.h"

#include <stdio.h>
#include <string.h>
#include <xxhash.h>

static const char *const face_files[PAGE_FACES] = {
    [FACE_REGULAR] = "lato.ttf",
    [FACE_BOLD] = "lato-bold.ttf",
    [FACE_ITALIC] = "lato-italic.ttf",
};

void page_mark_own(struct page *page)
{
    XXH64_hash_t mark = XXH3_64bits(page->inks.bytes, page->inks.length);
    for (const struct asset *asset = assets; asset->name != NULL; asset++)
        mark = XXH3_64bits_withSeed(asset->bytes, asset->size, mark);
    for (int face = 0; face < PAGE_FACES; face++)
        if (page->faces[face].size > 0)
            mark = XXH3_64bits_withSeed(page->faces[face].bytes, page->faces[face].size, mark);
    snprintf(page->own, sizeof page->own, "/own/%016llx/", (unsigned long long)mark);
}

void page_own_address(const struct page *page, const char *name, struct text *address)
{
    address_begin(address, page->own);
    text_append_address(address, name);
}

static bool give(struct exchange *exchange, const char *type, const void *bytes, size_t size)
{
    exchange->type = type;
    exchange->fixed = bytes;
    exchange->fixed_size = size;
    return true;
}

bool page_answer_own(const struct page *page, struct exchange *exchange)
{
    static const char own[] = "/own/";
    const char *name = exchange->path + sizeof own - 1;
    size_t length = strlen(page->own);
    if (exchange->is_change || strncmp(exchange->path, own, sizeof own - 1) != 0)
        return false;
    exchange->is_lasting = strncmp(exchange->path, page->own, length) == 0;
    if (exchange->is_lasting)
        name = exchange->path + length;
    const struct asset *asset = asset_find(name);
    if (asset != NULL)
        return give(exchange, asset->type, asset->bytes, asset->size);
    if (strcmp(name, "inks.css") == 0)
        return give(exchange, "text/css; charset=utf-8", page->inks.bytes, page->inks.length);
    for (int face = 0; face < PAGE_FACES; face++)
        if (strcmp(name, face_files[face]) == 0 && page->faces[face].size > 0)
            return give(exchange, "font/ttf", page->faces[face].bytes, page->faces[face].size);
    exchange->is_lasting = false;
    return false;
}
