/* `study`: what happened after every signal, and whether it was luck. */
#include "cli/commands.h"

#include "base/array.h"
#include "cli/paragraph.h"
#include "cli/report_file.h"
#include "cli/study_call.h"
#include "evidence/study_words.h"
#include "version.h"

#include <stdlib.h>
#include <string.h>

static void show_progress(void *context, double done)
{
    struct study_call *work = context;
    work_progress(work->opened.work, done);
}

void study_begin_json(struct text *text, const struct study_call *work)
{
    text_append(text, "{\"rushlight\":\"" RUSHLIGHT_VERSION "\",\"seed\":");
    text_append_format(text, "%llu", (unsigned long long)work->options.seed);
}

int study_print(struct study_call *work, struct text *text, struct error *error)
{
    int code = text_failed(text) ? error_memory(error) : ERROR_NONE;
    if (code == ERROR_NONE)
        fwrite(text->bytes, 1, text->length, work->call->out);
    text_free(text);
    return code;
}

int study_print_words(struct study_call *work, struct text *opening, struct sections *sections,
                      const char *closing, struct error *error)
{
    FILE *out = work->call->out;
    int code = text_failed(opening) ? error_memory(error) : sections_check(sections, error);
    if (code == ERROR_NONE) {
        print_paragraph(out, opening->bytes, 0);
        fputc('\n', out);
        for (size_t s = 0; s < sections->count; s++)
            print_section(out, &sections->list[s]);
        if (closing != NULL)
            print_paragraph(out, closing, 0);
        print_paragraph(out, study_caution, 0);
    }
    sections_free(sections);
    text_free(opening);
    return code;
}

static void read_options(struct study_call *work)
{
    struct call *call = work->call;
    work->options = (struct study_options){.resamples = (size_t)call_whole(call, "resamples"),
                                           .draws = (size_t)call_whole(call, "draws"),
                                           .seed = call->seed,
                                           .threads = call->threads};
    work->options.progress = show_progress;
    work->options.context = work;
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

static int open_series(struct study_call *work, struct error *error)
{
    int code = series_words(work->opened.work, 0, &work->words, &work->count, error);
    if (code != ERROR_NONE)
        return code;
    work->cases = calloc(work->count, sizeof *work->cases);
    work->series = calloc(work->count, sizeof *work->series);
    if (work->cases == NULL || work->series == NULL)
        return error_memory(error);
    code = rules_open_all(work->opened.work, work->words, work->count, &work->setup, work->cases,
                          error);
    for (size_t i = 0; i < work->count && code == ERROR_NONE; i++) {
        struct rules_case *opened = &work->cases[i];
        work->series[i] = (struct study_series){.instrument = &opened->series.instrument,
                                                .bars = &opened->series.bars,
                                                .around = &opened->around,
                                                .terms = opened->terms,
                                                .first = bars_find(&opened->series.bars,
                                                                   work->since)};
    }
    return code;
}

static void close_series(struct study_call *work)
{
    for (size_t i = 0; work->cases != NULL && i < work->count; i++)
        rules_close(&work->cases[i]);
    free(work->cases);
    free(work->series);
    words_free(work->words, work->count);
}

const struct study_tries *study_counted(const struct study_call *work)
{
    return work->trial.book != NULL ? &work->counted : NULL;
}

static int print_text(struct study_call *work, struct error *error)
{
    struct text opening;
    struct sections sections = {0};
    char closing[192];
    text_init(&opening);
    study_opening(&opening, &work->study, &work->setup, study_counted(work));
    int code = study_sections(&sections, &work->study, error);
    if (code != ERROR_NONE) {
        text_free(&opening);
        sections_free(&sections);
        return code;
    }
    snprintf(closing, sizeof closing, "Seed %llu; %zu resamples of dates.%s",
             (unsigned long long)work->options.seed, work->options.resamples,
             work->trial.book != NULL
                 ? ""
                 : " No book is known (--book FILE), so no ledger counts this try.");
    return study_print_words(work, &opening, &sections, closing, error);
}

static int print_data(struct study_call *work, struct error *error)
{
    struct text text;
    text_init(&text);
    if (work->call->format == FORMAT_CSV) {
        study_csv(&text, &work->study);
    } else {
        study_begin_json(&text, work);
        text_append(&text, ",\"setup\":");
        text_append_json(&text, work->setup.name);
        study_json(&text, &work->study, study_counted(work));
        text_append(&text, "}\n");
    }
    return study_print(work, &text, error);
}

/* The try is in the ledger, with its result, before anything is shown. */
static int note_result(struct study_call *work, struct error *error)
{
    struct closed_trades closed;
    const struct estimate_plan plan = {.held_dates = 0,
                                       .resamples = work->options.resamples,
                                       .seed = work->options.seed,
                                       .threads = work->options.threads};
    int code = closed_trades_of(&closed, &work->study, error);
    if (code == ERROR_NONE)
        code = trial_finish(&work->trial, &work->study.mean_r, &work->study.grid, &closed, error);
    closed_trades_free(&closed);
    if (code == ERROR_NONE && work->trial.book != NULL)
        code = ledger_tries(&work->counted, work->trial.book, work->trial.id, &work->study.grid,
                            &plan, error);
    work->counted.sealed_from = work->trial.sealed ? work->trial.sealed_from : NULL;
    return code;
}

static int write_study(const struct report_target *target, const void *context, struct error *error)
{
    const struct study_call *work = context;
    return study_report(target, &work->study, &work->setup, study_counted(work), error);
}

static int run_study(struct study_call *work, struct error *error)
{
    int code = trial_enter(work->opened.work, &work->trial, "study", &work->setup, work->series,
                           NULL, work->count, error);
    if (code == ERROR_NONE)
        code = study_run(&work->study, &work->setup, work->series, work->count, &work->options,
                         error);
    if (code == ERROR_NONE)
        code = note_result(work, error);
    if (code == ERROR_NONE)
        code = study_output(work, &(struct study_paper){{&work->setup}, 1, write_study, work},
                            error);
    if (code == ERROR_NONE)
        code = work->call->format == FORMAT_TEXT ? print_text(work, error)
                                                 : print_data(work, error);
    return code;
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
        code = open_series(work, error);
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
    int code = frozen_read(work->trial.book, frozen, &work->setup, &work->since, error);
    /* Bars that had begun at the freezing do not count, whole days included. */
    work->since = (day_of_time(work->since) + 1) * SECONDS_PER_DAY;
    return code;
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
    close_series(&work);
    return call_work_close(&work.opened, code, error);
}
