#include "web/exchange.h"

#include "base/array.h"
#include "base/number.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

void exchange_init(struct exchange *exchange)
{
    *exchange = (struct exchange){.status = STATUS_OK, .type = "text/html; charset=utf-8"};
    text_init(&exchange->body);
}

void exchange_free(struct exchange *exchange)
{
    for (size_t i = 0; i < exchange->field_count; i++) {
        free(exchange->fields[i].name);
        free(exchange->fields[i].value);
    }
    free(exchange->fields);
    if (exchange->upload != NULL)
        unlink(exchange->upload);
    free(exchange->upload);
    free(exchange->upload_name);
    free(exchange->location);
    free(exchange->cookie);
    text_free(&exchange->body);
    *exchange = (struct exchange){0};
}

static char *copy_bytes(const char *bytes, size_t length)
{
    char *copy = malloc(length + 1);
    if (copy != NULL) {
        if (length > 0)
            memcpy(copy, bytes, length);
        copy[length] = '\0';
    }
    return copy;
}

int exchange_add(struct exchange *exchange, const char *name, const char *value, size_t length,
                 struct error *error)
{
    if (exchange->field_count >= EXCHANGE_FIELDS)
        return error_set(error, ERROR_INPUT, "a request has more than %d fields", EXCHANGE_FIELDS);
    if (length > EXCHANGE_FIELD_BYTES)
        return error_set(error, ERROR_INPUT, "a field has more than %d bytes",
                         EXCHANGE_FIELD_BYTES);
    if (!text_is_utf8(name, strlen(name)) || !text_is_utf8(value, length) ||
        memchr(value, '\0', length) != NULL)
        return error_set(error, ERROR_INPUT, "a field is no text in UTF-8");
    struct exchange_field *fields = array_reserve(exchange->fields, &exchange->field_room,
                                                  exchange->field_count + 1, sizeof *fields);
    if (fields == NULL)
        return error_memory(error);
    exchange->fields = fields;
    struct exchange_field field = {string_copy(name), copy_bytes(value, length)};
    if (field.name == NULL || field.value == NULL) {
        free(field.name);
        free(field.value);
        return error_memory(error);
    }
    fields[exchange->field_count++] = field;
    return ERROR_NONE;
}

const char *exchange_field(const struct exchange *exchange, const char *name)
{
    for (size_t i = 0; i < exchange->field_count; i++)
        if (strcmp(exchange->fields[i].name, name) == 0)
            return exchange->fields[i].value;
    return NULL;
}

const char *exchange_filled(const struct exchange *exchange, const char *name)
{
    const char *value = exchange_field(exchange, name);
    return value != NULL && value[0] != '\0' ? value : NULL;
}

int64_t exchange_integer(const struct exchange *exchange, const char *name, int64_t least,
                         int64_t most, int64_t missing)
{
    const char *value = exchange_field(exchange, name);
    int64_t number = 0;
    if (value == NULL || !number_parse_integer(value, strlen(value), &number) || number < least ||
        number > most)
        return missing;
    return number;
}

int exchange_go(struct exchange *exchange, const char *location, struct error *error)
{
    free(exchange->location);
    exchange->location = string_copy(location);
    exchange->status = STATUS_SEE_OTHER;
    return exchange->location != NULL ? ERROR_NONE : error_memory(error);
}
