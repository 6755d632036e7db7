/* One row of Today opened: the case as a small figure with its orders, every
 * criterion with what was measured, and what a study says of such. Nothing that
 * followed is read. */
#include "answer/check_words.h"
#include "answer/plan_words.h"
#include "draw/ticks.h"
#include "draw/typesetter.h"
#include "web/chart.h"
#include "web/sheets.h"
#include "web/today_parts.h"
#include "work/case.h"

#include <stdio.h>
#include <string.h>

enum { FIGURE_WIDTH = 430, FIGURE_HEIGHT = 264 };

/* What one article is written from. */
struct opened_case {
    struct work *work;
    struct wishes wishes;
    struct setup setup;
    struct case_found found;
    struct plan_study study;
    struct checklist checklist;
};

static int open_case(struct opened_case *opened, const struct page *page,
                     const struct exchange *exchange, const struct today_case *one,
                     struct error *error)
{
    struct case_date date = {0};
    const struct case_wish wish = {.word = one->instrument, .dates = &date, .count = 1};
    if (!time_parse(one->moment, strlen(one->moment), &date.time, &date.date_only))
        return error_set(error, ERROR_USAGE,
                         "bar: found '%.40s'; a date such as 2024-11-01 is allowed", one->moment);
    int code = page_setup(page, one->setup, &opened->setup, error);
    if (code == ERROR_NONE)
        code = page_wishes(page, exchange, &opened->wishes, error);
    if (code == ERROR_NONE)
        code = work_open(&opened->work, &opened->wishes, &(struct voice){0}, error);
    if (code == ERROR_NONE)
        code = case_find(opened->work, &opened->setup, &wish, &opened->found, error);
    if (code == ERROR_NONE)
        code = plan_study_find(opened->work, &opened->setup, &opened->study, error);
    if (code == ERROR_NONE) {
        struct case_request *request = &opened->found.requests[0];
        request->before = CASE_FEW_BARS; /* a small figure has room for few */
        checklist_read(request->view, &request->signal.candle, request->signal.at,
                       &opened->checklist);
    }
    return code;
}

static int close_case(struct opened_case *opened, int code, struct error *error)
{
    case_free(&opened->found);
    setup_free(&opened->setup);
    return work_close(opened->work, code, error);
}

/* --- the figure ----------------------------------------------------------------------------- */

static int write_figure(struct html *html, const struct page *page,
                        const struct opened_case *opened, const struct today_case *one,
                        struct error *error)
{
    const struct case_request *request = &opened->found.requests[0];
    struct typesetter *typesetter = NULL;
    struct picture *picture = NULL;
    struct text svg, plan;
    char prefix[32];
    snprintf(prefix, sizeof prefix, "rl-t%d", one->figure);
    text_init(&svg);
    text_init(&plan);
    int code = page_typesetter(page, &typesetter, error);
    if (code == ERROR_NONE)
        code = case_figure_make(&picture, typesetter, request, FIGURE_WIDTH, FIGURE_HEIGHT, prefix,
                                error);
    if (code == ERROR_NONE)
        code = picture_write_bare(picture, THEME_AUTO, &(struct picture_form){.paper = true}, &svg,
                                  error);
    if (code == ERROR_NONE)
        code = case_plan_words(request, &plan, error);
    if (code == ERROR_NONE) {
        html_open(html, "figure");
        html_markup(html, svg.bytes);
        html_open(html, "figcaption");
        if (one->figure > 0) {
            html_open(html, "b");
            html_text(html, "Figure ");
            html_integer(html, one->figure);
            html_text(html, ".");
            html_close(html);
            html_text(html, " ");
        }
        html_text(html, plan.bytes);
        html_close_all(html, 2);
    }
    text_free(&plan);
    text_free(&svg);
    picture_free(picture);
    page_typesetter_done(page, typesetter);
    return code;
}

/* --- the checklist ---------------------------------------------------------------------------- */

static void write_check(struct html *html, const struct check *check, int decimals)
{
    struct text words;
    text_init(&words);
    html_open(html, "tr");
    html_open(html, "td");
    page_write_truth(html, check->holds);
    check_name_words(&words, check);
    html_text(html, words.bytes);
    html_close(html);
    text_clear(&words);
    check_measured_words(&words, decimals, check);
    html_element_class(html, "td", "n", words.bytes);
    text_clear(&words);
    check_limit_words(&words, decimals, check);
    html_open(html, "td");
    html_text(html, words.bytes);
    if (check->holds != TRUTH_YES) {
        html_text(html, words.length > 0 ? ", " : "");
        html_element(html, "b", check_answer_words(check));
    }
    html_close_all(html, 2);
    text_free(&words);
}

static void write_checklist(struct html *html, const struct opened_case *opened)
{
    const struct checklist *list = &opened->checklist;
    const struct instrument *instrument = &opened->found.opened.series.instrument;
    int decimals = instrument->tick_known ? decimals_of(instrument->tick.value) : 4;
    size_t all = opened->setup.confirm.count;
    html_open_class(html, "table", "chk");
    html_markup(html, "<thead><tr><th scope=\"col\">criterion</th>"
                      "<th scope=\"col\" class=\"n\">measured</th>"
                      "<th scope=\"col\">limit</th></tr></thead>");
    html_open(html, "tbody");
    for (size_t i = 0; i < list->count; i++)
        write_check(html, &list->list[i], decimals);
    html_close_all(html, 2);
    if (all > 0) {
        struct text says;
        text_init(&says);
        text_append_format(&says, "%zu of %zu confirm it, %zu needed.", list->confirmed, all,
                           list->at_least);
        html_element_class(html, "p", "small gap", says.bytes);
        text_free(&says);
    }
}

/* The setup, which leads to its sheet, in its own words, and what is known of it. */
static void write_setup(struct html *html, const struct opened_case *opened,
                        const struct exchange *exchange, const struct today_case *one)
{
    struct text address, says;
    address_begin(&address, "/setups");
    address_add(&address, "setup", one->setup);
    address_keep_as_of(&address, exchange);
    text_init(&says);
    text_append(&says, opened->study.found ? "Newest study: " : "");
    plan_study_short_words(&says, &opened->study);
    html_open_class(html, "p", "small");
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, one->setup);
    html_close(html);
    if (opened->setup.title != NULL) {
        html_text(html, ": ");
        html_text(html, opened->setup.title);
    }
    html_text(html, ". ");
    html_element(html, "b", says.bytes);
    html_close(html);
    text_free(&says);
    text_free(&address);
}

/* Which it was of the shapes that the setup allows, or nearly was. */
static void append_shape(struct text *text, const struct opened_case *opened)
{
    const struct candle *candle = &opened->found.requests[0].signal.candle;
    bool misshapen = false;
    for (size_t i = 0; i < opened->checklist.count; i++) {
        const struct check *check = &opened->checklist.list[i];
        misshapen |= check->section == CHECK_CANDLE && check->holds != TRUTH_YES;
    }
    text_append(text, misshapen ? "nearly " : "");
    for (const char *c = shape_name(&opened->setup.candles[candle->choice]); *c != '\0'; c++)
        text_append_char(text, *c == '-' ? ' ' : *c);
}

/* The instrument, its shape and its side. */
static void write_head(struct html *html, const struct opened_case *opened,
                       const struct exchange *exchange, const struct today_case *one)
{
    const struct case_request *request = &opened->found.requests[0];
    struct text address, says;
    text_init(&says);
    append_shape(&says, opened);
    text_append_format(&says, ", %s", side_name(opened->setup.side));
    address_begin(&address, "/charts");
    address_add(&address, "instrument", one->instrument);
    address_add(&address, "setup", one->setup);
    address_add(&address, request->nearly ? "bar" : "case", one->moment);
    address_add(&address, "list", exchange_filled(exchange, "list"));
    address_keep_as_of(&address, exchange);
    html_open(html, "h3");
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, one->instrument);
    html_close(html);
    html_text(html, ", ");
    html_text(html, says.bytes);
    html_close(html);
    text_free(&says);
    text_free(&address);
}

int today_case_write(struct html *html, const struct page *page, const struct exchange *exchange,
                     const struct today_case *one, struct error *error)
{
    struct opened_case opened = {0};
    int code = open_case(&opened, page, exchange, one, error);
    if (code == ERROR_NONE) {
        html_open(html, "article");
        write_head(html, &opened, exchange, one);
        write_setup(html, &opened, exchange, one);
        code = write_figure(html, page, &opened, one, error);
        write_checklist(html, &opened);
        html_close(html);
    }
    return close_case(&opened, code, error);
}

int part_today_case(struct page *page, struct exchange *exchange, struct error *error)
{
    struct html html;
    const struct today_case one = {.instrument = exchange_filled(exchange, "instrument"),
                                   .setup = exchange_filled(exchange, "setup"),
                                   .moment = exchange_filled(exchange, "bar")};
    if (one.instrument == NULL || one.setup == NULL || one.moment == NULL)
        return error_set(error, ERROR_USAGE,
                         "a row is opened by its instrument, its setup and the date of its candle");
    html_init(&html, &exchange->body);
    return today_case_write(&html, page, exchange, &one, error);
}
