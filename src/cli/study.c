/* `study`: what happened after every signal, and whether it was luck. */
#include "cli/commands.h"

#include "cli/report_file.h"
#include "cli/study_call.h"
#include "document/document_write.h"
#include "version.h"

static void read_options(struct study_call *work)
{
    struct call *call = work->call;
    work->options = (struct study_options){.resamples = (size_t)call_whole(call, "resamples"),
                                           .resampled_markets = (size_t)
                                               call_whole(call, "resampled-markets"),
                                           .seed = call->seed,
                                           .threads = call->threads};
}

static double read_percent(const struct call *call, const char *name)
{
    return call_number(call, name) / 100;
}

static void read_next(struct study_call *work)
{
    const struct call *call = work->call;
    work->options.next_trades = (size_t)call_whole(call, "next");
    work->options.risk = read_percent(call, "risk");
    work->options.daily_limit = read_percent(call, "daily-limit");
    work->options.total_limit = read_percent(call, "total-limit");
    work->options.trailing_limit = read_percent(call, "trailing-limit");
}

static void read_same_bar(struct study_call *work)
{
    if (call_has(work->call, "same-bar"))
        work->setup.same_bar = (enum same_bar_rule)call_choice(work->call, "same-bar");
}

const struct study_trials *study_counted(const struct study_call *work)
{
    return work->trial.book != NULL ? &work->counted : NULL;
}

static int print_text(struct study_call *work, struct document *document, struct error *error)
{
    struct text closing;
    text_init(&closing);
    text_append_format(&closing, "Seed %llu; %zu resamples of dates.%s",
                       (unsigned long long)work->options.seed, work->options.resamples,
                       work->trial.book != NULL
                           ? ""
                           : " No book is known (--book FILE), so no ledger counts this trial.");
    document_lines(document, BLOCK_PARAGRAPH, &closing);
    return study_print_words(work, document, error);
}

static int print_data(struct study_call *work, struct error *error)
{
    struct text text;
    struct json json;
    if (work->call->format == FORMAT_CSV) {
        text_init(&text);
        study_csv(&text, &work->study);
        return study_print(work, &text, error);
    }
    study_begin_json(&json, &text, work);
    json_member_string(&json, "setup", work->setup.name);
    study_json(&json, &work->study, &work->setup, study_counted(work));
    return study_end_json(work, &json, error);
}

/* Into the file that is asked for, then printed. */
static int show_study(struct study_call *work, struct error *error)
{
    const struct setup *const about[] = {&work->setup};
    struct document document;
    document_init(&document);
    answer_study(&document, &work->study, &work->setup, study_counted(work));
    int code = study_output(work, about, 1, &document, error);
    if (code == ERROR_NONE)
        code = work->call->format == FORMAT_TEXT ? print_text(work, &document, error)
                                                 : print_data(work, error);
    document_clear(&document);
    return code;
}

static int run_study(struct study_call *work, struct error *error)
{
    int code = study_market(work->opened.work, &work->trial, &work->setup, &work->market,
                            &work->options, &work->study, &work->counted, error);
    return code == ERROR_NONE ? show_study(work, error) : code;
}

static int run(struct study_call *work, struct error *error)
{
    if (call_has(work->call, "against") && call_has(work->call, "vary"))
        return error_set(error, ERROR_USAGE, "--against and --vary: one of them at a time");
    read_options(work);
    read_next(work);
    read_same_bar(work);
    int code = report_file_check(work->call, error);
    if (code == ERROR_NONE)
        code = market_open(work->opened.work, &work->setup, work->since, &work->market, error);
    if (code != ERROR_NONE)
        return code;
    if (call_has(work->call, "against"))
        return study_compare(work, error);
    return call_has(work->call, "vary") ? study_vary(work, error) : run_study(work, error);
}

/* The setup of --setup, or a frozen one with the time of its freezing. */
static int read_setup(struct study_call *work, struct error *error)
{
    const char *frozen = call_option(work->call, "forward");
    if (frozen == NULL)
        return setup_of_call(work->call, &work->setup, error);
    if (call_has(work->call, "setup"))
        return error_set(error, ERROR_USAGE, "--forward names the setup; --setup is one too many");
    if (work->trial.book == NULL)
        return error_set(error, ERROR_USAGE, "--forward needs a book; --book FILE names one");
    return frozen_setup(&work->trial, frozen, &work->setup, &work->since, error);
}

int command_study(struct call *call, struct error *error)
{
    struct study_call work = {.call = call, .since = INT64_MIN};
    int code = call_work_open(&work.opened, call, error);
    if (code == ERROR_NONE)
        code = trial_open(work.opened.work, &work.trial, error);
    if (code == ERROR_NONE)
        code = read_setup(&work, error);
    if (code == ERROR_NONE) {
        code = run(&work, error);
        setup_free(&work.setup);
    }
    study_free(&work.study);
    market_close(&work.market);
    return call_work_close(&work.opened, code, error);
}
