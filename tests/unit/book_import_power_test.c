/* Whole imports through power cuts, failing writes and full disks: of each file
 * the bars, the lines set aside, the revisions and the record are in the book
 * together or not at all. What SQLite promises of unsynced writes:
 * https://www.sqlite.org/atomiccommit.html */
#define _GNU_SOURCE /* mkdtemp */
#include "book/import.h"
#include "power_run.h"

#include <math.h>
#include <setjmp.h>
#include <sqlite3.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

/* Bars of a minute; some of the lines break a rule. */
struct prices {
    const char *name;
    int first;
    int count;
    int odd;      /* one line in so many breaks a rule; 0: none */
    int salt;     /* other prices for the same minutes */
    int adjusted; /* bars before this one are halved */
    bool observations;
};

/* Each file is one step. */
static const struct {
    struct prices prices;
    const char *instrument;
    bool replace;
    struct import_result expected;
} files[] = {
    /* Content: more than one chunk of the book. */
    {{.name = "pine.csv", .count = 1500, .odd = 500},
     "pine",
     false,
     {.lines = 1500, .set_aside = 3, .added = 1497}},
    /* New bars, lines set aside, and bars that contradict. */
    {{.name = "more.csv", .first = 1490, .count = 1200, .odd = 7, .salt = 1},
     "pine",
     false,
     {.lines = 1200, .set_aside = 171, .added = 1020, .kept_out = 9}},
    /* Bars that are there with other prices, now taken instead. */
    {{.name = "instead.csv", .first = 1200, .count = 200, .odd = 9, .salt = 2},
     "pine",
     true,
     {.lines = 200, .set_aside = 23, .added = 1, .replaced = 176}},
    /* A file that has been adjusted since, with one of the bars set aside. */
    {{.name = "adjusted.csv", .first = 100, .count = 1000, .adjusted = 900},
     "pine",
     false,
     {.lines = 1000, .added = 2, .known = 998}},
    /* Another instrument, from observations; a later file goes on with the last
     * bar. */
    {{.name = "fir.csv", .count = 603, .odd = 50, .observations = true},
     "fir",
     false,
     {.lines = 603, .set_aside = 12, .added = 121}},
    {{.name = "fir-on.csv", .first = 603, .count = 300, .observations = true},
     "fir",
     false,
     {.lines = 300, .added = 61}},
};

enum { FILES = sizeof files / sizeof files[0] };

static char folder[] = "/tmp/rushlight-test-XXXXXX";

static void path_of(char path[300], int which)
{
    snprintf(path, 300, "%s/%s", folder, files[which].prices.name);
}

static double price_at(const struct prices *p, int i, int which)
{
    return 100 + (double)((i * 7919 + (which + p->salt * 10) * 104729) % 997) / 50;
}

static bool write_prices(const struct prices *p, const char *path)
{
    FILE *out = fopen(path, "w");
    if (out == NULL)
        return false;
    fprintf(out, p->observations ? "time,price,volume\n" : "time,open,high,low,close,volume\n");
    for (int i = p->first; i < p->first + p->count; i++) {
        double close = price_at(p, i, 1);
        double open = price_at(p, i, 2);
        double high = fmax(open, close) + 1;
        double low = fmin(open, close) - 1;
        double by = i < p->adjusted ? 2 : 1;
        bool odd = p->odd > 0 && i % p->odd == p->odd / 2;
        fprintf(out, "%lld", 1000000000LL / 60 * 60 + i * 60LL);
        if (p->observations && odd)
            fprintf(out, ",none,%d\n", i % 90);
        else if (p->observations)
            fprintf(out, ",%.4f,%d\n", close, i % 90);
        else
            fprintf(out, ",%.4f,%.4f,%.4f,%.4f,%d\n", open / by, (odd ? low - 1 : high) / by,
                    low / by, close / by, i % 90);
    }
    return fclose(out) == 0;
}

static int import_one(struct book *book, int which, struct import_result *result,
                      struct error *error)
{
    char path[300];
    const struct import_watch watch = {.context = NULL};
    const struct import_options options = {.instrument = files[which].instrument,
                                           .replace = files[which].replace,
                                           .interval = {INTERVAL_MINUTE,
                                                        files[which].prices.observations ? 5 : 1},
                                           .now = 1500000000 + which};
    path_of(path, which);
    return import_file(book, path, &options, &watch, result, error);
}

/* With next to no memory for pages, so that files as small as these are on the
 * disk in part before they are kept, as large ones are. */
static int step(struct book *book, int which, struct error *error)
{
    struct import_result result;
    sqlite3_exec(book_handle(book), "PRAGMA cache_size = 4", NULL, NULL, NULL);
    return import_one(book, which, &result, error);
}

static struct power_run run = {.step = step, .count = FILES};

static int learn(void **state)
{
    (void)state;
    char path[300];
    bool right = mkdtemp(folder) != NULL;
    for (int i = 0; right && i < FILES; i++) {
        path_of(path, i);
        right = write_prices(&files[i].prices, path);
    }
    if (right && !power_run_learn(&run)) {
        print_error("%s\n", run.failure.text);
        right = false;
    }
    return right ? 0 : -1;
}

static int forget(void **state)
{
    (void)state;
    char path[300];
    power_run_forget(&run);
    for (int i = 0; i < FILES; i++) {
        path_of(path, i);
        unlink(path);
    }
    return rmdir(folder);
}

/* The files do what they are here for. */
static void each_file_brings_what_it_should(void **state)
{
    (void)state;
    struct book *book;
    struct error error;
    power_vfs_clear();
    assert_int_equal(book_open(&book, POWER_BOOK, BOOK_WRITE, 0, &error), ERROR_NONE);
    for (int i = 0; i < FILES; i++) {
        const struct import_result *expected = &files[i].expected;
        struct import_result found;
        if (import_one(book, i, &found, &error) != ERROR_NONE)
            fail_msg("%s", error.text);
        assert_int_equal(found.readjusted, files[i].prices.adjusted > 0);
        assert_int_equal(found.lines, expected->lines);
        assert_int_equal(found.set_aside, expected->set_aside);
        assert_int_equal(found.added, expected->added);
        assert_int_equal(found.known, expected->known);
        assert_int_equal(found.replaced, expected->replaced);
        assert_int_equal(found.kept_out, expected->kept_out);
    }
    assert_int_equal(book_close(book, &error), ERROR_NONE);
}

static void survives_power_cuts(void **state)
{
    (void)state;
    assert_true(run.writes > 100);
    if (!power_run_survives(&run, POWER_CUT, 1))
        fail_msg("%s", run.failure.text);
}

/* A write or sync that fails, alone or with all after it. */
static void survives_failing_writes(void **state)
{
    (void)state;
    if (!power_run_survives(&run, POWER_FULL_ONCE, 1) || !power_run_survives(&run, POWER_FULL, 1))
        fail_msg("%s", run.failure.text);
}

/* The same of a book that is written without a log beside it. */
static void survives_power_cuts_while_it_is_filled(void **state)
{
    (void)state;
    power_run_forget(&run);
    run.fill = true;
    if (!power_run_learn(&run) || !power_run_survives(&run, POWER_CUT, 1))
        fail_msg("%s", run.failure.text);
}

/* With any argument at every place, which takes minutes. */
int main(int argc, char **argv)
{
    (void)argv;
    run.every = argc > 1;
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_file_brings_what_it_should),
        cmocka_unit_test(survives_power_cuts),
        cmocka_unit_test(survives_failing_writes),
        cmocka_unit_test(survives_power_cuts_while_it_is_filled),
    };
    return cmocka_run_group_tests(tests, learn, forget);
}
