/* What tells a setup from one that it was made of, in a line. */
#include "answer/setup_words.h"

#include "base/words.h"
#include "setup/difference.h"

#include <string.h>

enum { SAID_PARTS = 2 }; /* beyond these they are only counted */

struct unlike {
    struct text words;
    size_t parts;
};

static int take_part(void *context, const char *part, const char *first, const char *second,
                     struct error *error)
{
    struct unlike *unlike = context;
    (void)error;
    if (strcmp(part, "setup") == 0 || strcmp(part, "title") == 0)
        return ERROR_NONE;
    text_append_format(&unlike->words, "%s%s ", unlike->parts++ > 0 ? ", " : "", part);
    if (second == NULL)
        text_append(&unlike->words, "left out");
    else if (first == NULL)
        text_append_format(&unlike->words, "%s besides", second);
    else
        text_append_format(&unlike->words, "%s for %s", second, first);
    return ERROR_NONE;
}

int setup_say_unlike(struct text *text, const struct setup *setup, const struct setup *other,
                     struct error *error)
{
    struct unlike unlike = {.parts = 0};
    struct text own, others;
    text_init(&unlike.words);
    text_init(&own);
    text_init(&others);
    setup_write(setup, &own);
    setup_write(other, &others);
    int code = text_failed(&own) || text_failed(&others) ? error_memory(error) : ERROR_NONE;
    if (code == ERROR_NONE)
        code = setup_differences(others.bytes, own.bytes, take_part, &unlike, error);
    if (code == ERROR_NONE && text_failed(&unlike.words))
        code = error_memory(error);
    if (code == ERROR_NONE && unlike.parts == 0)
        text_append_format(text, "the same rule as %s", other->name);
    else if (code == ERROR_NONE && unlike.parts <= SAID_PARTS)
        text_append_format(text, "%s, else as %s", unlike.words.bytes, other->name);
    else if (code == ERROR_NONE)
        text_append_format(text, "unlike %s in %zu %s", other->name, unlike.parts,
                           count_word(unlike.parts, "place", "places"));
    text_free(&unlike.words);
    text_free(&own);
    text_free(&others);
    return code;
}
