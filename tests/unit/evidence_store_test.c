/* The ledger, the seal and frozen setups. */
#define _DEFAULT_SOURCE /* fork, mkdtemp */
#include "base/random.h"
#include "evidence/evidence_store.h"

#include <math.h>
#include <setjmp.h>
#include <signal.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

enum { DAYS = 200 };

struct fixture {
    char folder[64];
    char path[96];
    struct setup setup[3];
    struct instrument instrument[2];
    struct bars bars;
    struct study_series series[2];
    struct date_grid grid;
};

static void write_setup(char *text, size_t size, int which)
{
    snprintf(text, size,
             "setup: try-%d\nfamily: %s\nside: long\ncandle: {shape: hammer}\n"
             "entry: {on: next_open}\nstop: {at: candle_low}\n"
             "exit: {targets: [{r: %d, share: 1}]}\n",
             which, which < 2 ? "first" : "second", which + 1);
}

static int make(void **state)
{
    static struct fixture fixture;
    struct error error;
    *state = &fixture;
    strcpy(fixture.folder, "/tmp/rushlight-ledger-XXXXXX");
    if (mkdtemp(fixture.folder) == NULL)
        return -1;
    snprintf(fixture.path, sizeof fixture.path, "%s/book.sqlite", fixture.folder);
    for (int i = 0; i < 3; i++) {
        char text[512];
        write_setup(text, sizeof text, i);
        if (setup_read(&fixture.setup[i], "test", text, strlen(text), &error) != 0)
            return -1;
    }
    for (int64_t d = 0; d < DAYS; d++) {
        struct bar bar = {d * 86400, 10, 11, 9, 10, NAN};
        bars_append(&fixture.bars, &bar, &error);
    }
    instrument_init(&fixture.instrument[0], "reed");
    instrument_init(&fixture.instrument[1], "sedge");
    for (int i = 0; i < 2; i++)
        fixture.series[i] = (struct study_series){.instrument = &fixture.instrument[i],
                                                  .bars = &fixture.bars};
    return study_grid(&fixture.grid, fixture.series, 2, &error);
}

static int unmake(void **state)
{
    struct fixture *fixture = *state;
    char command[160];
    for (int i = 0; i < 3; i++)
        setup_free(&fixture->setup[i]);
    bars_free(&fixture->bars);
    date_grid_free(&fixture->grid);
    snprintf(command, sizeof command, "rm -rf '%s'", fixture->folder);
    return system(command);
}

/* What a rule can read is part of the data: volume and the length of the bars
 * too. Bars of unknown volume are the same whoever says so. */
static void test_the_hash_of_data(void **state)
{
    const struct fixture *fixture = *state;
    struct error error = {0};
    struct bars bars;
    char whole[HASH_TEXT_SIZE];
    char other[HASH_TEXT_SIZE];
    assert_int_equal(bars_slice(&bars, &fixture->bars, 0, DAYS, &error), 0);
    struct study_series series = {.instrument = &fixture->instrument[0], .bars = &bars};
    assert_int_equal(hash_series(whole, &series, 1, &error), 0);
    bars.volume[DAYS / 2] = -NAN;
    assert_int_equal(hash_series(other, &series, 1, &error), 0);
    assert_string_equal(other, whole);
    bars.volume[DAYS / 2] = 100;
    assert_int_equal(hash_series(other, &series, 1, &error), 0);
    assert_string_not_equal(other, whole);
    bars.volume[DAYS / 2] = NAN;
    bars.interval = (struct interval){INTERVAL_WEEK, 1};
    assert_int_equal(hash_series(other, &series, 1, &error), 0);
    assert_string_not_equal(other, whole);
    bars_free(&bars);
}

static struct book *open_book(const struct fixture *fixture)
{
    struct book *book = NULL;
    struct error error = {0};
    if (book_open(&book, fixture->path, BOOK_WRITE, 5, &error) != 0)
        fail_msg("%s", error.text);
    return book;
}

static void close_book(struct book *book)
{
    struct error error = {0};
    assert_int_equal(book_close(book, &error), 0);
}

static int64_t enter(const struct fixture *fixture, struct book *book, int which, size_t series)
{
    struct error error = {0};
    int64_t id = 0;
    const struct ledger_entry entry = {.kind = TRIAL_STUDY,
                                       .setup = &fixture->setup[which],
                                       .series = fixture->series,
                                       .series_count = series,
                                       .seed = 7,
                                       .now = 1000 + which};
    assert_int_equal(ledger_enter(book, &entry, &id, &error), 0);
    return id;
}

static void finish(const struct fixture *fixture, struct book *book, int64_t id, double shift)
{
    size_t date[DAYS];
    double r[DAYS];
    struct random_stream stream;
    struct error error = {0};
    struct estimate mean;
    const struct estimate_plan plan = {.resamples = 999, .seed = 1, .threads = 1};
    random_start(&stream, (uint64_t)id, 0);
    for (size_t d = 0; d < DAYS; d++) {
        date[d] = d;
        r[d] = shift + random_normal(&stream);
    }
    const struct arm arm = {DAYS, date, r, NULL};
    assert_int_equal(estimate_mean(&mean, DAYS, &arm, &plan, &error), 0);
    const struct closed_trades closed = {DAYS, date, r};
    assert_int_equal(ledger_finish(book, id, &mean, &fixture->grid, &closed, &error), 0);
}

/* A trial is in the ledger before it is finished, and stays there when the
 * program is killed in between. */
static void test_survives_a_kill(void **state)
{
    const struct fixture *fixture = *state;
    struct ledger ledger;
    struct error error = {0};
    pid_t child = fork();
    if (child == 0) {
        enter(fixture, open_book(fixture), 0, 2);
        raise(SIGKILL);
    }
    int status = 0;
    waitpid(child, &status, 0);
    assert_true(WIFSIGNALED(status));
    struct book *book = open_book(fixture);
    assert_int_equal(ledger_read(&ledger, book, NULL, &error), 0);
    assert_int_equal(ledger.count, 1);
    assert_false(ledger.lines[0].finished);
    assert_string_equal(ledger.lines[0].setup, "try-0");
    assert_string_equal(ledger.lines[0].instruments, "reed\nsedge");
    assert_true(isnan(ledger.lines[0].mean_r));
    assert_int_equal(ledger.lines[0].last, (DAYS - 1) * 86400);
    ledger_free(&ledger);
    close_book(book);
}

/* The same try again counts once; another family, and data that do not
 * overlap, count apart; nothing can be removed. */
static void test_counts_trials(void **state)
{
    struct fixture *fixture = *state;
    struct study_trials trials;
    struct error error = {0};
    const struct estimate_plan plan = {.resamples = 999, .seed = 1, .threads = 1};
    struct book *book = open_book(fixture);
    int64_t first = enter(fixture, book, 0, 2);
    finish(fixture, book, first, 0);
    assert_int_equal(ledger_trials(&trials, book, first, &fixture->grid, &plan, &error), 0);
    assert_int_equal(trials.family, 1);
    int64_t good = enter(fixture, book, 1, 2);
    finish(fixture, book, good, 0.5);
    int64_t other = enter(fixture, book, 2, 2);
    finish(fixture, book, other, 0);
    int64_t again = enter(fixture, book, 1, 2);
    finish(fixture, book, again, 0.5);
    assert_int_equal(ledger_trials(&trials, book, again, &fixture->grid, &plan, &error), 0);
    assert_int_equal(trials.family, 2);
    assert_int_equal(trials.all, 3);
    assert_true(trials.p_adjusted < 0.01 && trials.p_reality_check < 0.01);
    assert_int_equal(ledger_trials(&trials, book, first, &fixture->grid, &plan, &error), 0);
    assert_true(trials.p_reality_check > 0.01);
    struct bars later;
    bars_slice(&later, &fixture->bars, 0, DAYS, &error);
    for (size_t i = 0; i < later.count; i++)
        later.time[i] += 100 * DAYS * INT64_C(86400);
    struct study_series elsewhere = {.instrument = &fixture->instrument[0], .bars = &later};
    const struct ledger_entry entry = {.kind = TRIAL_STUDY,
                                       .setup = &fixture->setup[1],
                                       .series = &elsewhere,
                                       .series_count = 1};
    int64_t apart = 0;
    assert_int_equal(ledger_enter(book, &entry, &apart, &error), 0);
    assert_int_equal(ledger_trials(&trials, book, apart, &fixture->grid, &plan, &error), 0);
    assert_int_equal(trials.all, 1);
    bars_free(&later);
    assert_int_equal(book_begin(book, "test", &error), 0);
    assert_int_not_equal(book_run(book, "DELETE FROM trial", &error), 0);
    book_rollback(book);
    close_book(book);
}

/* What a book before version 12 noted as the hash of one series: XXH128, at one
 * stroke, over name, first bar, times, open, high, low and close. */
static void hash_of_before(char hash[HASH_TEXT_SIZE], const struct study_series *series)
{
    static char bytes[DAYS * 5 * 8 + 64];
    const struct bars *bars = series->bars;
    const void *const columns[] = {bars->time, bars->open, bars->high, bars->low, bars->close};
    size_t length = strlen(series->instrument->name) + 1;
    memcpy(bytes, series->instrument->name, length);
    memcpy(bytes + length, &series->first, sizeof series->first);
    length += sizeof series->first;
    for (size_t i = 0; i < 5; i++, length += DAYS * sizeof(double))
        memcpy(bytes + length, columns[i], DAYS * sizeof(double));
    hash_text(hash, bytes, length);
}

/* A trial noted before volume and the length of bars belonged to the data is the
 * same trial as one on the same bars now; two that differ in volume are two. */
static void test_a_trial_of_before_is_no_other(void **state)
{
    struct fixture *fixture = *state;
    const struct estimate_plan plan = {.resamples = 99, .seed = 1, .threads = 1};
    struct error error = {0};
    struct study_trials trials;
    struct ledger ledger;
    char former[HASH_TEXT_SIZE];
    char sql[200];
    struct bars bars;
    int64_t id = 0;
    struct book *book = open_book(fixture);
    assert_int_equal(bars_slice(&bars, &fixture->bars, 0, DAYS, &error), 0);
    for (size_t i = 0; i < bars.count; i++)
        bars.time[i] += 1000 * DAYS * INT64_C(86400); /* apart from all other trials */
    const struct study_series series = {.instrument = &fixture->instrument[0], .bars = &bars};
    const struct ledger_entry entry = {.kind = TRIAL_STUDY,
                                       .setup = &fixture->setup[0],
                                       .series = &series,
                                       .series_count = 1};
    assert_int_equal(ledger_enter(book, &entry, &id, &error), 0);
    hash_of_before(former, &series);
    snprintf(sql, sizeof sql,
             "UPDATE trial SET data_hash = '%s', former_hash = NULL WHERE id = %lld", former,
             (long long)id);
    assert_int_equal(book_run(book, sql, &error), 0);
    assert_int_equal(ledger_enter(book, &entry, &id, &error), 0);
    assert_int_equal(ledger_trials(&trials, book, id, &fixture->grid, &plan, &error), 0);
    assert_int_equal(trials.all, 1);
    bars.volume[DAYS / 2] = 100;
    assert_int_equal(ledger_enter(book, &entry, &id, &error), 0);
    assert_int_equal(ledger_trials(&trials, book, id, &fixture->grid, &plan, &error), 0);
    assert_int_equal(trials.all, 2);
    assert_int_equal(ledger_read(&ledger, book, NULL, &error), 0);
    const struct ledger_line *last = &ledger.lines[ledger.count - 1];
    assert_string_equal(last->former_hash, former);
    assert_true(ledger_same_data(last - 2, last));
    assert_false(ledger_same_data(last - 1, last));
    ledger_free(&ledger);
    bars_free(&bars);
    close_book(book);
}

/* A study noted in words that are no longer used is one of the same setup; what the
 * setup was shown by otherwise is no study. */
static void test_a_setup_in_former_words_is_the_same(void **state)
{
    static const char rule[] = "setup: old\nside: long\ncandle: {shape: hammer}\n"
                               "place: [{close_above_average: {bars: 20}}]\n"
                               "entry: {on: next_open}\nstop: {at: candle_low}\n"
                               "exit: {targets: [{r: 2, share: 1}]}\n";
    struct fixture *fixture = *state;
    struct error error = {0};
    struct ledger ledger;
    struct setup setup;
    struct text text;
    char hash[HASH_TEXT_SIZE];
    int64_t id = 0;
    struct book *book = open_book(fixture);
    if (setup_read(&setup, "test", rule, strlen(rule), &error) != 0)
        fail_msg("%s", error.text);
    struct ledger_entry entry = {.kind = TRIAL_STUDY,
                                 .setup = &setup,
                                 .series = fixture->series,
                                 .series_count = 1};
    assert_int_equal(ledger_enter(book, &entry, &id, &error), 0);
    assert_int_equal(book_run(book,
                              "UPDATE trial SET text = replace(text, 'above_average', "
                              "'above_mean'), hash = 'of before' WHERE setup = 'old'",
                              &error),
                     0);
    entry.kind = TRIAL_CASES;
    assert_int_equal(ledger_enter(book, &entry, &id, &error), 0);
    assert_int_equal(ledger_read(&ledger, book, NULL, &error), 0);
    text_init(&text);
    setup_write(&setup, &text);
    hash_text(hash, text.bytes, text.length);
    const struct ledger_line *cases = &ledger.lines[ledger.count - 1];
    const struct ledger_line *study = cases - 1;
    assert_non_null(strstr(study->text, "above_mean"));
    assert_true(ledger_same_setup(study, hash) && ledger_same_setup(cases, hash));
    assert_false(ledger_same_setup(study - 1, hash));
    assert_int_equal(study->kind, TRIAL_STUDY);
    assert_int_equal(cases->kind, TRIAL_CASES);
    text_free(&text);
    ledger_free(&ledger);
    setup_free(&setup);
    close_book(book);
}

static void test_seal(void **state)
{
    const struct fixture *fixture = *state;
    struct error error = {0};
    int64_t day = 0;
    struct book *book = open_book(fixture);
    assert_int_equal(seal_read(book, &day, &error), 0);
    assert_true(day == INT64_MAX);
    assert_int_equal(seal_open(book, 5, &error), ERROR_INPUT);
    assert_int_equal(seal_close(book, 18000, 5, &error), 0);
    assert_int_equal(seal_close(book, 19000, 5, &error), ERROR_INPUT);
    assert_int_equal(seal_read(book, &day, &error), 0);
    assert_int_equal(day, 18000);
    assert_int_equal(seal_open(book, 6, &error), 0);
    assert_int_equal(seal_read(book, &day, &error), 0);
    assert_true(day == INT64_MAX);
    close_book(book);
}

static void test_frozen(void **state)
{
    const struct fixture *fixture = *state;
    struct error error = {0};
    struct setup setup;
    struct text texts[2];
    int64_t since = 0;
    struct book *book = open_book(fixture);
    assert_int_equal(frozen_add(book, "kept", &fixture->setup[1], 12345, &error), 0);
    assert_int_equal(frozen_add(book, "kept", &fixture->setup[2], 12346, &error), ERROR_INPUT);
    assert_int_equal(frozen_read(book, "other", &setup, &since, &error), ERROR_INPUT);
    assert_int_equal(frozen_read(book, "kept", &setup, &since, &error), 0);
    assert_int_equal(since, 12345);
    for (int i = 0; i < 2; i++) {
        text_init(&texts[i]);
        setup_write(i == 0 ? &setup : &fixture->setup[1], &texts[i]);
    }
    assert_string_equal(texts[0].bytes, texts[1].bytes);
    text_free(&texts[0]);
    text_free(&texts[1]);
    setup_free(&setup);
    close_book(book);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_hash_of_data),
        cmocka_unit_test(test_survives_a_kill),
        cmocka_unit_test(test_counts_trials),
        cmocka_unit_test(test_a_trial_of_before_is_no_other),
        cmocka_unit_test(test_a_setup_in_former_words_is_the_same),
        cmocka_unit_test(test_seal),
        cmocka_unit_test(test_frozen),
    };
    return cmocka_run_group_tests(tests, make, unmake);
}
