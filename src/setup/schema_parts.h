/* What the files of the schema share. Private to the setup layer. */
#ifndef RUSHLIGHT_SETUP_SCHEMA_PARTS_H
#define RUSHLIGHT_SETUP_SCHEMA_PARTS_H

#include "base/json.h"
#include "setup/setup_parts.h"

/* Begins the schema of a map that has no keys but those that are written next;
 * schema_close_map ends it. */
void schema_open_map(struct json *json);
void schema_close_map(struct json *json);
/* The same, as a member. */
void schema_open_member(struct json *json, const char *key);

/* Members: a definition referred to, a number or whole number in its range (NAN:
 * no end), one that is above 0, one of some words. */
void schema_member_reference(struct json *json, const char *key, const char *definition);
void schema_member_range(struct json *json, const char *key, const char *type, double least,
                         double most);
void schema_member_above_zero(struct json *json, const char *key);
void schema_member_words(struct json *json, const char *key, const char *const *words,
                         size_t count);
void schema_member_pattern(struct json *json, const char *key, const char *pattern);
void schema_member_type(struct json *json, const char *key, const char *type);
/* A list of what a definition says; `least` and `most` of them, 0: any number. */
void schema_member_list(struct json *json, const char *key, int least, int most,
                        const char *definition);

/* Values: a definition referred to; words one after another. */
void schema_put_reference(struct json *json, const char *definition);
void schema_put_words(struct json *json, const char *const *words, size_t count);
/* Begins the schema of a value of that type in its range; the caller ends it. */
void schema_open_range(struct json *json, const char *type, double least, double most);

/* A row's number, or all of them, each a member. */
void schema_parameter(struct json *json, const struct parameter *parameter, bool mirrored);
void schema_parameters(struct json *json, const struct parameter *parameters, bool mirrored);
/* The keys of `compare`. */
void schema_compare(struct json *json);
/* The definitions of its values that the keys refer to. */
void schema_compared(struct json *json);

#endif
