/* The glossary that the program holds is docs/glossary.md, whole: each head of that file
 * is an entry with its meaning and its source, in order and once. */
#include "answer/glossary.h"

#include "answer/catalogue_rows.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include <cmocka.h>

enum { LINE = 1024 };

/* The next line of the file that begins so; false at its end. */
static bool next_line(FILE *file, const char *begins, char line[LINE])
{
    while (fgets(line, LINE, file) != NULL) {
        assert_non_null(strchr(line, '\n'));
        line[strcspn(line, "\n")] = '\0';
        if (strncmp(line, begins, strlen(begins)) == 0)
            return true;
    }
    return false;
}

static void has_every_entry_of_the_file(void **state)
{
    char line[LINE];
    char last[GLOSSARY_TERM_SIZE] = "";
    struct glossary_entry entry;
    const char *place = glossary_file;
    size_t count = 0;
    FILE *file = fopen(TEST_DATA "/../../docs/glossary.md", "r");
    (void)state;
    assert_non_null(file);
    while (next_line(file, "## ", line)) {
        assert_true(glossary_next(&place, &entry));
        assert_string_equal(entry.term, line + 3);
        assert_true(strlen(line + 3) < GLOSSARY_TERM_SIZE - 1);
        assert_true(strcasecmp(last, entry.term) < 0);
        strcpy(last, entry.term);
        assert_non_null(fgets(line, LINE, file));
        line[strcspn(line, "\n")] = '\0';
        assert_string_equal(entry.meaning, line);
        assert_true(next_line(file, "Source: ", line));
        assert_string_equal(entry.source, line + 8);
        count++;
    }
    assert_false(glossary_next(&place, &entry));
    assert_true(count > 30);
    fclose(file);
}

static void take(void *context, const struct catalogue_entry *entry)
{
    strcpy(context, entry->table);
}

static void finds_words_and_rows(void **state)
{
    char table[32] = "";
    (void)state;
    assert_true(catalogue_one("MEAN r", take, table));
    assert_string_equal(table, "words");
    assert_true(catalogue_one("rsi_above", take, table));
    assert_string_equal(table, "conditions");
    assert_false(catalogue_one("mean", take, table));
    assert_false(catalogue_one("", take, table));
}

static void anchors_are_letters(void **state)
{
    struct text anchor;
    (void)state;
    text_init(&anchor);
    glossary_anchor(&anchor, "mean R");
    assert_string_equal(anchor.bytes, "w-mean-r");
    text_free(&anchor);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(has_every_entry_of_the_file),
        cmocka_unit_test(finds_words_and_rows),
        cmocka_unit_test(anchors_are_letters),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
