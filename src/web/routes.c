/* The ways through the page: what answers which address. */
#include "web/sheets.h"

#include <string.h>

static const struct route routes[] = {
    {"/", false, sheet_start, false},
    {"/today", false, sheet_today, false},
    {"/today/found", false, part_today, false},
    {"/today/case", false, part_today_case, false},
    {"/charts", false, sheet_charts, false},
    {"/charts/figure", false, part_figure, false},
    {"/charts/bar", false, part_bar, false},
    {"/charts/orders", false, part_orders, false},
    {"/setups", false, sheet_setups, false},
    {"/setups/begin", false, begin_setup, false},
    {"/setups/keep", true, change_setup, false},
    {"/setups/cases", false, part_cases, false},
    {"/setups/look", true, change_look, true},
    {"/charts/beside", false, part_beside, false},
    {"/charts/names", false, part_names, false},
    {"/charts/case", false, walk_cases, false},
    {"/charts/step", false, step_bar, false},
    {"/charts/mark", true, change_mark, false},
    {"/charts/lines", false, part_lines, false},
    {"/charts/line", true, change_line, false},
    {"/charts/lines.csv", false, part_lines_file, false},
    {"/charts/keep", true, change_shows, false},
    {"/evidence", false, sheet_evidence, false},
    {"/evidence/jobs", false, part_jobs, false},
    {"/evidence/ledger", false, sheet_ledger, false},
    {"/evidence/seal", true, change_seal, true},
    {"/evidence/freeze", true, change_freeze, true},
    {"/evidence/run", true, change_run, true},
    {"/evidence/stop", true, change_stop, true},
    {"/data", false, sheet_data, false},
    {"/data/import", true, change_import, false},
    {"/data/lines", true, change_lines_file, false},
    {"/data/market", true, change_market, false},
    {"/data/stop", true, change_market_stop, true},
    {"/data/making", false, part_making, false},
    {"/keys", false, sheet_keys, false},
    {"/words", false, sheet_words, false},
    {"/words/one", false, part_word, false},
    {NULL, false, NULL, false},
};

/* What the page can do about an error. */
static const char *advice_of(enum error_reason reason)
{
    switch (reason) {
    case ERROR_REASON_OLD_BOOK: return "; a file of prices imported here brings it up to date";
    case ERROR_REASON_OTHER_ZONE: return "; leave the zone empty";
    case ERROR_REASON_NO_NAME: return "; fill in another as the instrument";
    case ERROR_REASON_NO_BAR_LENGTH:
    case ERROR_REASON_NO_LENGTH: return "; fill it in as bars of, such as 1d or 1h";
    case ERROR_REASON_NO_TICK: return "; fill in the tick where its file is brought in, on Data";
    default: return "";
    }
}

void page_advise(struct error *error)
{
    error_advise(error, advice_of(error->reason));
}

/* What a past date shows is not to be changed, whatever a browser sends. */
static int check_change(const struct route *route, const struct exchange *exchange,
                        struct error *error)
{
    if (!route->is_change || route->of_past || exchange_filled(exchange, "as-of") == NULL)
        return ERROR_NONE;
    return error_set(error, ERROR_USAGE,
                     "nothing was changed: a past date is shown; empty the field 'as of' first");
}

int page_answer(void *context, struct exchange *exchange, struct error *error)
{
    struct page *page = context;
    bool known = false;
    if (page_answer_own(page, exchange))
        return ERROR_NONE;
    for (const struct route *route = routes; route->path != NULL; route++) {
        if (strcmp(route->path, exchange->path) != 0)
            continue;
        if (route->is_change == exchange->is_change) {
            int code = check_change(route, exchange, error);
            if (code == ERROR_NONE)
                code = route->answer(page, exchange, error);
            if (code != ERROR_NONE)
                page_advise(error);
            return code;
        }
        known = true;
    }
    exchange->status = known ? STATUS_WRONG_METHOD : STATUS_NOT_FOUND;
    return error_set(error, ERROR_INPUT,
                     known ? "This address takes another kind of request."
                           : "There is no such sheet here; the line above names those there are.");
}

/* A stranger is shown nothing of the page but the sentence. */
void page_refuse(void *context, struct exchange *exchange, const char *sentence)
{
    struct page *page = context;
    struct html html;
    html_init(&html, &exchange->body);
    exchange->type = "text/html; charset=utf-8";
    if (exchange->path != NULL && exchange->status != STATUS_FORBIDDEN) {
        const struct sheet_head head = {SHEET_COUNT, "That did not work", sentence, NULL};
        frame_begin(&html, page, exchange, &head);
        frame_end(&html, exchange);
        return;
    }
    html_markup(&html, "<!doctype html>\n");
    html_open(&html, "html");
    html_attribute(&html, "lang", "en");
    html_open(&html, "head");
    html_element(&html, "title", "rushlight");
    html_close(&html);
    html_open(&html, "body");
    html_element(&html, "p", sentence);
    html_close_all(&html, html.depth);
    html_line(&html);
}
