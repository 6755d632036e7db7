#include "work/asides.h"

#include "base/array.h"
#include "work/work_parts.h"

#include <stdlib.h>
#include <string.h>

int asides_add(struct asides *asides, const char *word, const struct error *reason,
               struct error *error)
{
    if (reason->code != ERROR_INPUT) {
        *error = *reason;
        return error->code;
    }
    struct aside *list = array_reserve(asides->list, &asides->room, asides->count + 1,
                                       sizeof *list);
    if (list == NULL)
        return error_memory(error);
    asides->list = list;
    list[asides->count] = (struct aside){string_copy(word), *reason};
    if (list[asides->count].word == NULL)
        return error_memory(error);
    asides->count++;
    return ERROR_NONE;
}

/* Whether this work has not said the line before; several setups meet the same
 * instruments. What cannot be kept for want of memory is said once more. */
static bool is_new(struct work *work, const char *line)
{
    return name_set_add(&work->said_aside, line) != NAME_KNOWN;
}

static void say(struct aside *aside, struct work *work)
{
    const struct voice *voice = &work->voice;
    struct error *reason = &aside->reason;
    if (strncmp(reason->text, aside->word, strlen(aside->word)) != 0)
        error_context(reason, "%s", aside->word);
    if (voice->aside != NULL && is_new(work, reason->text))
        voice->aside(voice->context, reason);
}

int asides_end(struct asides *asides, struct work *work, int code, struct error *error)
{
    if (code == ERROR_NONE && asides->opened == 0 && asides->count > 0) {
        *error = asides->list[0].reason;
        code = error->code;
    }
    for (size_t i = 0; i < asides->count; i++) {
        if (code == ERROR_NONE)
            say(&asides->list[i], work);
        free(asides->list[i].word);
    }
    free(asides->list);
    *asides = (struct asides){0};
    return code;
}
