/* The JSON Schema of the condition `compare`. */
#include "setup/setup_parts.h"

static void write_names(struct text *out)
{
    text_append(out, "{\"enum\": [");
    for (const struct comparable *row = comparables; comparable_name(row) != NULL; row++) {
        text_append(out, row == comparables ? "" : ", ");
        text_append_json(out, comparable_name(row));
    }
    text_append(out, "]}");
}

/* A name, or a map of it with its numbers. */
static void write_side(struct text *out, bool number)
{
    text_append(out, "{\"anyOf\": [");
    text_append(out, number ? "{\"type\": \"number\"}, " : "");
    write_names(out);
    text_append(out, ", {\"type\": \"object\", \"minProperties\": 1, \"maxProperties\": 1, "
                     "\"additionalProperties\": false, \"properties\": {");
    for (const struct comparable *row = comparables; comparable_name(row) != NULL; row++) {
        text_append(out, row == comparables ? "" : ", ");
        text_append_json(out, comparable_name(row));
        text_append(out, ": {\"type\": \"object\", \"additionalProperties\": false, "
                         "\"properties\": {");
        schema_parameters(out, comparable_parameters(row), false);
        text_append(out, parameter_count(comparable_parameters(row)) > 0 ? ", " : "");
        text_append(out, "\"bars_ago\": {\"type\": \"integer\", \"minimum\": 0, \"maximum\": "
                         "10000}, \"of\": {\"type\": \"string\"}, \"interval\": {\"$ref\": "
                         "\"#/$defs/interval\"}}}");
    }
    text_append(out, "}}]}");
}

void schema_compare(struct text *out)
{
    text_append(out, "\"value\": {\"$ref\": \"#/$defs/compared\"}");
    for (int way = WAY_ABOVE; way <= WAY_FALLS_FOR; way++)
        text_append_format(out, ", \"%s\": %s", compare_way_words[way],
                           way >= WAY_RISES_FOR
                               ? "{\"type\": \"integer\", \"minimum\": 1, \"maximum\": 1000}"
                               : "{\"$ref\": \"#/$defs/compared_with\"}");
    for (int by = BY_UNITS; by <= BY_TICKS; by++)
        text_append_format(out, ", \"%s\": {\"type\": \"number\", \"exclusiveMinimum\": 0}",
                           compare_by_words[by]);
}

void schema_compared(struct text *out)
{
    text_append(out, "\"compared\": ");
    write_side(out, false);
    text_append(out, ",\n  \"compared_with\": ");
    write_side(out, true);
}
