/* Price files read as somebody says: interval, zone, order of the date and the
 * columns stand in a line of their own in front. Whatever is said, every line is
 * a bar or set aside, and bars obey their rules and come in order of time. */
#include "base/text.h"
#include "prices/csv_collect.h"

#include <stdlib.h>
#include <string.h>

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

/* The next word of the line, up to a space. */
static char *next_word(char **line)
{
    char *word = *line;
    char *end = word + strcspn(word, " ");
    *line = *end != '\0' ? end + 1 : end;
    *end = '\0';
    return word;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const uint8_t *end = size > 0 ? memchr(data, '\n', size) : NULL;
    struct text text;
    struct error error = {0};
    struct csv_wishes wishes;
    if (end == NULL || end - data > CSV_WISHES_SIZE)
        return 0;
    text_init(&text);
    text_append_bytes(&text, (const char *)data, (size_t)(end - data));
    char *line = text.bytes;
    struct csv_options options = {0};
    interval_parse(next_word(&line), &options.interval);
    const char *zone = next_word(&line);
    options.zone = zone[0] != '\0' ? zone : NULL;
    const char *dates = next_word(&line);
    options.dates = dates[0] == 'd'   ? CSV_DATES_DMY
                    : dates[0] == 'm' ? CSV_DATES_MDY
                    : dates[0] == 'y' ? CSV_DATES_YMD
                                      : CSV_DATES_ANY;
    if (csv_wishes_read(&wishes, line, &error) == ERROR_NONE)
        options.columns = &wishes;
    const struct csv_source source = {.bytes = (const char *)end + 1,
                                      .length = size - (size_t)(end + 1 - data),
                                      .name = "fuzz.csv"};
    read(&source, &options);
    text_free(&text);
    return 0;
}
