#include "web/page_parts.h"

#include <string.h>

void address_begin(struct text *address, const char *path)
{
    text_init(address);
    text_append(address, path);
}

void address_add(struct text *address, const char *name, const char *value)
{
    if (value == NULL)
        return;
    text_append_char(address, strchr(address->bytes, '?') == NULL ? '?' : '&');
    text_append(address, name);
    text_append_char(address, '=');
    text_append_address(address, value);
}

void address_add_integer(struct text *address, const char *name, int64_t value)
{
    text_append_char(address, strchr(address->bytes, '?') == NULL ? '?' : '&');
    text_append(address, name);
    text_append_char(address, '=');
    text_append_integer(address, value);
}

void address_keep_as_of(struct text *address, const struct exchange *exchange)
{
    address_add(address, "as-of", exchange_filled(exchange, "as-of"));
}
