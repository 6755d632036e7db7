#include "web/page_parts.h"

#include <stdint.h>
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

int page_as_of(const struct exchange *exchange, int64_t *as_of, struct error *error)
{
    const char *text = exchange_filled(exchange, "as-of");
    bool date_only = false;
    *as_of = INT64_MAX;
    if (text == NULL || (time_parse(text, strlen(text), as_of, &date_only) && date_only))
        return ERROR_NONE;
    *as_of = INT64_MAX;
    return error_set(error, ERROR_USAGE,
                     "as of: found '%.40s'; a date such as 2024-11-01 is allowed", text);
}

int64_t page_as_of_end(int64_t as_of)
{
    return as_of < INT64_MAX ? as_of + SECONDS_PER_DAY - 1 : INT64_MAX;
}

bool page_may_change(const struct page *page, const struct exchange *exchange)
{
    return !page->options.read_only && exchange_filled(exchange, "as-of") == NULL;
}
