/* The typesetters of the page: to find the fonts of one costs as much as to draw a
 * figure with it, so that each is lent to one request after another. */
#include "web/page_parts.h"

#include "draw/typesetter.h"

#include <stdlib.h>

enum { KEPT = 8 };

struct kept_typesetters {
    pthread_mutex_t lock; /* of what follows */
    struct typesetter *list[KEPT];
    size_t count;
};

int page_typesetters_new(struct kept_typesetters **made, struct error *error)
{
    struct kept_typesetters *kept = calloc(1, sizeof *kept);
    *made = NULL;
    if (kept == NULL || pthread_mutex_init(&kept->lock, NULL) != 0) {
        free(kept);
        return error_memory(error);
    }
    *made = kept;
    return ERROR_NONE;
}

void page_typesetters_free(struct kept_typesetters *kept)
{
    if (kept == NULL)
        return;
    for (size_t i = 0; i < kept->count; i++)
        typesetter_free(kept->list[i]);
    pthread_mutex_destroy(&kept->lock);
    free(kept);
}

int page_typesetter(const struct page *page, struct typesetter **typesetter, struct error *error)
{
    struct kept_typesetters *kept = page->typesetters;
    *typesetter = NULL;
    int code = typesetter_room(error);
    if (code != ERROR_NONE)
        return code;
    pthread_mutex_lock(&kept->lock);
    if (kept->count > 0)
        *typesetter = kept->list[--kept->count];
    pthread_mutex_unlock(&kept->lock);
    return *typesetter != NULL ? ERROR_NONE : typesetter_new(typesetter, error);
}

void page_typesetter_done(const struct page *page, struct typesetter *typesetter)
{
    struct kept_typesetters *kept = page->typesetters;
    if (typesetter == NULL)
        return;
    pthread_mutex_lock(&kept->lock);
    bool room = kept->count < KEPT;
    if (room)
        kept->list[kept->count++] = typesetter;
    pthread_mutex_unlock(&kept->lock);
    if (!room)
        typesetter_free(typesetter);
}
