/* Requests to the page without their socket: lines of `name=value`, then what a
 * stranger may say of himself. A request keeps what it took and no more than its
 * limits, an address made of it is plain ASCII that decodes to the same, and
 * nobody enters by chance. */
#define _GNU_SOURCE /* strcasestr */
#include "web/exchange.h"
#include "web/guard.h"
#include "web/page_parts.h"

#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static int hex(char c)
{
    return c >= '0' && c <= '9'   ? c - '0'
           : c >= 'A' && c <= 'F' ? c - 'A' + 10
           : c >= 'a' && c <= 'f' ? c - 'a' + 10
                                  : -1;
}

/* RFC 3986, 2.1: each escape is a byte; no other byte beyond those of an address. */
static void check_address(const char *escaped, const char *value)
{
    const char *c = escaped;
    for (; *value != '\0'; value++) {
        int byte = (unsigned char)*c;
        if (byte == '%') {
            if (hex(c[1]) < 0 || hex(c[2]) < 0)
                abort();
            byte = hex(c[1]) * 16 + hex(c[2]);
            c += 2;
        } else if (byte <= ' ' || byte >= 0x7f || strchr("&=#?+\"'<>", byte) != NULL) {
            abort();
        }
        if (byte != (unsigned char)*value)
            abort();
        c++;
    }
    if (*c != '\0')
        abort();
}

static void check_exchange(const struct exchange *exchange)
{
    if (exchange->field_count > EXCHANGE_FIELDS)
        abort();
    for (size_t i = 0; i < exchange->field_count; i++) {
        const struct exchange_field *field = &exchange->fields[i];
        struct text address;
        if (exchange_field(exchange, field->name) == NULL ||
            !text_is_utf8(field->value, strlen(field->value)))
            abort();
        int64_t number = exchange_integer(exchange, field->name, -5, 5, 99);
        if (number != 99 && (number < -5 || number > 5))
            abort();
        address_begin(&address, "/charts");
        address_add(&address, "value", field->value);
        if (text_failed(&address) || strncmp(address.bytes, "/charts?value=", 14) != 0)
            abort();
        check_address(address.bytes + 14, field->value);
        text_free(&address);
    }
}

static void check_guard(const struct exchange *exchange)
{
    /* A server's secrets are drawn; these are as long, and no input knows them. */
    struct guard guard = {.port = 8123};
    memset(guard.session, 'a', GUARD_SECRET_SIZE - 1);
    memset(guard.token, 'b', GUARD_SECRET_SIZE - 1);
    memset(guard.door[0], 'c', GUARD_SECRET_SIZE - 1);
    const struct guard_claims claims = {.host = exchange_field(exchange, "host"),
                                        .origin = exchange_field(exchange, "origin"),
                                        .site = exchange_field(exchange, "site"),
                                        .cookie = exchange_field(exchange, "cookie"),
                                        .token = exchange_field(exchange, "token")};
    bool loopback = claims.host != NULL && (strcasestr(claims.host, "localhost:8123") != NULL ||
                                            strstr(claims.host, "127.0.0.1:8123") != NULL ||
                                            strstr(claims.host, "[::1]:8123") != NULL);
    if (guard_host(&guard, claims.host) && !loopback)
        abort();
    if (guard_session(&guard, claims.cookie) &&
        (claims.cookie == NULL || strstr(claims.cookie, guard.session) == NULL))
        abort();
    if (guard_change(&guard, &claims) &&
        (claims.token == NULL || strcmp(claims.token, guard.token) != 0))
        abort();
    const char *secret = exchange_field(exchange, "secret");
    if (guard_enter(&guard, secret) && (secret == NULL || strlen(secret) != GUARD_SECRET_SIZE - 1))
        abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct exchange exchange;
    struct error error = {0};
    exchange_init(&exchange);
    for (size_t at = 0; at < size;) {
        const uint8_t *end = memchr(data + at, '\n', size - at);
        size_t length = end != NULL ? (size_t)(end - data) - at : size - at;
        const char *line = (const char *)data + at;
        const char *equals = length > 0 ? memchr(line, '=', length) : NULL;
        at += length + 1;
        if (equals == NULL)
            continue;
        struct text name;
        text_init(&name);
        text_append_bytes(&name, line, (size_t)(equals - line));
        if (exchange_add(&exchange, name.bytes, equals + 1, length - (size_t)(equals + 1 - line),
                         &error) != ERROR_NONE &&
            error.text[0] == '\0')
            abort();
        text_free(&name);
    }
    check_exchange(&exchange);
    check_guard(&exchange);
    exchange_free(&exchange);
    return 0;
}
