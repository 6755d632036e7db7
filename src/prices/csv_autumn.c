#include "prices/csv_autumn.h"

#include "prices/csv_order.h"

static void settle_oldest_first(const struct csv_reader *reader, struct csv_held *next)
{
    int64_t before = reader->held.any ? reader->held.bar.time : reader->last_time;
    if ((!reader->held.any && !reader->any) || csv_time_follows(reader, next->bar.time, before) ||
        !csv_time_follows(reader, next->bar.time + next->repeat, before))
        return;
    next->bar.time += next->repeat;
    next->repeat = 0;
}

/* Bars at the end of the block that are read as of the first time. */
static size_t first_to_move(struct csv_reader *reader)
{
    size_t first = reader->block.count;
    while (first > 0 && wall_clock_repeat(&reader->clock, reader->block.time[first - 1]) > 0)
        first--;
    return first;
}

static void settle_newest_first(struct csv_reader *reader, const struct csv_held *next)
{
    struct csv_held *held = &reader->held;
    struct bars *block = &reader->block;
    if (!held->any || held->repeat == 0 || reader->columns.observations ||
        reader->line_zone[0] != '\0' || csv_time_follows(reader, next->bar.time, held->bar.time) ||
        !csv_time_follows(reader, next->bar.time, held->bar.time + held->repeat))
        return;
    size_t first = first_to_move(reader);
    if (first == 0 && reader->summary->bars > block->count)
        return;
    for (size_t i = first; i < block->count; i++)
        block->time[i] += wall_clock_repeat(&reader->clock, block->time[i]);
    if (block->count > 0)
        reader->last_time = block->time[block->count - 1];
    held->bar.time += held->repeat;
    held->repeat = 0;
}

void csv_autumn_settle(struct csv_reader *reader, struct csv_held *next)
{
    if (next->repeat == 0)
        return;
    if (reader->facts.newest_first)
        settle_newest_first(reader, next);
    else
        settle_oldest_first(reader, next);
}
