/* `case`: one signal, or a few, on one page. */
#include "work/case.h"
#include "answer/case_tables.h"
#include "base/calendar.h"
#include "base/new_file.h"
#include "cli/commands.h"
#include "cli/file.h"
#include "cli/paragraph.h"
#include "cli/wishes.h"
#include "document/cautions.h"
#include "figures/case_pages.h"
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
    return code == ERROR_NONE ? read_dates(call, own, error) : code;
}

static enum case_form form_of(enum paper paper)
{
    switch (paper) {
    case PAPER_A4:
    case PAPER_LETTER: return CASE_UPRIGHT;
    case PAPER_SLIDE: return CASE_SLIDES;
    case PAPER_PHONE: return CASE_PHONE;
    case PAPER_A4_LANDSCAPE:
    case PAPER_LETTER_LANDSCAPE: break;
    }
    return CASE_WIDE;
}

/* Several cases beside one another are of one form. */
static int draw(struct picture **pictures, size_t *count, struct typesetter *typesetter,
                const struct case_found *found, enum paper paper, struct error *error)
{
    if (found->count == 1)
        return case_pages_make(pictures, count, typesetter, found->requests, form_of(paper),
                               paper_shape(paper), error);
    int code = case_sheet_make_several(pictures, typesetter, found->requests, found->count,
                                       "rl-cases", error);
    *count = pictures[0] != NULL;
    return code;
}

static int write_file(const struct case_call *own, const struct case_found *found, size_t *pages,
                      struct error *error)
{
    struct typesetter *typesetter = NULL;
    struct picture *pictures[CASE_PAGE_LIMIT] = {NULL};
    struct table table = {0};
    struct text bytes;
    text_init(&bytes);
    int code = typesetter_new(&typesetter, error);
    if (code == ERROR_NONE)
        code = draw(pictures, pages, typesetter, found, own->target.paper, error);
    if (code == ERROR_NONE)
        code = case_table_make(&table, found->requests, found->count, error);
    if (code == ERROR_NONE)
        code = sheet_write_all(pictures, *pages, &table, &own->target, &bytes, error);
    if (code == ERROR_NONE)
        code = new_file_write(own->path, &bytes, error);
    text_free(&bytes);
    table_free(&table);
    for (size_t i = 0; i < *pages; i++)
        picture_free(pictures[i]);
    typesetter_free(typesetter);
    return code;
}

static void say_written(FILE *out, const struct case_call *own, size_t pages)
{
    bool first = own->target.form == SHEET_SVG || own->target.form == SHEET_PNG;
    if (first && pages > 1)
        fprintf(out, "The first of the case sheet's %zu pages is in %s; a PDF holds all.\n", pages,
                own->path);
    else
        fprintf(out, "The case sheet is in %s.\n", own->path);
    print_paragraph(out, caution_plan, 0);
}

int command_case(struct call *call, struct error *error)
{
    struct setup setup;
    struct case_call own;
    struct call_work opened;
    struct case_found found = {0};
    size_t pages = 0;
    int code = read_call(call, &own, error);
    if (code == ERROR_NONE)
        code = setup_of_call(call, &setup, error);
    if (code != ERROR_NONE)
        return code;
    code = call_work_open(&opened, call, error);
    if (code == ERROR_NONE)
        code = case_find(opened.work, &setup, &own.wish, &found, error);
    if (code == ERROR_NONE)
        code = write_file(&own, &found, &pages, error);
    if (code == ERROR_NONE)
        say_written(call->out, &own, pages);
    case_free(&found);
    setup_free(&setup);
    return call_work_close(&opened, code, error);
}
