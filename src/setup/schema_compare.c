/* The JSON Schema of the condition `compare`. */
#include "setup/schema_parts.h"

static void write_names(struct json *json)
{
    json_begin_object(json);
    json_member_array(json, "enum");
    for (const struct comparable *row = comparables; comparable_name(row) != NULL; row++)
        json_put_string(json, comparable_name(row));
    json_end_array(json);
    json_end_object(json);
}

/* A map of one name, with its numbers. */
static void write_map(struct json *json)
{
    schema_open_map(json);
    for (const struct comparable *row = comparables; comparable_name(row) != NULL; row++) {
        schema_open_member(json, comparable_name(row));
        schema_parameters(json, comparable_parameters(row), false);
        schema_member_range(json, "bars_ago", "integer", 0, 10000);
        json_member_object(json, "of");
        json_member_string(json, "type", "string");
        json_end_object(json);
        schema_member_reference(json, "interval", "interval");
        schema_close_map(json);
    }
    json_end_object(json);
    json_member_integer(json, "minProperties", 1);
    json_member_integer(json, "maxProperties", 1);
    json_end_object(json);
}

static void write_side(struct json *json, const char *key, bool number)
{
    json_member_object(json, key);
    json_member_array(json, "anyOf");
    if (number) {
        json_begin_object(json);
        json_member_string(json, "type", "number");
        json_end_object(json);
    }
    write_names(json);
    write_map(json);
    json_end_array(json);
    json_end_object(json);
}

void schema_compare(struct json *json)
{
    schema_member_reference(json, "value", "compared");
    for (int way = WAY_ABOVE; way <= WAY_FALLS_FOR; way++)
        if (way >= WAY_RISES_FOR)
            schema_member_range(json, compare_way_words[way], "integer", 1, 1000);
        else
            schema_member_reference(json, compare_way_words[way], "compared_with");
    for (int by = BY_UNITS; by <= BY_TICKS; by++)
        schema_member_above_zero(json, compare_by_words[by]);
}

void schema_compared(struct json *json)
{
    write_side(json, "compared", false);
    write_side(json, "compared_with", true);
}
