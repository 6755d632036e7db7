#include "cli/record_options.h"

enum { OPTION_NAME_SIZE = 32 };

static const char *option_of(const struct call *call, const struct record_field *field,
                             char name[OPTION_NAME_SIZE])
{
    size_t i = 0;
    for (; i < OPTION_NAME_SIZE - 1 && field->name[i] != '\0'; i++)
        name[i] = field->name[i];
    name[i] = '\0';
    for (i = 0; name[i] != '\0'; i++)
        name[i] = name[i] == '_' ? '-' : name[i];
    return call_offers(call, name) ? call_option(call, name) : NULL;
}

size_t record_options_given(const struct call *call)
{
    char name[OPTION_NAME_SIZE];
    size_t given = 0;
    for (const struct record_field *field = record_fields; field->name != NULL; field++)
        given += option_of(call, field, name) != NULL;
    return given;
}

int record_options_read(const struct call *call, struct instrument_record *record,
                        struct error *error)
{
    for (const struct record_field *field = record_fields; field->name != NULL; field++) {
        char name[OPTION_NAME_SIZE];
        char label[OPTION_NAME_SIZE + 2];
        const char *text = option_of(call, field, name);
        if (text == NULL)
            continue;
        snprintf(label, sizeof label, "--%s", name);
        if (record_field_read(field, label, record, text, error) != ERROR_NONE)
            return error->code = ERROR_USAGE;
    }
    return ERROR_NONE;
}
