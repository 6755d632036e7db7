/* `study -o FILE`. */
#include "cli/report_file.h"
#include "cli/study_call.h"

/* First to last date of the bars that are looked at. */
static void append_range(struct text *text, const struct study_call *work)
{
    char day[CALENDAR_TEXT_SIZE];
    int64_t first = INT64_MAX;
    int64_t last = INT64_MIN;
    for (size_t i = 0; i < work->market.count; i++) {
        const struct study_series *series = &work->market.series[i];
        if (series->first >= series->bars->count)
            continue;
        int64_t begins = series->bars->time[series->first];
        int64_t ends = series->bars->time[series->bars->count - 1];
        first = begins < first ? begins : first;
        last = ends > last ? ends : last;
    }
    if (first > last) {
        text_append(text, "no date");
        return;
    }
    time_format(day, first, true);
    text_append_format(text, "%s to ", day);
    time_format(day, last, true);
    text_append(text, day);
}

int study_output(struct study_call *work, const struct setup *const *about, size_t setup_count,
                 const struct document *document, struct error *error)
{
    struct text texts[2];
    struct report_setup setups[2];
    struct text range;
    char data_hash[HASH_TEXT_SIZE];
    if (!call_has(work->call, "output"))
        return ERROR_NONE;
    text_init(&range);
    append_range(&range, work);
    bool failed = text_failed(&range);
    for (size_t i = 0; i < setup_count; i++) {
        text_init(&texts[i]);
        setup_write(about[i], &texts[i]);
        failed = failed || text_failed(&texts[i]);
        setups[i] = (struct report_setup){about[i]->name, texts[i].bytes};
    }
    const struct report_target target = {.setups = setups,
                                         .setup_count = setup_count,
                                         .facts = {.data_hash = data_hash,
                                                   .range = range.bytes,
                                                   .seed = work->options.seed,
                                                   .resamples = work->options.resamples}};
    int code = failed ? error_memory(error)
                      : hash_series(data_hash, work->market.series, work->market.count, error);
    if (code == ERROR_NONE)
        code = report_file_write(work->call, &target, document, error);
    for (size_t i = 0; i < setup_count; i++)
        text_free(&texts[i]);
    text_free(&range);
    return code;
}
