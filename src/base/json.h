/* JSON written into a text (RFC 8259).
 *
 * The writer knows where it stands and puts commas itself: inside an object a
 * key comes before each value, inside an array values follow one another. A
 * value where a key is due, or an end that fits no beginning, is a misuse
 * (assertion). It never fails but with the text that it appends to. */
#ifndef RUSHLIGHT_BASE_JSON_H
#define RUSHLIGHT_BASE_JSON_H

#include "base/text.h"

enum { JSON_DEPTH = 32 };

enum json_layout {
    JSON_TIGHT, /* {"a":1,"b":2} */
    JSON_SPACED /* {"a": 1, "b": 2} */
};

struct json {
    struct text *text; /* appended to; the caller's */
    enum json_layout layout;
    size_t depth;
    struct {
        bool object;
        bool lines;  /* every item begins a line */
        bool filled; /* an item stands in it */
    } level[JSON_DEPTH];
    bool keyed; /* a key waits for its value */
};

void json_init(struct json *json, struct text *text, enum json_layout layout);

void json_begin_object(struct json *json);
/* An object with every member on a line of its own, likewise. */
void json_begin_members(struct json *json);
void json_end_object(struct json *json);
void json_begin_array(struct json *json);
/* An array with every item on a line of its own, for long answers. */
void json_begin_lines(struct json *json);
void json_end_array(struct json *json);

void json_put_key(struct json *json, const char *key);

/* Values. NULL, NaN and infinities are null; a number reads back as the same
 * double. */
void json_put_string(struct json *json, const char *string);
void json_put_number(struct json *json, double number);
void json_put_integer(struct json *json, int64_t number);
void json_put_unsigned(struct json *json, uint64_t number);
void json_put_boolean(struct json *json, bool value);
void json_put_null(struct json *json);
/* A value that was written elsewhere, whole and well-formed. */
void json_put_written(struct json *json, const char *value, size_t length);

/* A key with its value. */
void json_member_string(struct json *json, const char *key, const char *string);
void json_member_number(struct json *json, const char *key, double number);
void json_member_integer(struct json *json, const char *key, int64_t number);
void json_member_count(struct json *json, const char *key, size_t count);
void json_member_boolean(struct json *json, const char *key, bool value);
/* A key whose value is an object or an array, which the caller ends. */
void json_member_object(struct json *json, const char *key);
void json_member_array(struct json *json, const char *key);

#endif
