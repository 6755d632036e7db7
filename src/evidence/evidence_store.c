#include "evidence/evidence_store.h"

#include "base/array.h"
#include "base/calendar.h"
#include "base/former.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const kinds[TRIAL_KINDS] = {
    [TRIAL_STUDY] = "study", [TRIAL_TRADES] = "trades",           [TRIAL_CASE] = "case",
    [TRIAL_CASES] = "cases", [TRIAL_SENSITIVITY] = "sensitivity", [TRIAL_COMPARE] = "compare",
};

static enum trial_kind kind_of(const char *command)
{
    size_t kind = 0;
    while (kind < TRIAL_KINDS && strcmp(kinds[kind], command) != 0)
        kind++;
    return (enum trial_kind)kind;
}

static void find_range(const struct ledger_entry *entry, int64_t *first, int64_t *last)
{
    bool found = false;
    *first = *last = 0;
    if (entry->series == NULL) {
        /* All of time: it overlaps with every other trial. */
        *first = INT64_MIN;
        *last = INT64_MAX;
        return;
    }
    for (size_t i = 0; i < entry->series_count; i++) {
        const struct bars *bars = entry->series[i].bars;
        if (bars->count <= entry->series[i].first)
            continue;
        int64_t begins = bars->time[entry->series[i].first];
        int64_t ends = bars->time[bars->count - 1];
        *first = !found || begins < *first ? begins : *first;
        *last = !found || ends > *last ? ends : *last;
        found = true;
    }
}

static void bind_entry(struct statement *insert, const struct ledger_entry *entry,
                       const struct text *setup, const struct text *instruments,
                       const struct data_hash *data)
{
    char hash[HASH_TEXT_SIZE];
    int64_t first = 0;
    int64_t last = 0;
    hash_text(hash, setup->bytes, setup->length);
    find_range(entry, &first, &last);
    statement_bind_integer(insert, 1, entry->now);
    statement_bind_text(insert, 2, kinds[entry->kind]);
    statement_bind_text(insert, 3, entry->setup->name);
    statement_bind_text(insert, 4, setup->bytes);
    statement_bind_text(insert, 5, hash);
    statement_bind_text(insert, 6, entry->setup->family);
    statement_bind_text(insert, 7, instruments->bytes);
    statement_bind_text(insert, 8, data->present);
    statement_bind_integer(insert, 9, first);
    statement_bind_integer(insert, 10, last);
    statement_bind_integer(insert, 11, (int64_t)entry->seed);
    statement_bind_text(insert, 12, entry->series != NULL ? data->former : NULL);
}

static int insert_entry(struct book *book, const struct ledger_entry *entry,
                        const struct text *setup, const struct text *instruments, int64_t *id,
                        struct error *error)
{
    struct statement insert = {0};
    struct data_hash data = {"", ""};
    int code = ERROR_NONE;
    if (entry->data != NULL)
        data = *entry->data;
    else if (entry->series != NULL)
        code = data_hash_make(&data, entry->series, entry->series_count, error);
    if (code == ERROR_NONE)
        code = book_begin(book, "ledger", error);
    if (code == ERROR_NONE)
        code = statement_prepare(&insert, book,
                                 "INSERT INTO trial(at, command, setup, text, hash, family, "
                                 "instruments, data_hash, first, last, seed, former_hash) "
                                 "VALUES(?,?,?,?,?,?,?,?,?,?,?,?)",
                                 error);
    if (code == ERROR_NONE) {
        bind_entry(&insert, entry, setup, instruments, &data);
        code = statement_run(&insert, error);
    }
    statement_finish(&insert);
    *id = book_last_row(book);
    if (code == ERROR_NONE)
        return book_commit(book, error);
    book_rollback(book);
    return code;
}

int ledger_enter(struct book *book, const struct ledger_entry *entry, int64_t *id,
                 struct error *error)
{
    struct text setup;
    struct text instruments;
    text_init(&setup);
    text_init(&instruments);
    setup_write(entry->setup, &setup);
    for (size_t i = 0; i < entry->series_count; i++)
        text_append_format(&instruments, "%s%s", i > 0 ? "\n" : "",
                           entry->series != NULL ? entry->series[i].instrument->name
                                                 : entry->names[i]);
    int code = text_failed(&setup) || text_failed(&instruments)
                   ? error_memory(error)
                   : insert_entry(book, entry, &setup, &instruments, id, error);
    text_free(&setup);
    text_free(&instruments);
    return code;
}

static int update_trial(struct book *book, int64_t id, const struct estimate *mean,
                        struct error *error)
{
    struct statement update = {0};
    int code = statement_prepare(&update, book,
                                 "UPDATE trial SET finished = 1, closed = ?, mean_r = ?, low = ?, "
                                 "high = ?, p = ? WHERE id = ?",
                                 error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&update, 1, (int64_t)mean->count);
        statement_bind_number(&update, 2, mean->value);
        statement_bind_number(&update, 3, mean->low);
        statement_bind_number(&update, 4, mean->high);
        statement_bind_number(&update, 5, mean->p);
        statement_bind_integer(&update, 6, id);
        code = statement_run(&update, error);
    }
    statement_finish(&update);
    return code;
}

static int insert_dates(struct book *book, int64_t id, const struct date_grid *grid,
                        const struct closed_trades *closed, struct error *error)
{
    struct statement insert = {0};
    int code =
        statement_prepare(&insert, book,
                          "INSERT INTO trial_date(trial, day, sum_r, trades) VALUES(?,?,?,1) "
                          "ON CONFLICT(trial, day) DO UPDATE SET "
                          "sum_r = sum_r + excluded.sum_r, trades = trades + 1",
                          error);
    for (size_t i = 0; code == ERROR_NONE && i < closed->count; i++) {
        statement_bind_integer(&insert, 1, id);
        statement_bind_integer(&insert, 2, grid->day[closed->date[i]]);
        statement_bind_number(&insert, 3, closed->r[i]);
        code = statement_run(&insert, error);
        statement_reset(&insert);
    }
    statement_finish(&insert);
    return code;
}

int ledger_finish(struct book *book, int64_t id, const struct estimate *mean,
                  const struct date_grid *grid, const struct closed_trades *closed,
                  struct error *error)
{
    int code = book_begin(book, "ledger", error);
    if (code == ERROR_NONE)
        code = update_trial(book, id, mean, error);
    if (code == ERROR_NONE)
        code = insert_dates(book, id, grid, closed, error);
    if (code == ERROR_NONE)
        return book_commit(book, error);
    book_rollback(book);
    return code;
}

static int copy_column(struct statement *select, int column, char **copy, struct error *error)
{
    const char *text = statement_text(select, column);
    *copy = string_copy(text != NULL ? text : "");
    return *copy == NULL ? error_memory(error) : ERROR_NONE;
}

static int read_line(struct statement *select, struct ledger_line *line, struct error *error)
{
    char **const texts[] = {&line->command, &line->setup,       &line->text,     &line->hash,
                            &line->family,  &line->instruments, &line->data_hash};
    int code = ERROR_NONE;
    *line = (struct ledger_line){.id = statement_integer(select, 0),
                                 .at = statement_integer(select, 1),
                                 .first = statement_integer(select, 9),
                                 .last = statement_integer(select, 10),
                                 .seed = statement_integer(select, 11),
                                 .finished = statement_integer(select, 12) != 0,
                                 .closed = statement_integer(select, 13),
                                 .mean_r = statement_number(select, 14),
                                 .low = statement_number(select, 15),
                                 .high = statement_number(select, 16),
                                 .p = statement_number(select, 17)};
    for (int i = 0; i < 7 && code == ERROR_NONE; i++)
        code = copy_column(select, 2 + i, texts[i], error);
    if (code == ERROR_NONE)
        line->kind = kind_of(line->command);
    return code == ERROR_NONE ? copy_column(select, 18, &line->former_hash, error) : code;
}

/* Equal setups have equal texts, and so one hash, in the present words only. */
static int present_hash(struct ledger_line *line, struct error *error)
{
    struct setup setup;
    struct text text;
    if (!former_words_in(FORMER_SETUP, line->text))
        return ERROR_NONE;
    int code = setup_read_kept(&setup, line->setup, line->text, error);
    if (code == ERROR_INPUT) /* such as one of a book made by hand */
        return ERROR_NONE;
    if (code != ERROR_NONE)
        return code;
    text_init(&text);
    setup_write(&setup, &text);
    /* What the book has there may be shorter than a hash. */
    char *hash = text_failed(&text) ? NULL : malloc(HASH_TEXT_SIZE);
    if (hash == NULL)
        code = error_memory(error);
    else {
        hash_text(hash, text.bytes, text.length);
        free(line->hash);
        line->hash = hash;
    }
    text_free(&text);
    setup_free(&setup);
    return code;
}

static int add_line(struct ledger *ledger, struct statement *select, struct error *error)
{
    struct ledger_line *lines = array_reserve(ledger->lines, &ledger->room, ledger->count + 1,
                                              sizeof *lines);
    if (lines == NULL)
        return error_memory(error);
    ledger->lines = lines;
    int code = read_line(select, &lines[ledger->count++], error);
    return code == ERROR_NONE ? present_hash(&lines[ledger->count - 1], error) : code;
}

int ledger_read(struct ledger *ledger, struct book *book, const char *family, struct error *error)
{
    struct statement select = {0};
    bool row = true;
    *ledger = (struct ledger){0};
    int code = statement_prepare(
        &select, book,
        "SELECT id, at, command, setup, text, hash, family, instruments, "
        "data_hash, first, last, seed, finished, closed, mean_r, low, "
        "high, p, former_hash FROM trial WHERE ?1 IS NULL OR family = ?1 ORDER BY id",
        error);
    if (code == ERROR_NONE)
        statement_bind_text(&select, 1, family);
    while (code == ERROR_NONE && row) {
        code = statement_step(&select, &row, error);
        if (code == ERROR_NONE && row)
            code = add_line(ledger, &select, error);
    }
    statement_finish(&select);
    return code;
}

void ledger_free(struct ledger *ledger)
{
    for (size_t i = 0; i < ledger->count; i++) {
        struct ledger_line *line = &ledger->lines[i];
        free(line->command);
        free(line->setup);
        free(line->text);
        free(line->hash);
        free(line->family);
        free(line->instruments);
        free(line->data_hash);
        free(line->former_hash);
    }
    free(ledger->lines);
    *ledger = (struct ledger){0};
}

/* --- seal and frozen setups ------------------------------------------------------- */

/* Runs one statement with a number or two in a transaction of its own. */
static int write_numbers(struct book *book, const char *who, const char *sql, int64_t first,
                         int64_t second, struct error *error)
{
    struct statement statement = {0};
    int code = book_begin(book, who, error);
    if (code == ERROR_NONE)
        code = statement_prepare(&statement, book, sql, error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, first);
        statement_bind_integer(&statement, 2, second);
        code = statement_run(&statement, error);
    }
    statement_finish(&statement);
    if (code == ERROR_NONE)
        return book_commit(book, error);
    book_rollback(book);
    return code;
}

int seal_read(struct book *book, int64_t *day, struct error *error)
{
    struct statement select = {0};
    bool row = false;
    *day = INT64_MAX;
    int code = statement_prepare(&select, book, "SELECT day FROM seal WHERE opened IS NULL", error);
    if (code == ERROR_NONE)
        code = statement_step(&select, &row, error);
    if (code == ERROR_NONE && row)
        *day = statement_integer(&select, 0);
    statement_finish(&select);
    return code;
}

int seal_close(struct book *book, int64_t day, int64_t now, struct error *error)
{
    char date[CALENDAR_TEXT_SIZE];
    int64_t sealed = 0;
    int code = seal_read(book, &sealed, error);
    if (code != ERROR_NONE)
        return code;
    if (sealed != INT64_MAX) {
        time_format(date, sealed * SECONDS_PER_DAY, true);
        return error_because(error, ERROR_INPUT, ERROR_REASON_SEALED,
                             "bars from %s on are sealed already", date);
    }
    return write_numbers(book, "seal", "INSERT INTO seal(day, closed) VALUES(?, ?)", day, now,
                         error);
}

int seal_open(struct book *book, int64_t now, struct error *error)
{
    int64_t sealed = 0;
    int code = seal_read(book, &sealed, error);
    if (code == ERROR_NONE && sealed == INT64_MAX)
        code = error_set(error, ERROR_INPUT, "nothing is sealed");
    if (code != ERROR_NONE)
        return code;
    return write_numbers(book, "seal",
                         "UPDATE seal SET opened = ?2 WHERE day = ?1 AND opened IS NULL", sealed,
                         now, error);
}

int frozen_add(struct book *book, const char *name, const struct setup *setup, int64_t now,
               struct error *error)
{
    struct statement insert = {0};
    struct text text;
    text_init(&text);
    setup_write(setup, &text);
    int code = text_failed(&text) ? error_memory(error) : book_begin(book, "freeze", error);
    if (code == ERROR_NONE)
        code = statement_prepare(&insert, book,
                                 "INSERT OR IGNORE INTO frozen(name, text, since) VALUES(?,?,?)",
                                 error);
    if (code == ERROR_NONE) {
        statement_bind_text(&insert, 1, name);
        statement_bind_text(&insert, 2, text.bytes);
        statement_bind_integer(&insert, 3, now);
        code = statement_run(&insert, error);
    }
    statement_finish(&insert);
    if (code == ERROR_NONE && book_changes(book) == 0)
        code = error_set(error, ERROR_INPUT,
                         "a setup is frozen as '%s' already; it stays as it is, "
                         "choose another name",
                         name);
    text_free(&text);
    if (code == ERROR_NONE)
        return book_commit(book, error);
    book_rollback(book);
    return code;
}

int frozen_read(struct book *book, const char *name, struct setup *setup, int64_t *since,
                struct error *error)
{
    struct statement select = {0};
    bool row = false;
    int code = statement_prepare(&select, book, "SELECT text, since FROM frozen WHERE name = ?",
                                 error);
    if (code == ERROR_NONE) {
        statement_bind_text(&select, 1, name);
        code = statement_step(&select, &row, error);
    }
    if (code == ERROR_NONE && !row)
        code = error_because(error, ERROR_INPUT, ERROR_REASON_NOT_FROZEN,
                             "no setup is frozen as '%s'", name);
    if (code == ERROR_NONE) {
        const char *text = statement_text(&select, 0);
        *since = statement_integer(&select, 1);
        code = setup_read_kept(setup, name, text, error);
    }
    statement_finish(&select);
    return code;
}

int frozen_all(struct book *book, struct frozen_name **list, size_t *count, struct error *error)
{
    struct statement select = {0};
    size_t room = 0;
    bool row = false;
    *list = NULL;
    *count = 0;
    int code = statement_prepare(&select, book,
                                 "SELECT name, since FROM frozen ORDER BY since DESC, name", error);
    while (code == ERROR_NONE && (code = statement_step(&select, &row, error)) == ERROR_NONE &&
           row) {
        struct frozen_name *grown = array_reserve(*list, &room, *count + 1, sizeof *grown);
        const char *name = statement_text(&select, 0);
        if (grown != NULL)
            *list = grown;
        char *copy = grown != NULL && name != NULL ? string_copy(name) : NULL;
        if (copy == NULL)
            code = error_memory(error);
        else
            grown[(*count)++] = (struct frozen_name){copy, statement_integer(&select, 1)};
    }
    statement_finish(&select);
    return code;
}
