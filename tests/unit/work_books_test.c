/* One work opens the book no oftener than it has threads, stops when it is told
 * to, and leaves another work in another thread alone. The calls of book_open are
 * counted by the linker's --wrap. */
#define _DEFAULT_SOURCE /* mkdtemp */
#include "base/calendar.h"
#include "base/random.h"
#include "book/import.h"
#include "cli/command_line.h"
#include "work/check.h"
#include "work/rules.h"

#include <math.h>
#include <pthread.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { INSTRUMENTS = 40, THREADS = 3, DAYS = 365, FIRST_DAY = 18628 /* 2021-01-01 */ };

static atomic_int opened_books;

int __real_book_open(struct book **book, const char *path, enum book_mode mode, int wait_seconds,
                     struct error *error);
int __wrap_book_open(struct book **book, const char *path, enum book_mode mode, int wait_seconds,
                     struct error *error);

int __wrap_book_open(struct book **book, const char *path, enum book_mode mode, int wait_seconds,
                     struct error *error)
{
    atomic_fetch_add(&opened_books, 1);
    return __real_book_open(book, path, mode, wait_seconds, error);
}

static char folder[] = "/tmp/rushlight-work-XXXXXX";
static char path[64];
static char names[INSTRUMENTS][16];

/* A year of invented days. */
static int write_prices(const char *file)
{
    struct random_stream stream;
    double close = 100;
    FILE *out = fopen(file, "w");
    if (out == NULL)
        return -1;
    random_start(&stream, 20260706, 0);
    fprintf(out, "date,open,high,low,close\n");
    for (int64_t day = 0; day < DAYS; day++) {
        char date[CALENDAR_TEXT_SIZE];
        double open = close;
        close += random_unit(&stream) * 4 - 2;
        time_format(date, (FIRST_DAY + day) * SECONDS_PER_DAY, true);
        fprintf(out, "%s,%.2f,%.2f,%.2f,%.2f\n", date, open,
                fmax(open, close) + random_unit(&stream), fmin(open, close) - random_unit(&stream),
                close);
    }
    return fclose(out);
}

static int make(void **state)
{
    struct book *book = NULL;
    struct error error = {0};
    char prices[96];
    (void)state;
    if (mkdtemp(folder) == NULL)
        return -1;
    snprintf(path, sizeof path, "%s/book.sqlite", folder);
    snprintf(prices, sizeof prices, "%s/prices.csv", folder);
    if (write_prices(prices) != 0)
        return -1;
    int code = book_open(&book, path, BOOK_WRITE, 10, &error);
    for (int i = 0; i < INSTRUMENTS && code == ERROR_NONE; i++) {
        struct import_result result;
        snprintf(names[i], sizeof names[i], "market%02d", i);
        struct import_options options = {.instrument = names[i], .tick = 0.01};
        code = import_file(book, prices, &options, &(struct import_watch){0}, &result, &error);
    }
    if (code != ERROR_NONE)
        fprintf(stderr, "%s\n", error.text);
    book_close(book, &error);
    return code;
}

static int unmake(void **state)
{
    char command[96];
    (void)state;
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    return system(command);
}

static struct wishes wishes_for(const char *const *words, int threads)
{
    struct wishes wishes;
    wishes_init(&wishes);
    wishes.book = path;
    wishes.words = words;
    wishes.word_count = INSTRUMENTS;
    wishes.threads = threads;
    return wishes;
}

static void all_words(const char *words[INSTRUMENTS])
{
    for (int i = 0; i < INSTRUMENTS; i++)
        words[i] = names[i];
}

/* Runs a command over all instruments and returns how often it opened the book. */
static int opens_of(const char *threads, const char *const *words, int count, int *status)
{
    char *arguments[INSTRUMENTS + 16] = {(char *)"rushlight", (char *)"--book", path,
                                         (char *)"--threads", (char *)threads,  (char *)"--quiet"};
    int used = 6;
    for (int i = 0; i < count; i++)
        arguments[used++] = (char *)words[i];
    for (int i = 0; i < INSTRUMENTS; i++)
        arguments[used++] = names[i];
    FILE *out = fopen("/dev/null", "w");
    FILE *messages = fopen("/dev/null", "w");
    assert_non_null(out);
    assert_non_null(messages);
    atomic_store(&opened_books, 0);
    *status = command_line(used, arguments, out, messages);
    fclose(out);
    fclose(messages);
    return atomic_load(&opened_books);
}

static void a_command_opens_the_book_once_a_thread(void **state)
{
    static const char setup[] = SHIPPED_SETUPS "/low-inverted-hammer.yaml";
    static const char *const rows[][4] = {{"check"},
                                          {"scan", "--all", "--setup", setup},
                                          {"trades", "--setup", setup},
                                          {"study", "--resamples=200", "--setup", setup}};
    static const int counts[] = {1, 4, 3, 4};
    (void)state;
    for (size_t c = 0; c < sizeof rows / sizeof rows[0]; c++) {
        for (int threads = 1; threads <= THREADS; threads += THREADS - 1) {
            char text[8];
            int status = 0;
            snprintf(text, sizeof text, "%d", threads);
            int opens = opens_of(text, rows[c], counts[c], &status);
            assert_int_equal(status, 0);
            assert_in_range(opens, 1, threads + 1);
        }
    }
}

/* --- stopping ---------------------------------------------------------------------- */

static int take_nothing(void *context, const struct checked *checked, struct error *error)
{
    (void)checked;
    (void)error;
    ++*(int *)context;
    return ERROR_NONE;
}

static void a_work_that_is_stopped_ends(void **state)
{
    const char *words[INSTRUMENTS];
    atomic_bool stop = true;
    struct work *work = NULL;
    struct error error = {0};
    int taken = 0;
    (void)state;
    all_words(words);
    const struct wishes wishes = wishes_for(words, THREADS);
    assert_int_equal(work_open(&work, &wishes, &(struct voice){.stop = &stop}, &error), 0);
    assert_int_equal(check_each(work, (char *const *)words, INSTRUMENTS, take_nothing, &taken,
                                &error),
                     ERROR_STOPPED);
    assert_int_equal(taken, 0);
    assert_int_equal(work_close(work, ERROR_STOPPED, &error), ERROR_STOPPED);
}

/* --- two works at once ------------------------------------------------------------- */

/* What one work found, and what it was told. */
struct errand {
    int64_t to;
    const struct setup *setup;
    size_t signals;
    size_t bars;
    size_t instruments;
    double progress;
    int code;
};

static int find(const struct rules_case *opened, const void *context, void *result,
                struct error *error)
{
    (void)context;
    return signals_find(&opened->view, 0, SIZE_MAX, true, result, error);
}

static int take(const struct rules_case *opened, void *context, void *result, struct error *error)
{
    struct errand *errand = context;
    const struct signals *signals = result;
    (void)error;
    errand->signals += signals->count;
    errand->bars += opened->series.bars.count;
    errand->instruments++;
    return ERROR_NONE;
}

static void clear(void *result)
{
    signals_free(result);
}

static void hear_progress(void *context, double done)
{
    struct errand *errand = context;
    errand->progress = done;
}

static void *run_errand(void *context)
{
    struct errand *errand = context;
    const char *words[INSTRUMENTS];
    const struct rules_job job = {.result_size = sizeof(struct signals),
                                  .work = find,
                                  .take = take,
                                  .clear = clear,
                                  .context = errand};
    const struct voice voice = {.progress = hear_progress, .context = errand};
    struct work *work = NULL;
    struct error error = {0};
    all_words(words);
    struct wishes wishes = wishes_for(words, 2);
    wishes.to = errand->to;
    errand->code = work_open(&work, &wishes, &voice, &error);
    if (errand->code == ERROR_NONE)
        errand->code = rules_each(work, errand->setup, &job, &error);
    errand->code = work_close(work, errand->code, &error);
    return NULL;
}

/* Each finds together with the other what it finds alone; the thread sanitizer
 * runs this too. */
static void two_works_at_once_are_strangers(void **state)
{
    struct setup setup;
    struct error error = {0};
    (void)state;
    assert_int_equal(rules_read("any-bar-at-a-low", NULL, SHIPPED_SETUPS, &setup, &error), ERROR_NONE);
    int64_t half = 0;
    bool date_only = false;
    assert_true(time_parse("2021-06-30", 10, &half, &date_only));
    struct errand alone[2] = {{.to = INT64_MAX, .setup = &setup}, {.to = half, .setup = &setup}};
    struct errand together[2] = {alone[0], alone[1]};
    pthread_t threads[2];
    for (int i = 0; i < 2; i++)
        run_errand(&alone[i]);
    for (int i = 0; i < 2; i++)
        assert_int_equal(pthread_create(&threads[i], NULL, run_errand, &together[i]), 0);
    for (int i = 0; i < 2; i++)
        assert_int_equal(pthread_join(threads[i], NULL), 0);
    for (int i = 0; i < 2; i++) {
        assert_int_equal(together[i].code, ERROR_NONE);
        assert_int_equal(together[i].instruments, INSTRUMENTS);
        assert_int_equal(together[i].signals, alone[i].signals);
        assert_int_equal(together[i].bars, alone[i].bars);
        assert_true(together[i].progress == 1);
    }
    assert_true(alone[0].signals > alone[1].signals && alone[1].signals > 0);
    assert_true(alone[1].bars > 0 && alone[1].bars < alone[0].bars);
    setup_free(&setup);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_command_opens_the_book_once_a_thread),
        cmocka_unit_test(a_work_that_is_stopped_ends),
        cmocka_unit_test(two_works_at_once_are_strangers),
    };
    return cmocka_run_group_tests(tests, make, unmake);
}
