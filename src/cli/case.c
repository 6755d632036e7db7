/* `case`: one signal on one page. */
#include "cli/case.h"

#include "base/calendar.h"
#include "base/text.h"
#include "cli/commands.h"
#include "cli/tries.h"
#include "figures/case_sheet.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static bool same_time(const struct bars *bars, size_t bar, int64_t time, bool date_only)
{
    return date_only ? day_of_time(bars->time[bar]) == day_of_time(time) : bars->time[bar] == time;
}

/* The signal whose candle, or else whose own bar, has this time; NULL: none. */
static const struct signal *find_signal(const struct bars *bars, const struct signals *signals,
                                        int64_t time, bool date_only)
{
    for (size_t i = 0; i < signals->count; i++)
        if (same_time(bars, signals->list[i].candle.at, time, date_only))
            return &signals->list[i];
    for (size_t i = 0; i < signals->count; i++)
        if (same_time(bars, signals->list[i].at, time, date_only))
            return &signals->list[i];
    return NULL;
}

/* Says that there is no signal, and which are the nearest before and after. */
static int no_signal(const struct rules_case *opened, const struct case_order *order,
                     const struct signals *signals, int64_t time, struct error *error)
{
    const struct bars *bars = &opened->series.bars;
    bool dated = interval_is_dated(bars->interval);
    const char *setup = opened->view.setup->name;
    char before[CALENDAR_TEXT_SIZE] = "";
    char after[CALENDAR_TEXT_SIZE] = "";
    if (signals->count == 0)
        return error_set(error, ERROR_INPUT,
                         "%s: setup %s has no signal here at all; 'rushlight scan --nearly 5' "
                         "shows what was close",
                         order->word, setup);
    for (size_t i = 0; i < signals->count; i++) {
        int64_t at = bars->time[signals->list[i].candle.at];
        if (at < time)
            time_format(before, at, dated);
        else if (after[0] == '\0')
            time_format(after, at, dated);
    }
    return error_set(error, ERROR_INPUT,
                     "%s: setup %s has no candle and no signal on %s; the nearest candle%s %s%s%s",
                     order->word, setup, order->date,
                     before[0] != '\0' && after[0] != '\0' ? "s are of" : " is of", before,
                     before[0] != '\0' && after[0] != '\0' ? " and " : "", after);
}

/* Takes away every bar after the signal, so that nothing of them can show. */
static int cut_to_signal(struct rules_case *opened, size_t last, struct error *error)
{
    struct bars part;
    struct surroundings *around = &opened->around;
    int code = bars_slice(&part, &opened->series.bars, 0, last + 1, error);
    if (code != ERROR_NONE)
        return code;
    part.last_is_partial = false;
    sheet_free(opened->sheet);
    bars_free(&opened->series.bars);
    opened->series.bars = part;
    opened->series.ended = opened->terms.ended = false;
    opened->sheet = sheet_new(&opened->series.bars, opened->series.instrument.zone);
    if (opened->sheet == NULL)
        return error_memory(error);
    return setup_view_init(&opened->view, opened->view.setup, opened->sheet, around, error);
}

/* R of every closed trade of the setup here. */
static int rank_trades(const struct rules_case *opened, double **ranked, size_t *count,
                       struct error *error)
{
    struct trades trades;
    int code = trades_find(&opened->view, &opened->terms, 0, SIZE_MAX, false, &trades, error);
    if (code != ERROR_NONE)
        return code;
    *ranked = malloc((trades.count + 1) * sizeof **ranked);
    if (*ranked == NULL)
        code = error_memory(error);
    for (size_t i = 0; code == ERROR_NONE && i < trades.count; i++)
        if (trade_closed(trades.list[i].reason))
            (*ranked)[(*count)++] = trades.list[i].r;
    trades_free(&trades);
    return code;
}

static int write_text(const char *path, const struct text *text, struct error *error)
{
    FILE *file = fopen(path, "wb");
    bool written = file != NULL && fwrite(text->bytes, 1, text->length, file) == text->length;
    if (file != NULL && fclose(file) != 0)
        written = false;
    if (written)
        return ERROR_NONE;
    return error_set(error, ERROR_MACHINE, "%s: cannot write: %s", path, strerror(errno));
}

static int draw_case(const struct case_request *request, const struct case_order *order,
                     struct error *error)
{
    struct typesetter *typesetter = NULL;
    struct picture *picture = NULL;
    struct text svg;
    text_init(&svg);
    int code = typesetter_new(&typesetter, error);
    if (code == ERROR_NONE)
        code = case_sheet_make(&picture, typesetter, request, "rl-case", error);
    if (code == ERROR_NONE)
        code = picture_write(picture, order->theme, &svg, error);
    if (code == ERROR_NONE)
        code = write_text(order->path, &svg, error);
    picture_free(picture);
    typesetter_free(typesetter);
    text_free(&svg);
    return code;
}

static int draw_signal(struct rules_case *opened, const struct case_order *order,
                       const struct signal *signal, struct error *error)
{
    double *ranked = NULL;
    size_t count = 0;
    struct case_request request = {.view = &opened->view,
                                   .terms = &opened->terms,
                                   .instrument = opened->series.instrument.name,
                                   .signal = *signal,
                                   .outcome = order->outcome,
                                   .number = 1};
    int code = order->outcome ? rank_trades(opened, &ranked, &count, error)
                              : cut_to_signal(opened, signal->at, error);
    request.ranked = ranked;
    request.ranked_count = count;
    if (code == ERROR_NONE)
        code = draw_case(&request, order, error);
    free(ranked);
    return code;
}

int case_write(struct rules_case *opened, const struct case_order *order, struct error *error)
{
    int64_t time = 0;
    bool date_only = false;
    struct signals signals;
    if (!time_parse(order->date, strlen(order->date), &time, &date_only))
        return error_set(error, ERROR_USAGE,
                         "found '%s' for the date; a date YYYY-MM-DD or a time "
                         "YYYY-MM-DDTHH:MM:SSZ is allowed",
                         order->date);
    int code = signals_find(&opened->view, 0, SIZE_MAX, true, &signals, error);
    if (code != ERROR_NONE)
        return code;
    const struct signal *signal = find_signal(&opened->series.bars, &signals, time, date_only);
    code = signal != NULL ? draw_signal(opened, order, signal, error)
                          : no_signal(opened, order, &signals, time, error);
    signals_free(&signals);
    return code;
}

static int read_order(struct call *call, struct case_order *order, struct error *error)
{
    const char *theme = call_option(call, "theme");
    *order = (struct case_order){.word = call->arguments[0],
                                 .date = call->arguments[1],
                                 .path = call_option(call, "output"),
                                 .theme = THEME_LIGHT,
                                 .outcome = !call_has(call, "no-outcome")};
    if (theme != NULL && (!theme_from_name(&order->theme, theme) || order->theme == THEME_AUTO))
        return error_set(error, ERROR_USAGE,
                         "--theme: found '%s'; light, dark and print are allowed", theme);
    if (order->path == NULL)
        return error_set(error, ERROR_USAGE,
                         "-o is missing; the file to write, such as case.svg, is needed");
    size_t length = strlen(order->path);
    if (length < 5 || strcmp(order->path + length - 4, ".svg") != 0)
        return error_set(error, ERROR_USAGE, "-o: found '%s'; a file that ends in .svg is allowed",
                         order->path);
    return ERROR_NONE;
}

int command_case(struct call *call, struct error *error)
{
    struct setup setup;
    struct rules_case opened;
    struct case_order order;
    int code = read_order(call, &order, error);
    if (code == ERROR_NONE)
        code = rules_read(call, &setup, error);
    if (code != ERROR_NONE)
        return code;
    struct tries tries = {0};
    /* A sheet with its outcome is a try like any other. */
    if (order.outcome)
        code = tries_open(call, &tries, error);
    if (code == ERROR_NONE && order.outcome)
        code = tries_enter(call, &tries, "case", &setup, NULL, call->arguments, 1, error);
    opened = (struct rules_case){0};
    if (code == ERROR_NONE)
        code = rules_open(call, order.word, &setup, &opened, error);
    if (code == ERROR_NONE)
        code = case_write(&opened, &order, error);
    if (code == ERROR_NONE)
        fprintf(call->out,
                "The case sheet is in %s.\nNot advice; trading loses money; rules "
                "differ by place; ask a licensed adviser.\n",
                order.path);
    rules_close(&opened);
    setup_free(&setup);
    return tries_close(&tries, code, error);
}
