/* Differences of two setups, told from texts whose differences are known, and
 * from every pair of shipped setups: the same both ways, none with itself. */
#include "setup/difference.h"

#include "base/text.h"
#include "setup/setup.h"

#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static int append(void *context, const char *part, const char *first, const char *second,
                  struct error *error)
{
    (void)error;
    text_append_format(context, "%s|%s|%s\n", part, first != NULL ? first : "-",
                       second != NULL ? second : "-");
    return ERROR_NONE;
}

static void differ(const char *first, const char *second, const char *expected)
{
    struct text text;
    struct error error;
    text_init(&text);
    if (setup_differences(first, second, append, &text, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    char *found = text_take(&text);
    assert_string_equal(found, expected);
    free(found);
}

static void tells_every_kind(void **state)
{
    (void)state;
    differ("side: long\n", "side: long\n", "");
    differ("side: long\nleast_mean_r: 0.2\n", "least_mean_r: 0.3\nfamily: f\n",
           "side|long|-\nleast_mean_r|0.2|0.3\nfamily|-|f\n");
    /* The same number in two places, one of them changed. */
    differ("entry: {on: a, buffer_ticks: 1}\nstop: {at: b, buffer_ticks: 2}\n",
           "entry: {on: a, buffer_ticks: 2}\nstop: {at: b, buffer_ticks: 2}\n",
           "entry.buffer_ticks|1|2\n");
    /* Criteria by name, wherever they stand; the second of a name is its own. */
    differ("place:\n  - x: {n: 1}\n  - y: {n: 5}\n  - x: {n: 2}\n",
           "place:\n  - x: {n: 1}\n  - x: {n: 3}\n  - z: {n: 1, m: 2}\n  - y: {n: 5}\n",
           "place.x.2.n|2|3\nplace.z|-|{n: 1, m: 2}\n");
    differ("exit: {targets: [{r: 1, share: 1}]}\n",
           "exit: {targets: [{r: 2, share: 0.5}, {r: 3, share: 0.5}]}\n",
           "exit.targets.1.r|1|2\nexit.targets.1.share|1|0.5\n"
           "exit.targets.2|-|{r: 3, share: 0.5}\n");
    /* Of another kind; and a long one by its parts. */
    differ("a: {b: 1}\n", "a: [1, 2]\n", "a|{b: 1}|[1, 2]\n");
    differ("confirm: {at_least: 1, of: [{abcdefghij: {length: 14, level: 30}}, "
           "{klmnopqrst: {length: 9}}]}\n",
           "side: long\n",
           "confirm.at_least|1|-\nconfirm.of.abcdefghij|{length: 14, level: 30}|-\n"
           "confirm.of.klmnopqrst|{length: 9}|-\nside|-|long\n");
}

enum { MOST_SETUPS = 64 };

static size_t read_shipped(char **texts)
{
    size_t count = 0;
    DIR *folder = opendir(SHIPPED_SETUPS);
    assert_non_null(folder);
    for (struct dirent *entry; (entry = readdir(folder)) != NULL && count < MOST_SETUPS;) {
        char path[512];
        struct setup setup;
        struct text text;
        struct error error;
        if (strstr(entry->d_name, ".yaml") == NULL)
            continue;
        snprintf(path, sizeof path, SHIPPED_SETUPS "/%s", entry->d_name);
        assert_int_equal(setup_read_file(&setup, path, &error), ERROR_NONE);
        text_init(&text);
        setup_write(&setup, &text);
        texts[count++] = text_take(&text);
        setup_free(&setup);
    }
    closedir(folder);
    assert_true(count > 10);
    return count;
}

static int count_swapped(void *context, const char *part, const char *first, const char *second,
                         struct error *error)
{
    (void)part;
    (void)error;
    ((size_t *)context)[0] += first != NULL;
    ((size_t *)context)[1] += second != NULL;
    return ERROR_NONE;
}

static void is_the_same_both_ways(void **state)
{
    (void)state;
    char *texts[MOST_SETUPS];
    struct error error;
    size_t count = read_shipped(texts);
    for (size_t i = 0; i < count; i++) {
        for (size_t j = 0; j < count; j++) {
            size_t there[2] = {0, 0};
            size_t back[2] = {0, 0};
            assert_int_equal(setup_differences(texts[i], texts[j], count_swapped, there, &error),
                             ERROR_NONE);
            assert_int_equal(setup_differences(texts[j], texts[i], count_swapped, back, &error),
                             ERROR_NONE);
            assert_true(there[0] == back[1] && there[1] == back[0]);
            assert_int_equal(i == j, there[0] + there[1] == 0);
        }
    }
    for (size_t i = 0; i < count; i++)
        free(texts[i]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tells_every_kind),
        cmocka_unit_test(is_the_same_both_ways),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
