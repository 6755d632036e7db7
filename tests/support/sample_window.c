#include "sample_window.h"

#include <math.h>

const struct sample_window sample_windows[] = {
    {"wide", 1046, 640, 400, 240, 400, 560, 0.25, 0, false, false},
    {"phone", 354, 448, 400, 366, 400, 560, 0.25, 0, false, false},
    {"thousand", 1046, 640, 1500, 380, 1380, 900, 0.25, 0.2, false, false},
    {"joined", 1400, 800, 4000, 700, 3700, 900, 0.25, 0, false, false},
    {"ratio", 1046, 640, 1200, 0, 1200, 40, 0.01, 40, true, false},
    {"beyond", 1046, 420, 60, -25.5, 90.5, 560, 0.25, 0, false, false},
    {"single", 640, 360, 1, -4, 5, 560, 0.25, 0, false, true},
    {"negative", 1046, 500, 300, 180, 300, -30, 0.01, 0, true, false},
    {"tiny", 720, 420, 300, 200, 300, 0.00021, 0.000001, 0, false, false},
    {.name = NULL},
};

/* A walk on the tick's grid with falls, gaps and flat bars. */
static bool make_bars(struct bars *bars, const struct sample_window *sample, uint64_t seed)
{
    struct random_stream stream;
    struct error error;
    double level = round(sample->level / sample->tick);
    double scale = fmax(2, fabs(level) * 0.008);
    random_start(&stream, seed, 0);
    bars_init(bars);
    bars->interval = (struct interval){INTERVAL_DAY, 1};
    for (size_t i = 0; i < sample->bars; i++) {
        if (sample->logarithmic && level > 0)
            scale = fmax(2, level * 0.015);
        double open = level + floor(scale * 0.3 * random_normal(&stream));
        double close = open + floor(scale * random_normal(&stream) + sample->drift);
        double high = fmax(open, close) + floor(scale * random_unit(&stream));
        double low = fmin(open, close) - floor(scale * random_unit(&stream));
        if (sample->level > 0 && low < 1) {
            double lift = 1 - low;
            open += lift;
            close += lift;
            high += lift;
            low += lift;
        }
        struct bar bar = {.time = (int64_t)(i / 5 * 7 + i % 5 + 18004) * 86400,
                          .open = open * sample->tick,
                          .high = high * sample->tick,
                          .low = low * sample->tick,
                          .close = close * sample->tick,
                          .volume = floor(4e6 * exp(0.5 * random_normal(&stream)))};
        level = close;
        if (bars_append(bars, &bar, &error) != ERROR_NONE)
            return false;
    }
    return true;
}

static void fill_orders(struct window_case *made, size_t asked, double tick)
{
    const struct bars *bars = &made->bars;
    double entry = bars->high[asked] + tick;
    double risk = entry - bars->low[asked] + tick;
    made->orders[0] = (struct window_order){WINDOW_ENTRY, entry, asked};
    made->orders[1] = (struct window_order){WINDOW_STOP, entry - risk, asked};
    made->orders[2] = (struct window_order){WINDOW_TARGET, entry + risk, asked};
    made->orders[3] = (struct window_order){WINDOW_TARGET, entry + 2.5 * risk, asked};
}

static void fill_lines(struct window_case *made, size_t asked)
{
    const struct bars *bars = &made->bars;
    double back = fmin((double)asked, 60);
    size_t far = asked - (size_t)back;
    size_t near = asked - (size_t)(back / 3);
    made->lines[0] = (struct window_line){.from_bar = (double)far,
                                          .from_price = bars->low[far],
                                          .to_bar = (double)asked,
                                          .to_price = bars->low[far],
                                          .right = true,
                                          .ink = INK_MAIN,
                                          .rings = 2,
                                          .name = "own level, drawn 2 Sep"};
    made->lines[1] = (struct window_line){.from_bar = (double)far,
                                          .from_price = bars->high[far],
                                          .to_bar = (double)near,
                                          .to_price = bars->high[near],
                                          .right = true,
                                          .ink = INK_BLUE,
                                          .name = "falling trend line"};
    made->lines[2] = (struct window_line){.from_bar = (double)near,
                                          .from_price = bars->high[near],
                                          .to_bar = (double)asked,
                                          .to_price = bars->high[near],
                                          .ink = INK_BLUE,
                                          .dash = DASH_SHORT,
                                          .name = "neckline"};
    made->notes[0] = (struct window_note){(double)asked, bars->low[asked], "inverted hammer",
                                          INK_ACCENT, false};
    made->notes[1] = (struct window_note){(double)near, bars->high[near], "third push up", INK_MAIN,
                                          true};
}

static void fill(struct window_case *made, const struct sample_window *sample)
{
    static const struct window_strip strips[WINDOW_STRIP_LIMIT] = {{.kind = WINDOW_VOLUME},
                                                                   {.kind = WINDOW_RSI,
                                                                    .limits = {30},
                                                                    .limit_count = 1},
                                                                   {.kind = WINDOW_MACD},
                                                                   {.kind = WINDOW_STOCHASTIC},
                                                                   {.kind = WINDOW_ADX}};
    struct window_request *request = &made->request;
    size_t asked = request->asked;
    for (size_t i = 0; i < WINDOW_STRIP_LIMIT; i++)
        made->strips[i] = strips[i];
    request->strips = made->strips;
    request->strip_count = sample->width > 900 && sample->height > 450 ? WINDOW_STRIP_LIMIT : 2;
    made->curves[0] = (struct window_curve){.measure = MEASURE_AVERAGE,
                                            .a = 50,
                                            .name = "average of 50"};
    made->curves[1] = (struct window_curve){.measure = MEASURE_UPPER_BAND, .dash = DASH_DOTS};
    made->curves[2] = (struct window_curve){.measure = MEASURE_LOWER_BAND,
                                            .dash = DASH_DOTS,
                                            .name = "bands of 20, 2"};
    request->curves = made->curves;
    request->curve_count = 3;
    fill_lines(made, asked);
    request->lines = made->lines;
    request->line_count = 3;
    request->notes = made->notes;
    request->note_count = 2;
    for (size_t i = 0; i < 40; i++)
        made->marks[i] = (struct window_mark){(i * 37 + asked) % made->bars.count, i % 3 == 0};
    request->marks = made->marks;
    request->mark_count = 40;
    fill_orders(made, asked, sample->tick);
    request->orders = made->orders;
    request->order_count = 4;
}

bool window_case_init(struct window_case *made, const struct sample_window *sample, uint64_t seed)
{
    *made = (struct window_case){.sheet = NULL};
    if (!make_bars(&made->bars, sample, seed))
        return false;
    made->sheet = sheet_new(&made->bars, NULL);
    size_t end = sample->last < (double)sample->bars ? (size_t)sample->last : sample->bars;
    made->request = (struct window_request){.sheet = made->sheet,
                                            .name = "cut-rush",
                                            .tick = sample->tick,
                                            .width = sample->width,
                                            .height = sample->height,
                                            .first = sample->first,
                                            .last = sample->last,
                                            .over = 0.15,
                                            .logarithmic = sample->logarithmic,
                                            .asked_first = SIZE_MAX,
                                            .asked = SIZE_MAX};
    if (sample->plain || made->sheet == NULL)
        return made->sheet != NULL;
    made->request.asked = end - 1 - (end > 40 ? 12 : 0);
    made->request.asked_first = made->request.asked;
    fill(made, sample);
    return true;
}

void window_case_free(struct window_case *made)
{
    sheet_free(made->sheet);
    bars_free(&made->bars);
}
