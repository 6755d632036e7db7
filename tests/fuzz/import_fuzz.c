/* Whole imports into a book in memory, read as the first line says (said_line.h).
 * What is said to be added is there and obeys the rules of bars, what is refused
 * leaves nothing, the same file again is known as such, and the same bars in
 * another file add nothing. */
#define _GNU_SOURCE /* memfd_create */
#include "book/import.h"
#include "book/instrument_store.h"
#include "power_vfs.h"
#include "said_line.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* 14 November 2023: some of the dates that come along are later. */
enum { NOW = 1700000000 };

static struct book *book;

static void must(bool holds)
{
    if (!holds)
        abort();
}

/* The bars of the instrument, of all its series; the caller's to free. */
static void load(struct bars *bars)
{
    struct error error;
    struct instrument instrument;
    bool found = false;
    struct stored_series *series = NULL;
    size_t count = 0;
    bars_init(bars);
    must(instrument_store_find(book, "fuzz", &instrument, &found, &error) == ERROR_NONE);
    if (!found)
        return;
    must(bars_store_list(book, instrument.id, &series, &count, &error) == ERROR_NONE && count <= 1);
    for (size_t i = 0; i < count; i++) {
        must(bars_store_load(book, &series[i], INT64_MIN, INT64_MAX, bars, &error) == ERROR_NONE);
        must(bars->count == (size_t)series[i].count);
    }
    free(series);
}

static void check_bars(const struct bars *bars)
{
    for (size_t i = 0; i < bars->count; i++) {
        struct bar bar = bars_at(bars, i);
        char reason[BAR_REASON_SIZE];
        must(bar_fault(&bar, reason) == NULL && (i == 0 || bars->time[i - 1] < bar.time));
    }
}

static bool same_bars(const struct bars *a, const struct bars *b)
{
    size_t size = a->count * sizeof *a->close;
    return a->count == b->count &&
           (a->count == 0 ||
            (memcmp(a->time, b->time, a->count * sizeof *a->time) == 0 &&
             memcmp(a->open, b->open, size) == 0 && memcmp(a->high, b->high, size) == 0 &&
             memcmp(a->low, b->low, size) == 0 && memcmp(a->close, b->close, size) == 0));
}

static int import(int file, const struct said_line *said, struct import_result *result)
{
    const struct import_watch watch = {.context = NULL};
    const struct import_options options = {.instrument = "fuzz",
                                           .interval = said->interval,
                                           .zone = said->zone,
                                           .columns = said->columns != NULL ? &said->wishes : NULL,
                                           .columns_text = said->columns,
                                           .dates = said->dates,
                                           .now = NOW};
    struct error error = {0};
    char path[40];
    snprintf(path, sizeof path, "/proc/self/fd/%d", file);
    int code = import_file(book, path, &options, &watch, result, &error);
    must(code == ERROR_NONE || error.text[0] != '\0');
    return code;
}

/* The same file again; then one of the same lines and an empty one more, which has
 * another hash. */
static void import_again(int file, const struct said_line *said, const struct bars *before)
{
    struct import_result result = {0};
    struct bars after;
    must(import(file, said, &result) == ERROR_NONE && result.already && result.added == 0);
    must(write(file, "\n", 1) == 1);
    if (import(file, said, &result) == ERROR_NONE)
        must(!result.already && result.added == 0 && result.replaced == 0);
    load(&after);
    must(same_bars(before, &after));
    bars_free(&after);
}

static void import_all(int file, const struct said_line *said)
{
    struct import_result result = {0};
    struct bars bars;
    int code = import(file, said, &result);
    load(&bars);
    if (code != ERROR_NONE) {
        must(bars.count == 0);
    } else {
        must(bars.count == result.added && result.known == 0 && result.replaced == 0);
        check_bars(&bars);
        import_again(file, said, &bars);
    }
    bars_free(&bars);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct said_line said;
    struct error error;
    if (!said_line_read(&said, data, size))
        return 0;
    int file = memfd_create("prices", 0);
    must(file >= 0 && write(file, said.rest, said.rest_size) == (ssize_t)said.rest_size);
    power_vfs_begin();
    power_vfs_clear();
    must(book_open(&book, "book-in-memory", BOOK_WRITE, 0, &error) == ERROR_NONE);
    import_all(file, &said);
    must(book_close(book, &error) == ERROR_NONE);
    power_vfs_clear();
    close(file);
    said_line_free(&said);
    return 0;
}
