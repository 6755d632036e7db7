/* import_bench parse FILE: seconds to read the bars of a file and drop them.
 * import_bench make FILE MEGABYTES: writes a file of invented one-minute bars. */
#include "base/calendar.h"
#include "base/random.h"
#include "base/text.h"
#include "prices/csv.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static int drop_bars(void *context, const struct bars *block, struct error *error)
{
    (void)error;
    *(double *)context += block->close[block->count - 1];
    return ERROR_NONE;
}

static int drop_fault(void *context, const struct csv_fault *fault, struct error *error)
{
    (void)context;
    (void)fault;
    (void)error;
    return ERROR_NONE;
}

static double seconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

static int parse(const char *path)
{
    double sum = 0;
    const struct csv_sink sink = {.context = &sum, .bars = drop_bars, .set_aside = drop_fault};
    const struct csv_options options = {.interval = {INTERVAL_NONE, 0}};
    struct csv_summary summary;
    struct error error;
    double began = seconds();
    if (csv_read_file(path, &options, &sink, &summary, &error) != ERROR_NONE) {
        fprintf(stderr, "%s\n", error.text);
        return 1;
    }
    printf("%.4f %llu\n", seconds() - began, (unsigned long long)summary.bars);
    return 0;
}

static int make(const char *path, double megabytes)
{
    struct random_stream random;
    FILE *file = fopen(path, "w");
    long long time = 946684800;
    int price = 10000;
    if (file == NULL)
        return 1;
    random_start(&random, 1, 1);
    fprintf(file, "Date,Open,High,Low,Close,Volume\n");
    while ((double)ftell(file) < megabytes * 1e6) {
        struct civil_time c;
        int open = price + (int)random_below(&random, 21) - 10;
        int close = open + (int)random_below(&random, 41) - 20;
        int high = (open > close ? open : close) + (int)random_below(&random, 10);
        int low = (open < close ? open : close) - (int)random_below(&random, 10);
        civil_from_time(&c, time);
        fprintf(file, "%04d-%02d-%02d %02d:%02d:%02d,%.2f,%.2f,%.2f,%.2f,%d\n", c.year, c.month,
                c.day, c.hour, c.minute, c.second, open / 100.0, high / 100.0, low / 100.0,
                close / 100.0, (int)random_below(&random, 5000));
        time += 60;
        price = close > 500 ? close : 10000;
    }
    return fclose(file) != 0;
}

int main(int argc, char **argv)
{
    if (argc == 3 && strcmp(argv[1], "parse") == 0)
        return parse(argv[2]);
    if (argc == 4 && strcmp(argv[1], "make") == 0)
        return make(argv[2], atof(argv[3]));
    fprintf(stderr, "import_bench parse FILE | make FILE MEGABYTES\n");
    return 2;
}
