/* Price files read as somebody says: interval, zone, order of the date and the
 * columns stand in a line of their own in front. Whatever is said, every line is
 * a bar or set aside, and bars obey their rules and come in order of time. */
#include "prices/csv_collect.h"
#include "said_line.h"

#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static int take_fault(void *context, const struct csv_fault *fault, struct error *error)
{
    uint64_t *set_aside = context;
    (void)error;
    if (fault->line == 0 || fault->reason == NULL || fault->reason[0] == '\0')
        abort();
    (*set_aside)++;
    return ERROR_NONE;
}

static void check_bars(const struct bars *bars)
{
    for (size_t i = 0; i < bars->count; i++) {
        struct bar bar = bars_at(bars, i);
        char reason[BAR_REASON_SIZE];
        if (bar_fault(&bar, reason) != NULL || (i > 0 && bars->time[i - 1] >= bar.time))
            abort();
    }
}

static void read(const struct csv_source *source, const struct csv_options *options)
{
    struct bars bars;
    struct csv_summary summary = {0};
    struct error error = {0};
    uint64_t set_aside = 0;
    bars_init(&bars);
    if (csv_collect(source, options, &bars, take_fault, &set_aside, &summary, &error) !=
        ERROR_NONE) {
        if (error.text[0] == '\0')
            abort();
    } else {
        check_bars(&bars);
        if (summary.set_aside != set_aside ||
            (!summary.facts.observations &&
             (summary.bars != bars.count || summary.lines != summary.bars + summary.set_aside)))
            abort();
    }
    bars_free(&bars);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct said_line said;
    if (!said_line_read(&said, data, size))
        return 0;
    const struct csv_options options = {.interval = said.interval,
                                        .zone = said.zone,
                                        .dates = said.dates,
                                        .columns = said.columns != NULL ? &said.wishes : NULL};
    const struct csv_source source = {.bytes = (const char *)said.rest,
                                      .length = said.rest_size,
                                      .name = "fuzz.csv"};
    read(&source, &options);
    said_line_free(&said);
    return 0;
}
