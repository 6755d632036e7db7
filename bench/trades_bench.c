/* Trades of a setup over many instruments, the bars made one batch at a time
 * so that memory is that of a batch:
 *
 *   trades_bench SETUP INSTRUMENTS BARS THREADS
 *
 * prints seconds of work (making the bars left out), trades, and bars a second. */
#define _POSIX_C_SOURCE 200809L
#include "cli/allocation.h"
#include "measures/series.h"
#include "random_bars.h"
#include "trade/trade.h"

enum { BATCH = 64 };

struct job {
    struct bars bars;
    struct sheet *sheet;
    struct setup_view view;
    struct trades trades;
};

static const struct trade_terms terms = {.tick = {0.01, 1, 2}, .point_value = 1};

static void work(struct job *jobs, size_t count)
{
    const struct setup_view *views[LANE_COUNT];
    struct error error;
    for (size_t i = 0; i < count; i++)
        views[i] = &jobs[i].view;
    setup_measure_ahead(views, count);
    for (size_t i = 0; i < count; i++)
        if (trades_find(&jobs[i].view, &terms, 0, SIZE_MAX, false, &jobs[i].trades, &error) !=
            ERROR_NONE)
            die(error.text);
}

int main(int argc, char **argv)
{
    if (argc != 5)
        die("usage: trades_bench SETUP INSTRUMENTS BARS THREADS");
    struct setup setup;
    struct error error;
    size_t instruments = (size_t)atol(argv[2]);
    size_t count = (size_t)atol(argv[3]);
    int threads = atoi(argv[4]);
    static struct job jobs[BATCH];
    double worked = 0;
    size_t found = 0;
    allocation_keep();
    if (setup_read_file(&setup, argv[1], &error) != ERROR_NONE)
        die(error.text);
    for (size_t first = 0; first < instruments; first += BATCH) {
        size_t size = instruments - first < BATCH ? instruments - first : BATCH;
#pragma omp parallel for num_threads(threads)
        for (size_t i = 0; i < size; i++)
            make_bars(&jobs[i].bars, count, first + i);
        double began = seconds();
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads)
        for (size_t i = 0; i < size; i += LANE_COUNT) {
            size_t lanes = size - i < LANE_COUNT ? size - i : LANE_COUNT;
            struct error failed;
            for (size_t k = i; k < i + lanes; k++) {
                jobs[k].sheet = sheet_new(&jobs[k].bars, NULL);
                if (jobs[k].sheet == NULL || setup_view_init(&jobs[k].view, &setup, jobs[k].sheet,
                                                             NULL, &failed) != ERROR_NONE)
                    die("out of memory");
            }
            work(jobs + i, lanes);
            for (size_t k = i; k < i + lanes; k++)
                sheet_free(jobs[k].sheet);
        }
        worked += seconds() - began;
        for (size_t i = 0; i < size; i++) {
            found += jobs[i].trades.count;
            trades_free(&jobs[i].trades);
            bars_free(&jobs[i].bars);
        }
    }
    printf("%zu x %zu bars, %d thread(s): %.2f s, %.1f million bars/s, %zu trades\n", instruments,
           count, threads, worked, 1e-6 * (double)(instruments * count) / worked, found);
    setup_free(&setup);
    return 0;
}
