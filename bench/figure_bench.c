/* How long a figure takes, and which part of it: marks (candles, volume, a
 * curve, axes), placing the labels, writing the SVG; and a whole case sheet.
 *
 *   figure_bench BARS REPEATS
 *
 * prints the median milliseconds: marks, placing, writing, bytes of SVG; then
 * the sheet's: making and writing; then those of a frame of a chart window with
 * volume, RSI, MACD, an average and lines, and its bytes. */
#include "draw/candles.h"
#include "figures/chart_window.h"
#include "random_bars.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a;
    double y = *(const double *)b;
    return (x > y) - (x < y);
}

static double median(double *values, size_t count)
{
    qsort(values, count, sizeof *values, compare);
    return values[count / 2] * 1e3;
}

static void draw_marks(struct picture *picture, const struct bars *bars, const double *curve)
{
    struct pane price = {{60, 20, 1340, 560}, 0, (double)bars->count, 0, 1, false};
    struct candle_columns columns = {bars->open, bars->high, bars->low, bars->close};
    double low = INFINITY;
    double high = -INFINITY;
    widen_range(bars->low, 0, bars->count, &low, &high);
    widen_range(bars->high, 0, bars->count, &low, &high);
    pane_fit(&price, low, high, 0.05);
    struct pane below = price;
    below.box.top = 600;
    below.box.bottom = 740;
    pane_candles(picture, &price, &columns, 0, bars->count);
    pane_curve(picture, &price, LAYER_MARKS, (struct pen){INK_BLUE, 1, DASH_NONE}, curve, 0,
               bars->count);
    pane_value_axis(picture, &price, &(struct value_axis){.most = 8, .hairlines = true});
    low = INFINITY;
    high = -INFINITY;
    widen_range(curve, 0, bars->count, &low, &high);
    pane_fit(&below, low, high, 0.05);
    pane_columns(picture, &below, INK_SOFT, curve, below.low, 0, bars->count);
    pane_value_axis(picture, &below, &(struct value_axis){.most = 3});
    pane_time_axis(picture, &below, bars->time, 0, bars->count, true);
}

static void time_figure(struct typesetter *typesetter, const struct bars *bars, size_t repeats,
                        double *spent[3], size_t *bytes)
{
    struct sheet *sheet = sheet_new(bars, NULL);
    const double *mean = sheet != NULL ? sheet_mean(sheet, 20) : NULL;
    struct text svg;
    struct error error;
    if (mean == NULL)
        die("out of memory");
    text_init(&svg);
    for (size_t i = 0; i < repeats; i++) {
        struct picture *picture = picture_new(typesetter, 1400, 800, "b");
        if (picture == NULL)
            die("out of memory");
        text_clear(&svg);
        double began = seconds();
        draw_marks(picture, bars, mean);
        double marked = seconds();
        picture_place(picture);
        double placed = seconds();
        if (picture_write(picture, THEME_LIGHT, &svg, &error) != ERROR_NONE)
            die(error.text);
        spent[0][i] = marked - began;
        spent[1][i] = placed - marked;
        spent[2][i] = seconds() - placed;
        picture_free(picture);
    }
    *bytes = svg.length;
    text_free(&svg);
    sheet_free(sheet);
}

static const char setup_text[] = "setup: bench\nside: long\ncandle: {shape: any}\n"
                                 "place: [{downtrend: {bars: 10, fall_atr: 1}}]\n"
                                 "entry: {on: break_of_high, valid: 3}\nstop: {at: candle_low}\n"
                                 "exit: {targets: [{r: 2.5}], time_stop: 40}\n";

static void time_sheet(struct typesetter *typesetter, const struct bars *bars, size_t repeats,
                       double *spent[2])
{
    struct setup setup;
    struct setup_view view;
    struct error error;
    struct trade_terms terms = {.point_value = 1};
    struct sheet *sheet = sheet_new(bars, NULL);
    struct text svg;
    text_init(&svg);
    if (sheet == NULL || !tick_from_number(&terms.tick, 0.01) ||
        setup_read(&setup, "bench", setup_text, strlen(setup_text), &error) != ERROR_NONE ||
        setup_view_init(&view, &setup, sheet, NULL, &error) != ERROR_NONE)
        die("no setup");
    struct candle candle = candle_of_bar(&view, bars->count - 40);
    struct case_request request = {.view = &view,
                                   .terms = &terms,
                                   .instrument = "bench",
                                   .signal = {candle, candle.at, SIGNAL_GIVEN},
                                   .outcome = true};
    for (size_t i = 0; i < repeats; i++) {
        struct picture *picture = NULL;
        text_clear(&svg);
        double began = seconds();
        if (case_sheet_make(&picture, typesetter, &request, "b", &error) != ERROR_NONE)
            die(error.text);
        double made = seconds();
        if (picture_write(picture, THEME_LIGHT, &svg, &error) != ERROR_NONE)
            die(error.text);
        spent[0][i] = made - began;
        spent[1][i] = seconds() - made;
        picture_free(picture);
    }
    text_free(&svg);
    setup_free(&setup);
    sheet_free(sheet);
}

/* One frame of a window that is being dragged: made, and its moving part
 * written. */
static double time_window(struct typesetter *typesetter, const struct bars *bars, size_t count,
                          size_t repeats, double *spent)
{
    static const struct window_strip strips[] = {{.kind = WINDOW_VOLUME},
                                                 {.kind = WINDOW_RSI,
                                                  .limits = {30},
                                                  .limit_count = 1},
                                                 {.kind = WINDOW_MACD}};
    static const struct window_curve curves[] = {{.measure = MEASURE_AVERAGE, .a = 50}};
    const double last = (double)bars->count;
    const struct window_line lines[] = {{last - 80, bars->low[bars->count - 80], last - 1,
                                         bars->low[bars->count - 80], .right = true,
                                         .name = "own level"},
                                        {last - 60, bars->high[bars->count - 60], last - 30,
                                         bars->high[bars->count - 30], .right = true,
                                         .ink = INK_BLUE, .name = "trend line"}};
    struct sheet *sheet = sheet_new(bars, NULL);
    struct text svg;
    struct error error;
    text_init(&svg);
    if (sheet == NULL)
        die("out of memory");
    for (size_t i = 0; i < repeats; i++) {
        double right = last - (double)(i % 20);
        struct window_request request = {.sheet = sheet,
                                         .name = "bench",
                                         .tick = 0.01,
                                         .width = 1400,
                                         .height = 800,
                                         .first = right - (double)count,
                                         .last = right,
                                         .over = 0.15,
                                         .asked_first = SIZE_MAX,
                                         .asked = SIZE_MAX,
                                         .strips = strips,
                                         .strip_count = 3,
                                         .curves = curves,
                                         .curve_count = 1,
                                         .lines = lines,
                                         .line_count = 2};
        struct chart_window window;
        text_clear(&svg);
        double began = seconds();
        if (chart_window_make(&window, typesetter, &request, "b", &error) != ERROR_NONE ||
            chart_window_write_moving(&window, THEME_AUTO, &svg, &error) != ERROR_NONE ||
            chart_window_write_still(&window, THEME_AUTO, &svg, &error) != ERROR_NONE)
            die(error.text);
        spent[i] = seconds() - began;
        chart_window_free(&window);
    }
    double bytes = (double)svg.length;
    text_free(&svg);
    sheet_free(sheet);
    return bytes;
}

int main(int argc, char **argv)
{
    size_t count = argc > 1 ? strtoul(argv[1], NULL, 10) : 300;
    size_t repeats = argc > 2 ? strtoul(argv[2], NULL, 10) : 200;
    struct typesetter *typesetter = NULL;
    struct error error;
    double *spent[3];
    size_t bytes = 0;
    if (count < 100 || repeats < 1 || typesetter_new(&typesetter, &error) != ERROR_NONE)
        die("figure_bench BARS REPEATS, at least 100 bars");
    for (int i = 0; i < 3; i++)
        if ((spent[i] = malloc(repeats * sizeof *spent[i])) == NULL)
            die("out of memory");
    struct bars bars;
    make_bars(&bars, count, 1);
    time_figure(typesetter, &bars, repeats, spent, &bytes);
    printf("%.4f %.4f %.4f %zu ", median(spent[0], repeats), median(spent[1], repeats),
           median(spent[2], repeats), bytes);
    time_sheet(typesetter, &bars, repeats, spent);
    printf("%.4f %.4f ", median(spent[0], repeats), median(spent[1], repeats));
    /* A long series behind the view. */
    struct bars history;
    make_bars(&history, 50000, 2);
    double window_bytes = time_window(typesetter, &history, count, repeats, spent[0]);
    printf("%.4f %.0f\n", median(spent[0], repeats), window_bytes);
    bars_free(&history);
    for (int i = 0; i < 3; i++)
        free(spent[i]);
    bars_free(&bars);
    typesetter_free(typesetter);
    return 0;
}
