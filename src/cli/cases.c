/* `cases`: every case of a setup on one sheet, and the average path after it. */
#include "cli/commands.h"
#include "cli/file.h"
#include "cli/paragraph.h"
#include "cli/wishes.h"
#include "document/cautions.h"
#include "draw/output.h"
#include "draw/theme.h"
#include "work/case_wall.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ON_A_PAGE = 24, FIGURE_LIMIT = 512, TABLE_COLUMNS = 3 };

enum wall_form { WALL_SVG, WALL_PDF, WALL_HTML, WALL_NO_FORM };

static enum wall_form form_of(const char *path)
{
    static const char *const endings[] = {".svg", ".pdf", ".html"};
    size_t length = strlen(path);
    for (int form = WALL_SVG; form < WALL_NO_FORM; form++) {
        size_t own = strlen(endings[form]);
        if (length > own && strcmp(path + length - own, endings[form]) == 0)
            return (enum wall_form)form;
    }
    return WALL_NO_FORM;
}

/* The figures of one file: sheets of cases, then the path. */
struct drawn_wall {
    struct picture *pictures[FIGURE_LIMIT];
    struct text svgs[FIGURE_LIMIT];
    struct output_figure figures[FIGURE_LIMIT];
    size_t count;
};

static int add_figure(struct drawn_wall *drawn, struct picture *picture, enum theme theme,
                      struct error *error)
{
    size_t at = drawn->count++;
    drawn->pictures[at] = picture;
    text_init(&drawn->svgs[at]);
    drawn->figures[at] = (struct output_figure){picture, &drawn->svgs[at]};
    return picture_write(picture, theme, &drawn->svgs[at], error);
}

/* A PDF has pages, the other two are as long as they are. */
static int draw(struct drawn_wall *drawn, const struct wall *wall, const struct setup *setup,
                const struct wall_wish *wish, enum wall_form form, enum theme theme,
                struct typesetter *typesetter, struct error *error)
{
    size_t step = form == WALL_PDF ? ON_A_PAGE : wall->count > 0 ? wall->count : 1;
    int code = ERROR_NONE;
    for (size_t first = 0; code == ERROR_NONE && drawn->count < FIGURE_LIMIT - 1 &&
                           (first < wall->count || first == 0);
         first += step) {
        struct picture *picture = NULL;
        char prefix[32];
        size_t left = wall->count - first;
        snprintf(prefix, sizeof prefix, "rl-wall%zu", drawn->count);
        code = wall_picture(wall, setup, wish, first, left < step ? left : step, typesetter, prefix,
                            &picture, error);
        if (code == ERROR_NONE)
            code = add_figure(drawn, picture, theme, error);
        else
            picture_free(picture);
    }
    if (code == ERROR_NONE && wall->has_path && form != WALL_SVG) {
        struct picture *picture = NULL;
        code = wall_path_picture(wall, typesetter, "rl-path", &picture, error);
        if (code == ERROR_NONE)
            code = add_figure(drawn, picture, theme, error);
        else
            picture_free(picture);
    }
    return code;
}

static int make_html(const struct drawn_wall *drawn, const struct wall *wall,
                     const struct output_words *words, struct text *bytes, struct error *error)
{
    const char **cells = calloc((wall->count + 1) * TABLE_COLUMNS, sizeof *cells);
    struct output_table *tables = calloc(drawn->count + 1, sizeof *tables);
    int code = cells != NULL && tables != NULL ? ERROR_NONE : error_memory(error);
    if (code == ERROR_NONE) {
        static const char *const heads[TABLE_COLUMNS] = {"instrument", "candle", "what followed"};
        memcpy(cells, heads, sizeof heads);
        for (size_t i = 0; i < wall->count; i++) {
            const char **row = cells + (i + 1) * TABLE_COLUMNS;
            row[0] = wall->small[i].name;
            row[1] = wall->cases[i].when;
            row[2] = wall->small[i].result != NULL ? wall->small[i].result : "held back";
        }
        tables[0] = (struct output_table){"Every case on the sheet, in its order", cells,
                                          TABLE_COLUMNS, wall->count + 1};
        code = output_html(drawn->figures, tables, drawn->count, words, bytes, error);
    }
    free(cells);
    free(tables);
    return code;
}

static int write_wall(struct call *call, const struct wall *wall, const struct setup *setup,
                      const struct wall_wish *wish, struct error *error)
{
    const char *path = call_option(call, "output");
    enum wall_form form = form_of(path);
    struct drawn_wall *drawn = calloc(1, sizeof *drawn);
    struct typesetter *typesetter = NULL;
    const struct output_words words = {setup->title, "en"};
    struct text bytes;
    text_init(&bytes);
    int code = drawn != NULL ? typesetter_new(&typesetter, error) : error_memory(error);
    if (code == ERROR_NONE)
        code = draw(drawn, wall, setup, wish, form, (enum theme)call_choice(call, "theme"),
                    typesetter, error);
    if (code == ERROR_NONE && form == WALL_SVG)
        text_append_bytes(&bytes, drawn->svgs[0].bytes, drawn->svgs[0].length);
    else if (code == ERROR_NONE && form == WALL_PDF)
        code = output_pdf(drawn->figures, drawn->count, (enum paper)call_choice(call, "paper"),
                          &words, &bytes, error);
    else if (code == ERROR_NONE)
        code = make_html(drawn, wall, &words, &bytes, error);
    if (code == ERROR_NONE)
        code = text_failed(&bytes) ? error_memory(error) : file_write(path, &bytes, error);
    for (size_t i = 0; drawn != NULL && i < drawn->count; i++) {
        picture_free(drawn->pictures[i]);
        text_free(&drawn->svgs[i]);
    }
    free(drawn);
    typesetter_free(typesetter);
    text_free(&bytes);
    return code;
}

static void say_written(const struct call *call, const struct wall *wall,
                        const struct wall_wish *wish)
{
    fprintf(call->out, "%zu case%s in %zu instrument%s", wall->found, wall->found == 1 ? "" : "s",
            wall->held.count, wall->held.count == 1 ? "" : "s");
    if (wall->count < wall->found)
        fprintf(call->out, ", the newest %zu of them", wall->count);
    fprintf(call->out, ", in %s.\n", call_option(call, "output"));
    if (wall->has_path && !isnan(wall->means[WALL_BARS])) {
        fprintf(call->out, "After %d bars the close had moved by %+.2f ATR on average", WALL_BARS,
                wall->means[WALL_BARS]);
        if (!isnan(wall->lows[WALL_BARS]))
            fprintf(call->out, ", interval %+.2f to %+.2f.\n", wall->lows[WALL_BARS],
                    wall->highs[WALL_BARS]);
        else
            fprintf(call->out, "; too few dates for an interval.\n");
    }
    if (wall->held.set_aside > 0)
        fprintf(call->out, "Set aside: %zu instrument%s; %s.\n", wall->held.set_aside,
                wall->held.set_aside == 1 ? "" : "s", wall->held.why.bytes);
    print_paragraph(call->out, wish->outcome ? caution_results : caution_plan, 0);
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
    if (form_of(path) == WALL_NO_FORM)
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
        code = write_wall(call, &wall, &setup, &wish, error);
    if (code == ERROR_NONE)
        say_written(call, &wall, &wish);
    wall_free(&wall);
    setup_free(&setup);
    return call_work_close(&opened, code, error);
}
