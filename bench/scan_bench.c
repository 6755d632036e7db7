/* The reference scan: anatomy, ATR, RSI and its average, MACD, slope and lowest
 * low over many instruments, on one core.
 *
 *   scan_bench FOLDER INSTRUMENTS BARS
 *
 * writes the bars to FOLDER/bars.f64 (open, high, low, close of one instrument
 * after the other), measures, writes the columns to FOLDER/columns.f64 for the
 * peer to compare, and prints seconds. One instrument alone is walked along in
 * blocks, as the program walks a long series. */
#include "cli/allocation.h"
#include "measures/series.h"
#include "measures/sheet.h"
#include "random_bars.h"

#include <math.h>

static const char *const names[] = {"range",          "body",  "upper_shadow",
                                    "lower_shadow",   "atr",   "rsi",
                                    "rsi_average",    "macd",  "macd_signal",
                                    "macd_histogram", "slope", "lowest"};
enum { COLUMN_COUNT = sizeof names / sizeof names[0] };

static void make_sheets(const struct bars *bars, size_t count, struct sheet **sheets)
{
    for (size_t i = 0; i < count; i++) {
        sheets[i] = sheet_new(&bars[i], NULL);
        if (sheets[i] == NULL)
            die("out of memory");
    }
    for (size_t c = 0; c < COLUMN_COUNT; c++) {
        const struct measure *measure = measure_find(names[c]);
        double values[PARAMETER_LIMIT];
        parameter_defaults(measure->parameters, values);
        sheets_measure(sheets, count, measure, values);
    }
}

static void write_columns(struct sheet *sheet, FILE *out)
{
    for (size_t c = 0; c < COLUMN_COUNT; c++) {
        const struct measure *measure = measure_find(names[c]);
        double values[PARAMETER_LIMIT];
        parameter_defaults(measure->parameters, values);
        fwrite(sheet_measure(sheet, measure, values), sizeof(double), sheet_count(sheet), out);
    }
}

/* One pass over all instruments, a lane's width at a time as the program does;
 * the columns go to `out` where it is not NULL. */
static double scan_many(const struct bars *bars, size_t instruments, FILE *out)
{
    double began = seconds();
    for (size_t i = 0; i < instruments; i += LANE_COUNT) {
        struct sheet *sheets[LANE_COUNT];
        size_t count = instruments - i < LANE_COUNT ? instruments - i : LANE_COUNT;
        make_sheets(bars + i, count, sheets);
        for (size_t k = 0; k < count; k++) {
            if (sheet_failed(sheets[k]))
                die("out of memory");
            if (out != NULL)
                write_columns(sheets[k], out);
            sheet_free(sheets[k]);
        }
    }
    return seconds() - began;
}

/* One long series, a block at a time. */
enum { WALK_BLOCK = 4096, WALK_BACK = 128 };

static void write_block(struct sheet *sheet, const double *const *columns, size_t stay,
                        size_t count, FILE *out)
{
    for (size_t c = 0; c < COLUMN_COUNT; c++) {
        size_t at = c * count + sheet_offset(sheet) + stay;
        fseek(out, (long)(at * sizeof(double)), SEEK_SET);
        fwrite(columns[c] + stay, sizeof(double), sheet_count(sheet) - stay, out);
    }
}

static double walk(const struct bars *bars, FILE *out)
{
    double began = seconds();
    struct sheet *sheet = sheet_walking(NULL);
    struct error error;
    struct bars window;
    if (sheet == NULL)
        die("out of memory");
    for (size_t first = 0; first < bars->count; first += WALK_BLOCK) {
        size_t stay = first < WALK_BACK ? first : WALK_BACK;
        size_t last = bars->count - first < WALK_BLOCK ? bars->count : first + WALK_BLOCK;
        const double *made[COLUMN_COUNT];
        window = bars_window(bars, first - stay, last);
        if (sheet_move(sheet, &window, stay, &error) != ERROR_NONE)
            die(error.text);
        for (size_t c = 0; c < COLUMN_COUNT; c++) {
            const struct measure *measure = measure_find(names[c]);
            double values[PARAMETER_LIMIT];
            parameter_defaults(measure->parameters, values);
            made[c] = sheet_measure(sheet, measure, values);
        }
        if (sheet_failed(sheet))
            die("out of memory");
        if (out != NULL)
            write_block(sheet, made, stay, bars->count, out);
    }
    sheet_free(sheet);
    return seconds() - began;
}

/* Reading open, high, low and close once from memory: the floor. */
static double read_once(const struct bars *bars, size_t instruments, double *sum)
{
    double began = seconds();
    for (size_t i = 0; i < instruments; i++)
        for (size_t t = 0; t < bars[i].count; t++)
            *sum += bars[i].open[t] + bars[i].high[t] + bars[i].low[t] + bars[i].close[t];
    return seconds() - began;
}

static double scan(const struct bars *bars, size_t instruments, FILE *out)
{
    return instruments == 1 ? walk(bars, out) : scan_many(bars, instruments, out);
}

static FILE *open_in(const char *folder, const char *name)
{
    char path[1024];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "wb");
    if (file == NULL)
        die("cannot write into the folder");
    return file;
}

int main(int argc, char **argv)
{
    if (argc != 4)
        die("usage: scan_bench FOLDER INSTRUMENTS BARS");
    allocation_keep();
    size_t instruments = (size_t)atol(argv[2]);
    size_t count = (size_t)atol(argv[3]);
    struct bars *bars = calloc(instruments, sizeof *bars);
    FILE *file = open_in(argv[1], "bars.f64");
    for (size_t i = 0; i < instruments; i++) {
        make_bars(&bars[i], count, i);
        const double *columns[] = {bars[i].open, bars[i].high, bars[i].low, bars[i].close};
        for (int c = 0; c < 4; c++)
            fwrite(columns[c], sizeof(double), count, file);
    }
    fclose(file);
    double best = INFINITY;
    double floor_best = INFINITY;
    double sum = 0;
    for (int round = 0; round < 5; round++) {
        best = fmin(best, scan(bars, instruments, NULL));
        floor_best = fmin(floor_best, read_once(bars, instruments, &sum));
    }
    file = open_in(argv[1], "columns.f64");
    scan(bars, instruments, file);
    fclose(file);
    printf("%.6f %.6f %g\n", best, floor_best, sum);
    for (size_t i = 0; i < instruments; i++)
        bars_free(&bars[i]);
    free(bars);
    return 0;
}
