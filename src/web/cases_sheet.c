/* All cases of a setup as small figures: candle under candle, on one scale in
 * ATR, cut at the signal. What followed is shown only when it is asked for, on
 * the sheet of the single case. */
#include "answer/wall_pictures.h"
#include "base/words.h"
#include "web/setup_parts.h"
#include "web/sheets.h"

#include "draw/typesetter.h"
#include "figures/contact_sheet.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SHOWN = 30 };

static void small_of(const struct held *held, const struct held_case *one, const char *when,
                     struct small_case *small)
{
    const struct rules_case *opened = &held->list[one->series].opened;
    const double *atr = sheet_atr(opened->sheet, 14);
    *small = (struct small_case){.bars = &opened->series.bars,
                                 .is_short = false,
                                 .candle_first = one->signal.candle.first,
                                 .candle = one->signal.candle.at,
                                 .end = one->signal.at + 1,
                                 .atr = atr != NULL ? atr[one->signal.candle.at] : NAN,
                                 .entry = NAN,
                                 .stop = NAN,
                                 .exit_bar = SIZE_MAX,
                                 .name = opened->series.instrument.name,
                                 .when = when};
}

static int write_one(struct html *html, const struct exchange *exchange, const struct draft *draft,
                     struct typesetter *typesetter, const struct small_case *small,
                     const struct small_scale *scale, int64_t time, bool dated, size_t number,
                     struct error *error)
{
    struct picture *picture = NULL;
    struct text svg, address;
    char moment[CALENDAR_TEXT_SIZE], prefix[32];
    snprintf(prefix, sizeof prefix, "rl-s%zu", number);
    text_init(&svg);
    int code = small_case_make(&picture, typesetter, small, scale, prefix, error);
    if (code == ERROR_NONE)
        code = picture_write_bare(picture, THEME_AUTO, &(struct picture_form){.paper = true}, &svg,
                                  error);
    picture_free(picture);
    if (code == ERROR_NONE) {
        time_format(moment, time, dated);
        address_begin(&address, "/charts");
        address_add(&address, "instrument", small->name);
        /* What is not kept has no name to be found by on another sheet. */
        if (draft->name != NULL && !draft_is_changed(draft))
            address_add(&address, "setup", draft->name);
        address_add(&address, draft_is_changed(draft) ? "bar" : "case", moment);
        address_add(&address, "list", exchange_filled(exchange, "list"));
        address_keep_as_of(&address, exchange);
        html_open(html, "li");
        html_open(html, "a");
        html_address(html, "href", address.bytes);
        html_markup(html, svg.bytes);
        html_element_class(html, "span", "who", small->name);
        html_element_class(html, "span", "when", small->when);
        if (small->result != NULL)
            html_element(html, small->closed ? "b" : "i", small->result);
        html_close_all(html, 2);
        text_free(&address);
    }
    text_free(&svg);
    return code;
}

/* Where the row of pages begins: the newest first, unless the nearest are asked
 * for. */
static size_t page_of(const struct exchange *exchange, size_t count)
{
    size_t most = count > 0 ? (count - 1) / SHOWN : 0;
    return (size_t)exchange_integer(exchange, "from", 0, (int64_t)most, 0);
}

static void write_link(struct html *html, const struct draft *draft,
                       const struct exchange *exchange, const char *order, size_t from,
                       const char *words, bool here)
{
    struct text address;
    if (here) {
        html_open(html, "b");
        html_attribute(html, "aria-current", "true");
        html_text(html, words);
        html_close(html);
        html_text(html, " ");
        return;
    }
    draft_address(&address, "/setups/cases", draft, exchange);
    address_add(&address, "order", order);
    address_add_integer(&address, "from", (int64_t)from);
    html_open_class(html, "a", "in-place");
    html_address(html, "href", address.bytes);
    html_text(html, words);
    html_close(html);
    html_text(html, " ");
    text_free(&address);
}

static void write_order(struct html *html, const struct draft *draft,
                        const struct exchange *exchange, size_t count, size_t from, bool nearest)
{
    const char *order = nearest ? "nearness" : "date";
    html_open_class(html, "div", "line");
    html_open_class(html, "span", "choice");
    html_text(html, "in order of\xC2\xA0");
    write_link(html, draft, exchange, "date", 0, "date, the newest first", !nearest);
    write_link(html, draft, exchange, "nearness", 0, "how nearly each failed", nearest);
    html_close(html);
    html_open_class(html, "span", "end");
    if (from > 0)
        write_link(html, draft, exchange, order, from - 1, "the 30 before", false);
    if ((from + 1) * SHOWN < count)
        write_link(html, draft, exchange, order, from + 1, "the 30 after", false);
    html_close_all(html, 2);
}

static int draw_all(struct html *html, const struct page *page, const struct exchange *exchange,
                    const struct draft *draft, const struct held *held,
                    const struct held_cases *cases, size_t first, size_t count, struct error *error)
{
    struct small_case *small = calloc(count + 1, sizeof *small);
    char(*dates)[CALENDAR_TEXT_SIZE] = calloc(count + 1, sizeof *dates);
    struct typesetter *typesetter = NULL;
    int code = small != NULL && dates != NULL ? page_typesetter(page, &typesetter, error)
                                              : error_memory(error);
    for (size_t i = 0; code == ERROR_NONE && i < count; i++) {
        const struct held_case *one = &cases->list[first + i];
        const struct bars *bars = &held->list[one->series].opened.series.bars;
        page_date(dates[i], one->time, interval_is_dated(bars->interval));
        small_of(held, one, dates[i], &small[i]);
        small[i].is_short = draft->setup.side == SIDE_SHORT;
    }
    struct small_scale scale = {0};
    if (code == ERROR_NONE)
        scale = small_scale_of(small, count);
    html_open_class(html, "ul", "contact small-cases");
    for (size_t i = 0; code == ERROR_NONE && i < count; i++) {
        const struct held_case *one = &cases->list[first + i];
        code = write_one(html, exchange, draft, typesetter, &small[i], &scale, one->time,
                         interval_is_dated(small[i].bars->interval), i, error);
    }
    html_close(html);
    page_typesetter_done(page, typesetter);
    free(small);
    free(dates);
    return code;
}

static void reverse(struct held_cases *cases)
{
    for (size_t i = 0; i + i + 1 < cases->count; i++) {
        struct held_case kept = cases->list[i];
        cases->list[i] = cases->list[cases->count - 1 - i];
        cases->list[cases->count - 1 - i] = kept;
    }
}

/* A look at what followed is a trial: it is asked for by a form, like a change. */
static void write_look(struct html *html, const struct page *page, const struct exchange *exchange,
                       const struct draft *draft)
{
    if (page->options.read_only)
        return;
    form_begin(html, exchange, "/setups/look");
    form_hidden(html, "text", draft->text.bytes);
    if (draft->name != NULL)
        form_hidden(html, "setup", draft->name);
    if (exchange_filled(exchange, "list") != NULL)
        form_hidden(html, "list", exchange_filled(exchange, "list"));
    if (exchange_filled(exchange, "as-of") != NULL)
        form_hidden(html, "as-of", exchange_filled(exchange, "as-of"));
    html_open_class(html, "p", "acts");
    form_button(html, "slight", "Show what followed, and note the look in the ledger", NULL);
    html_close_all(html, 2);
}

static void write_caption(struct html *html, size_t first, size_t count, size_t all)
{
    if (count == 0) {
        html_text(html, " No bar of these instruments is a case of it.");
        return;
    }
    html_text(html, count_word(count, " Case ", " Cases "));
    page_count(html, (int64_t)first + 1);
    if (count > 1) {
        html_text(html, " to ");
        page_count(html, (int64_t)(first + count));
    }
    html_text(html, " of ");
    page_count(html, (int64_t)all);
    html_text(html,
              ", none left out, each up to its signal, the candle orange. All on one scale in "
              "ATR, the candle's extreme on one line. What followed is held back.");
}

int cases_write(struct html *html, struct page *page, const struct exchange *exchange,
                struct draft *draft, struct error *error)
{
    struct work *work = NULL;
    struct held *held = NULL;
    struct held_cases cases = {0};
    const char *order = exchange_filled(exchange, "order");
    bool nearest = order != NULL && strcmp(order, "nearness") == 0;
    int code = page_held(page, exchange, &draft->setup, &work, &held, error);
    if (code == ERROR_NONE)
        code = held_cases_find(held, work, &draft->setup, &cases, error);
    if (code == ERROR_NONE && nearest)
        held_cases_by_nearness(&cases);
    else
        reverse(&cases);
    size_t from = page_of(exchange, cases.count);
    size_t first = from * SHOWN;
    size_t count = cases.count - first < SHOWN ? cases.count - first : SHOWN;
    html_open(html, "h2");
    html_text(html, "Every case: ");
    page_count(html, (int64_t)cases.count);
    html_close(html);
    write_order(html, draft, exchange, cases.count, from, nearest);
    html_open(html, "figure");
    if (code == ERROR_NONE)
        code = draw_all(html, page, exchange, draft, held, &cases, first, count, error);
    html_open(html, "figcaption");
    html_element(html, "b", "Figure 1.");
    write_caption(html, first, count, cases.count);
    html_close_all(html, 2);
    write_look(html, page, exchange, draft);
    held_cases_free(&cases);
    return page_held_done(page, work, code, error);
}

/* --- what followed, when it is asked for ---------------------------------------------------- */

static int write_path(struct html *html, const struct wall *wall, struct typesetter *typesetter,
                      struct error *error)
{
    struct picture *picture = NULL;
    struct text svg;
    if (!wall->has_path)
        return ERROR_NONE;
    text_init(&svg);
    int code = wall_path_picture(wall, typesetter, "rl-path", &picture, error);
    if (code == ERROR_NONE)
        code = picture_write_bare(picture, THEME_AUTO,
                                  &(struct picture_form){.paper = true, .named = true}, &svg,
                                  error);
    picture_free(picture);
    if (code == ERROR_NONE) {
        html_open_class(html, "figure", "gap2 path");
        html_markup(html, svg.bytes);
        html_open(html, "figcaption");
        html_element(html, "b", "Figure 1.");
        html_text(html,
                  " The average path after the candle, in ATR and in favour of the side, with "
                  "its 95 % interval from resampled dates, of ");
        page_count(html, (int64_t)wall->found);
        html_text(html, count_word(wall->found, " case", " cases"));
        html_text(html, "; faint behind it ");
        page_count(html, (int64_t)wall->drawn_count);
        html_text(html, " of them, evenly through time. The interval is wide where dates are few.");
        html_close_all(html, 2);
    }
    text_free(&svg);
    return code;
}

static int write_results(struct html *html, const struct exchange *exchange,
                         const struct draft *draft, const struct wall *wall,
                         struct typesetter *typesetter, struct error *error)
{
    struct small_scale scale = small_scale_of(wall->small, wall->count);
    int code = ERROR_NONE;
    html_open_class(html, "figure", "gap2");
    html_open_class(html, "ul", "contact small-cases");
    for (size_t i = 0; code == ERROR_NONE && i < wall->count; i++) {
        struct small_case small = wall->small[i];
        char date[CALENDAR_TEXT_SIZE];
        bool dated = interval_is_dated(small.bars->interval);
        page_date(date, wall->cases[i].found.time, dated);
        small.when = date;
        code = write_one(html, exchange, draft, typesetter, &small, &scale,
                         wall->cases[i].found.time, dated, i, error);
    }
    html_close(html);
    html_open(html, "figcaption");
    html_element(html, "b", "Figure 2.");
    html_text(html, " The best result first; what has no result last. Cases shown: ");
    page_count(html, (int64_t)wall->count);
    html_text(html, " of ");
    page_count(html, (int64_t)wall->found);
    html_text(html, wall->count < wall->found ? ", the newest. " : ", none left out. ");
    html_text(html, "Bars after the candle are grey; entry and stop are ruled, a dot stands at the "
                    "exit.");
    html_close_all(html, 2);
    return code;
}

static int write_looked_at(struct html *html, struct page *page, const struct exchange *exchange,
                           struct draft *draft, struct error *error)
{
    const struct wall_wish wish = {WALL_FOLLOWED, true, 120, 2000};
    struct wishes wishes;
    struct work *work = NULL;
    struct trial trial = {0};
    struct wall wall = {0};
    struct typesetter *typesetter = NULL;
    struct text says;
    text_init(&says);
    int code = page_wishes(page, exchange, &wishes, error);
    wishes.list = exchange_filled(exchange, "list");
    wishes.everything = true;
    if (code == ERROR_NONE)
        code = work_open(&work, &wishes, &(struct voice){0}, error);
    if (code == ERROR_NONE)
        code = trial_open(work, &trial, error);
    if (code == ERROR_NONE)
        code = wall_make(work, &trial, &draft->setup, &wish, &wall, error);
    if (code == ERROR_NONE)
        code = page_typesetter(page, &typesetter, error);
    if (code == ERROR_NONE) {
        text_append_format(&says,
                           "What followed %zu %s of %s, %zu of them closed trades. This look is "
                           "trial %lld of the ledger.",
                           wall.found, count_word(wall.found, "case", "cases"), draft->setup.name,
                           wall.closed, (long long)trial.id);
        frame_begin(html, page, exchange,
                    &(struct sheet_head){SHEET_SETUPS, "What followed", says.bytes, NULL});
        code = write_path(html, &wall, typesetter, error);
    }
    if (code == ERROR_NONE)
        code = write_results(html, exchange, draft, &wall, typesetter, error);
    if (code == ERROR_NONE)
        frame_end(html, exchange);
    page_typesetter_done(page, typesetter);
    text_free(&says);
    wall_free(&wall);
    return work_close(work, code, error);
}

int change_look(struct page *page, struct exchange *exchange, struct error *error)
{
    struct draft draft;
    struct html html;
    html_init(&html, &exchange->body);
    int code = draft_read(&draft, page, exchange, error);
    if (code == ERROR_NONE && draft.fault.code != ERROR_NONE)
        code = error_set(error, ERROR_INPUT, "%s", draft.fault.text);
    if (code == ERROR_NONE)
        code = write_looked_at(&html, page, exchange, &draft, error);
    draft_free(&draft);
    return code;
}

int part_cases(struct page *page, struct exchange *exchange, struct error *error)
{
    struct draft draft;
    struct html html;
    html_init(&html, &exchange->body);
    int code = draft_read(&draft, page, exchange, error);
    if (code == ERROR_NONE && !draft.has_setup)
        code = error_set(error, ERROR_INPUT, "%s", draft.fault.text);
    if (code == ERROR_NONE) {
        bool whole = exchange_filled(exchange, "part") == NULL;
        if (whole)
            frame_begin(&html, page, exchange,
                        &(struct sheet_head){SHEET_SETUPS, draft.setup.name, draft.setup.title,
                                             NULL});
        code = cases_write(&html, page, exchange, &draft, error);
        if (whole)
            frame_end(&html, exchange);
    }
    draft_free(&draft);
    return code;
}
