/* The place of an instrument, and a part of the names, are what a walk over all names
 * in C says. */
#define _DEFAULT_SOURCE /* mkdtemp */
#include "book/instrument_store.h"
#include "book/list_store.h"
#include "book/place_store.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { INSTRUMENTS = 52, MEMBERS = 25 };

static char folder[64];
static struct book *book;
static struct error error;

/* Instruments of one and two letters, in no order, and a list that has another. */
static int make_book(void **state)
{
    (void)state;
    char path[128];
    strcpy(folder, "/tmp/rushlight-place-XXXXXX");
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/book.sqlite", folder);
    assert_int_equal(book_open(&book, path, BOOK_WRITE, 0, &error), 0);
    assert_int_equal(book_begin(book, "test", &error), 0);
    for (int made = 0; made < INSTRUMENTS; made++) {
        struct instrument instrument;
        char name[3] = {(char)('a' + made * 7 % 26), made < 26 ? '\0' : (char)('A' + made % 26)};
        assert_true(instrument_init(&instrument, name));
        assert_int_equal(instrument_store_save(book, &instrument, &error), 0);
        if (made % 2 == 1 && made / 2 < MEMBERS)
            assert_int_equal(list_store_add(book, "some", name, LIST_ALWAYS, &error), 0);
    }
    /* A gap in the positions. */
    assert_int_equal(list_store_remove(book, "some", "h", LIST_ALWAYS, &error), 0);
    assert_int_equal(book_commit(book, &error), 0);
    return 0;
}

static int drop_book(void **state)
{
    (void)state;
    char command[160];
    assert_int_equal(book_close(book, &error), 0);
    snprintf(command, sizeof command, "rm -rf %s", folder);
    return system(command);
}

static void check_place(const char *list, char *const *names, size_t count, const char *name)
{
    struct place place;
    size_t at = 0;
    while (at < count && strcmp(names[at], name) != 0)
        at++;
    bool there = at < count;
    assert_int_equal(place_store_read(book, list, name, &place, &error), 0);
    assert_int_equal(place.count, count);
    assert_int_equal(place.at, there ? (int64_t)at : -1);
    assert_string_equal(place.before, there && at > 0 ? names[at - 1] : "");
    assert_string_equal(place.after, there ? (at + 1 < count ? names[at + 1] : "")
                                           : (count > 0 ? names[0] : ""));
    if (list == NULL)
        return;
    bool on = !there;
    assert_int_equal(place_store_is_on(book, list, name, &on, &error), 0);
    assert_int_equal(on, there);
}

static void free_names(char **names, size_t count)
{
    for (size_t i = 0; i < count; i++)
        free(names[i]);
    free(names);
}

static void tells_the_place(void **state)
{
    (void)state;
    struct instrument *all = NULL;
    char *names[INSTRUMENTS];
    char **members = NULL;
    size_t count = 0;
    size_t member_count = 0;
    bool found = false;
    assert_int_equal(instrument_store_all(book, &all, &count, &error), 0);
    assert_int_equal(count, INSTRUMENTS);
    for (size_t i = 0; i < count; i++)
        names[i] = all[i].name;
    assert_int_equal(list_store_members(book, "some", &members, &member_count, &found, &error), 0);
    assert_int_equal(member_count, MEMBERS - 1);
    for (size_t i = 0; i < count; i++) {
        check_place(NULL, names, count, names[i]);
        check_place("some", members, member_count, names[i]);
    }
    check_place(NULL, names, count, "");
    check_place(NULL, names, count, "none");
    check_place("some", members, member_count, "");
    check_place("nowhere", NULL, 0, "a");
    free_names(members, member_count);
    free(all);
}

static void check_names(const struct instrument *all, const char *part, size_t from, size_t most)
{
    char **names = NULL;
    size_t count = 0;
    size_t seen = 0;
    size_t put = 0;
    int64_t matching = 0;
    assert_int_equal(place_store_names(book, part, (int64_t)from, (int64_t)most, &names, &count,
                                       &matching, &error),
                     0);
    for (size_t i = 0; i < INSTRUMENTS; i++) {
        if (part != NULL && strstr(all[i].name, part) == NULL)
            continue;
        if (seen++ < from || put >= most)
            continue;
        assert_true(put < count);
        assert_string_equal(names[put++], all[i].name);
    }
    assert_int_equal(count, put);
    assert_int_equal(matching, seen);
    free_names(names, count);
}

static void reads_a_part_of_the_names(void **state)
{
    (void)state;
    static const char *const parts[] = {NULL, "a", "A", "aA", "%", "_", "zz"};
    struct instrument *all = NULL;
    size_t count = 0;
    assert_int_equal(instrument_store_all(book, &all, &count, &error), 0);
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++)
        for (size_t from = 0; from <= INSTRUMENTS + 10; from += 7)
            for (size_t most = 0; most <= 20; most += 10)
                check_names(all, parts[i], from, most);
    check_names(all, NULL, 0, INSTRUMENTS * 2);
    free(all);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tells_the_place),
        cmocka_unit_test(reads_a_part_of_the_names),
    };
    return cmocka_run_group_tests(tests, make_book, drop_book);
}
