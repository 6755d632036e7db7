/* `scan`: the signals of setups, near misses, and signals that wait. */
#include "work/scan.h"

#include "answer/untold.h"

#include "cli/commands.h"
#include "cli/scan_evening.h"
#include "cli/table.h"

#include <string.h>

struct signals_answer {
    const struct scan_call *scan;
    struct table table;
    struct text words; /* of one signal, for people */
};

static int take_signal(void *context, const struct scan_row *row, struct error *error)
{
    struct signals_answer *answer = context;
    struct call *call = answer->scan->call;
    if (call->format != FORMAT_TEXT) {
        scan_put_signal(&answer->table, row);
        table_flush(&answer->table);
        return ERROR_NONE;
    }
    text_clear(&answer->words);
    scan_signal_words(&answer->words, row);
    if (text_failed(&answer->words))
        return error_memory(error);
    fputs(answer->words.bytes, call->out);
    return ERROR_NONE;
}

static int find_signals(struct signals_answer *answer, struct scan_sum *sum, struct error *error)
{
    const struct scan_call *scan = answer->scan;
    const struct scan_wish wish = {.setups = scan->setups,
                                   .setup_count = scan->facts.setup_count,
                                   .history = scan->facts.history,
                                   .criteria = scan->call->format != FORMAT_CSV};
    struct call_work opened;
    int code = call_work_open(&opened, scan->call, error);
    if (code == ERROR_NONE)
        code = scan_each(opened.work, &wish, take_signal, answer, sum, error);
    return call_work_close(&opened, code, error);
}

static int scan_signals(const struct scan_call *scan, size_t *found, struct error *error)
{
    const struct scan_table *form = scan_table(SCAN_SIGNALS);
    struct signals_answer answer = {.scan = scan};
    struct scan_sum sum = {0};
    struct text closing;
    text_init(&answer.words);
    text_init(&closing);
    table_begin(&answer.table, scan->call, form->name, form->columns,
                scan->call->format == FORMAT_JSON ? form->with_criteria : form->with_state);
    int code = find_signals(&answer, &sum, error);
    if (code == ERROR_NONE) {
        scan_signals_closing(&closing, &sum, &scan->facts);
        table_set_untold(&answer.table, sum.untold, sum.dated_back);
        code = table_end_text(&answer.table, &closing, error);
    } else {
        table_abandon(&answer.table);
    }
    *found = sum.found;
    text_free(&answer.words);
    scan_sum_free(&sum);
    return code;
}

int command_scan(struct call *call, struct error *error)
{
    bool nearly = call_has(call, "nearly");
    struct scan_call scan = {.call = call,
                             .facts = {.history = call_has(call, "all"),
                                       .advice = nearly ? "--all looks through the history."
                                                        : "--all looks through the history, "
                                                          "--nearly 5 shows what was close.",
                                       .to_clock = !call_has(call, "to") &&
                                                   !call_has(call, "as-of"),
                                       .now = clock_now()}};
    bool waiting = call_has(call, "waiting");
    size_t found = 0;
    if (waiting && (nearly || scan.facts.history))
        return error_set(error, ERROR_USAGE, "--waiting: found beside --%s; alone it is allowed",
                         nearly ? "nearly" : "all");
    int code = setups_of_call(call, &scan.setups, &scan.facts.setup_count, error);
    scan.facts.setups = scan.setups;
    if (code == ERROR_NONE)
        code = waiting || nearly
                   ? scan_evening(&scan, nearly ? SCAN_NEARLY : SCAN_WAITING, &found, error)
                   : scan_signals(&scan, &found, error);
    if (code == ERROR_NONE && found == 0 && call_has(call, "expect"))
        call->incomplete = true;
    setups_free(scan.setups, scan.facts.setup_count);
    return code;
}
