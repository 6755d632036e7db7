/* Price files: every line is a bar or set aside, bars obey their rules and
 * come in order of time, and written out again they read the same. */
#include "base/calendar.h"
#include "base/text.h"
#include "prices/csv_collect.h"

#include <math.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

struct taken {
    struct bars bars;
    uint64_t set_aside;
};

static void check_bars(const struct bars *bars)
{
    for (size_t i = 0; i < bars->count; i++) {
        struct bar bar = bars_at(bars, i);
        char reason[BAR_REASON_SIZE];
        if (bar_fault(&bar, reason) != NULL)
            abort();
        if (i > 0 && bars->time[i - 1] >= bar.time)
            abort();
    }
}

static int take_fault(void *context, const struct csv_fault *fault, struct error *error)
{
    struct taken *taken = context;
    (void)error;
    if (fault->line == 0 || fault->reason == NULL || fault->reason[0] == '\0')
        abort();
    taken->set_aside++;
    return ERROR_NONE;
}

static bool read(struct taken *taken, const char *bytes, size_t length)
{
    const struct csv_source source = {.bytes = bytes, .length = length, .name = "fuzz.csv"};
    const struct csv_options options = {0};
    struct csv_summary summary = {0};
    struct error error = {0};
    taken->set_aside = 0;
    bars_init(&taken->bars);
    if (csv_collect(&source, &options, &taken->bars, take_fault, taken, &summary, &error) !=
        ERROR_NONE) {
        if (error.text[0] == '\0')
            abort();
        return false;
    }
    check_bars(&taken->bars);
    if (summary.bars != taken->bars.count || summary.set_aside != taken->set_aside ||
        summary.lines != summary.bars + summary.set_aside)
        abort();
    return true;
}

static void write_bars(struct text *text, const struct bars *bars)
{
    text_append(text, "time,open,high,low,close,volume\n");
    for (size_t i = 0; i < bars->count; i++) {
        struct bar bar = bars_at(bars, i);
        const double numbers[] = {bar.open, bar.high, bar.low, bar.close, bar.volume};
        char time[CALENDAR_TEXT_SIZE];
        time_format(time, bar.time, false);
        text_append(text, time);
        for (int k = 0; k < 5; k++) {
            text_append_char(text, ',');
            text_append_number(text, numbers[k]);
        }
        text_append_char(text, '\n');
    }
    if (text_failed(text))
        abort();
}

static bool same_bar(struct bar a, struct bar b)
{
    return a.time == b.time && a.open == b.open && a.high == b.high && a.low == b.low &&
           a.close == b.close && (a.volume == b.volume || (isnan(a.volume) && isnan(b.volume)));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct taken once;
    if (read(&once, (const char *)data, size) && once.bars.count > 0) {
        struct taken again;
        struct text text;
        text_init(&text);
        write_bars(&text, &once.bars);
        if (!read(&again, text.bytes, text.length) || again.bars.count != once.bars.count)
            abort();
        /* Times written in several ways may hide that most of them are dates;
         * written alike they show it, and are then taken for dates. */
        bool seen_alike = interval_is_dated(once.bars.interval) ==
                          interval_is_dated(again.bars.interval);
        for (size_t i = 0; seen_alike && i < once.bars.count; i++)
            if (!same_bar(bars_at(&once.bars, i), bars_at(&again.bars, i)))
                abort();
        bars_free(&again.bars);
        text_free(&text);
    }
    bars_free(&once.bars);
    return 0;
}
