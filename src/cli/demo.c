/* `demo`: the invented market on disk, and the main job run on it. */
#include "cli/command_line.h"
#include "cli/commands.h"

#include "cli/wishes.h"
#include "work/demo_market.h"

#include <stdio.h>

enum { PATH_SIZE = 4096 };

/* --- the main job ------------------------------------------------------------------- */

/* Runs a command as a person would type it, and shows what was typed. */
static int run_words(struct call *call, char **words, int count, struct error *error)
{
    fprintf(call->out, "\n$");
    for (int i = 0; i < count; i++)
        fprintf(call->out, " %s", words[i]);
    fprintf(call->out, "\n\n");
    fflush(call->out);
    int status = command_line(count, words, call->out, call->messages);
    return status <= 1 ? ERROR_NONE : error_set(error, status, "%s %s failed", words[0], words[1]);
}

static int run_main_job(struct call *call, const char *dir, char *book, struct error *error)
{
    char sheet[PATH_SIZE];
    char program[] = "rushlight", scan[] = "scan", picture[] = "case", all[] = "--all",
         quiet[] = "--quiet", setup[] = "--setup", name[] = "low-inverted-hammer",
         since[] = "--from=2024-01-01", list[] = "--watchlist", reedlands[] = "reedlands",
         book_option[] = "--book", goods[] = "cut-rush", date[] = "2024-11-01", output[] = "-o";
    char *scan_words[] = {program, scan,  list,  reedlands,   setup, name,
                          all,     since, quiet, book_option, book};
    char *case_words[] = {program, picture, goods, date,        setup,
                          name,    output,  sheet, book_option, book};
    if (snprintf(sheet, sizeof sheet, "%s/case.svg", dir) >= PATH_SIZE)
        return error_set(error, ERROR_USAGE, "--dir: the path is too long");
    int code = run_words(call, scan_words, sizeof scan_words / sizeof scan_words[0], error);
    return code != ERROR_NONE
               ? code
               : run_words(call, case_words, sizeof case_words / sizeof case_words[0], error);
}

static void say_next(const struct call *call, const char *dir, const char *book)
{
    fprintf(call->out,
            "\nTo go on, and look around in a browser first:\n"
            "  rushlight serve --open --book %s\n"
            "  rushlight trades --watchlist reedlands --setup low-inverted-hammer --book %s\n"
            "  rushlight study --watchlist reedlands --setup low-inverted-hammer --book %s "
            "-o %s/study.html\n"
            "  rushlight catalogue shapes\n",
            book, book, book, dir);
}

int command_demo(struct call *call, struct error *error)
{
    const char *dir = call_word(call, "dir");
    char book[PATH_SIZE];
    struct demo_made made = {0};
    if (snprintf(book, sizeof book, "%s/book.sqlite", dir) >= PATH_SIZE)
        return error_set(error, ERROR_USAGE, "--dir: the path is too long");
    int code = demo_market_make(&(struct demo_wish){.folder = dir,
                                                    .keep = true,
                                                    .book = book,
                                                    .now = clock_now()},
                                &made, error);
    if (code != ERROR_NONE)
        return code;
    fprintf(call->out,
            "The demo market, an invented place, is in %s:\n"
            "  prices/         40 instruments, 15 years of daily bars\n"
            "  prices-hourly/  hourly bars of six of them\n"
            "  book.sqlite     all of it imported: %llu bars; %llu lines, wrong on purpose, set "
            "aside\n",
            dir, (unsigned long long)made.bars, (unsigned long long)made.set_aside);
    code = run_main_job(call, dir, book, error);
    if (code == ERROR_NONE)
        say_next(call, dir, book);
    return code;
}
