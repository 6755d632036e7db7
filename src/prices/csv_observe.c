#include "prices/csv_observe.h"

#include <math.h>

static int finish_bar(struct csv_reader *reader, struct error *error)
{
    struct bar bar = reader->observer.bar;
    bar.time = reader->observer.bucket.start;
    reader->summary->bars++;
    return bars_append(&reader->block, &bar, error);
}

int csv_observe(struct csv_reader *reader, int64_t time, double price, double volume,
                struct error *error)
{
    struct csv_observer *observer = &reader->observer;
    const struct csv_options *options = reader->options;
    struct bucket bucket = session_bucket(reader->session, reader->facts.interval, time, false);
    if (!reader->any || time > reader->summary->observed)
        reader->summary->observed = time;
    /* Counted already, in the bar that an earlier file left. */
    if (options->continues && bucket.start == options->partial.time && time <= options->observed)
        return ERROR_NONE;
    if (observer->any && bucket.start == observer->bucket.start) {
        struct bar *bar = &observer->bar;
        bar->high = fmax(bar->high, price);
        bar->low = fmin(bar->low, price);
        *(reader->facts.newest_first ? &bar->open : &bar->close) = price;
        bar->volume += volume;
        return ERROR_NONE;
    }
    int code = observer->any ? finish_bar(reader, error) : ERROR_NONE;
    observer->bar = (struct bar){0, price, price, price, price, volume};
    observer->bucket = bucket;
    if (options->continues && bucket.start == options->partial.time) {
        const struct bar *left = &options->partial;
        observer->bar = (struct bar){0,
                                     left->open,
                                     fmax(left->high, price),
                                     fmin(left->low, price),
                                     price,
                                     left->volume + volume};
    }
    /* The first in the order of the file: newest first, it is the newest. */
    if (!observer->any || !reader->facts.newest_first)
        reader->summary->last_is_partial = true;
    observer->any = true;
    return code;
}

int csv_observe_end(struct csv_reader *reader, struct error *error)
{
    return reader->observer.any ? finish_bar(reader, error) : ERROR_NONE;
}
