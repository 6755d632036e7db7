#include "prices/csv_collect.h"

struct collector {
    struct bars *bars;
    bool newest_first;
    int (*set_aside)(void *context, const struct csv_fault *fault, struct error *error);
    void *context;
};

static int begin(void *context, const struct csv_facts *facts, struct error *error)
{
    (void)error;
    ((struct collector *)context)->newest_first = facts->newest_first;
    return ERROR_NONE;
}

/* A file that is newest first is collected as it comes, and turned at the end. */
static int take_bars(void *context, const struct bars *block, struct error *error)
{
    struct collector *collector = context;
    int code = ERROR_NONE;
    if (!collector->newest_first)
        return bars_append_range(collector->bars, block, 0, block->count, error);
    for (size_t i = block->count; code == ERROR_NONE && i > 0; i--) {
        struct bar bar = bars_at(block, i - 1);
        code = bars_append(collector->bars, &bar, error);
    }
    return code;
}

static int take_fault(void *context, const struct csv_fault *fault, struct error *error)
{
    struct collector *collector = context;
    return collector->set_aside(collector->context, fault, error);
}

int csv_collect(const struct csv_source *source, const struct csv_options *options,
                struct bars *bars,
                int (*set_aside)(void *context, const struct csv_fault *fault, struct error *error),
                void *context, struct csv_summary *summary, struct error *error)
{
    struct collector collector = {bars, false, set_aside, context};
    const struct csv_sink sink = {.context = &collector,
                                  .begin = begin,
                                  .bars = take_bars,
                                  .set_aside = take_fault};
    int code = source->path != NULL ? csv_read_file(source->path, options, &sink, summary, error)
                                    : csv_read_memory(source->bytes, source->length, source->name,
                                                      options, &sink, summary, error);
    if (collector.newest_first)
        bars_reverse(bars);
    bars->interval = summary->facts.interval;
    bars->last_is_partial = summary->last_is_partial && bars->count > 0;
    return code;
}
