/* The margin of Today: what is to be done, in order. At a past date nothing can be,
 * and it says what stood there. */
#include "answer/scan.h"
#include "base/words.h"
#include "web/today_parts.h"

#include <math.h>

enum { LISTED = 12 }; /* signals that are named */

struct margin {
    struct html *html;
    const struct page *page;
    const struct exchange *exchange;
    const struct today *today;
    bool past;
};

static void begin_step(struct html *html, const char *verb)
{
    html_open(html, "li");
    html_element(html, "b", verb);
    html_text(html, " ");
}

/* --- prices ------------------------------------------------------------------------------- */

static bool is_all_due(const struct margin *margin)
{
    return !margin->past &&
           newest_bars_all_due(&margin->today->evening.newest, margin->page->options.clock());
}

/* Newest bars that are older than those of others, or than the clock. */
static void write_age(const struct margin *margin)
{
    const struct scan_facts facts = {.to_clock = !margin->past,
                                     .now = margin->page->options.clock()};
    struct text age, address;
    text_init(&age);
    scan_age_words(&age, &margin->today->evening.newest, &facts);
    if (age.length > 0) {
        begin_step(margin->html, margin->past ? "Older bars." : "Bring newer prices.");
        html_text(margin->html, age.bytes);
        html_text(margin->html, " ");
        address_begin(&address, "/data");
        address_keep_as_of(&address, margin->exchange);
        html_open(margin->html, "a");
        html_address(margin->html, "href", address.bytes);
        html_text(margin->html, "Data");
        html_close_all(margin->html, 2);
        text_free(&address);
    }
    text_free(&age);
}

/* --- signals ------------------------------------------------------------------------------- */

static void write_signal(const struct margin *margin, const struct evening_row *row)
{
    html_open(margin->html, "li");
    today_write_name(margin->html, margin->exchange, margin->today, row);
    html_text(margin->html, row->is_short ? " short, " : " long, ");
    html_element_class(margin->html, "span", "soft", today_setup_name(margin->today, row));
    html_close(margin->html);
}

/* Each in a line, in the order of the table, where they come first. */
static void write_signals(const struct margin *margin)
{
    size_t count = margin->today->kinds[EVENING_SIGNAL];
    html_open(margin->html, "ul");
    for (size_t i = 0; i < count && i < LISTED; i++)
        write_signal(margin, &margin->today->evening.list[i]);
    if (count > LISTED) {
        html_open_class(margin->html, "li", "soft");
        html_text(margin->html, "and ");
        page_count(margin->html, (int64_t)(count - LISTED));
        html_text(margin->html, " more in the table");
        html_close(margin->html);
    }
    html_close(margin->html);
}

static void write_decide(const struct margin *margin)
{
    size_t count = margin->today->kinds[EVENING_SIGNAL];
    if (count == 0)
        return;
    if (margin->past) {
        begin_step(margin->html,
                   count == 1 ? "The signal of that day." : "The signals of that day.");
        html_text(margin->html, "Figure and checklist are as they stood before the next open.");
    } else {
        begin_step(margin->html,
                   count == 1 ? "Decide on one signal." : "Decide on the new signals.");
        html_text(margin->html, "Look at figure and checklist before the next open, then take it "
                                "or leave it, and write down why.");
    }
    write_signals(margin);
    html_close(margin->html);
}

static void write_watch(const struct margin *margin)
{
    const struct today *today = margin->today;
    size_t count = today->kinds[EVENING_WAITING];
    const struct evening_row *nearest = &today->evening.list[today->kinds[EVENING_SIGNAL]];
    const char *one = margin->past ? "One waited." : "Watch the one that waits.";
    const char *many = margin->past ? "Those that waited." : "Watch those that wait.";
    struct text says;
    if (count == 0)
        return;
    begin_step(margin->html, count == 1 ? one : many);
    text_init(&says);
    if (count > 1)
        text_append_format(&says, "Of %zu entries that of %s %s nearest: ", count,
                           nearest->instrument, margin->past ? "was" : "is");
    else
        text_append_format(&says, "The entry of %s %s for this: ", nearest->instrument,
                           margin->past ? "waited" : "waits");
    scan_awaited_words(&says, nearest);
    if (!isnan(nearest->away_atr))
        text_append_format(&says, "; %.2f ATR away", nearest->away_atr);
    text_append_char(&says, '.');
    html_text(margin->html, says.bytes);
    html_close(margin->html);
    text_free(&says);
}

/* --- all of them ------------------------------------------------------------------------------ */

/* Prices come first where every bar is old: nothing can be decided on those. */
static void write_steps(const struct margin *margin)
{
    bool old = is_all_due(margin);
    if (old)
        write_age(margin);
    write_decide(margin);
    write_watch(margin);
    if (!old)
        write_age(margin);
}

void today_write_margin(struct html *html, const struct page *page, const struct exchange *exchange,
                        const struct today *today)
{
    struct text steps;
    struct html list;
    const struct margin margin = {.html = &list,
                                  .page = page,
                                  .exchange = exchange,
                                  .today = today,
                                  .past = exchange_filled(exchange, "as-of") != NULL};
    text_init(&steps);
    html_init(&list, &steps);
    write_steps(&margin);
    html_open_class(html, "aside", "margin");
    html_open_class(html, "section", "todo");
    html_element(html, "h2", margin.past ? "As it stood then" : "Next, in this order");
    if (steps.length > 0) {
        html_open(html, "ol");
        html_markup(html, steps.bytes);
        html_close(html);
    } else {
        html_element_class(html, "p", "small gap",
                           margin.past ? "Nothing was to be decided on these bars."
                                       : "Nothing is to be decided on these bars.");
    }
    html_close(html);
    today_left_out_write(html, today);
    html_close(html);
    text_free(&steps);
}
