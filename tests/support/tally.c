#include "tally.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static void add_row(struct tally *tally, const char *table, const char *name)
{
    if (name != NULL && tally->row_count < TALLY_ROWS)
        tally->rows[tally->row_count++] = (struct tally_row){table, name, 0, 0};
}

static const char *const same_bar_names[] = {"nearest", "worst", "best", "finer"};
static const char *const leaving_names[] = {"time_stop",       "break_even_at_r", "when",
                                            "largest_gap_atr", "least_room_r",    "late: skip"};

void tally_init(struct tally *tally)
{
    *tally = (struct tally){0};
    for (const struct shape *row = shapes; row->name != NULL; row++) {
        add_row(tally, "shape", row->name);
        add_row(tally, "shape", row->mirror_name);
    }
    for (const struct condition *row = conditions; row->name != NULL; row++) {
        add_row(tally, "condition", row->name);
        add_row(tally, "condition", row->mirror_name);
    }
    add_row(tally, "condition", "any");
    add_row(tally, "condition", "not");
    for (const struct entry *row = entries; row->name != NULL; row++) {
        add_row(tally, "entry", row->name);
        add_row(tally, "entry", row->mirror_name);
    }
    for (const struct stop *row = stops; row->name != NULL; row++) {
        add_row(tally, "stop", row->name);
        add_row(tally, "stop", row->mirror_name);
    }
    add_row(tally, "stop", "lower_of");
    for (size_t i = 0; i < sizeof leaving_names / sizeof *leaving_names; i++)
        add_row(tally, "rule", leaving_names[i]);
    for (const struct target_kind *row = target_kinds; row->name != NULL; row++)
        add_row(tally, "target", row->name);
    for (const struct trail *row = trails; row->name != NULL; row++)
        add_row(tally, "trail", row->name);
    for (size_t i = 0; i < 4; i++)
        add_row(tally, "same bar", same_bar_names[i]);
    for (int reason = TRADE_STOP; reason <= TRADE_WAITING; reason++)
        if (reason != TRADE_BY_HAND) /* a person's, of whom there is none here */
            add_row(tally, "reason", trade_reason_name((enum trade_reason)reason));
}

static void count(struct tally *tally, const char *table, const char *name, bool yes)
{
    for (size_t i = 0; i < tally->row_count; i++) {
        struct tally_row *row = &tally->rows[i];
        if (strcmp(row->table, table) != 0 || strcmp(row->name, name) != 0)
            continue;
        row->yes += yes;
        row->no += !yes;
    }
}

/* --- what the setup asks -------------------------------------------------------- */

static void count_shapes(struct tally *tally, const struct setup_view *view)
{
    for (size_t i = 0; i < view->setup->candle_count; i++)
        for (size_t at = 0; at < sheet_count(view->plain); at++)
            count(tally, "shape", shape_name(&view->setup->candles[i]),
                  shape_fits(&view->setup->candles[i], view->plain, at, NULL));
}

static void count_criteria(struct tally *tally, const struct setup_view *view,
                           const struct criterion *list, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        for (size_t at = 20; at < sheet_count(view->plain); at += 5) {
            struct candle alone = candle_of_bar(view, at);
            count(tally, "condition", criterion_name(&list[i]),
                  criterion_holds(view, &list[i], &alone, at) == TRUTH_YES);
        }
        count_criteria(tally, view, list[i].parts, list[i].part_count);
    }
}

/* --- what became of it ------------------------------------------------------------ */

static bool noted(const struct trade *trade, const char *word)
{
    return !trade_filled(trade->reason) && strstr(trade->note, word) != NULL;
}

static void count_stops(struct tally *tally, const struct setup *setup, const struct trade *trade)
{
    bool is_short = setup->side == SIDE_SHORT;
    bool stopped = trade->reason == TRADE_STOP;
    for (size_t i = 0; i < setup->stop.count; i++) {
        const struct stop *row = setup->stop.members[i].stop;
        count(tally, "stop", is_short && row->mirror_name ? row->mirror_name : row->name, stopped);
    }
    if (setup->stop.several)
        count(tally, "stop", "lower_of", stopped);
}

static void count_targets(struct tally *tally, const struct setup *setup, const struct trade *trade)
{
    const struct exit_rule *exit = &setup->exit;
    /* With several targets the columns do not say which was hit. */
    if (exit->target_count == 1)
        count(tally, "target", exit->targets[0].kind->name, trade->reason == TRADE_TARGET);
}

/* Whether the stop was moved to the fill: seen where nothing else moves it. */
static void count_break_even(struct tally *tally, const struct setup_view *view,
                             const struct trade_terms *terms, const struct trade *trade)
{
    const struct exit_rule *exit = &view->setup->exit;
    struct trade_path path;
    bool moved = false;
    if (isnan(exit->break_even_at_r) || exit->trail != NULL)
        return;
    trade_of_signal(view, terms, &trade->signal, &path);
    for (size_t i = 0; i < path.count; i++)
        moved = moved || path.steps[i].share == 0;
    count(tally, "rule", "break_even_at_r", moved);
}

static void count_ways_out(struct tally *tally, const struct setup *setup,
                           const struct trade *trade)
{
    const struct exit_rule *exit = &setup->exit;
    if (exit->time_stop > 0)
        count(tally, "rule", "time_stop", trade->reason == TRADE_TIME);
    if (exit->trail != NULL)
        count(tally, "trail", exit->trail->name, trade->reason == TRADE_TRAIL);
    if (exit->when.count > 0)
        count(tally, "rule", "when", trade->reason == TRADE_WHEN);
}

static void count_entry(struct tally *tally, const struct setup *setup, const struct trade *trade)
{
    const struct entry_rule *entry = &setup->entry;
    bool mirrored = setup->side == SIDE_SHORT && entry->entry->mirror_name != NULL;
    if (trade->reason == TRADE_BROKEN || trade->reason == TRADE_PASSED)
        return;
    count(tally, "entry", mirrored ? entry->entry->mirror_name : entry->entry->name,
          trade_filled(trade->reason));
    count(tally, "same bar", same_bar_names[setup->same_bar], trade->same_bar);
    if (!isnan(entry->largest_gap_atr))
        count(tally, "rule", "largest_gap_atr", noted(trade, "gap"));
    if (!isnan(entry->least_room_r))
        count(tally, "rule", "least_room_r", noted(trade, "room"));
    if (entry->late == LATE_SKIP)
        count(tally, "rule", "late: skip", trade->reason == TRADE_LATE);
}

void tally_setup(struct tally *tally, const struct setup_view *view,
                 const struct trade_terms *terms, const struct trades *trades)
{
    const struct setup *setup = view->setup;
    tally->cases++;
    tally->bars += sheet_count(view->plain);
    tally->candidates += trades->candidates;
    tally->signals += trades->signals;
    count_shapes(tally, view);
    count_criteria(tally, view, setup->place.list, setup->place.count);
    count_criteria(tally, view, setup->confirm.list, setup->confirm.count);
    count_criteria(tally, view, setup->exit.when.list, setup->exit.when.count);
    for (size_t i = 0; i < trades->count; i++) {
        const struct trade *trade = &trades->list[i];
        for (int reason = TRADE_STOP; reason <= TRADE_WAITING; reason++)
            if (reason != TRADE_BY_HAND)
                count(tally, "reason", trade_reason_name((enum trade_reason)reason),
                      trade->reason == (enum trade_reason)reason);
        count_entry(tally, setup, trade);
        if (!trade_filled(trade->reason))
            continue;
        tally->trades++;
        count_stops(tally, setup, trade);
        count_targets(tally, setup, trade);
        count_ways_out(tally, setup, trade);
        count_break_even(tally, view, terms, trade);
    }
}

bool tally_print(const struct tally *tally)
{
    bool whole = true;
    printf("%zu setups on %zu bars: %zu candidates, %zu signals, %zu trades\n", tally->cases,
           tally->bars, tally->candidates, tally->signals, tally->trades);
    for (size_t i = 0; i < tally->row_count; i++) {
        const struct tally_row *row = &tally->rows[i];
        bool both = row->yes > 0 && row->no > 0;
        printf("  %-10s %-26s %9zu yes %9zu no%s\n", row->table, row->name, row->yes, row->no,
               both ? "" : "  NEVER BOTH");
        whole = whole && both;
    }
    return whole && tally->candidates > 0 && tally->signals > 0 && tally->trades > 0;
}
