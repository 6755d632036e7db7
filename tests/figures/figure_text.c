/* Prints one kind of statistical figure, or one chart window, as normalised text: without the style
 * sheet, numbers in whole units, so that only what a reader would notice
 * differs. `figure_text NAME`. */
#include "sample_chart.h"
#include "sample_window.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Numbers are rounded to whole units, the rest is copied. */
static void print_line(const char *line, size_t length)
{
    size_t i = 0;
    while (i < length) {
        bool number = isdigit((unsigned char)line[i]) ||
                      (line[i] == '-' && i + 1 < length && isdigit((unsigned char)line[i + 1]));
        if (!number) {
            putchar(line[i++]);
            continue;
        }
        char *end;
        double value = strtod(line + i, &end);
        printf("%.0f", value == 0 ? 0 : round(value) + 0.0);
        i = (size_t)(end - line);
    }
    putchar('\n');
}

static void print_normalised(const char *svg)
{
    bool style = false;
    for (const char *line = svg; *line != '\0';) {
        size_t length = strcspn(line, "\n");
        style |= strncmp(line, "<style", 6) == 0;
        /* Letters are not numbers in units: their text is kept. */
        const char *letters = strncmp(line, "<text", 5) == 0 ? memchr(line, '>', length) : NULL;
        if (!style && letters != NULL) {
            size_t head = (size_t)(letters - line);
            for (size_t i = 0; i < head;) {
                const char *at = line + i;
                bool place = strncmp(at, " x=\"", 4) == 0 || strncmp(at, " y=\"", 4) == 0;
                if (!place) {
                    putchar(line[i++]);
                    continue;
                }
                char *end;
                printf("%.4s%.0f", at, round(strtod(at + 4, &end)));
                i = (size_t)(end - line);
            }
            printf("%.*s\n", (int)(length - head), letters);
        } else if (!style) {
            print_line(line, length);
        }
        style &= strncmp(line, "</style", 7) != 0;
        line += length + (line[length] == '\n');
    }
}

static int draw(const struct sample_chart *sample)
{
    struct error error;
    struct typesetter *typesetter = NULL;
    struct random_stream stream;
    struct text svg;
    text_init(&svg);
    int code = typesetter_new(&typesetter, &error);
    struct picture *picture = code == ERROR_NONE ? picture_new(typesetter, 360, 240, "figure")
                                                 : NULL;
    if (picture != NULL) {
        struct chart chart = {picture, {8, 8, 352, 232}, sample->x_name, sample->y_name};
        picture_describe(picture, sample->name, "an invented example");
        random_start(&stream, 11, 0);
        sample->draw(&chart, &stream, 12, 1);
        code = picture_write(picture, THEME_LIGHT, &svg, &error);
    }
    if (code == ERROR_NONE)
        print_normalised(svg.bytes);
    else
        fprintf(stderr, "figure_text: %s\n", error.text);
    picture_free(picture);
    typesetter_free(typesetter);
    text_free(&svg);
    return code;
}

static int draw_window(const struct sample_window *sample)
{
    struct error error;
    struct typesetter *typesetter = NULL;
    struct window_case made;
    struct chart_window window = {0};
    struct text svg;
    text_init(&svg);
    int code = typesetter_new(&typesetter, &error);
    if (code == ERROR_NONE && !window_case_init(&made, sample, 7))
        code = error_memory(&error);
    if (code == ERROR_NONE)
        code = chart_window_make(&window, typesetter, &made.request, "figure", &error);
    if (code == ERROR_NONE)
        code = chart_window_write_whole(&window, THEME_LIGHT, &svg, &error);
    if (code == ERROR_NONE)
        print_normalised(svg.bytes);
    else
        fprintf(stderr, "figure_text: %s\n", error.text);
    chart_window_free(&window);
    window_case_free(&made);
    typesetter_free(typesetter);
    text_free(&svg);
    return code;
}

int main(int argc, char **argv)
{
    sample_names_latin();
    for (const struct sample_chart *sample = sample_charts; sample->name != NULL; sample++)
        if (argc == 2 && strcmp(sample->name, argv[1]) == 0)
            return draw(sample);
    for (const struct sample_window *sample = sample_windows; sample->name != NULL; sample++)
        if (argc == 2 && strncmp(argv[1], "window_", 7) == 0 &&
            strcmp(sample->name, argv[1] + 7) == 0)
            return draw_window(sample);
    fprintf(stderr, "figure_text NAME\n");
    return ERROR_USAGE;
}
