#include "setup/walking.h"

#include "base/array.h"
#include "setup/checklist.h"

#include <stdlib.h>
#include <string.h>

/* What every setup reads: ATR(14), and ten bodies before a shape. */
enum { ALWAYS_BACK = 32 };

/* --- how far back a setup reads -------------------------------------------------- */

/* Every whole number of a row is a length, and no row reads further back than
 * all of its lengths together. */
static size_t lengths_of(const struct parameter *parameters, const double *values)
{
    size_t sum = 0;
    for (size_t i = 0; i < parameter_count(parameters); i++)
        if (parameters[i].kind == PARAMETER_WHOLE)
            sum += (size_t)values[i];
    return sum;
}

static size_t side_back(const struct compare_side *side)
{
    if (side->what == NULL)
        return 0;
    return side->bars_ago + lengths_of(comparable_parameters(side->what), side->values);
}

static size_t criteria_back(const struct criterion *list, size_t count)
{
    size_t most = 0;
    for (size_t i = 0; i < count; i++) {
        const struct criterion *criterion = &list[i];
        size_t back = criteria_back(criterion->parts, criterion->part_count);
        if (criterion->kind == CRITERION_CONDITION)
            back = criterion->within +
                   lengths_of(criterion->condition->parameters, criterion->values);
        if (criterion->compare != NULL)
            back += side_back(&criterion->compare->value) + side_back(&criterion->compare->other) +
                    criterion->compare->run;
        most = back > most ? back : most;
    }
    return most;
}

/* They stay when a window moves: those that wait for a confirmation, and those that
 * may still be confirmed by bars that have been looked at, with all that is read
 * before them. */
size_t setup_back(const struct setup *setup)
{
    const struct criteria *lists[] = {&setup->place, &setup->confirm, &setup->exit.when};
    size_t most = 0;
    for (size_t i = 0; i < 3; i++) {
        size_t back = criteria_back(lists[i]->list, lists[i]->count);
        most = back > most ? back : most;
    }
    return most + 2 * setup->confirm_wait + setup_longest_shape(setup) + ALWAYS_BACK;
}

static bool criteria_walk(const struct criterion *list, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const struct criterion *criterion = &list[i];
        if (criterion->interval.unit != INTERVAL_NONE ||
            (criterion->kind == CRITERION_CONDITION && condition_reads_far(criterion->condition)) ||
            (criterion->compare != NULL && compare_reads_other_bars(criterion->compare)) ||
            !criteria_walk(criterion->parts, criterion->part_count))
            return false;
    }
    return true;
}

bool setup_walks(const struct setup *setup)
{
    return criteria_walk(setup->place.list, setup->place.count) &&
           criteria_walk(setup->confirm.list, setup->confirm.count) &&
           criteria_walk(setup->exit.when.list, setup->exit.when.count);
}

/* --- windows ----------------------------------------------------------------------- */

int signals_walk_begin(struct signals_walk *walk, const struct setup *setup, struct sheet *sheet,
                       const struct surroundings *around, const struct bars_source *source,
                       size_t block, int64_t from, struct error *error)
{
    *walk = (struct signals_walk){.source = *source, .block = block, .from = from, .more = true};
    bars_init(&walk->windows[0]);
    bars_init(&walk->windows[1]);
    return setup_view_init(&walk->view, setup, sheet, around, error);
}

/* Lays new bars behind those that stay, and moves the sheet there; *gone tells how
 * many do not stay. */
static int slide(struct signals_walk *walk, size_t *gone, struct error *error)
{
    const struct bars *old = &walk->windows[walk->moves % 2];
    struct bars *window = &walk->windows[(walk->moves + 1) % 2];
    size_t back = setup_back(walk->view.setup);
    size_t stay = walk->moves == 0 ? 0 : old->count < back ? old->count : back;
    *gone = walk->moves == 0 ? 0 : old->count - stay;
    window->count = 0;
    window->last_is_partial = false;
    int code = bars_append_range(window, old, *gone, *gone + stay, error);
    if (code == ERROR_NONE)
        code = walk->source.read(walk->source.context, walk->block, window, &walk->more, error);
    if (code == ERROR_NONE)
        code = sheet_move(walk->view.plain, window, stay, error);
    walk->bars = window;
    walk->moves++;
    return code;
}

static int move(struct signals_walk *walk, struct error *error)
{
    size_t gone = 0;
    int code = slide(walk, &gone, error);
    for (size_t i = 0; i < walk->all.count; i++) {
        walk->all.list[i].at -= gone;
        walk->all.list[i].candle.at -= gone;
        walk->all.list[i].candle.first -= gone;
    }
    walk->begin -= gone;
    return code;
}

/* Walks along to this very window once more, with the columns that were asked for
 * too late; what was found before stands. */
static int walk_again(struct signals_walk *walk, struct error *error)
{
    size_t moves = walk->moves;
    size_t gone = 0;
    walk->moves = 0;
    sheet_begin_again(walk->view.plain);
    int code = walk->source.again(walk->source.context, error);
    while (code == ERROR_NONE && walk->moves < moves)
        code = slide(walk, &gone, error);
    return code;
}

/* --- signals ----------------------------------------------------------------------- */

static int take_over(struct signals *all, const struct signals *found, struct error *error)
{
    if (found->count == 0)
        return ERROR_NONE;
    struct signal *list = array_reserve(all->list, &all->room, all->count + found->count,
                                        sizeof *list);
    if (list == NULL)
        return error_memory(error);
    all->list = list;
    memcpy(list + all->count, found->list, found->count * sizeof *list);
    all->count += found->count;
    return ERROR_NONE;
}

/* Reads the checklists of the signals, so that whatever they ask for is there when
 * somebody reads them. */
static void ask_all(const struct setup_view *view, const struct signals *found)
{
    struct checklist checklist;
    for (size_t i = 0; i < found->count && !sheet_asked_late(view->plain); i++)
        checklist_read(view, &found->list[i].candle, found->list[i].at, &checklist);
}

static int find(struct signals_walk *walk, size_t end, struct error *error)
{
    struct signals found;
    size_t first = bars_find(walk->bars, walk->from);
    int code = ERROR_NONE;
    first = first > walk->begin ? first : walk->begin;
    for (;;) {
        code = signals_find(&walk->view, first, end, true, &found, error);
        if (code != ERROR_NONE)
            return code;
        ask_all(&walk->view, &found);
        if (!sheet_asked_late(walk->view.plain))
            break;
        signals_free(&found);
        code = walk_again(walk, error);
        if (code != ERROR_NONE)
            return code;
    }
    code = take_over(&walk->all, &found, error);
    walk->signals.candidates = found.candidates;
    walk->signals.untold = found.untold;
    signals_free(&found);
    return code;
}

/* Hands out those of which no bar that is still to be looked at can give one
 * before. */
static int hand_out(struct signals_walk *walk, size_t end, struct error *error)
{
    struct signals *all = &walk->all;
    size_t count = 0;
    signals_sort(all);
    while (count < all->count && (!walk->more || all->list[count].at < end))
        count++;
    int code = take_over(&walk->signals, &(struct signals){.list = all->list, .count = count},
                         error);
    if (code != ERROR_NONE)
        return code;
    all->count -= count;
    if (all->count > 0)
        memmove(all->list, all->list + count, all->count * sizeof *all->list);
    return ERROR_NONE;
}

int signals_walk_next(struct signals_walk *walk, struct error *error)
{
    size_t wait = walk->view.setup->confirm_wait;
    walk->signals.count = 0;
    int code = move(walk, error);
    if (code != ERROR_NONE)
        return code;
    if (walk->moves == 1)
        setup_measure_ahead(&(const struct setup_view *){&walk->view}, 1);
    size_t count = sheet_count(walk->view.plain);
    /* Candles that may be confirmed by bars of the next window wait for it. */
    size_t end = !walk->more ? count : count > wait ? count - wait : 0;
    end = end > walk->begin ? end : walk->begin;
    code = find(walk, end, error);
    if (code == ERROR_NONE)
        code = hand_out(walk, end, error);
    walk->begin = end;
    return code;
}

void signals_walk_end(struct signals_walk *walk)
{
    signals_free(&walk->signals);
    signals_free(&walk->all);
    bars_free(&walk->windows[0]);
    bars_free(&walk->windows[1]);
}
