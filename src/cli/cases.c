/* `cases`: every case of a setup on one sheet, and the average path after it. */
#include "answer/wall_pictures.h"
#include "base/new_file.h"
#include "cli/commands.h"
#include "cli/file.h"
#include "cli/paragraph.h"
#include "cli/wishes.h"
#include "document/cautions.h"
#include "report/sheet_file.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ON_A_PAGE = 24, FIGURE_LIMIT = 512 };

/* False where a sheet of cases has no such form. */
static bool form_of(const char *path, enum sheet_form *form)
{
    static const struct {
        const char *ending;
        enum sheet_form form;
    } endings[] = {{".svg", SHEET_SVG}, {".pdf", SHEET_PDF}, {".html", SHEET_HTML}};
    size_t length = strlen(path);
    for (size_t i = 0; i < sizeof endings / sizeof endings[0]; i++) {
        size_t own = strlen(endings[i].ending);
        if (length <= own || strcmp(path + length - own, endings[i].ending) != 0)
            continue;
        *form = endings[i].form;
        return true;
    }
    return false;
}

/* A PDF has pages, the other two are as long as they are; the path comes last. */
static int draw(struct picture **pictures, size_t *count, const struct wall *wall,
                const struct setup *setup, const struct wall_wish *wish, enum sheet_form form,
                struct typesetter *typesetter, struct error *error)
{
    size_t step = form == SHEET_PDF ? ON_A_PAGE : wall->count > 0 ? wall->count : 1;
    int code = ERROR_NONE;
    for (size_t first = 0;
         code == ERROR_NONE && *count < FIGURE_LIMIT - 1 && (first < wall->count || first == 0);
         first += step) {
        char prefix[32];
        size_t left = wall->count - first;
        snprintf(prefix, sizeof prefix, "rl-wall%zu", *count);
        code = wall_picture(wall, setup, wish, first, left < step ? left : step, typesetter, prefix,
                            &pictures[*count], error);
        ++*count;
    }
    if (code == ERROR_NONE && wall->has_path && form != SHEET_SVG)
        code = wall_path_picture(wall, typesetter, "rl-path", &pictures[(*count)++], error);
    return code;
}

static int write_wall(struct call *call, const struct wall *wall, const struct setup *setup,
                      const struct wall_wish *wish, enum sheet_form form, struct error *error)
{
    struct picture **pictures = calloc(FIGURE_LIMIT, sizeof(struct picture *));
    struct typesetter *typesetter = NULL;
    const struct sheet_target target = {.form = form,
                                        .theme = (enum theme)call_choice(call, "theme"),
                                        .paper = (enum paper)call_choice(call, "paper"),
                                        .scale = 1};
    struct table table;
    struct text bytes;
    size_t count = 0;
    text_init(&bytes);
    wall_table(&table, wall);
    int code = pictures != NULL && !table_failed(&table) ? typesetter_new(&typesetter, error)
                                                         : error_memory(error);
    if (code == ERROR_NONE)
        code = draw(pictures, &count, wall, setup, wish, form, typesetter, error);
    if (code == ERROR_NONE)
        code = sheet_write_all(pictures, count, &table, &target, &bytes, error);
    if (code == ERROR_NONE)
        code = new_file_write(call_option(call, "output"), &bytes, error);
    for (size_t i = 0; i < count; i++)
        picture_free(pictures[i]);
    free(pictures);
    typesetter_free(typesetter);
    table_free(&table);
    text_free(&bytes);
    return code;
}

static int say_written(struct call *call, const struct wall *wall, const struct wall_wish *wish,
                       struct error *error)
{
    struct text text;
    struct error why = wall->held.why;
    call_advise(call, &why);
    call->incomplete = call->incomplete || wall->held.set_aside > 0;
    text_init(&text);
    wall_words(&text, wall, call_option(call, "output"), why.text);
    int code = text_failed(&text) ? error_memory(error) : ERROR_NONE;
    if (code == ERROR_NONE) {
        fputs(text.bytes, call->out);
        print_paragraph(call->out, wish->outcome ? caution_results : caution_plan, 0);
    }
    text_free(&text);
    return code;
}

int command_cases(struct call *call, struct error *error)
{
    struct wall_wish wish = {.order = (enum wall_order)call_choice(call, "order"),
                             .outcome = call_has(call, "outcome"),
                             .most = (size_t)call_whole(call, "most"),
                             .resamples = 2000};
    struct setup setup;
    struct call_work opened;
    struct trial trial = {0};
    struct wall wall = {0};
    const char *path = call_option(call, "output");
    enum sheet_form form = SHEET_SVG;
    if (!form_of(path, &form))
        return error_set(error, ERROR_USAGE,
                         "-o: found '%s'; a name that ends in .svg, .pdf or .html is allowed",
                         path);
    if (wish.order == WALL_FOLLOWED && !wish.outcome)
        return error_set(error, ERROR_USAGE,
                         "--order followed: shows what followed; it is asked for with --outcome, "
                         "and the ledger notes it");
    int code = setup_of_call(call, &setup, error);
    if (code != ERROR_NONE)
        return code;
    code = call_work_open(&opened, call, error);
    if (code == ERROR_NONE && wish.outcome)
        code = trial_open(opened.work, &trial, error);
    if (code == ERROR_NONE)
        code = wall_make(opened.work, &trial, &setup, &wish, &wall, error);
    if (code == ERROR_NONE)
        code = write_wall(call, &wall, &setup, &wish, form, error);
    if (code == ERROR_NONE)
        code = say_written(call, &wall, &wish, error);
    wall_free(&wall);
    setup_free(&setup);
    return call_work_close(&opened, code, error);
}
