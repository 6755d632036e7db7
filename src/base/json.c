#include "base/json.h"

#include <assert.h>
#include <math.h>

void json_init(struct json *json, struct text *text, enum json_layout layout)
{
    *json = (struct json){.text = text, .layout = layout};
}

/* What stands before an item of the innermost object or array. */
static void begin_item(struct json *json)
{
    if (json->depth == 0)
        return;
    bool filled = json->level[json->depth - 1].filled;
    json->level[json->depth - 1].filled = true;
    if (json->level[json->depth - 1].lines)
        text_append(json->text, filled ? ",\n  " : "\n  ");
    else if (filled)
        text_append(json->text, json->layout == JSON_SPACED ? ", " : ",");
}

static void begin_value(struct json *json)
{
    assert(json->depth == 0 || json->level[json->depth - 1].object == json->keyed);
    if (!json->keyed)
        begin_item(json);
    json->keyed = false;
}

static void enter(struct json *json, bool object, bool lines)
{
    assert(json->depth < JSON_DEPTH);
    begin_value(json);
    json->level[json->depth].object = object;
    json->level[json->depth].lines = lines;
    json->level[json->depth].filled = false;
    json->depth++;
    text_append_char(json->text, object ? '{' : '[');
}

static void leave(struct json *json, bool object)
{
    assert(json->depth > 0 && json->level[json->depth - 1].object == object && !json->keyed);
    json->depth--;
    if (json->level[json->depth].lines && json->level[json->depth].filled)
        text_append_char(json->text, '\n');
    text_append_char(json->text, object ? '}' : ']');
}

void json_begin_object(struct json *json)
{
    enter(json, true, false);
}

void json_begin_members(struct json *json)
{
    enter(json, true, true);
}

void json_end_object(struct json *json)
{
    leave(json, true);
}

void json_begin_array(struct json *json)
{
    enter(json, false, false);
}

void json_begin_lines(struct json *json)
{
    enter(json, false, true);
}

void json_end_array(struct json *json)
{
    leave(json, false);
}

void json_put_key(struct json *json, const char *key)
{
    assert(json->depth > 0 && json->level[json->depth - 1].object && !json->keyed);
    begin_item(json);
    text_append_json(json->text, key);
    text_append(json->text, json->layout == JSON_SPACED ? ": " : ":");
    json->keyed = true;
}

void json_put_string(struct json *json, const char *string)
{
    begin_value(json);
    if (string != NULL)
        text_append_json(json->text, string);
    else
        text_append(json->text, "null");
}

void json_put_number(struct json *json, double number)
{
    begin_value(json);
    if (isfinite(number))
        text_append_number(json->text, number);
    else
        text_append(json->text, "null");
}

void json_put_integer(struct json *json, int64_t number)
{
    begin_value(json);
    text_append_integer(json->text, number);
}

void json_put_unsigned(struct json *json, uint64_t number)
{
    begin_value(json);
    text_append_format(json->text, "%llu", (unsigned long long)number);
}

void json_put_boolean(struct json *json, bool value)
{
    begin_value(json);
    text_append(json->text, value ? "true" : "false");
}

void json_put_null(struct json *json)
{
    json_put_string(json, NULL);
}

void json_put_written(struct json *json, const char *value, size_t length)
{
    begin_value(json);
    text_append_bytes(json->text, value, length);
}

void json_member_string(struct json *json, const char *key, const char *string)
{
    json_put_key(json, key);
    json_put_string(json, string);
}

void json_member_number(struct json *json, const char *key, double number)
{
    json_put_key(json, key);
    json_put_number(json, number);
}

void json_member_integer(struct json *json, const char *key, int64_t number)
{
    json_put_key(json, key);
    json_put_integer(json, number);
}

void json_member_count(struct json *json, const char *key, size_t count)
{
    json_put_key(json, key);
    json_put_unsigned(json, count);
}

void json_member_boolean(struct json *json, const char *key, bool value)
{
    json_put_key(json, key);
    json_put_boolean(json, value);
}

void json_member_object(struct json *json, const char *key)
{
    json_put_key(json, key);
    json_begin_object(json);
}

void json_member_array(struct json *json, const char *key)
{
    json_put_key(json, key);
    json_begin_array(json);
}
