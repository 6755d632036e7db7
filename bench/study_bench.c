/* A whole study over many instruments, all in memory:
 *
 *   study_bench SETUP INSTRUMENTS BARS THREADS NEXT [FOLDER]
 *
 * prints seconds of making the bars and of the study, what was found, the seconds
 * until the instruments were gathered, and those of one core, which say more where
 * others share the machine. NEXT is how many next trades are
 * asked for, 0: none. With a FOLDER it writes the bars to FOLDER/bars.f64 (open,
 * high, low, close of one instrument after the other) and the figures that
 * study_peer.py compares to FOLDER/figures.txt. */
#define _POSIX_C_SOURCE 200809L
#include "cli/allocation.h"
#include "evidence/study_run.h"
#include "random_bars.h"

#include <time.h>

static FILE *open_in(const char *folder, const char *name)
{
    char path[1024];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "wb");
    if (file == NULL)
        die("cannot write into the folder");
    return file;
}

static void write_bars(const char *folder, const struct bars *bars, size_t instruments)
{
    FILE *file = open_in(folder, "bars.f64");
    for (size_t i = 0; i < instruments; i++) {
        const double *columns[] = {bars[i].open, bars[i].high, bars[i].low, bars[i].close};
        for (int c = 0; c < 4; c++)
            fwrite(columns[c], sizeof(double), bars[i].count, file);
    }
    if (fclose(file) != 0)
        die("cannot write the bars");
}

static void write_number(FILE *file, const char *of, const char *name, double value)
{
    fprintf(file, "%s.%s %.17g\n", of, name, value);
}

static void write_count(FILE *file, const char *of, const char *name, size_t count)
{
    fprintf(file, "%s.%s %zu\n", of, name, count);
}

static void write_estimate(FILE *file, const char *of, const struct estimate *estimate)
{
    write_count(file, of, "count", estimate->count);
    write_count(file, of, "dates", estimate->dates);
    write_count(file, of, "left_out", estimate->left_out);
    write_number(file, of, "value", estimate->value);
    write_number(file, of, "variance", estimate->variance);
    write_number(file, of, "design_effect", estimate->design_effect);
    write_number(file, of, "block_length", estimate->block_length);
    write_number(file, of, "low", estimate->low);
    write_number(file, of, "high", estimate->high);
    write_number(file, of, "p", estimate->p);
    write_number(file, of, "freedom", estimate->freedom);
}

static void write_control(FILE *file, const struct study_control *control)
{
    const char *of = control->name;
    write_count(file, of, "signals", control->signals[0]);
    write_count(file, of, "other_signals", control->signals[1]);
    write_count(file, of, "others", control->control.others);
    write_count(file, of, "without_others", control->control.without_others);
    write_count(file, of, "bands", control->control.bands);
    write_number(file, of, "others_mean", control->control.others_mean);
    write_estimate(file, of, &control->control.difference);
}

static void write_figures(const char *folder, const struct study *study)
{
    FILE *file = open_in(folder, "figures.txt");
    const char *of = "study";
    write_count(file, of, "candidates", study->candidates);
    write_count(file, of, "shapes", study->shapes);
    write_count(file, of, "filled", study->filled);
    write_count(file, of, "closed", study->closed);
    write_count(file, of, "passed_over", study->passed_over);
    write_count(file, of, "same_bar", study->same_bar);
    write_count(file, of, "longest_losing_streak", study->longest_losing_streak);
    write_number(file, of, "median_r", study->median_r);
    write_number(file, of, "sd_r", study->sd_r);
    write_number(file, of, "win_rate", study->win_rate);
    write_number(file, of, "win_low", study->win_limits.low);
    write_number(file, of, "win_high", study->win_limits.high);
    write_number(file, of, "profit_factor", study->profit_factor);
    write_number(file, of, "max_drawdown_r", study->max_drawdown_r);
    write_number(file, of, "mean_bars", study->mean_bars);
    for (size_t i = 0; i < SAME_BAR_COUNT; i++)
        write_number(file, of, same_bar_name(study->same_bar_means[i].rule),
                     study->same_bar_means[i].mean);
    write_estimate(file, "mean_r", &study->mean_r);
    write_control(file, &study->candle);
    write_control(file, &study->place);
    for (size_t h = 0; h < FOLLOWED_COUNT; h++) {
        char name[32];
        snprintf(name, sizeof name, "followed%zu", study->followed[h].bars);
        write_estimate(file, name, &study->followed[h].difference);
    }
    if (fclose(file) != 0)
        die("cannot write the figures");
}

/* Notes when the last instrument was gathered. */
static void note_progress(void *context, double done)
{
    if (done >= 1)
        *(double *)context = seconds();
}

static void make_series(struct study_series *series, struct bars *bars, size_t instruments,
                        size_t count, const struct instrument *instrument, int threads)
{
#pragma omp parallel for num_threads(threads)
    for (size_t i = 0; i < instruments; i++) {
        make_bars(&bars[i], count, i);
        series[i] = (struct study_series){.instrument = instrument,
                                          .bars = &bars[i],
                                          .terms = {.tick = {0.01, 1, 2}, .point_value = 1}};
    }
}

int main(int argc, char **argv)
{
    if (argc != 6 && argc != 7)
        die("usage: study_bench SETUP INSTRUMENTS BARS THREADS NEXT [FOLDER]");
    struct setup setup;
    struct study study;
    struct error error;
    size_t instruments = (size_t)atol(argv[2]);
    size_t count = (size_t)atol(argv[3]);
    int threads = atoi(argv[4]);
    struct instrument instrument;
    struct bars *bars = calloc(instruments, sizeof *bars);
    struct study_series *series = calloc(instruments, sizeof *series);
    double gathered = 0;
    const struct study_options options = {.resamples = RESAMPLES,
                                          .seed = 1,
                                          .threads = threads,
                                          .next_trades = (size_t)atol(argv[5]),
                                          .risk = 0.01,
                                          .progress = note_progress,
                                          .context = &gathered};
    allocation_keep();
    instrument_init(&instrument, "walk");
    if (bars == NULL || series == NULL || setup_read_file(&setup, argv[1], &error) != ERROR_NONE)
        die("cannot begin");
    double began = seconds();
    make_series(series, bars, instruments, count, &instrument, threads);
    double made = seconds();
    if (argc == 7)
        write_bars(argv[6], bars, instruments);
    double started = seconds();
    clock_t cores = clock();
    if (study_run(&study, &setup, series, instruments, &options, &error) != ERROR_NONE)
        die(error.text);
    double ended = seconds();
    double of_one_core = (double)(clock() - cores) / CLOCKS_PER_SEC;
    printf("study of %zu x %zu bars, %d thread(s): %.3f s (gathering %.3f s, statistics %.3f s, "
           "%.2f s of one core; making the bars %.3f s apart), %zu candidates, %zu trades, "
           "%zu others\n",
           instruments, count, threads, ended - started, gathered - started, ended - gathered,
           of_one_core, made - began, study.candidates, study.closed, study.candle.control.others);
    if (argc == 7)
        write_figures(argv[6], &study);
    study_free(&study);
    setup_free(&setup);
    for (size_t i = 0; i < instruments; i++)
        bars_free(&bars[i]);
    free(bars);
    free(series);
    return 0;
}
