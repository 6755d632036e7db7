/* Who may ask: the other users of the machine, and the other pages open in the
 * person's browser, are strangers.
 *
 * A secret in the printed address works once and sets the cookie of the
 * session; without the cookie nothing is read. Every change also needs the
 * token that the server made at its start, and the origin of its own pages
 * (RFC 6454; RFC 6265 for the cookie; RFC 9110 for Host). */
#ifndef RUSHLIGHT_WEB_GUARD_H
#define RUSHLIGHT_WEB_GUARD_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* 256 bits in hexadecimal, and the NUL. */
enum { GUARD_SECRET_SIZE = 65 };
/* The printed address's secret, and one more for --open. */
enum { GUARD_DOORS = 2 };

struct guard {
    uint16_t port;
    char door[GUARD_DOORS][GUARD_SECRET_SIZE]; /* empty: used */
    char session[GUARD_SECRET_SIZE];
    char token[GUARD_SECRET_SIZE];
};

/* What a request says of itself; NULL where it does not. */
struct guard_claims {
    const char *host;   /* header Host */
    const char *origin; /* header Origin */
    const char *site;   /* header Sec-Fetch-Site */
    const char *cookie; /* header Cookie */
    const char *token;  /* header or form field */
};

/* Draws all secrets from the system's source of randomness. ERROR_MACHINE
 * where that fails. */
int guard_make(struct guard *guard, uint16_t port, struct error *error);

/* Whether Host names this server by a loopback name with its port: a page of
 * another name that resolves here is turned away. */
bool guard_host(const struct guard *guard, const char *host);
/* Whether the cookie header holds the session. */
bool guard_session(const struct guard *guard, const char *cookie);
/* Whether a change comes from a page of this server and bears the token. */
bool guard_change(const struct guard *guard, const struct guard_claims *claims);
/* Uses up the secret of the address; false where it is none, or was used. Not
 * for two threads at a time. */
bool guard_enter(struct guard *guard, const char *secret);

/* The name of the cookie, which differs between two servers on one machine. */
enum { GUARD_COOKIE_SIZE = 32 };
void guard_cookie_name(const struct guard *guard, char name[GUARD_COOKIE_SIZE]);

#endif
