/* Instruments' records, a line a field as in `tick=0.25`: what a field takes it
 * writes so that it reads the same, and what it refuses leaves the record alone. */
#include "market/instrument_record.h"

#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const struct record_field *find(const char *name, size_t length)
{
    for (const struct record_field *field = record_fields; field->name != NULL; field++)
        if (strlen(field->name) == length && strncmp(field->name, name, length) == 0)
            return field;
    return NULL;
}

static void write_all(const struct instrument_record *record, struct text *text)
{
    text_init(text);
    for (const struct record_field *field = record_fields; field->name != NULL; field++) {
        field->write(record, text);
        text_append_char(text, '\n');
    }
    if (text_failed(text))
        abort();
}

/* The fields as they are written make the same record from nothing. */
static void check_again(const struct instrument_record *record)
{
    struct instrument_record again = {0};
    struct error error = {0};
    struct text first;
    struct text second;
    if (!instrument_init(&again.instrument, "fuzz"))
        abort();
    write_all(record, &first);
    char *rest = first.bytes;
    struct text line;
    text_init(&line);
    for (const struct record_field *field = record_fields; field->name != NULL; field++) {
        size_t length = strcspn(rest, "\n");
        text_clear(&line);
        text_append_bytes(&line, rest, length);
        if (record_field_read(field, field->name, &again, line.bytes, &error) != ERROR_NONE)
            abort();
        rest += length + 1;
    }
    write_all(&again, &second);
    if (strcmp(first.bytes, second.bytes) != 0)
        abort();
    text_free(&line);
    text_free(&first);
    text_free(&second);
}

static void read_line(struct instrument_record *record, char *line)
{
    struct error error = {0};
    struct instrument_record before = *record;
    char *equals = strchr(line, '=');
    const struct record_field *field = equals != NULL ? find(line, (size_t)(equals - line)) : NULL;
    if (field == NULL)
        return;
    if (record_field_read(field, field->name, record, equals + 1, &error) == ERROR_NONE) {
        check_again(record);
        return;
    }
    struct text as_it_was;
    struct text as_it_is;
    write_all(&before, &as_it_was);
    write_all(record, &as_it_is);
    if (error.text[0] == '\0' || strcmp(as_it_was.bytes, as_it_is.bytes) != 0)
        abort();
    text_free(&as_it_was);
    text_free(&as_it_is);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct instrument_record record = {0};
    struct text text;
    if (!instrument_init(&record.instrument, "fuzz"))
        abort();
    text_init(&text);
    text_append_bytes(&text, (const char *)data, size);
    for (char *line = text.bytes; *line != '\0';) {
        char *end = line + strcspn(line, "\n");
        bool last = *end == '\0';
        *end = '\0';
        read_line(&record, line);
        line = last ? end : end + 1;
    }
    text_free(&text);
    return 0;
}
