#include "work/walk.h"

#include "book/reader_store.h"
#include "setup/walking.h"

/* The stored bars, and whether a partial last one is taken as it is (it is whole
 * where somebody wished so). */
struct unread {
    struct bars_reader reader;
    bool partial;
};

static int read_bars(void *context, size_t most, struct bars *bars, bool *more, struct error *error)
{
    struct unread *unread = context;
    int code = bars_reader_read(&unread->reader, most, bars, error);
    bars->last_is_partial = bars->last_is_partial && unread->partial;
    *more = unread->reader.more;
    return code;
}

static int read_again(void *context, struct error *error)
{
    struct unread *unread = context;
    return bars_reader_again(&unread->reader, error);
}

static int walk_along(struct work *work, const struct rules_case *opened, struct unread *unread,
                      int (*take)(void *context, const struct rules_case *window,
                                  const struct signals *signals, bool more, struct error *error),
                      void *context, struct error *error)
{
    const struct bars_source source = {unread, read_bars, read_again};
    int64_t from = work_wishes(work)->from;
    struct signals_walk walk;
    struct rules_case window = *opened;
    int code = signals_walk_begin(&walk, opened->view.setup, opened->sheet, &opened->around,
                                  &source, WALK_BLOCK, from, error);
    while (code == ERROR_NONE && walk.more) {
        code = work_stopped(work, error);
        if (code == ERROR_NONE)
            code = signals_walk_next(&walk, error);
        if (code != ERROR_NONE)
            break;
        window.series.bars = *walk.bars;
        window.series.first = bars_find(walk.bars, from);
        window.view = walk.view;
        code = take(context, &window, &walk.signals, walk.more, error);
    }
    signals_walk_end(&walk);
    return code;
}

int rules_walk(struct work *work, const struct rules_case *opened,
               int (*take)(void *context, const struct rules_case *window,
                           const struct signals *signals, bool more, struct error *error),
               void *context, struct error *error)
{
    const struct series *series = &opened->series;
    struct unread unread = {.partial = series->bars.last_is_partial};
    struct book *book = NULL;
    int code = work_borrow(work, &book, error);
    if (code == ERROR_NONE)
        code = bars_reader_open(&unread.reader, book, &series->unread, series->unread_to, error);
    if (code == ERROR_NONE)
        code = walk_along(work, opened, &unread, take, context, error);
    bars_reader_close(&unread.reader);
    work_return(work, book);
    return code;
}
