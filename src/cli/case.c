/* `case`: one signal, or a few, on one page. */
#include "work/case.h"
#include "answer/case_tables.h"
#include "base/calendar.h"
#include "cli/commands.h"
#include "cli/file.h"
#include "cli/paragraph.h"
#include "cli/wishes.h"
#include "document/cautions.h"
#include "report/sheet_file.h"

#include <string.h>

/* What the words and options of the call say. */
struct case_call {
    struct case_date dates[CASE_LIMIT];
    struct case_wish wish;
    struct sheet_target target;
    const char *path;
};

static int read_form(struct case_call *own, struct error *error)
{
    static const char *const endings[] =
        {[SHEET_SVG] = ".svg", [SHEET_PNG] = ".png", [SHEET_PDF] = ".pdf", [SHEET_HTML] = ".html"};
    size_t length = strlen(own->path);
    for (size_t i = 0; i < sizeof endings / sizeof endings[0]; i++) {
        size_t ending = strlen(endings[i]);
        if (length <= ending || strcmp(own->path + length - ending, endings[i]) != 0)
            continue;
        own->target.form = (enum sheet_form)i;
        return ERROR_NONE;
    }
    return error_set(error, ERROR_USAGE,
                     "-o: found '%s'; a name that ends in .svg, .png, .pdf or .html is allowed",
                     own->path);
}

static int read_dates(const struct call *call, struct case_call *own, struct error *error)
{
    for (size_t i = 0; i < own->wish.count; i++) {
        const char *date = call->arguments[i + 1];
        if (!time_parse(date, strlen(date), &own->dates[i].time, &own->dates[i].date_only))
            return error_set(error, ERROR_USAGE,
                             "found '%s' for the date; a date YYYY-MM-DD or a time "
                             "YYYY-MM-DDTHH:MM:SSZ is allowed",
                             date);
    }
    return ERROR_NONE;
}

static int read_call(struct call *call, struct case_call *own, struct error *error)
{
    *own = (struct case_call){
        .wish = {.word = call->arguments[0],
                 .dates = own->dates,
                 .count = call->argument_count - 1,
                 .context = call_has(call, "context"),
                 .outcome = !call_has(call, "no-outcome")},
        .target = {.theme = (enum theme)call_choice(call, "theme"),
                   .paper = (enum paper)call_choice(call, "paper"),
                   .scale = call_number(call, "scale")},
        .path = call_option(call, "output"),
    };
    int code = read_form(own, error);
    if (code == ERROR_NONE)
        code = file_check_output(call, own->path, error);
    return code == ERROR_NONE ? read_dates(call, own, error) : code;
}

static int draw(struct picture **picture, struct typesetter *typesetter,
                const struct case_found *found, struct error *error)
{
    return found->count == 1
               ? case_sheet_make(picture, typesetter, found->requests, "rl-case", error)
               : case_sheet_make_several(picture, typesetter, found->requests, found->count,
                                         "rl-cases", error);
}

static int write_file(const struct case_call *own, const struct case_found *found,
                      struct error *error)
{
    struct typesetter *typesetter = NULL;
    struct picture *picture = NULL;
    struct table table = {0};
    struct text bytes;
    text_init(&bytes);
    int code = typesetter_new(&typesetter, error);
    if (code == ERROR_NONE)
        code = draw(&picture, typesetter, found, error);
    if (code == ERROR_NONE)
        code = case_table_make(&table, found->requests, found->count, error);
    if (code == ERROR_NONE)
        code = sheet_write(picture, &table, &own->target, &bytes, error);
    if (code == ERROR_NONE)
        code = file_write(own->path, &bytes, error);
    text_free(&bytes);
    table_free(&table);
    picture_free(picture);
    typesetter_free(typesetter);
    return code;
}

static void say_written(FILE *out, const char *path)
{
    fprintf(out, "The case sheet is in %s.\n", path);
    print_paragraph(out, caution_plan, 0);
}

int command_case(struct call *call, struct error *error)
{
    struct setup setup;
    struct case_call own;
    struct call_work opened;
    struct case_found found = {0};
    int code = read_call(call, &own, error);
    if (code == ERROR_NONE)
        code = setup_of_call(call, &setup, error);
    if (code != ERROR_NONE)
        return code;
    code = call_work_open(&opened, call, error);
    if (code == ERROR_NONE)
        code = case_find(opened.work, &setup, &own.wish, &found, error);
    if (code == ERROR_NONE)
        code = write_file(&own, &found, error);
    if (code == ERROR_NONE)
        say_written(call->out, own.path);
    case_free(&found);
    setup_free(&setup);
    return call_work_close(&opened, code, error);
}
