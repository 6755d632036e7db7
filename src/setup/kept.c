#include "setup/kept.h"

#include "base/array.h"
#include "setup/setup_parts.h"

#include <stdlib.h>
#include <string.h>

/* --- texts ------------------------------------------------------------------------- */

void criterion_texts_free(struct criterion_texts *texts)
{
    for (size_t i = 0; i < texts->count; i++)
        free(texts->list[i]);
    free(texts->list);
    *texts = (struct criterion_texts){0};
}

/* Takes the text over. */
static int number_of(struct criterion_texts *texts, struct text *text, size_t *number,
                     struct error *error)
{
    char *own = text_take(text);
    for (size_t i = 0; own != NULL && i < texts->count; i++) {
        if (strcmp(texts->list[i], own) != 0)
            continue;
        free(own);
        *number = i + 1;
        return ERROR_NONE;
    }
    char **grown = own != NULL
                       ? array_reserve(texts->list, &texts->room, texts->count + 1, sizeof *grown)
                       : NULL;
    if (grown == NULL) {
        free(own);
        return error_memory(error);
    }
    texts->list = grown;
    grown[texts->count++] = own;
    *number = texts->count;
    return ERROR_NONE;
}

static int number_criteria(struct criterion_texts *texts, struct criterion *list, size_t count,
                           struct error *error)
{
    int code = ERROR_NONE;
    for (size_t i = 0; i < count && code == ERROR_NONE; i++) {
        struct criterion *criterion = &list[i];
        code = number_criteria(texts, criterion->parts, criterion->part_count, error);
        if (code != ERROR_NONE || criterion->kind != CRITERION_CONDITION)
            continue;
        struct criterion bare = *criterion;
        struct text text;
        bare.within = 0;
        text_init(&text);
        criterion_write(&text, &bare);
        code = number_of(texts, &text, &criterion->kept, error);
        text_free(&text);
    }
    return code;
}

int criterion_texts_number(struct criterion_texts *texts, struct setup *setup, struct error *error)
{
    int code = ERROR_NONE;
    for (size_t i = 0; i < setup->candle_count && code == ERROR_NONE; i++) {
        struct text text;
        text_init(&text);
        shape_write(&text, &setup->candles[i]);
        code = number_of(texts, &text, &setup->candles[i].kept, error);
        text_free(&text);
    }
    struct criteria *const lists[] = {&setup->place, &setup->confirm, &setup->exit.when};
    for (size_t i = 0; i < 3 && code == ERROR_NONE; i++)
        code = number_criteria(texts, lists[i]->list, lists[i]->count, error);
    return code;
}

/* --- one instrument ------------------------------------------------------------------ */

enum { SPANS = 8 }; /* candles of up to so many bars; longer ones are not kept */

struct criterion_memory {
    unsigned char **bytes; /* number * SPANS + span */
    size_t count;
    size_t room;
    size_t bars;
    size_t held;   /* columns of `bars` bytes */
    size_t most;   /* of them */
    size_t oldest; /* where those that may be let go begin */
};

struct criterion_memory *criterion_memory_new(size_t bars, size_t limit)
{
    struct criterion_memory *memory = calloc(1, sizeof *memory);
    if (memory != NULL) {
        memory->bars = bars;
        memory->most = limit / (bars + 1);
    }
    return memory;
}

void criterion_memory_free(struct criterion_memory *memory)
{
    if (memory == NULL)
        return;
    for (size_t i = 0; i < memory->count; i++)
        free(memory->bytes[i]);
    free(memory->bytes);
    free(memory);
}

size_t criterion_memory_size(const struct criterion_memory *memory)
{
    return memory->held * (memory->bars + 1);
}

static bool make_room(struct criterion_memory *memory, size_t index)
{
    unsigned char **grown = array_reserve(memory->bytes, &memory->room, index + 1, sizeof *grown);
    if (grown == NULL)
        return false;
    memory->bytes = grown;
    while (memory->count <= index)
        grown[memory->count++] = NULL;
    return true;
}

/* Numbers rise as texts are first seen, so the lowest are the oldest. */
static void let_go(struct criterion_memory *memory)
{
    for (size_t tried = 0; memory->held >= memory->most && tried < memory->count; tried++) {
        memory->oldest = memory->oldest < memory->count ? memory->oldest : 0;
        memory->held -= memory->bytes[memory->oldest] != NULL;
        free(memory->bytes[memory->oldest]);
        memory->bytes[memory->oldest++] = NULL;
    }
}

unsigned char *criterion_memory_bytes(struct criterion_memory *memory, size_t number, size_t span)
{
    if (memory == NULL || number == 0 || span >= SPANS || memory->most == 0)
        return NULL;
    size_t index = (number - 1) * SPANS + span;
    if (index < memory->count && memory->bytes[index] != NULL)
        return memory->bytes[index];
    if (!make_room(memory, index))
        return NULL;
    let_go(memory);
    memory->bytes[index] = calloc(memory->bars + 1, 1);
    memory->held += memory->bytes[index] != NULL;
    return memory->bytes[index];
}
