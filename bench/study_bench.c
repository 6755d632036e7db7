/* A whole study over many instruments, all in memory:
 *
 *   study_bench SETUP INSTRUMENTS BARS THREADS
 *
 * prints seconds of work (making the bars left out), bars a second and what
 * was found. */
#define _POSIX_C_SOURCE 200809L
#include "cli/allocation.h"
#include "evidence/study.h"
#include "random_bars.h"

int main(int argc, char **argv)
{
    if (argc != 5)
        die("usage: study_bench SETUP INSTRUMENTS BARS THREADS");
    struct setup setup;
    struct study study;
    struct error error;
    size_t instruments = (size_t)atol(argv[2]);
    size_t count = (size_t)atol(argv[3]);
    int threads = atoi(argv[4]);
    struct instrument instrument;
    struct bars *bars = calloc(instruments, sizeof *bars);
    struct study_series *series = calloc(instruments, sizeof *series);
    const struct study_options options = {.resamples = RESAMPLES,
                                          .seed = 1,
                                          .threads = threads,
                                          .next_trades = 100,
                                          .risk = 0.01};
    allocation_keep();
    instrument_init(&instrument, "walk");
    if (bars == NULL || series == NULL || setup_read_file(&setup, argv[1], &error) != ERROR_NONE)
        die("cannot begin");
#pragma omp parallel for num_threads(threads)
    for (size_t i = 0; i < instruments; i++) {
        make_bars(&bars[i], count, i);
        series[i] = (struct study_series){.instrument = &instrument,
                                          .bars = &bars[i],
                                          .terms = {.tick = {0.01, 1, 2}, .point_value = 1}};
    }
    double began = seconds();
    if (study_run(&study, &setup, series, instruments, &options, &error) != ERROR_NONE)
        die(error.text);
    double worked = seconds() - began;
    printf("%zu x %zu bars, %d thread(s): %.2f s, %.1f million bars/s, %zu candidates, %zu trades, "
           "%zu others\n",
           instruments, count, threads, worked, 1e-6 * (double)(instruments * count) / worked,
           study.candidates, study.closed, study.candle.control.others);
    study_free(&study);
    setup_free(&setup);
    for (size_t i = 0; i < instruments; i++)
        bars_free(&bars[i]);
    free(bars);
    free(series);
    return 0;
}
