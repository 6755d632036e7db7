/* A JSON Schema of setup files, made from the tables. */
#include "setup/schema_parts.h"

#include <math.h>

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

static void write_union(struct json *json, const struct parameter_union *all)
{
    for (size_t i = 0; i < all->count; i++)
        for (const struct parameter *p = all->lists[i]; p->name != NULL; p++)
            if (!is_named(all, i, parameter_name(p, all->mirrored[i])))
                schema_parameter(json, p, all->mirrored[i]);
}

static void put_names(struct json *json, const char *name, const char *mirror_name)
{
    json_put_string(json, name);
    if (mirror_name != NULL)
        json_put_string(json, mirror_name);
}

static void write_buffers(struct json *json)
{
    schema_member_range(json, "buffer_ticks", "number", 0, 1000000);
    schema_member_range(json, "buffer_atr", "number", 0, 1000);
}

/* --- conditions ------------------------------------------------------------------------ */

static void write_condition(struct json *json, const struct condition *row, bool mirrored)
{
    schema_open_member(json, condition_name(row, mirrored));
    if (condition_is_compare(row))
        schema_compare(json);
    else
        schema_parameters(json, row->parameters, mirrored);
    schema_member_reference(json, "interval", "interval");
    schema_member_range(json, "within", "integer", 0, 1000);
    json_end_object(json);
    json_member_string(json, "description",
                       mirrored && row->mirror_help != NULL ? row->mirror_help : row->help);
    json_end_object(json);
}

static void write_condition_definition(struct json *json)
{
    json_member_object(json, "condition");
    json_member_array(json, "anyOf");
    schema_open_range(json, "string", NAN, NAN);
    json_end_object(json);
    json_begin_object(json);
    json_member_string(json, "type", "object");
    json_member_integer(json, "minProperties", 1);
    json_member_integer(json, "maxProperties", 1);
    json_member_boolean(json, "additionalProperties", false);
    json_put_key(json, "properties");
    json_begin_members(json);
    schema_member_list(json, "any", 1, 0, "condition");
    schema_member_reference(json, "not", "condition");
    for (const struct condition *row = conditions; row->name != NULL; row++) {
        write_condition(json, row, false);
        if (row->mirror_name != NULL)
            write_condition(json, row, true);
    }
    json_end_object(json);
    json_end_object(json);
    json_end_array(json);
    json_end_object(json);
}

/* --- candle ------------------------------------------------------------------------------ */

static void write_candle_keys(struct json *json)
{
    schema_member_reference(json, "shape", "shape");
    schema_member_reference(json, "limits", "limits");
}

/* One of several shapes: its name, or the name with limits of its own. */
static void write_any_of(struct json *json)
{
    json_member_object(json, "any_of");
    json_member_string(json, "type", "array");
    json_member_integer(json, "minItems", 1);
    json_member_object(json, "items");
    json_member_array(json, "anyOf");
    schema_put_reference(json, "shape");
    schema_open_map(json);
    write_candle_keys(json);
    json_end_object(json);
    json_member_array(json, "required");
    json_put_string(json, "shape");
    json_end_array(json);
    json_end_object(json);
    json_end_array(json);
    json_end_object(json);
    json_end_object(json);
}

static void write_candle_definitions(struct json *json)
{
    struct parameter_union all = {.count = 0};
    json_member_object(json, "shape");
    json_member_array(json, "enum");
    for (const struct shape *row = shapes; row->name != NULL; row++) {
        put_names(json, row->name, row->mirror_name);
        add_parameters(&all, row->limits, false);
        add_parameters(&all, row->limits, true);
    }
    json_end_array(json);
    json_end_object(json);
    schema_open_member(json, "limits");
    write_union(json, &all);
    schema_close_map(json);
    schema_open_member(json, "candle");
    write_candle_keys(json);
    write_any_of(json);
    schema_close_map(json);
}

/* --- entry, stop, exit --------------------------------------------------------------------- */

static void write_broken_level(struct json *json)
{
    static const char *const levels[] = {"retracement", "trend_line", "swing_high", "swing_low"};
    schema_member_words(json, "of", levels, 4);
}

static void write_entry_words(struct json *json, struct parameter_union *all)
{
    json_member_object(json, "on");
    json_member_array(json, "enum");
    for (const struct entry *row = entries; row->name != NULL; row++) {
        put_names(json, row->name, row->mirror_name);
        add_parameters(all, row->parameters, false);
    }
    json_end_array(json);
    json_end_object(json);
}

static void write_valid(struct json *json)
{
    json_put_key(json, "valid");
    schema_open_range(json, "integer", 1, 1000);
    json_member_integer(json, "default", 1);
    json_end_object(json);
}

/* Ends a map one of whose keys has to be there. */
static void close_requiring(struct json *json, const char *key)
{
    json_end_object(json);
    json_member_array(json, "required");
    json_put_string(json, key);
    json_end_array(json);
    json_end_object(json);
}

static void write_entry_definition(struct json *json)
{
    struct parameter_union all = {.count = 0};
    schema_open_member(json, "entry");
    write_entry_words(json, &all);
    write_valid(json);
    schema_member_words(json, "at", at_words, 2);
    schema_member_words(json, "late", late_words, 2);
    schema_member_range(json, "largest_gap_atr", "number", 0, 1000);
    schema_member_range(json, "least_room_r", "number", 0, 1000);
    write_buffers(json);
    write_broken_level(json);
    write_union(json, &all);
    for (const struct entry *row = entries; row->name != NULL; row++) {
        if (row->kind != ENTRY_RETEST)
            continue;
        schema_open_member(json, "retest");
        write_broken_level(json);
        schema_parameters(json, row->parameters, false);
        schema_close_map(json);
    }
    close_requiring(json, "on");
}

static void write_stop_definition(struct json *json)
{
    struct parameter_union all = {.count = 0};
    schema_open_member(json, "stop");
    json_member_object(json, "at");
    json_member_array(json, "enum");
    schema_put_words(json, lower_of_words, 2);
    for (const struct stop *row = stops; row->name != NULL; row++) {
        put_names(json, row->name, row->mirror_name);
        add_parameters(&all, row->parameters, false);
    }
    json_end_array(json);
    json_end_object(json);
    schema_member_list(json, "of", 0, 0, "stop");
    write_buffers(json);
    write_union(json, &all);
    close_requiring(json, "at");
}

static void write_targets(struct json *json)
{
    json_member_object(json, "targets");
    json_member_string(json, "type", "array");
    schema_open_member(json, "items");
    for (const struct target_kind *row = target_kinds; row->name != NULL; row++) {
        if (target_is_r(row)) /* no target lies at the fill itself */
            schema_member_above_zero(json, row->name);
        else
            schema_parameter(json, &row->number, false);
        if (row->mirror_name != NULL)
            schema_parameter(json, &row->number, true);
    }
    json_member_object(json, "share");
    json_member_string(json, "type", "number");
    json_member_number(json, "exclusiveMinimum", 0);
    json_member_number(json, "maximum", 1);
    json_end_object(json);
    schema_close_map(json);
    json_end_object(json);
}

/* What a trail's numbers are left to may be said by its name alone. */
static void write_trail_way(struct json *json, const struct trail *row, const char *name)
{
    json_member_object(json, name);
    json_member_array(json, "type");
    json_put_string(json, "object");
    json_put_string(json, "null");
    json_end_array(json);
    json_member_boolean(json, "additionalProperties", false);
    json_member_object(json, "properties");
    schema_parameters(json, row->parameters, false);
    json_end_object(json);
    json_end_object(json);
}

static void write_trail(struct json *json)
{
    schema_open_member(json, "trail");
    for (const struct trail *row = trails; row->name != NULL; row++) {
        write_trail_way(json, row, row->name);
        if (row->mirror_name != NULL)
            write_trail_way(json, row, row->mirror_name);
    }
    json_end_object(json);
    json_member_integer(json, "minProperties", 1);
    json_member_integer(json, "maxProperties", 1);
    json_end_object(json);
}

static void write_exit_definition(struct json *json)
{
    schema_open_member(json, "exit");
    write_targets(json);
    schema_member_range(json, "time_stop", "integer", 1, NAN);
    schema_member_range(json, "break_even_at_r", "number", 0, NAN);
    write_trail(json);
    schema_member_list(json, "when", 0, 0, "condition");
    json_end_object(json);
    json_member_integer(json, "minProperties", 1);
    json_end_object(json);
}

/* --- the whole ------------------------------------------------------------------------------- */

static void write_confirm(struct json *json)
{
    schema_open_member(json, "confirm");
    schema_member_range(json, "at_least", "integer", 1, NAN);
    schema_member_range(json, "wait", "integer", 0, NAN);
    schema_member_list(json, "of", 1, 16, "condition");
    close_requiring(json, "of");
}

static void write_costs(struct json *json)
{
    schema_open_member(json, "costs");
    for (int i = 0; i < 6; i++)
        schema_member_range(json, cost_words[i], "number", 0, NAN);
    schema_close_map(json);
}

static void write_properties(struct json *json)
{
    static const char name[] = "^[a-z0-9-]{1,60}(-mirrored)?$";
    static const char *const same_bar[] = {"nearest", "worst", "best", "finer"};
    json_put_key(json, "properties");
    json_begin_members(json);
    schema_member_pattern(json, "setup", name);
    schema_member_type(json, "title", "string");
    schema_member_pattern(json, "family", name);
    schema_member_type(json, "mirror_of", "string");
    schema_member_words(json, "side", side_words, 2);
    schema_member_reference(json, "interval", "interval");
    schema_member_reference(json, "candle", "candle");
    schema_member_list(json, "place", 0, 32, "condition");
    write_confirm(json);
    schema_member_reference(json, "entry", "entry");
    schema_member_reference(json, "stop", "stop");
    schema_member_reference(json, "exit", "exit");
    write_costs(json);
    schema_member_words(json, "same_bar", same_bar, 4);
    schema_member_words(json, "overlap", overlap_words, 2);
    schema_member_range(json, "least_mean_r", "number", 0, NAN);
    json_end_object(json);
}

static void write_definitions(struct json *json)
{
    json_put_key(json, "$defs");
    json_begin_members(json);
    schema_member_pattern(json, "interval", "^[0-9]+(m|h|d|w|month)$");
    write_candle_definitions(json);
    write_condition_definition(json);
    schema_compared(json);
    write_entry_definition(json);
    write_stop_definition(json);
    write_exit_definition(json);
    json_end_object(json);
}

/* A whole setup, or the mirror of one. */
static void write_needed(struct json *json)
{
    static const char *const whole[] = {"setup", "side", "candle", "entry", "stop", "exit"};
    json_member_array(json, "anyOf");
    json_begin_object(json);
    json_member_array(json, "required");
    json_put_string(json, "mirror_of");
    json_end_array(json);
    json_end_object(json);
    json_begin_object(json);
    json_member_array(json, "required");
    schema_put_words(json, whole, 6);
    json_end_array(json);
    json_end_object(json);
    json_end_array(json);
}

void setup_schema(struct text *out)
{
    struct json json;
    json_init(&json, out, JSON_SPACED);
    json_begin_members(&json);
    json_member_string(&json, "$schema", "https://json-schema.org/draft/2020-12/schema");
    json_member_string(&json, "title", "rushlight setup file");
    json_member_string(&json, "type", "object");
    json_member_boolean(&json, "additionalProperties", false);
    write_needed(&json);
    write_properties(&json);
    write_definitions(&json);
    json_end_object(&json);
    text_append_char(out, '\n');
}
