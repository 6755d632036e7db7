/* JSON as it is written, read back by Jansson: random trees come back as they
 * were, in both layouts. */
#include "base/json.h"

#include "base/random.h"

#include <jansson.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

/* The members of RFC 8259, section 13, and what else there can be. */
static void it_is_written_tightly(void **state)
{
    (void)state;
    struct text text;
    struct json json;
    text_init(&text);
    json_init(&json, &text, JSON_TIGHT);
    json_begin_object(&json);
    json_member_string(&json, "City", "SAN FRANCISCO");
    json_member_number(&json, "Latitude", 37.371991);
    json_member_number(&json, "Altitude", NAN);
    json_member_boolean(&json, "Animated", false);
    json_member_array(&json, "IDs");
    json_put_integer(&json, -116);
    json_put_unsigned(&json, UINT64_MAX);
    json_put_null(&json);
    json_put_number(&json, INFINITY);
    json_end_array(&json);
    json_member_object(&json, "none");
    json_end_object(&json);
    json_end_object(&json);
    assert_string_equal(text.bytes,
                        "{\"City\":\"SAN FRANCISCO\",\"Latitude\":37.371991,\"Altitude\":null,"
                        "\"Animated\":false,\"IDs\":[-116,18446744073709551615,null,null],"
                        "\"none\":{}}");
    text_free(&text);
}

static void rows_begin_lines(void **state)
{
    (void)state;
    struct text text;
    struct json json;
    text_init(&text);
    json_init(&json, &text, JSON_SPACED);
    json_begin_object(&json);
    json_put_key(&json, "rows");
    json_begin_lines(&json);
    for (int64_t i = 0; i < 2; i++) {
        json_begin_object(&json);
        json_member_integer(&json, "a", i);
        json_member_count(&json, "b", 7);
        json_end_object(&json);
    }
    json_end_array(&json);
    json_put_key(&json, "none");
    json_begin_lines(&json);
    json_end_array(&json);
    json_put_key(&json, "made");
    json_put_written(&json, "[1]", 3);
    json_end_object(&json);
    assert_string_equal(text.bytes,
                        "{\"rows\": [\n  {\"a\": 0, \"b\": 7},\n  {\"a\": 1, \"b\": 7}\n], "
                        "\"none\": [], \"made\": [1]}");
    text_free(&text);
}

static void members_begin_lines(void **state)
{
    (void)state;
    struct text text;
    struct json json;
    text_init(&text);
    json_init(&json, &text, JSON_SPACED);
    json_begin_members(&json);
    json_member_integer(&json, "a", 1);
    json_member_object(&json, "b");
    json_member_integer(&json, "c", 2);
    json_end_object(&json);
    json_put_key(&json, "none");
    json_begin_members(&json);
    json_end_object(&json);
    json_end_object(&json);
    assert_string_equal(text.bytes, "{\n  \"a\": 1,\n  \"b\": {\"c\": 2},\n  \"none\": {}\n}");
    text_free(&text);
}

static double random_number(struct random_stream *random)
{
    uint64_t bits = random_bits(random);
    double number = 0;
    memcpy(&number, &bits, sizeof number);
    return isfinite(number) ? number : 0.1;
}

static json_t *write_tree(struct json *json, struct random_stream *random, int depth);

static json_t *write_array(struct json *json, struct random_stream *random, int depth)
{
    json_t *array = json_array();
    if (random_below(random, 2) == 0)
        json_begin_array(json);
    else
        json_begin_lines(json);
    for (uint64_t left = random_below(random, 5); left > 0; left--)
        json_array_append_new(array, write_tree(json, random, depth + 1));
    json_end_array(json);
    return array;
}

static json_t *write_object(struct json *json, struct random_stream *random, int depth)
{
    json_t *object = json_object();
    json_begin_object(json);
    for (uint64_t left = random_below(random, 5); left > 0; left--) {
        char key[32];
        snprintf(key, sizeof key, "\"%llu\\\n", (unsigned long long)left);
        json_put_key(json, key);
        json_object_set_new(object, key, write_tree(json, random, depth + 1));
    }
    json_end_object(json);
    return object;
}

/* A random value into the writer and into a tree of Jansson's. */
static json_t *write_tree(struct json *json, struct random_stream *random, int depth)
{
    static const char *const words[] = {"", "a \"quoted\" \\ word", "line\nend\t", "\x01",
                                        "caf\xc3\xa9"};
    double number = random_number(random);
    int64_t integer = (int64_t)random_bits(random);
    const char *word = words[random_below(random, 5)];
    switch (random_below(random, depth > 5 ? 4 : 6)) {
    case 0: json_put_number(json, number); return json_real(number);
    case 1: json_put_integer(json, integer); return json_integer(integer);
    case 2: json_put_string(json, word); return json_string(word);
    case 3: json_put_boolean(json, integer > 0); return json_boolean(integer > 0);
    case 4: return write_array(json, random, depth);
    default: return write_object(json, random, depth);
    }
}

/* Numbers that are whole come back as integers: compared as doubles. */
static bool alike(const json_t *a, const json_t *b)
{
    const char *key = NULL;
    json_t *value = NULL;
    if (json_is_real(a) && json_is_number(b))
        return json_real_value(a) == json_number_value(b);
    if (json_is_array(a) && json_is_array(b)) {
        bool same = json_array_size(a) == json_array_size(b);
        for (size_t i = 0; same && i < json_array_size(a); i++)
            same = alike(json_array_get(a, i), json_array_get(b, i));
        return same;
    }
    if (!json_is_object(a) || !json_is_object(b))
        return json_equal(a, b) == 1;
    if (json_object_size(a) != json_object_size(b))
        return false;
    json_object_foreach((json_t *)(uintptr_t)a, key, value)
    {
        if (!alike(value, json_object_get(b, key)))
            return false;
    }
    return true;
}

static void random_trees_come_back(void **state)
{
    (void)state;
    struct random_stream random;
    struct text text;
    text_init(&text);
    for (uint64_t i = 0; i < 2000; i++) {
        struct json json;
        random_start(&random, 20260801, i);
        text_clear(&text);
        json_init(&json, &text, i % 2 == 0 ? JSON_TIGHT : JSON_SPACED);
        json_t *wanted = write_tree(&json, &random, 0);
        json_t *found = json_loads(text.bytes, JSON_DECODE_ANY | JSON_REJECT_DUPLICATES, NULL);
        assert_non_null(found);
        assert_true(alike(wanted, found));
        json_decref(wanted);
        json_decref(found);
    }
    text_free(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_is_written_tightly),
        cmocka_unit_test(rows_begin_lines),
        cmocka_unit_test(members_begin_lines),
        cmocka_unit_test(random_trees_come_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
