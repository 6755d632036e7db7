/* The shipped setups: each reads, says where its idea comes from, and together
 * they use every row of every table. */
#include "setup/setup.h"

#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

enum { MOST_ROWS = 64, LEAST_SETUPS = 16 };

struct used {
    const void *rows[4 * MOST_ROWS];
    size_t count;
    bool same_bars[4];
    bool several, any, not_, at_close, late_take, gap, room, overlap_all, break_even, when, wait;
    bool ticks, atr_buffer, longer, costs, mirror_of;
    size_t setups;
};

static void use_row(struct used *used, const void *row)
{
    used->rows[used->count++ % (4 * MOST_ROWS)] = row;
}

static bool is_used(const struct used *used, const void *row)
{
    for (size_t i = 0; i < used->count; i++)
        if (used->rows[i] == row)
            return true;
    return false;
}

static void use_criteria(struct used *used, const struct criterion *list, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        used->any = used->any || list[i].kind == CRITERION_ANY;
        used->not_ = used->not_ || list[i].kind == CRITERION_NOT;
        used->longer = used->longer || list[i].interval.unit != INTERVAL_NONE;
        if (list[i].kind == CRITERION_CONDITION && !is_used(used, list[i].condition))
            use_row(used, list[i].condition);
        use_criteria(used, list[i].parts, list[i].part_count);
    }
}

static void use_orders(struct used *used, const struct setup *setup)
{
    const struct entry_rule *entry = &setup->entry;
    use_row(used, entry->entry);
    used->at_close = used->at_close || entry->at_close;
    used->late_take = used->late_take || entry->late == LATE_TAKE;
    used->gap = used->gap || entry->largest_gap_atr >= 0;
    used->room = used->room || entry->least_room_r >= 0;
    used->ticks = used->ticks || setup->stop.buffer.ticks > 0;
    used->atr_buffer = used->atr_buffer || setup->stop.buffer.atr > 0;
    used->several = used->several || setup->stop.several;
    for (size_t i = 0; i < setup->stop.count; i++)
        use_row(used, setup->stop.members[i].stop);
    for (size_t i = 0; i < setup->exit.target_count; i++)
        use_row(used, setup->exit.targets[i].kind);
    if (setup->exit.trail != NULL)
        use_row(used, setup->exit.trail);
    used->break_even = used->break_even || setup->exit.break_even_at_r >= 0;
    used->when = used->when || setup->exit.when.count > 0;
}

static void use_setup(struct used *used, const struct setup *setup)
{
    for (size_t i = 0; i < setup->candle_count; i++)
        if (!is_used(used, setup->candles[i].shape))
            use_row(used, setup->candles[i].shape);
    use_criteria(used, setup->place.list, setup->place.count);
    use_criteria(used, setup->confirm.list, setup->confirm.count);
    use_criteria(used, setup->exit.when.list, setup->exit.when.count);
    use_orders(used, setup);
    used->same_bars[setup->same_bar] = true;
    used->overlap_all = used->overlap_all || setup->overlap == OVERLAP_ALL;
    used->costs = used->costs || setup->costs_given;
    used->wait = used->wait || setup->confirm_wait > 0;
    used->setups++;
}

/* The file's first lines are a comment that names where the idea comes from. */
static void check_comment(const char *path, struct used *used)
{
    char text[4096];
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    size_t length = fread(text, 1, sizeof text - 1, file);
    text[length] = '\0';
    fclose(file);
    assert_int_equal(text[0], '#');
    assert_non_null(strstr(text, "\n# Idea: "));
    used->mirror_of = used->mirror_of || strstr(text, "\nmirror_of: ") != NULL;
}

static void read_all(struct used *used)
{
    DIR *folder = opendir(SHIPPED_SETUPS);
    assert_non_null(folder);
    for (struct dirent *entry = readdir(folder); entry != NULL; entry = readdir(folder)) {
        char path[1024];
        struct setup setup;
        struct error error;
        if (strstr(entry->d_name, ".yaml") == NULL)
            continue;
        snprintf(path, sizeof path, "%s/%s", SHIPPED_SETUPS, entry->d_name);
        check_comment(path, used);
        if (setup_read_file(&setup, path, &error) != ERROR_NONE)
            fail_msg("%s", error.text);
        /* The file is named like the setup. */
        assert_int_equal(strncmp(setup.name, entry->d_name, strlen(setup.name)), 0);
        use_setup(used, &setup);
        setup_free(&setup);
    }
    closedir(folder);
}

static void test_every_row_is_used(void **state)
{
    static struct used used;
    (void)state;
    read_all(&used);
    assert_true(used.setups >= LEAST_SETUPS);
    for (const struct shape *row = shapes; row->name != NULL; row++)
        if (!is_used(&used, row))
            fail_msg("no shipped setup uses the shape %s", row->name);
    for (const struct condition *row = conditions; row->name != NULL; row++)
        if (!is_used(&used, row))
            fail_msg("no shipped setup uses the condition %s", row->name);
    for (const struct entry *row = entries; row->name != NULL; row++)
        if (!is_used(&used, row))
            fail_msg("no shipped setup uses the entry %s", row->name);
    for (const struct stop *row = stops; row->name != NULL; row++)
        if (!is_used(&used, row))
            fail_msg("no shipped setup uses the stop %s", row->name);
    for (const struct target_kind *row = target_kinds; row->name != NULL; row++)
        if (!is_used(&used, row))
            fail_msg("no shipped setup uses the target %s", row->name);
    for (const struct trail *row = trails; row->name != NULL; row++)
        if (!is_used(&used, row))
            fail_msg("no shipped setup uses the trail %s", row->name);
    for (int i = 0; i < 4; i++)
        assert_true(used.same_bars[i]);
    assert_true(used.several && used.any && used.not_ && used.at_close && used.late_take);
    assert_true(used.gap && used.room && used.overlap_all && used.break_even && used.when);
    assert_true(used.wait && used.ticks && used.atr_buffer && used.longer && used.costs);
    assert_true(used.mirror_of);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_every_row_is_used)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
