#include "web/guard.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/random.h>

static int draw(char secret[GUARD_SECRET_SIZE], struct error *error)
{
    static const char digits[] = "0123456789abcdef";
    unsigned char bytes[(GUARD_SECRET_SIZE - 1) / 2];
    if (getrandom(bytes, sizeof bytes, 0) != (ssize_t)sizeof bytes)
        return error_set(error, ERROR_MACHINE, "the system gives no random numbers: %s",
                         strerror(errno));
    for (size_t i = 0; i < sizeof bytes; i++) {
        secret[2 * i] = digits[bytes[i] >> 4];
        secret[2 * i + 1] = digits[bytes[i] & 15];
    }
    secret[GUARD_SECRET_SIZE - 1] = '\0';
    return ERROR_NONE;
}

int guard_make(struct guard *guard, uint16_t port, struct error *error)
{
    *guard = (struct guard){.port = port};
    int code = draw(guard->session, error);
    for (size_t i = 0; code == ERROR_NONE && i < GUARD_DOORS; i++)
        code = draw(guard->door[i], error);
    return code == ERROR_NONE ? draw(guard->token, error) : code;
}

/* Takes as long for a near miss as for a wild guess. */
static bool same_secret(const char *secret, const char *said, size_t length)
{
    unsigned char difference = 0;
    if (length != GUARD_SECRET_SIZE - 1)
        return false;
    for (size_t i = 0; i < length; i++)
        difference |= (unsigned char)(secret[i] ^ said[i]);
    return difference == 0;
}

static bool is_own(const struct guard *guard, const char *authority)
{
    char own[32];
    static const char *const names[] = {"127.0.0.1", "localhost"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        snprintf(own, sizeof own, "%s:%u", names[i], (unsigned)guard->port);
        if (strcmp(authority, own) == 0)
            return true;
    }
    return false;
}

bool guard_host(const struct guard *guard, const char *host)
{
    return host != NULL && is_own(guard, host);
}

void guard_cookie_name(const struct guard *guard, char name[GUARD_COOKIE_SIZE])
{
    snprintf(name, GUARD_COOKIE_SIZE, "rushlight-%u", (unsigned)guard->port);
}

bool guard_session(const struct guard *guard, const char *cookie)
{
    char name[GUARD_COOKIE_SIZE];
    guard_cookie_name(guard, name);
    size_t length = strlen(name);
    while (cookie != NULL && *cookie != '\0') {
        cookie += strspn(cookie, "; ");
        size_t span = strcspn(cookie, ";");
        if (span > length && strncmp(cookie, name, length) == 0 && cookie[length] == '=' &&
            same_secret(guard->session, cookie + length + 1, span - length - 1))
            return true;
        cookie += span;
    }
    return false;
}

/* Browsers send Origin with every POST; one without is no browser's page. Since
 * the page lets no referrer out, a form of its own comes with the origin null
 * (Fetch standard, "append a request Origin header"); then the browser's own
 * word for where it comes from, which no page can set, has to say so. */
static bool own_origin(const struct guard *guard, const struct guard_claims *claims)
{
    static const char scheme[] = "http://";
    bool same = claims->site != NULL && strcmp(claims->site, "same-origin") == 0;
    if ((claims->site != NULL && !same) || claims->origin == NULL)
        return false;
    if (strcmp(claims->origin, "null") == 0)
        return same;
    return strncmp(claims->origin, scheme, sizeof scheme - 1) == 0 &&
           is_own(guard, claims->origin + sizeof scheme - 1);
}

bool guard_change(const struct guard *guard, const struct guard_claims *claims)
{
    return own_origin(guard, claims) && claims->token != NULL &&
           same_secret(guard->token, claims->token, strlen(claims->token));
}

bool guard_enter(struct guard *guard, const char *secret)
{
    for (size_t i = 0; secret != NULL && i < GUARD_DOORS; i++) {
        if (guard->door[i][0] == '\0' || !same_secret(guard->door[i], secret, strlen(secret)))
            continue;
        guard->door[i][0] = '\0';
        return true;
    }
    return false;
}
