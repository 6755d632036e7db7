/* The parts that the schema of setup files is put together from. */
#include "setup/schema_parts.h"

#include <math.h>

void schema_open_map(struct json *json)
{
    json_begin_object(json);
    json_member_string(json, "type", "object");
    json_member_boolean(json, "additionalProperties", false);
    json_member_object(json, "properties");
}

void schema_close_map(struct json *json)
{
    json_end_object(json);
    json_end_object(json);
}

void schema_open_member(struct json *json, const char *key)
{
    json_put_key(json, key);
    schema_open_map(json);
}

void schema_put_reference(struct json *json, const char *definition)
{
    struct text path;
    text_init(&path);
    text_append_format(&path, "#/$defs/%s", definition);
    json_begin_object(json);
    json_member_string(json, "$ref", path.bytes);
    json_end_object(json);
    json->text->failed = json->text->failed || text_failed(&path);
    text_free(&path);
}

void schema_member_reference(struct json *json, const char *key, const char *definition)
{
    json_put_key(json, key);
    schema_put_reference(json, definition);
}

void schema_open_range(struct json *json, const char *type, double least, double most)
{
    json_begin_object(json);
    json_member_string(json, "type", type);
    if (!isnan(least))
        json_member_number(json, "minimum", least);
    if (!isnan(most))
        json_member_number(json, "maximum", most);
}

void schema_member_range(struct json *json, const char *key, const char *type, double least,
                         double most)
{
    json_put_key(json, key);
    schema_open_range(json, type, least, most);
    json_end_object(json);
}

void schema_member_above_zero(struct json *json, const char *key)
{
    json_member_object(json, key);
    json_member_string(json, "type", "number");
    json_member_number(json, "exclusiveMinimum", 0);
    json_end_object(json);
}

void schema_put_words(struct json *json, const char *const *words, size_t count)
{
    for (size_t i = 0; i < count; i++)
        json_put_string(json, words[i]);
}

void schema_member_words(struct json *json, const char *key, const char *const *words, size_t count)
{
    json_member_object(json, key);
    json_member_array(json, "enum");
    schema_put_words(json, words, count);
    json_end_array(json);
    json_end_object(json);
}

void schema_member_pattern(struct json *json, const char *key, const char *pattern)
{
    json_member_object(json, key);
    json_member_string(json, "type", "string");
    json_member_string(json, "pattern", pattern);
    json_end_object(json);
}

void schema_member_type(struct json *json, const char *key, const char *type)
{
    json_member_object(json, key);
    json_member_string(json, "type", type);
    json_end_object(json);
}

void schema_member_list(struct json *json, const char *key, int least, int most,
                        const char *definition)
{
    json_member_object(json, key);
    json_member_string(json, "type", "array");
    if (least > 0)
        json_member_integer(json, "minItems", least);
    if (most > 0)
        json_member_integer(json, "maxItems", most);
    schema_member_reference(json, "items", definition);
    json_end_object(json);
}

/* --- numbers of the tables ------------------------------------------------------------ */

static void open_weekdays(struct json *json)
{
    static const char *const days[] = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};
    json_begin_object(json);
    json_member_string(json, "type", "array");
    schema_member_words(json, "items", days, 7);
}

void schema_parameter(struct json *json, const struct parameter *parameter, bool mirrored)
{
    double value = mirrored ? parameter_mirrored(parameter, parameter->missing)
                            : parameter->missing;
    bool plain = parameter->kind == PARAMETER_WHOLE || parameter->kind == PARAMETER_NUMBER ||
                 parameter->kind == PARAMETER_RATIO;
    json_put_key(json, parameter_name(parameter, mirrored));
    if (parameter->kind == PARAMETER_WEEKDAYS)
        open_weekdays(json);
    else if (plain)
        schema_open_range(json, parameter->kind == PARAMETER_WHOLE ? "integer" : "number",
                          parameter->least, parameter->most);
    else
        schema_open_range(json, "string", NAN, NAN);
    if (parameter->kind == PARAMETER_CLOCK)
        json_member_string(json, "pattern", "^([01][0-9]|2[0-3]):[0-5][0-9]$");
    if (plain && !isnan(value))
        json_member_number(json, "default", value);
    json_member_string(json, "description", parameter->help);
    json_end_object(json);
}

void schema_parameters(struct json *json, const struct parameter *parameters, bool mirrored)
{
    size_t count = parameter_count(parameters);
    for (size_t i = 0; i < count; i++)
        schema_parameter(json, &parameters[i], mirrored);
}
