/* A file read on a thread of its own tells the same, in the same order, and ends
 * with the same error wherever the sink says no; the hash of what was read is
 * that of the file. By comparison with the plain reading. */
#define _POSIX_C_SOURCE 200809L /* mkstemp, fdopen */
#include "prices/csv.h"
#include "prices/csv_apart.h"
#include "prices/file_hash.h"

#include "base/text.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

/* Some blocks, so that the reader gets as far ahead as it may. */
enum { LINES = 60000 };

static char path[] = "/tmp/rushlight-apart-XXXXXX";

/* What was told, a line each, and when to say no. */
struct told {
    struct text text;
    long calls;
    long no_at; /* the call that is refused; -1: none */
};

static int answer(struct told *told, struct error *error)
{
    return told->calls++ == told->no_at ? error_set(error, ERROR_MACHINE, "no room") : ERROR_NONE;
}

static int begin(void *context, const struct csv_facts *facts, struct error *error)
{
    struct told *told = context;
    text_append_format(&told->text, "begin %d %d\n", (int)facts->interval.unit, facts->dated);
    return answer(told, error);
}

static int take_bars(void *context, const struct bars *block, struct error *error)
{
    struct told *told = context;
    double sum = 0;
    for (size_t i = 0; i < block->count; i++)
        sum += block->close[i] * (double)(i + 1);
    text_append_format(&told->text, "bars %zu %lld %.17g %d\n", block->count,
                       (long long)block->time[0], sum, (int)block->interval.unit);
    return answer(told, error);
}

static int take_fault(void *context, const struct csv_fault *fault, struct error *error)
{
    struct told *told = context;
    text_append_format(&told->text, "%llu: %s | %s\n", (unsigned long long)fault->line,
                       fault->reason, fault->text);
    return answer(told, error);
}

static int progress(void *context, uint64_t done, uint64_t size, struct error *error)
{
    struct told *told = context;
    text_append_format(&told->text, "%llu of %llu\n", (unsigned long long)done,
                       (unsigned long long)size);
    return answer(told, error);
}

static int write_file(void **state)
{
    (void)state;
    int file = mkstemp(path);
    FILE *stream = file >= 0 ? fdopen(file, "w") : NULL;
    if (stream == NULL)
        return -1;
    fprintf(stream, "time,open,high,low,close\n");
    for (long i = 0; i < LINES; i++) {
        long minute = i % 1440;
        /* Every 7,000th line is no bar, so that faults stand between blocks. */
        fprintf(stream, "2024-%02ld-%02ld %02ld:%02ld,10,%s,9,%ld.5\n", 1 + i / 1440 / 28,
                1 + i / 1440 % 28, minute / 60, minute % 60, i % 7000 == 6999 ? "x" : "12",
                9 + i % 3);
    }
    return fclose(stream);
}

static int remove_file(void **state)
{
    (void)state;
    return unlink(path);
}

typedef int reading(const char *path, const struct csv_options *options,
                    const struct csv_sink *sink, struct csv_summary *summary, struct error *error);

static int read_with(reading *read, struct told *told, long no_at, struct csv_summary *summary,
                     struct error *error)
{
    const struct csv_options options = {.interval = {INTERVAL_NONE, 0}};
    const struct csv_sink sink = {told, begin, take_bars, take_fault, progress};
    *told = (struct told){.no_at = no_at};
    text_init(&told->text);
    error->text[0] = '\0';
    return read(path, &options, &sink, summary, error);
}

static void tells_the_same_and_stops_alike(void **state)
{
    (void)state;
    long calls = 1;
    for (long no_at = -1; no_at < calls; no_at++) {
        struct told plain, apart;
        struct csv_summary first, second;
        struct error error, other;
        int code = read_with(csv_read_file, &plain, no_at, &first, &error);
        int code_apart = read_with(csv_read_file_apart, &apart, no_at, &second, &other);
        assert_int_equal(code, no_at < 0 ? ERROR_NONE : ERROR_MACHINE);
        assert_int_equal(code, code_apart);
        assert_string_equal(plain.text.bytes, apart.text.bytes);
        assert_string_equal(error.text, other.text);
        if (no_at < 0) {
            calls = plain.calls;
            assert_true(calls > 30);
            assert_int_equal(first.lines, second.lines);
            assert_int_equal(first.bars, second.bars);
            assert_int_equal(first.set_aside, 8);
            assert_int_equal(second.set_aside, 8);
        }
        text_free(&plain.text);
        text_free(&apart.text);
    }
}

static void a_file_that_is_none_is_the_same_error(void **state)
{
    (void)state;
    const struct csv_options options = {.interval = {INTERVAL_NONE, 0}};
    struct told told = {.no_at = -1};
    const struct csv_sink sink = {&told, begin, take_bars, take_fault, progress};
    struct csv_summary summary;
    struct error error, other;
    assert_int_equal(csv_read_file("/nowhere.csv", &options, &sink, &summary, &error),
                     csv_read_file_apart("/nowhere.csv", &options, &sink, &summary, &other));
    assert_string_equal(error.text, other.text);
    assert_int_equal(told.calls, 0);
}

static void what_was_read_hashes_as_the_file(void **state)
{
    (void)state;
    struct file_hasher *hasher = file_hasher_new();
    const struct csv_options options = {.interval = {INTERVAL_NONE, 0}, .hasher = hasher};
    struct told told = {.no_at = -1};
    const struct csv_sink sink = {&told, begin, take_bars, take_fault, progress};
    struct csv_summary summary;
    struct error error;
    char hash[FILE_HASH_SIZE], read[FILE_HASH_SIZE];
    uint64_t size, seen;
    assert_non_null(hasher);
    text_init(&told.text);
    assert_int_equal(file_hash(path, hash, &size, &error), ERROR_NONE);
    /* Twice: what was seen before counts once. */
    for (int pass = 0; pass < 2; pass++) {
        assert_int_equal(csv_read_file_apart(path, &options, &sink, &summary, &error), ERROR_NONE);
        file_hasher_end(hasher, read, &seen);
        assert_string_equal(read, hash);
        assert_int_equal(seen, size);
    }
    file_hasher_free(hasher);
    text_free(&told.text);
}

static void bytes_that_overlap_count_once(void **state)
{
    (void)state;
    struct file_hasher *whole = file_hasher_new();
    struct file_hasher *pieces = file_hasher_new();
    char a[FILE_HASH_SIZE], b[FILE_HASH_SIZE];
    uint64_t size_a, size_b;
    file_hasher_take(whole, 0, "abcdefghij", 10);
    file_hasher_take(pieces, 0, "abcd", 4);
    file_hasher_take(pieces, 0, "abcdef", 6);
    file_hasher_take(pieces, 2, "cd", 2);
    file_hasher_take(pieces, 3, "defghij", 7);
    file_hasher_end(whole, a, &size_a);
    file_hasher_end(pieces, b, &size_b);
    assert_string_equal(a, b);
    assert_int_equal(size_a, size_b);
    file_hasher_free(whole);
    file_hasher_free(pieces);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tells_the_same_and_stops_alike),
        cmocka_unit_test(a_file_that_is_none_is_the_same_error),
        cmocka_unit_test(what_was_read_hashes_as_the_file),
        cmocka_unit_test(bytes_that_overlap_count_once),
    };
    return cmocka_run_group_tests(tests, write_file, remove_file);
}
