#include "web/order_bound.h"

#include "web/own_lines.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char *const names[] = {"entry", "stop", "target"};
static const char *const fields[] = {"entry-on", "stop-on", "target-on"};

/* The bar on which the order stands first: that after the case. */
static double coming(const struct chart *chart)
{
    return (double)chart->at + 1;
}

int order_bound_read(struct chart *chart, const struct exchange *exchange, int which,
                     struct error *error)
{
    struct chart_bound *bound = &chart->bound[which];
    const char *text = exchange_filled(exchange, fields[which]);
    long long id = 0;
    unsigned index = 0;
    int used = 0;
    *bound = (struct chart_bound){.price = NAN};
    if (text == NULL)
        return ERROR_NONE;
    bool is_read = sscanf(text, "%15lld%n", &id, &used) == 1 && id > 0;
    if (is_read && text[used] == '.') {
        int more = 0;
        is_read = sscanf(text + used, ".%1u%n", &index, &more) == 1;
        used += more;
    }
    if (!is_read || text[used] != '\0')
        return error_set(error, ERROR_USAGE,
                         "%s: found '%.40s'; the number of an own line is allowed, such as 7, or "
                         "7.2 for the third price that it marks",
                         fields[which], text);
    bound->asked = true;
    bound->index = index;
    bound->seen = lines_seen_of(&chart->own, id);
    if (bound->seen != NULL)
        bound->price = line_seen_price(bound->seen, index, coming(chart));
    return ERROR_NONE;
}

/* "level 568.00", "retracement 38.2 %, 574.88", "channel, beside it, 590.25". */
static void line_words(const struct chart *chart, const struct line_seen *seen, size_t index,
                       struct text *words)
{
    char price[TICK_TEXT_SIZE];
    own_line_price_text(chart, line_seen_price(seen, index, coming(chart)), price);
    text_append(words, line_kind_name(seen->line.kind));
    if (seen->line.kind == LINE_RETRACEMENT)
        text_append_format(words, " %.1f %%,", 100 * own_line_parts[index]);
    if (seen->line.kind == LINE_CHANNEL && index > 0)
        text_append(words, ", beside it,");
    text_append_format(words, " %s", price);
}

static void write_options(struct html *html, const struct chart *chart, const char *chosen)
{
    for (size_t i = 0; i < chart->own.count; i++) {
        const struct line_seen *seen = &chart->own.list[i];
        for (size_t k = 0; isfinite(line_seen_price(seen, k, coming(chart))); k++) {
            char value[40];
            struct text words;
            snprintf(value, sizeof value, "%lld%s%.0zu", (long long)seen->line.id, k > 0 ? "." : "",
                     k);
            text_init(&words);
            line_words(chart, seen, k, &words);
            form_option(html, value, words.bytes, chosen);
            text_free(&words);
        }
    }
}

void order_bound_write(struct html *html, const struct chart *chart, int which)
{
    const struct chart_bound *bound = &chart->bound[which];
    char chosen[40] = "", label[40];
    bool any = false;
    for (size_t i = 0; i < chart->own.count; i++)
        any |= isfinite(line_seen_price(&chart->own.list[i], 0, coming(chart)));
    if (!any)
        return;
    if (bound->asked && bound->seen != NULL)
        snprintf(chosen, sizeof chosen, "%lld%s%.0zu", (long long)bound->seen->line.id,
                 bound->index > 0 ? "." : "", bound->index);
    snprintf(label, sizeof label, "line that the %s follows", names[which]);
    html_open_class(html, "select", "blank follows");
    html_attribute(html, "name", fields[which]);
    html_attribute(html, "aria-label", label);
    form_option(html, "", "on no line", NULL);
    write_options(html, chart, chosen);
    html_close(html);
}

void order_bound_say(const struct chart *chart, struct text *words)
{
    const struct bars *bars = &chart->opened.series.bars;
    for (int i = 0; i < 3; i++) {
        const struct chart_bound *bound = &chart->bound[i];
        if (!bound->asked)
            continue;
        text_append(words, words->length > 0 ? " " : "");
        if (!isfinite(bound->price)) {
            text_append_format(words,
                               "The line that the %s was to follow is not there any more: it "
                               "stands as the setup has it.",
                               names[i]);
            continue;
        }
        text_append_format(words, "The %s follows the %s ", names[i],
                           bound->seen->line.dated_back ? "dated-back" : "own");
        line_words(chart, bound->seen, bound->index, words);
        text_append(words, bound->seen->laid.slope != 0 ? ", its price on the coming bar" : "");
        if (bars->time[chart->at] <= bound->seen->counts_after)
            text_append(words, ", which was drawn later than this case");
        text_append_char(words, '.');
    }
}
