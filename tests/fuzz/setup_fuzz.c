/* Setup files: what is taken writes out to a file that reads the same, and so
 * does its mirror image. */
#include "base/text.h"
#include "setup/setup.h"

#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* No such folder: mirror_of finds nothing beside it. */
static const char name[] = "no-such-folder/fuzz.yaml";

static void write_setup(struct text *text, const struct setup *setup)
{
    text_init(text);
    setup_write(setup, text);
    if (text_failed(text))
        abort();
}

/* Reads what was written; the setup has to write the same again. */
static void check_written(const struct text *written)
{
    struct setup setup;
    struct error error = {0};
    struct text again;
    if (setup_read(&setup, name, written->bytes, written->length, &error) != ERROR_NONE)
        abort();
    write_setup(&again, &setup);
    if (strcmp(again.bytes, written->bytes) != 0)
        abort();
    text_free(&again);
    setup_free(&setup);
}

static void mirror(struct setup *setup)
{
    struct error error = {0};
    if (setup_mirror(setup, &error) != ERROR_NONE)
        abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct setup setup;
    struct error error = {0};
    if (setup_read(&setup, name, (const char *)data, size, &error) != ERROR_NONE) {
        if (error.text[0] == '\0')
            abort();
        return 0;
    }
    struct text written;
    struct text mirrored;
    write_setup(&written, &setup);
    check_written(&written);
    mirror(&setup);
    write_setup(&mirrored, &setup);
    check_written(&mirrored);
    setup_free(&setup);
    text_free(&mirrored);
    text_free(&written);
    return 0;
}
