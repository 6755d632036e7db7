/* Hand-worked trades: the cases in tests/data/cases, which a trader can
 * read and check with pencil and paper. README.txt there says how they are
 * written. Everything expected was worked out from the method page, none of it
 * by this program. */
#define _DEFAULT_SOURCE /* strdup, scandir */
#include "trade/trade.h"

#include <dirent.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "sample.h"

enum { LABEL_SIZE = 8, BAR_ROOM = 512, ROW_ROOM = 40, LINE_SIZE = 400, WORD_ROOM = 20 };

/* R, MAE and MFE are quotients of small whole numbers: a few roundings. */
#define CASE_TOLERANCE 1e-12

struct picture {
    struct bars bars;
    char labels[BAR_ROOM][LABEL_SIZE];
};

struct trade_case {
    char name[LINE_SIZE];
    struct picture chart;
    struct picture finer;
    struct text setup;
    char rows[ROW_ROOM][LINE_SIZE];
    size_t row_count;
    double tick;
    double point_value;
    bool ended;
    bool weekdays; /* bars skip Saturday and Sunday */
    bool none;     /* it is said that there are no trades */
};

static size_t case_count;

static size_t split(char *line, char *words[WORD_ROOM])
{
    size_t count = 0;
    for (char *word = strtok(line, " \t\n"); word != NULL; word = strtok(NULL, " \t\n")) {
        assert_true(count < WORD_ROOM);
        words[count++] = word;
    }
    return count;
}

/* A number, or a fraction such as -7/4; `-` is none. */
static double number_of(const char *word)
{
    char *end = NULL;
    if (strcmp(word, "-") == 0)
        return NAN;
    double value = strtod(word, &end);
    if (*end == '/')
        value /= strtod(end + 1, &end);
    if (*end != '\0')
        fail_msg("'%s' is no number", word);
    return value;
}

static void clear_picture(struct picture *picture)
{
    bars_free(&picture->bars);
    bars_init(&picture->bars);
}

static void skip_weekend(struct bars *bars)
{
    int64_t *last = &bars->time[bars->count - 1];
    int64_t day = (*last - SAMPLE_FIRST_DAY) / 86400;
    if (day % 7 == 5)
        *last += 2 * 86400;
}

/* `LABEL open high low close`, or `COUNT x open high low close`. */
static void read_bar(struct trade_case *c, char *line)
{
    char *words[WORD_ROOM];
    size_t count = split(line, words);
    bool many = count == 6 && strcmp(words[1], "x") == 0;
    char **p = words + (many ? 2 : 1);
    if (count != 5 && !many)
        fail_msg("%s: a bar is a label and four prices", c->name);
    for (int i = many ? atoi(words[0]) : 1; i > 0; i--) {
        struct bars *bars = &c->chart.bars;
        assert_true(bars->count < BAR_ROOM);
        snprintf(c->chart.labels[bars->count], LABEL_SIZE, "%s", many ? "" : words[0]);
        add_bar(bars, number_of(p[0]), number_of(p[1]), number_of(p[2]), number_of(p[3]));
        if (c->weekdays)
            skip_weekend(bars);
        char reason[BAR_REASON_SIZE];
        struct bar bar = bars_at(bars, bars->count - 1);
        if (bar_fault(&bar, reason) != NULL)
            fail_msg("%s: bar %s: %s", c->name, words[0], reason);
    }
}

static size_t bar_of_label(const struct trade_case *c, const char *label)
{
    for (size_t i = 0; i < c->chart.bars.count; i++)
        if (strcmp(c->chart.labels[i], label) == 0)
            return i;
    fail_msg("%s: no bar has the label '%s'", c->name, label);
    return 0;
}

/* An hour within the bar that bears the label; one after the other. */
static void read_finer(struct trade_case *c, char *line)
{
    char *words[WORD_ROOM];
    struct bars *bars = &c->finer.bars;
    struct error error;
    if (split(line, words) != 5)
        fail_msg("%s: a finer bar is a label and four prices", c->name);
    int64_t time = c->chart.bars.time[bar_of_label(c, words[0])];
    if (bars->count > 0 && bars->time[bars->count - 1] >= time)
        time = bars->time[bars->count - 1] + 3600;
    struct bar bar = {time,
                      number_of(words[1]),
                      number_of(words[2]),
                      number_of(words[3]),
                      number_of(words[4]),
                      NAN};
    bars->interval = (struct interval){INTERVAL_HOUR, 1};
    assert_int_equal(bars_append(bars, &bar, &error), ERROR_NONE);
}

/* --- comparing ----------------------------------------------------------- */

static void describe(const struct trade_case *c, const struct trade *t)
{
    print_error("found: %s %s %s %.10g %.10g %.10g %s %.10g %s R %.10g MAE %.10g MFE %.10g bars "
                "%zu same %d (%s)\n",
                c->chart.labels[t->signal.candle.at], c->chart.labels[t->signal.at],
                c->chart.labels[t->entry_bar], t->entry, t->stop, t->target,
                c->chart.labels[t->exit_bar], t->exit, trade_reason_name(t->reason), t->r, t->mae_r,
                t->mfe_r, t->bars, t->same_bar, t->note);
}

static bool same_label(const struct trade_case *c, size_t bar, const char *word)
{
    return bar < c->chart.bars.count && strcmp(c->chart.labels[bar], word) == 0;
}

static bool same_number(double found, const char *word)
{
    double expected = number_of(word);
    return isnan(expected) ? isnan(found) != 0 : fabs(found - expected) <= CASE_TOLERANCE;
}

/* candle signal bar reason */
static bool same_unfilled(const struct trade_case *c, const struct trade *t, char **word)
{
    return !trade_filled(t->reason) && same_label(c, t->signal.candle.at, word[0]) &&
           same_label(c, t->signal.at, word[1]) &&
           (strcmp(word[2], "-") == 0 || same_label(c, t->entry_bar, word[2])) &&
           strcmp(trade_reason_name(t->reason), word[3]) == 0;
}

/* candle signal entry at stop target exit at reason R MAE MFE bars same */
static bool same_filled(const struct trade_case *c, const struct trade *t, char **word)
{
    bool open = strcmp(word[8], "open") == 0;
    return trade_filled(t->reason) && same_label(c, t->signal.candle.at, word[0]) &&
           same_label(c, t->signal.at, word[1]) && same_label(c, t->entry_bar, word[2]) &&
           same_number(t->entry, word[3]) && same_number(t->stop, word[4]) &&
           same_number(t->target, word[5]) && (open || same_label(c, t->exit_bar, word[6])) &&
           same_number(t->exit, word[7]) && strcmp(trade_reason_name(t->reason), word[8]) == 0 &&
           same_number(t->r, word[9]) && same_number(t->mae_r, word[10]) &&
           same_number(t->mfe_r, word[11]) && (double)t->bars == number_of(word[12]) &&
           t->same_bar == (strcmp(word[13], "yes") == 0);
}

static bool compare_trades(const struct trade_case *c, const struct trades *trades)
{
    bool same = trades->count == c->row_count;
    for (size_t i = 0; i < c->row_count && i < trades->count; i++) {
        char line[LINE_SIZE];
        char *words[WORD_ROOM];
        memcpy(line, c->rows[i], sizeof line);
        size_t count = split(line, words);
        if (count != 4 && count != 14)
            fail_msg("%s: a trade has 14 words, one that was never entered 4", c->name);
        same = same && (count == 4 ? same_unfilled(c, &trades->list[i], words)
                                   : same_filled(c, &trades->list[i], words));
    }
    if (!same) {
        print_error("case: %s\n", c->name);
        for (size_t i = 0; i < c->row_count; i++)
            print_error("expected: %s", c->rows[i]);
        for (size_t i = 0; i < trades->count; i++)
            describe(c, &trades->list[i]);
    }
    return same;
}

static bool run_case(struct trade_case *c)
{
    struct setup setup;
    struct setup_view view;
    struct trades trades;
    struct error error;
    struct trade_terms terms = {.point_value = c->point_value,
                                .ended = c->ended,
                                .finer = c->finer.bars.count > 0 ? &c->finer.bars : NULL};
    assert_true(tick_from_number(&terms.tick, c->tick));
    assert_false(text_failed(&c->setup));
    int code = setup_read(&setup, c->name, c->setup.bytes, c->setup.length, &error);
    if (code != ERROR_NONE)
        fail_msg("%s\n%s", error.text, c->setup.bytes);
    struct sheet *sheet = sheet_new(&c->chart.bars, NULL);
    assert_int_equal(setup_view_init(&view, &setup, sheet, NULL, &error), ERROR_NONE);
    assert_int_equal(trades_find(&view, &terms, 0, SIZE_MAX, true, &trades, &error), ERROR_NONE);
    bool same = compare_trades(c, &trades);
    trades_free(&trades);
    sheet_free(sheet);
    setup_free(&setup);
    case_count++;
    return same;
}

/* --- reading ------------------------------------------------------------- */

/* A new case; the bars stay those of the case before until others are given. */
static void begin_case(struct trade_case *c, const char *title)
{
    snprintf(c->name, sizeof c->name, "%s", title);
    c->name[strcspn(c->name, "\n")] = '\0';
    text_clear(&c->setup);
    c->row_count = 0;
    c->tick = 1;
    c->point_value = 1;
    c->ended = false;
    c->weekdays = false;
    c->none = false;
    clear_picture(&c->finer);
}

/* What the setup does not say: a hammer (or its mirror) of any size. */
static void complete_setup(struct trade_case *c)
{
    bool short_side = strstr(c->setup.bytes, "side: short") != NULL;
    text_append(&c->setup, "setup: case\n");
    if (strstr(c->setup.bytes, "side:") == NULL)
        text_append(&c->setup, "side: long\n");
    if (strstr(c->setup.bytes, "candle:") == NULL)
        text_append_format(&c->setup, "candle: {shape: %s, limits: {range_min_atr: 0}}\n",
                           short_side ? "shooting-star" : "hammer");
}

static bool finish_case(struct trade_case *c)
{
    if (c->name[0] == '\0')
        return true;
    if ((c->row_count == 0) != c->none || c->setup.length == 0)
        fail_msg("%s: has no trades or no setup", c->name);
    complete_setup(c);
    return run_case(c);
}

static void read_fact(struct trade_case *c, const char *line)
{
    if (sscanf(line, "tick: %lf", &c->tick) == 1 ||
        sscanf(line, "point value: %lf", &c->point_value) == 1)
        return;
    if (strcmp(line, "the instrument has ended\n") == 0)
        c->ended = true;
    else if (strcmp(line, "bars on weekdays\n") == 0)
        c->weekdays = true;
}

static void read_indented(struct trade_case *c, const char *section, char *line)
{
    if (strcmp(section, "setup:\n") == 0) {
        text_append(&c->setup, line + 2);
    } else if (strcmp(section, "bars:\n") == 0) {
        read_bar(c, line);
    } else if (strcmp(section, "finer:\n") == 0) {
        read_finer(c, line);
    } else if (strcmp(section, "trades:\n") == 0 && strcmp(line, "  none\n") == 0) {
        c->none = true;
    } else if (strcmp(section, "trades:\n") == 0 && strstr(line, "candle ") == NULL) {
        assert_true(c->row_count < ROW_ROOM);
        snprintf(c->rows[c->row_count++], LINE_SIZE, "%s", line);
    }
}

/* Runs all cases of a file; false if one of them differs. */
static bool run_file(const char *path)
{
    static struct trade_case c;
    char line[LINE_SIZE];
    char section[LINE_SIZE] = "";
    bool same = true;
    FILE *file = fopen(path, "r");
    assert_non_null(file);
    memset(&c, 0, sizeof c);
    bars_init(&c.chart.bars);
    bars_init(&c.finer.bars);
    text_init(&c.setup);
    while (fgets(line, sizeof line, file) != NULL) {
        if (strncmp(line, "== ", 3) == 0) {
            same = finish_case(&c) && same;
            begin_case(&c, line + 3);
            section[0] = '\0';
        } else if (line[0] == ' ') {
            read_indented(&c, section, line);
        } else if (line[0] != '\n') {
            snprintf(section, sizeof section, "%s", line);
            read_fact(&c, line);
            if (strcmp(line, "bars:\n") == 0)
                clear_picture(&c.chart);
        }
    }
    same = finish_case(&c) && same;
    fclose(file);
    bars_free(&c.chart.bars);
    bars_free(&c.finer.bars);
    text_free(&c.setup);
    return same;
}

static int is_case_file(const struct dirent *entry)
{
    size_t length = strlen(entry->d_name);
    return length > 4 && strcmp(entry->d_name + length - 4, ".txt") == 0 &&
           strcmp(entry->d_name, "README.txt") != 0;
}

static void test_cases(void **state)
{
    struct dirent **names = NULL;
    bool same = true;
    (void)state;
    int count = scandir(TEST_DATA "/cases", &names, is_case_file, alphasort);
    assert_true(count > 0);
    for (int i = 0; i < count; i++) {
        char path[1024];
        snprintf(path, sizeof path, "%s/cases/%s", TEST_DATA, names[i]->d_name);
        same = run_file(path) && same;
        free(names[i]);
    }
    free(names);
    print_message("%zu hand-worked cases\n", case_count);
    assert_true(same);
    /* A file that is not read would otherwise pass. */
    assert_true(case_count >= 60);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_cases),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
