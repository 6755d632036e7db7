/* One request and its answer, without a word of the library that carries them.
 *
 * Everything a browser sends is a bounded list of named texts; nothing of it is
 * ever a path. */
#ifndef RUSHLIGHT_WEB_EXCHANGE_H
#define RUSHLIGHT_WEB_EXCHANGE_H

#include "base/error.h"
#include "base/text.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum {
    EXCHANGE_FIELDS = 256,           /* at most so many fields of one form or address */
    EXCHANGE_ADDRESS_BYTES = 98304,  /* an address as it is sent, which holds a draft */
    EXCHANGE_FIELD_BYTES = 1 << 18,  /* at most so many bytes in one of them */
    EXCHANGE_BODY_BYTES = 1 << 20,   /* a form's body */
    EXCHANGE_UPLOAD_BYTES = 1 << 28, /* a file handed over */
};

/* HTTP's own numbers (RFC 9110, section 15). */
enum exchange_status {
    STATUS_OK = 200,
    STATUS_SEE_OTHER = 303,
    STATUS_NOT_MODIFIED = 304,
    STATUS_BAD_REQUEST = 400,
    STATUS_FORBIDDEN = 403,
    STATUS_NOT_FOUND = 404,
    STATUS_WRONG_METHOD = 405,
    STATUS_CONFLICT = 409,
    STATUS_TOO_LARGE = 413,
    STATUS_ADDRESS_TOO_LONG = 414,
    STATUS_UNPROCESSABLE = 422,
    STATUS_TOO_MANY = 429,
    STATUS_FAILED = 500,
    STATUS_BUSY = 503,
};

struct exchange_field {
    char *name;
    char *value;
};

struct exchange {
    bool is_change;   /* POST; else GET */
    const char *path; /* decoded, begins with '/' */
    struct exchange_field *fields;
    size_t field_count;
    size_t field_room;
    /* A file handed over with a form: where it lies (a private file of the
     * server's own folder) and what the browser calls it; NULL: none. */
    char *upload;
    char *upload_name;

    enum exchange_status status;
    const char *type; /* media type of the body */
    struct text body;
    char *location;    /* for STATUS_SEE_OTHER */
    char *cookie;      /* to set; NULL: none */
    bool is_lasting;   /* the browser may keep the body: another one has another address */
    const void *fixed; /* a body that lives as long as the program, instead of `body` */
    size_t fixed_size;
    const char *token; /* for the forms of the page */
};

void exchange_init(struct exchange *exchange);
void exchange_free(struct exchange *exchange);

/* Adds a field; ERROR_INPUT beyond the limits, and for a name or value that is
 * no UTF-8 or holds a NUL. */
int exchange_add(struct exchange *exchange, const char *name, const char *value, size_t length,
                 struct error *error);
/* The first field of that name, NULL where there is none. */
const char *exchange_field(const struct exchange *exchange, const char *name);
/* The same, an empty one counting as none. */
const char *exchange_filled(const struct exchange *exchange, const char *name);
/* A whole number within bounds, `missing` where there is none or it is not. */
int64_t exchange_integer(const struct exchange *exchange, const char *name, int64_t least,
                         int64_t most, int64_t missing);

/* Sends the browser on to this address of the page; ERROR_MACHINE without
 * memory. */
int exchange_go(struct exchange *exchange, const char *location, struct error *error);

#endif
