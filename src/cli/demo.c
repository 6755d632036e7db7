/* `demo`: the invented market on disk, and the main job run on it. */
#define _DEFAULT_SOURCE /* mkdir */
#include "cli/commands.h"

#include "base/array.h"
#include "base/text.h"
#include "cli/file.h"
#include "demo/files.h"
#include "demo/market.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum { PATH_SIZE = 4096 };

static int make_folder(const char *path, struct error *error)
{
    struct stat status;
    if (mkdir(path, 0777) == 0 || (errno == EEXIST && stat(path, &status) == 0 &&
                                   S_ISDIR(status.st_mode)))
        return ERROR_NONE;
    return error_set(error, ERROR_MACHINE, "%s: cannot make this folder: %s", path,
                     strerror(errno));
}

static int make_subfolder(const char *dir, const char *name, struct error *error)
{
    char path[PATH_SIZE];
    if (snprintf(path, sizeof path, "%s/%s", dir, name) >= PATH_SIZE)
        return error_set(error, ERROR_USAGE, "--dir: the path is too long");
    return make_folder(path, error);
}

static int write_file(const char *dir, const char *folder, const char *name,
                      const struct text *text, struct error *error)
{
    char path[PATH_SIZE];
    if (snprintf(path, sizeof path, "%s/%s/%s.csv", dir, folder, name) >= PATH_SIZE)
        return error_set(error, ERROR_USAGE, "--dir: the path is too long");
    return file_write(path, text, error);
}

static int write_series(const char *dir, const struct demo_series *series, struct error *error)
{
    struct text text;
    text_init(&text);
    demo_daily_csv(&text, series);
    int code = write_file(dir, "prices", series->row->name, &text, error);
    if (code == ERROR_NONE && series->hourly.count > 0) {
        text_clear(&text);
        demo_hourly_csv(&text, series);
        code = write_file(dir, "prices-hourly", series->row->name, &text, error);
    }
    text_free(&text);
    return code;
}

static int write_market(const char *dir, struct error *error)
{
    struct demo_market market;
    int code = demo_market_init(&market, DEMO_SEED, error);
    for (size_t i = 0; i < demo_roster_count && code == ERROR_NONE; i++) {
        struct demo_series series;
        code = demo_series_make(&market, i, &series, error);
        if (code == ERROR_NONE)
            code = write_series(dir, &series, error);
        demo_series_free(&series);
    }
    demo_market_free(&market);
    return code;
}

/* The newest signals of a shipped setup over all price files, by the same
 * command that a person would type. */
static int scan_market(struct call *call, const char *dir, struct error *error)
{
    enum { WORDS_BEFORE = 7, WORD_SIZE = 24 };
    char words[WORDS_BEFORE][WORD_SIZE] = {"rushlight", "scan",   "--all",     "--quiet",
                                           "--setup",   "low-inverted-hammer", "--from=2024-01-01"};
    char **line = array_new(WORDS_BEFORE + demo_roster_count, sizeof *line);
    char *paths = array_new(demo_roster_count, PATH_SIZE);
    int code = line == NULL || paths == NULL ? error_memory(error) : ERROR_NONE;
    for (size_t i = 0; code == ERROR_NONE && i < WORDS_BEFORE; i++)
        line[i] = words[i];
    for (size_t i = 0; code == ERROR_NONE && i < demo_roster_count; i++) {
        line[WORDS_BEFORE + i] = paths + i * PATH_SIZE;
        snprintf(line[WORDS_BEFORE + i], PATH_SIZE, "%s/prices/%s.csv", dir, demo_roster[i].name);
    }
    if (code == ERROR_NONE) {
        fprintf(call->out, "\nThe signals of the shipped setup low-inverted-hammer in "
                           "2024:\n\n");
        fflush(call->out);
        int status = command_line((int)(WORDS_BEFORE + demo_roster_count), line, call->out,
                                  call->messages);
        if (status > 1)
            code = error_set(error, status, "the scan of the demo market failed");
    }
    free(line);
    free(paths);
    return code;
}

static void say_next(const struct call *call, const char *dir)
{
    fprintf(call->out,
            "\nTo go on:\n"
            "  rushlight trades %s/prices/*.csv --setup low-inverted-hammer\n"
            "  rushlight study %s/prices/*.csv --setup low-inverted-hammer\n"
            "  rushlight catalogue shapes\n",
            dir, dir);
}

int command_demo(struct call *call, struct error *error)
{
    const char *dir = call_has(call, "dir") ? call_option(call, "dir") : "rushlight-demo";
    int code = make_folder(dir, error);
    if (code == ERROR_NONE)
        code = make_subfolder(dir, "prices", error);
    if (code == ERROR_NONE)
        code = make_subfolder(dir, "prices-hourly", error);
    if (code == ERROR_NONE)
        code = write_market(dir, error);
    if (code != ERROR_NONE)
        return code;
    fprintf(call->out,
            "The demo market, an invented place, is in %s:\n"
            "  prices/         40 instruments, 15 years of daily bars\n"
            "  prices-hourly/  hourly bars of six of them\n",
            dir);
    code = scan_market(call, dir, error);
    if (code == ERROR_NONE)
        say_next(call, dir);
    return code;
}
