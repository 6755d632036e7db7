/* Writes every kind of statistical figure to PNG files, for a person to look
 * at: two sizes, light, dark and print. `look FOLDER`. */
#include "draw/output.h"
#include "sample_chart.h"

#include <stdio.h>
#include <string.h>

static const double sizes[][2] = {{720, 420}, {380, 260}};

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
    FILE *file = code == ERROR_NONE ? fopen(path, "wb") : NULL;
    if (code == ERROR_NONE &&
        (file == NULL || fwrite(png.bytes, 1, png.length, file) != png.length))
        code = error_set(error, ERROR_MACHINE, "%s: cannot write", path);
    if (file != NULL)
        fclose(file);
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
    if (code != ERROR_NONE) {
        fprintf(stderr, "look: %s\n", error.text);
        return code;
    }
    typesetter_free(typesetter);
    return ERROR_NONE;
}
