/* A JSON Schema of setup files, made from the tables. */
#include "setup/setup_parts.h"

#include <math.h>

static void open_object(struct text *out, const char *key)
{
    text_append_format(out,
                       "\"%s\": {\"type\": \"object\", \"additionalProperties\": false, "
                       "\"properties\": {",
                       key);
}

static void number_range(struct text *out, const char *type, double least, double most)
{
    text_append_format(out, "{\"type\": \"%s\", \"minimum\": ", type);
    text_append_number(out, least);
    text_append(out, ", \"maximum\": ");
    text_append_number(out, most);
}

static void write_parameter(struct text *out, const struct parameter *parameter, bool mirrored)
{
    double value = mirrored ? parameter_mirrored(parameter, parameter->missing)
                            : parameter->missing;
    text_append_json(out, parameter_name(parameter, mirrored));
    text_append(out, ": ");
    switch (parameter->kind) {
    case PARAMETER_WEEKDAYS:
        text_append(out, "{\"type\": \"array\", \"items\": {\"enum\": [\"mon\", \"tue\", \"wed\", "
                         "\"thu\", \"fri\", \"sat\", \"sun\"]}");
        break;
    case PARAMETER_CLOCK:
        text_append(out, "{\"type\": \"string\", \"pattern\": \"^([01][0-9]|2[0-3]):[0-5][0-9]$\"");
        break;
    case PARAMETER_WORD: text_append(out, "{\"type\": \"string\""); break;
    case PARAMETER_WHOLE: number_range(out, "integer", parameter->least, parameter->most); break;
    case PARAMETER_NUMBER:
    case PARAMETER_RATIO: number_range(out, "number", parameter->least, parameter->most); break;
    }
    bool plain = parameter->kind == PARAMETER_WHOLE || parameter->kind == PARAMETER_NUMBER ||
                 parameter->kind == PARAMETER_RATIO;
    if (plain && !isnan(value)) {
        text_append(out, ", \"default\": ");
        text_append_number(out, value);
    }
    text_append(out, ", \"description\": ");
    text_append_json(out, parameter->help);
    text_append_char(out, '}');
}

void schema_parameters(struct text *out, const struct parameter *parameters, bool mirrored)
{
    size_t count = parameter_count(parameters);
    for (size_t i = 0; i < count; i++) {
        text_append(out, i > 0 ? ", " : "");
        write_parameter(out, &parameters[i], mirrored);
    }
}

/* The parameters of several rows, each name once. */
struct parameter_union {
    const struct parameter *lists[2 * 64];
    bool mirrored[2 * 64];
    size_t count;
};

static void add_parameters(struct parameter_union *all, const struct parameter *parameters,
                           bool mirrored)
{
    if (all->count == sizeof all->lists / sizeof *all->lists)
        return;
    all->lists[all->count] = parameters;
    all->mirrored[all->count++] = mirrored;
}

/* Whether one of the first `count` lists has this name already. */
static bool is_named(const struct parameter_union *all, size_t count, const char *name)
{
    for (size_t i = 0; i < count; i++)
        if (parameter_find(all->lists[i], name, all->mirrored[i]) < parameter_count(all->lists[i]))
            return true;
    return false;
}

static void write_union(struct text *out, const struct parameter_union *all, const char *separator)
{
    for (size_t i = 0; i < all->count; i++) {
        for (const struct parameter *p = all->lists[i]; p->name != NULL; p++) {
            if (is_named(all, i, parameter_name(p, all->mirrored[i])))
                continue;
            text_append(out, separator);
            write_parameter(out, p, all->mirrored[i]);
            separator = ", ";
        }
    }
}

static const char buffer_properties
    [] = "\"buffer_ticks\": {\"type\": \"number\", \"minimum\": 0, \"maximum\": 1000000}, "
         "\"buffer_atr\": {\"type\": \"number\", \"minimum\": 0, \"maximum\": 1000}";

static void write_condition(struct text *out, const struct condition *row, bool mirrored)
{
    bool compare = condition_is_compare(row);
    const char *more = compare || parameter_count(row->parameters) > 0 ? ", " : "";
    open_object(out, condition_name(row, mirrored));
    if (compare)
        schema_compare(out);
    else
        schema_parameters(out, row->parameters, mirrored);
    text_append_format(out,
                       "%s\"interval\": {\"$ref\": \"#/$defs/interval\"}, \"within\": "
                       "{\"type\": \"integer\", \"minimum\": 0, \"maximum\": 1000}}, "
                       "\"description\": ",
                       more);
    text_append_json(out, mirrored && row->mirror_help != NULL ? row->mirror_help : row->help);
    text_append_char(out, '}');
}

static void write_condition_definition(struct text *out)
{
    text_append(out, "\"condition\": {\"anyOf\": [{\"type\": \"string\"}, {\"type\": \"object\", "
                     "\"minProperties\": 1, \"maxProperties\": 1, \"additionalProperties\": false, "
                     "\"properties\": {\"any\": {\"type\": \"array\", \"minItems\": 1, \"items\": "
                     "{\"$ref\": \"#/$defs/condition\"}}, \"not\": {\"$ref\": "
                     "\"#/$defs/condition\"}");
    for (const struct condition *row = conditions; row->name != NULL; row++) {
        text_append(out, ",\n    ");
        write_condition(out, row, false);
        if (row->mirror_name != NULL) {
            text_append(out, ",\n    ");
            write_condition(out, row, true);
        }
    }
    text_append(out, "}}]}");
}

static void write_names(struct text *out, const char *name, const char *mirror_name, bool first)
{
    text_append(out, first ? "" : ", ");
    text_append_json(out, name);
    if (mirror_name != NULL) {
        text_append(out, ", ");
        text_append_json(out, mirror_name);
    }
}

static void write_candle_definition(struct text *out)
{
    struct parameter_union all = {.count = 0};
    text_append(out, "\"shape\": {\"enum\": [");
    for (const struct shape *row = shapes; row->name != NULL; row++) {
        write_names(out, row->name, row->mirror_name, row == shapes);
        add_parameters(&all, row->limits, false);
        add_parameters(&all, row->limits, true);
    }
    text_append(out, "]},\n  ");
    open_object(out, "limits");
    write_union(out, &all, "");
    text_append(out, "}},\n  \"candle\": {\"type\": \"object\", \"additionalProperties\": false, "
                     "\"properties\": {\"shape\": {\"$ref\": \"#/$defs/shape\"}, \"limits\": "
                     "{\"$ref\": \"#/$defs/limits\"}, \"any_of\": {\"type\": \"array\", "
                     "\"minItems\": 1, \"items\": {\"anyOf\": [{\"$ref\": \"#/$defs/shape\"}, ");
    text_append(out, "{\"type\": \"object\", \"required\": [\"shape\"], "
                     "\"additionalProperties\": false, \"properties\": {\"shape\": {\"$ref\": "
                     "\"#/$defs/shape\"}, \"limits\": {\"$ref\": \"#/$defs/limits\"}}}]}}}}");
}

static void write_entry_definition(struct text *out)
{
    static const char of_property[] = "\"of\": {\"enum\": [\"retracement\", \"trend_line\", "
                                      "\"swing_high\", \"swing_low\"]}";
    struct parameter_union all = {.count = 0};
    text_append(out, "\"entry\": {\"type\": \"object\", \"required\": [\"on\"], "
                     "\"additionalProperties\": false, \"properties\": {\"on\": {\"enum\": [");
    for (const struct entry *row = entries; row->name != NULL; row++) {
        write_names(out, row->name, row->mirror_name, row == entries);
        add_parameters(&all, row->parameters, false);
    }
    text_append(out, "]}, \"valid\": {\"type\": \"integer\", \"minimum\": 1, \"maximum\": 1000, "
                     "\"default\": 1}, \"at\": {\"enum\": [\"next_open\", \"close\"]}, \"late\": "
                     "{\"enum\": [\"skip\", \"take\"]}, \"largest_gap_atr\": {\"type\": "
                     "\"number\", \"minimum\": 0, \"maximum\": 1000}, \"least_room_r\": {\"type\": "
                     "\"number\", \"minimum\": 0, \"maximum\": 1000}, ");
    text_append_format(out, "%s, %s", buffer_properties, of_property);
    write_union(out, &all, ", ");
    for (const struct entry *row = entries; row->name != NULL; row++) {
        if (row->kind != ENTRY_RETEST)
            continue;
        text_append(out, ", ");
        open_object(out, "retest");
        text_append_format(out, "%s, ", of_property);
        schema_parameters(out, row->parameters, false);
        text_append(out, "}}");
    }
    text_append(out, "}}");
}

static void write_stop_definition(struct text *out)
{
    struct parameter_union all = {.count = 0};
    text_append(out, "\"stop\": {\"type\": \"object\", \"required\": [\"at\"], "
                     "\"additionalProperties\": false, \"properties\": {\"at\": {\"enum\": "
                     "[\"lower_of\", \"higher_of\"");
    for (const struct stop *row = stops; row->name != NULL; row++) {
        write_names(out, row->name, row->mirror_name, false);
        add_parameters(&all, row->parameters, false);
    }
    text_append_format(out,
                       "]}, \"of\": {\"type\": \"array\", \"items\": {\"$ref\": "
                       "\"#/$defs/stop\"}}, %s",
                       buffer_properties);
    write_union(out, &all, ", ");
    text_append(out, "}}");
}

static void write_exit_definition(struct text *out)
{
    text_append(out,
                "\"exit\": {\"type\": \"object\", \"additionalProperties\": false, "
                "\"minProperties\": 1, \"properties\": {\"targets\": {\"type\": \"array\", "
                "\"items\": {\"type\": \"object\", \"additionalProperties\": false, "
                "\"properties\": {\"r\": {\"type\": \"number\", \"exclusiveMinimum\": 0}, "
                "\"level\": {\"type\": \"number\", \"minimum\": 0}, \"extension\": {\"type\": "
                "\"number\", \"minimum\": 0}, \"share\": {\"type\": \"number\", "
                "\"exclusiveMinimum\": 0, \"maximum\": 1}}}}, \"time_limit\": {\"type\": "
                "\"integer\", \"minimum\": 1}, \"break_even_at_r\": {\"type\": \"number\", "
                "\"minimum\": 0}, \"trail\": {\"type\": \"object\", \"minProperties\": 1, "
                "\"maxProperties\": 1, \"additionalProperties\": false, \"properties\": "
                "{\"swing_low\": {\"type\": [\"object\", \"null\"]}, \"swing_high\": {\"type\": "
                "[\"object\", \"null\"]}, \"atr\": {\"type\": [\"object\", \"null\"]}}}, \"when\": "
                "{\"type\": \"array\", \"items\": {\"$ref\": \"#/$defs/condition\"}}}}");
}

static void write_costs_properties(struct text *out)
{
    open_object(out, "costs");
    for (int i = 0; i < 6; i++)
        text_append_format(out, "%s\"%s\": {\"type\": \"number\", \"minimum\": 0}",
                           i > 0 ? ", " : "", cost_words[i]);
    text_append(out, "}}");
}

void setup_schema(struct text *out)
{
    text_append(
        out,
        "{\"$schema\": \"https://json-schema.org/draft/2020-12/schema\",\n"
        "\"title\": \"rushlight setup file\",\n\"type\": \"object\",\n"
        "\"additionalProperties\": false,\n\"anyOf\": [{\"required\": [\"mirror_of\"]}, "
        "{\"required\": [\"setup\", \"side\", \"candle\", \"entry\", \"stop\", "
        "\"exit\"]}],\n\"properties\": {\n"
        "  \"setup\": {\"type\": \"string\", \"pattern\": \"^[a-z0-9-]{1,60}(-mirrored)?$\"},\n"
        "  \"title\": {\"type\": \"string\"},\n"
        "  \"family\": {\"type\": \"string\", \"pattern\": \"^[a-z0-9-]{1,60}(-mirrored)?$\"},\n"
        "  \"mirror_of\": {\"type\": \"string\"},\n"
        "  \"side\": {\"enum\": [\"long\", \"short\"]},\n"
        "  \"interval\": {\"$ref\": \"#/$defs/interval\"},\n"
        "  \"candle\": {\"$ref\": \"#/$defs/candle\"},\n"
        "  \"place\": {\"type\": \"array\", \"maxItems\": 32, \"items\": {\"$ref\": "
        "\"#/$defs/condition\"}},\n"
        "  \"confirm\": {\"type\": \"object\", \"required\": [\"of\"], "
        "\"additionalProperties\": false, \"properties\": {\"at_least\": {\"type\": "
        "\"integer\", \"minimum\": 1}, \"wait\": {\"type\": \"integer\", \"minimum\": 0}, "
        "\"of\": {\"type\": \"array\", \"minItems\": 1, \"maxItems\": 16, \"items\": "
        "{\"$ref\": \"#/$defs/condition\"}}}},\n"
        "  \"entry\": {\"$ref\": \"#/$defs/entry\"},\n"
        "  \"stop\": {\"$ref\": \"#/$defs/stop\"},\n"
        "  \"exit\": {\"$ref\": \"#/$defs/exit\"},\n  ");
    write_costs_properties(out);
    text_append(out, ",\n  \"same_bar\": {\"enum\": [\"nearest\", \"worst\", \"best\", "
                     "\"finer\"]},\n  \"overlap\": {\"enum\": [\"one\", \"all\"]},\n"
                     "  \"worth_r\": {\"type\": \"number\", \"minimum\": 0}\n},\n\"$defs\": {\n"
                     "  \"interval\": {\"type\": \"string\", \"pattern\": "
                     "\"^[0-9]+(m|h|d|w|mo)$\"},\n  ");
    write_candle_definition(out);
    text_append(out, ",\n  ");
    write_condition_definition(out);
    text_append(out, ",\n  ");
    schema_compared(out);
    text_append(out, ",\n  ");
    write_entry_definition(out);
    text_append(out, ",\n  ");
    write_stop_definition(out);
    text_append(out, ",\n  ");
    write_exit_definition(out);
    text_append(out, "\n}}\n");
}
