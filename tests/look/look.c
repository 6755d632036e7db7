/* Writes every kind of statistical figure and of chart window to PNG files, for a person to look
 * at: two sizes, light, dark and print. `look FOLDER`. */
#include "draw/output.h"
#include "figures/average_path.h"
#include "figures/contact_sheet.h"
#include "sample_chart.h"
#include "sample_window.h"

#include <stdio.h>
#include <string.h>

static const double sizes[][2] = {{720, 420}, {380, 260}};

static int write_file(const char *path, const struct text *bytes, struct error *error)
{
    FILE *file = fopen(path, "wb");
    bool written = file != NULL && fwrite(bytes->bytes, 1, bytes->length, file) == bytes->length;
    if (file != NULL && fclose(file) != 0)
        written = false;
    return written ? ERROR_NONE : error_set(error, ERROR_MACHINE, "%s: cannot write", path);
}

static int write_png(const char *path, struct picture *picture, enum theme theme,
                     struct error *error)
{
    struct text svg;
    struct text png;
    text_init(&svg);
    text_init(&png);
    int code = picture_write(picture, theme, &svg, error);
    if (code == ERROR_NONE)
        code = output_png(&(struct output_figure){picture, &svg}, 1.5, &png, error);
    if (code == ERROR_NONE)
        code = write_file(path, &png, error);
    text_free(&svg);
    text_free(&png);
    return code;
}

/* The style sheet goes behind the head, where a file of its own would have it. */
static int write_window(const char *path, struct chart_window *window, enum theme theme,
                        struct error *error)
{
    struct text bare;
    struct text svg;
    struct text png;
    text_init(&bare);
    text_init(&svg);
    text_init(&png);
    int code = chart_window_write_whole(window, theme, &bare, error);
    if (code == ERROR_NONE) {
        const char *body = strchr(bare.bytes, '\n') + 1;
        text_append_bytes(&svg, bare.bytes, (size_t)(body - bare.bytes));
        text_append(&svg, "<style>\n");
        theme_stylesheet(&svg, theme);
        text_append(&svg, "</style>\n");
        text_append(&svg, body);
        code = output_png(&(struct output_figure){window->still, &svg}, 1.5, &png, error);
    }
    if (code == ERROR_NONE)
        code = write_file(path, &png, error);
    text_free(&bare);
    text_free(&svg);
    text_free(&png);
    return code;
}

static int look_at(const char *folder, const struct sample_chart *sample, enum theme theme,
                   size_t size, struct typesetter *typesetter, struct error *error)
{
    char path[4096];
    struct random_stream stream;
    struct picture *picture = picture_new(typesetter, sizes[size][0], sizes[size][1], "look");
    if (picture == NULL)
        return error_memory(error);
    picture_describe(picture, sample->name, "an invented example");
    struct chart chart = {picture,
                          {16, 14, sizes[size][0] - 16, sizes[size][1] - 14},
                          sample->x_name,
                          sample->y_name};
    random_start(&stream, 5, size);
    sample->draw(&chart, &stream, 240, 1);
    snprintf(path, sizeof path, "%s/%s-%s-%.0f.png", folder, sample->name, theme_name(theme),
             sizes[size][0]);
    int code = write_png(path, picture, theme, error);
    picture_free(picture);
    return code;
}

/* A chart window as a page shows it: both parts in one, the style sheet of the
 * page put in front, because a picture file has none. */
static int look_into(const char *folder, const struct sample_window *sample, enum theme theme,
                     struct typesetter *typesetter, struct error *error)
{
    char path[4096];
    struct window_case made;
    struct chart_window window;
    if (!window_case_init(&made, sample, 7))
        return error_memory(error);
    int code = chart_window_make(&window, typesetter, &made.request, "look", error);
    snprintf(path, sizeof path, "%s/window-%s-%s.png", folder, sample->name, theme_name(theme));
    if (code == ERROR_NONE)
        code = write_window(path, &window, theme, error);
    chart_window_free(&window);
    window_case_free(&made);
    return code;
}

enum { CASES = 24, PATH_BARS = 20 };

/* Cases at every so many bars of an invented market, on a contact sheet and as
 * an average path. */
static int look_at_cases(const char *folder, enum theme theme, struct typesetter *typesetter,
                         struct error *error)
{
    static const struct sample_window sample = {"cases", 600,  400, 900,   0,   900,
                                                560,     0.25, 0,   false, true};
    char path[4096];
    struct window_case made;
    struct small_case cases[CASES];
    double moves[CASES * (PATH_BARS + 1)];
    double ends[3][PATH_BARS + 1];
    size_t numbers[PATH_BARS + 1];
    struct picture *picture = NULL;
    if (!window_case_init(&made, &sample, 3))
        return error_memory(error);
    for (size_t i = 0; i < CASES; i++) {
        size_t at = 30 + 35 * i;
        cases[i] = (struct small_case){.bars = &made.bars,
                                       .candle_first = at,
                                       .candle = at,
                                       .end = i == 3 ? at + 1 : made.bars.count,
                                       .atr = 6,
                                       .entry = made.bars.high[at],
                                       .stop = made.bars.low[at],
                                       .exit_bar = i % 3 == 0 ? at + 6 : SIZE_MAX,
                                       .exit_price = made.bars.close[at + 6],
                                       .name = "cut-rush",
                                       .when = "12 Mar 2020",
                                       .result = i % 3 == 0 ? "+2.7 R" : "not filled",
                                       .closed = i % 3 == 0};
        path_moves(&made.bars, at, made.bars.count, 6, false, PATH_BARS,
                   moves + i * (PATH_BARS + 1));
    }
    path_means(moves, CASES, PATH_BARS, ends[0], numbers);
    for (size_t i = 0; i <= PATH_BARS; i++) {
        ends[1][i] = ends[0][i] - 0.2 * (double)i / 4;
        ends[2][i] = ends[0][i] + 0.2 * (double)i / 4;
    }
    struct contact_sheet sheet = {.cases = cases,
                                  .count = CASES,
                                  .width = 1120,
                                  .title = "low-inverted-hammer: 24 cases",
                                  .subtitle = "every case that the rule found, in order of date",
                                  .caption = "Soft bars are those that followed. Not advice."};
    int code = contact_sheet_make(&picture, typesetter, &sheet, "look", error);
    snprintf(path, sizeof path, "%s/contact-%s.png", folder, theme_name(theme));
    if (code == ERROR_NONE)
        code = write_png(path, picture, theme, error);
    picture_free(picture);
    picture = NULL;
    struct average_path average = {moves,   CASES, PATH_BARS, ends[0],        ends[1],
                                   ends[2], 760,   366,       "Average path", CASES};
    if (code == ERROR_NONE)
        code = average_path_make(&picture, typesetter, &average, "look", error);
    snprintf(path, sizeof path, "%s/path-%s.png", folder, theme_name(theme));
    if (code == ERROR_NONE)
        code = write_png(path, picture, theme, error);
    picture_free(picture);
    window_case_free(&made);
    return code;
}

int main(int argc, char **argv)
{
    struct error error;
    struct typesetter *typesetter;
    if (argc != 2) {
        fprintf(stderr, "look FOLDER\n");
        return ERROR_USAGE;
    }
    int code = typesetter_new(&typesetter, &error);
    for (const struct sample_chart *sample = sample_charts; sample->name != NULL; sample++)
        for (enum theme theme = THEME_LIGHT; theme <= THEME_PRINT && code == ERROR_NONE; theme++)
            for (size_t size = 0; size < 2 && code == ERROR_NONE; size++)
                code = look_at(argv[1], sample, theme, size, typesetter, &error);
    for (const struct sample_window *sample = sample_windows; sample->name != NULL; sample++)
        for (enum theme theme = THEME_LIGHT; theme <= THEME_DARK && code == ERROR_NONE; theme++)
            code = look_into(argv[1], sample, theme, typesetter, &error);
    for (enum theme theme = THEME_LIGHT; theme <= THEME_DARK && code == ERROR_NONE; theme++)
        code = look_at_cases(argv[1], theme, typesetter, &error);
    if (code != ERROR_NONE) {
        fprintf(stderr, "look: %s\n", error.text);
        return code;
    }
    typesetter_free(typesetter);
    return ERROR_NONE;
}
