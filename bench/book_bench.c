/* A book of random instruments, for benchmarks of what reads books:
 *
 *   book_bench BOOK INSTRUMENTS BARS
 *
 * makes the book, with all of them in the list `all`. */
#include "book/bars_store.h"
#include "book/instrument_store.h"
#include "book/list_store.h"
#include "random_bars.h"

enum { AT_ONCE = 100 };

static void check(int code, const struct error *error)
{
    if (code != ERROR_NONE)
        die(error->text);
}

static void add_instrument(struct book *book, size_t number, size_t count)
{
    struct instrument instrument;
    struct error error = {0};
    struct bars bars;
    char name[32];
    struct bars_writer writer = {.book = book};
    snprintf(name, sizeof name, "walk%05zu", number);
    instrument_init(&instrument, name);
    instrument.tick_known = tick_from_number(&instrument.tick, 0.01);
    make_bars(&bars, count, number);
    check(instrument_store_save(book, &instrument, &error), &error);
    check(bars_store_find(book, instrument.id, bars.interval, true, &writer.series, &error),
          &error);
    check(bars_writer_begin(&writer, &error), &error);
    check(bars_writer_merge(&writer, &bars, &error), &error);
    bars_writer_finish(&writer);
    bars_free(&bars);
}

static void add_list(struct book *book, size_t count)
{
    struct error error = {0};
    char(*names)[32] = calloc(count, sizeof *names);
    const char **list = calloc(count, sizeof *list);
    if (names == NULL || list == NULL)
        die("out of memory");
    for (size_t i = 0; i < count; i++) {
        snprintf(names[i], sizeof names[i], "walk%05zu", i);
        list[i] = names[i];
    }
    check(book_begin(book, "book_bench", &error), &error);
    check(list_store_add_all(book, "all", list, count, LIST_ALWAYS, &error), &error);
    check(book_commit(book, &error), &error);
    free(names);
    free(list);
}

int main(int argc, char **argv)
{
    struct book *book = NULL;
    struct error error = {0};
    if (argc != 4)
        die("usage: book_bench BOOK INSTRUMENTS BARS");
    size_t instruments = (size_t)atol(argv[2]);
    size_t count = (size_t)atol(argv[3]);
    check(book_open(&book, argv[1], BOOK_WRITE, 10, &error), &error);
    for (size_t i = 0; i < instruments; i++) {
        if (i % AT_ONCE == 0)
            check(book_begin(book, "book_bench", &error), &error);
        add_instrument(book, i, count);
        if (i % AT_ONCE == AT_ONCE - 1 || i + 1 == instruments)
            check(book_commit(book, &error), &error);
    }
    add_list(book, instruments);
    check(book_close(book, &error), &error);
    return 0;
}
