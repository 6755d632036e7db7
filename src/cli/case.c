/* `case`: one signal, or a few, on one page. */
#include "cli/case.h"

#include "base/calendar.h"
#include "base/text.h"
#include "cli/commands.h"
#include "cli/file.h"
#include "cli/paragraph.h"
#include "document/cautions.h"
#include "figures/case_sheet.h"
#include "work/trial.h"

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
                     const struct signals *signals, const char *date, int64_t time,
                     struct error *error)
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
                     order->word, setup, date,
                     before[0] != '\0' && after[0] != '\0' ? "s are of" : " is of", before,
                     before[0] != '\0' && after[0] != '\0' ? " and " : "", after);
}

/* Bars before the candle, where several share a sheet. */
enum { FEW_BARS = 36 };

/* R of every closed trade of the setup here. */
static int rank_trades(const struct rules_case *opened, double **ranked, size_t *count,
                       struct error *error)
{
    struct trades trades;
    int code = trades_find(&opened->view, &opened->terms, opened->series.first, SIZE_MAX, false,
                           &trades, error);
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

static int find_requests(const struct rules_case *opened, const struct case_order *order,
                         struct case_request *requests, struct error *error)
{
    struct signals signals;
    int code = signals_find(&opened->view, opened->series.first, SIZE_MAX, true, &signals, error);
    if (code != ERROR_NONE)
        return code;
    for (size_t i = 0; i < order->count && code == ERROR_NONE; i++) {
        const char *date = order->dates[i];
        const struct signal *signal = NULL;
        int64_t time = 0;
        bool date_only = false;
        if (!time_parse(date, strlen(date), &time, &date_only))
            code = error_set(error, ERROR_USAGE,
                             "found '%s' for the date; a date YYYY-MM-DD or a time "
                             "YYYY-MM-DDTHH:MM:SSZ is allowed",
                             date);
        else if ((signal = find_signal(&opened->series.bars, &signals, time, date_only)) == NULL)
            code = no_signal(opened, order, &signals, date, time, error);
        else
            requests[i] = (struct case_request){.view = &opened->view,
                                                .terms = &opened->terms,
                                                .instrument = opened->series.instrument.name,
                                                .signal = *signal,
                                                .context = order->context,
                                                .outcome = order->outcome,
                                                .number = 1,
                                                .before = order->count > 1 ? FEW_BARS : 0};
    }
    signals_free(&signals);
    return code;
}

/* --- the file ----------------------------------------------------------------------- */

/* A drawn sheet on its way to a file. */
struct drawn {
    struct output_figure figure;
    struct output_words document;
    const struct case_request *requests;
    const struct case_order *order;
};

static int make_svg(const struct drawn *drawn, struct text *bytes, struct error *error)
{
    text_append_bytes(bytes, drawn->figure.svg->bytes, drawn->figure.svg->length);
    return text_failed(bytes) ? error_memory(error) : ERROR_NONE;
}

static int make_png(const struct drawn *drawn, struct text *bytes, struct error *error)
{
    return output_png(&drawn->figure, drawn->order->scale, bytes, error);
}

static int make_pdf(const struct drawn *drawn, struct text *bytes, struct error *error)
{
    return output_pdf(&drawn->figure, 1, drawn->order->paper, &drawn->document, bytes, error);
}

static int make_html(const struct drawn *drawn, struct text *bytes, struct error *error)
{
    struct case_table made;
    int code = case_table_make(&made, drawn->requests, drawn->order->count, error);
    struct output_table table = {made.caption, (const char *const *)made.cells, made.columns,
                                 made.rows};
    if (code == ERROR_NONE)
        code = output_html(&drawn->figure, &table, 1, &drawn->document, bytes, error);
    case_table_free(&made);
    return code;
}

static const struct ending {
    const char *text;
    int (*make)(const struct drawn *drawn, struct text *bytes, struct error *error);
} endings[] = {{".svg", make_svg}, {".png", make_png}, {".pdf", make_pdf}, {".html", make_html}};

static const struct ending *ending_of(const char *path)
{
    size_t length = strlen(path);
    for (size_t i = 0; i < sizeof endings / sizeof endings[0]; i++) {
        size_t own = strlen(endings[i].text);
        if (length > own && strcmp(path + length - own, endings[i].text) == 0)
            return &endings[i];
    }
    return NULL;
}

static int check_ending(const struct case_order *order, struct error *error)
{
    if (ending_of(order->path) != NULL)
        return ERROR_NONE;
    return error_set(error, ERROR_USAGE,
                     "-o: found '%s'; a name that ends in .svg, .png, .pdf or .html is allowed",
                     order->path);
}

static int write_picture(struct picture *picture, const struct case_request *requests,
                         const struct case_order *order, struct error *error)
{
    struct text svg;
    struct text bytes;
    text_init(&svg);
    text_init(&bytes);
    struct drawn drawn = {.figure = {picture, &svg},
                          .document = {picture_title(picture), "en"},
                          .requests = requests,
                          .order = order};
    int code = picture_write(picture, order->theme, &svg, error);
    if (code == ERROR_NONE)
        code = ending_of(order->path)->make(&drawn, &bytes, error);
    if (code == ERROR_NONE)
        code = file_write(order->path, &bytes, error);
    text_free(&svg);
    text_free(&bytes);
    return code;
}

static int draw_cases(const struct case_request *requests, const struct case_order *order,
                      struct error *error)
{
    struct typesetter *typesetter = NULL;
    struct picture *picture = NULL;
    int code = typesetter_new(&typesetter, error);
    if (code == ERROR_NONE)
        code = order->count == 1 ? case_sheet_make(&picture, typesetter, requests, "rl-case", error)
                                 : case_sheet_make_several(&picture, typesetter, requests,
                                                           order->count, "rl-cases", error);
    if (code == ERROR_NONE)
        code = write_picture(picture, requests, order, error);
    picture_free(picture);
    typesetter_free(typesetter);
    return code;
}

int case_write(const struct rules_case *opened, const struct case_order *order, struct error *error)
{
    struct case_request requests[CASE_LIMIT];
    double *ranked = NULL;
    size_t count = 0;
    int code = check_ending(order, error);
    if (code == ERROR_NONE)
        code = find_requests(opened, order, requests, error);
    if (code == ERROR_NONE && order->outcome)
        code = rank_trades(opened, &ranked, &count, error);
    if (code == ERROR_NONE) {
        requests[0].ranked = ranked;
        requests[0].ranked_count = count;
        code = draw_cases(requests, order, error);
    }
    free(ranked);
    return code;
}

/* --- the command -------------------------------------------------------------------- */

static int read_order(struct call *call, struct case_order *order, struct error *error)
{
    *order = (struct case_order){.word = call->arguments[0],
                                 .dates = (const char *const *)call->arguments + 1,
                                 .count = call->argument_count - 1,
                                 .path = call_option(call, "output"),
                                 .theme = (enum theme)call_choice(call, "theme"),
                                 .paper = (enum paper)call_choice(call, "paper"),
                                 .scale = call_number(call, "scale"),
                                 .context = call_has(call, "context"),
                                 .outcome = !call_has(call, "no-outcome")};
    return check_ending(order, error);
}

/* A sheet with its outcome is a trial like any other; its result is that of the
 * trades it shows. */
static int enter_case(struct work *work, struct trial *trial, const struct setup *setup,
                      const struct rules_case *opened, const struct case_order *order,
                      struct error *error)
{
    struct case_request requests[CASE_LIMIT];
    struct outcomes outcomes = {0};
    const struct study_series series = {.instrument = &opened->series.instrument,
                                        .bars = &opened->series.bars,
                                        .first = opened->series.first};
    int code = find_requests(opened, order, requests, error);
    if (code == ERROR_NONE)
        code = trial_enter(work, trial, "case", setup, &series, NULL, 1, error);
    for (size_t i = 0; code == ERROR_NONE && i < order->count; i++) {
        struct trade trade = trade_of_signal(&opened->view, &opened->terms, &requests[i].signal,
                                             NULL);
        if (trade_closed(trade.reason))
            code = outcomes_add(&outcomes, series.bars->time[trade.entry_bar], trade.r, error);
    }
    if (code == ERROR_NONE)
        code = trial_finish_outcomes(trial, &outcomes, error);
    outcomes_free(&outcomes);
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
    struct rules_case opened;
    struct case_order order;
    int code = read_order(call, &order, error);
    if (code == ERROR_NONE)
        code = setup_of_call(call, &setup, error);
    if (code != ERROR_NONE)
        return code;
    struct call_work own;
    struct trial trial = {0};
    struct notices notices = {0};
    opened = (struct rules_case){0};
    code = call_work_open(&own, call, error);
    if (code == ERROR_NONE && order.outcome)
        code = trial_open(own.work, &trial, error);
    if (code == ERROR_NONE) {
        code = rules_open(own.work, &notices, order.word, &setup, &opened, error);
        notices_say(&notices, own.work);
    }
    if (code == ERROR_NONE && order.outcome)
        code = enter_case(own.work, &trial, &setup, &opened, &order, error);
    if (code == ERROR_NONE)
        code = case_write(&opened, &order, error);
    if (code == ERROR_NONE)
        say_written(call->out, order.path);
    rules_close(&opened);
    setup_free(&setup);
    return call_work_close(&own, code, error);
}
