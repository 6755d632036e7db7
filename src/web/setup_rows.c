/* The rule of a setup as rows: each criterion with its numbers as fields, and how
 * many bars meet it. */
#include "answer/setup_words.h"
#include "web/setup_parts.h"

#include "base/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* --- one field ------------------------------------------------------------------------ */

static void write_range(struct html *html, const struct setup_field *field)
{
    struct text text;
    text_init(&text);
    if (isfinite(field->least) && isfinite(field->most)) {
        text_append_number(&text, field->least);
        text_append(&text, " to ");
        text_append_number(&text, field->most);
    } else if (isfinite(field->least)) {
        text_append_number(&text, field->least);
        text_append(&text, " and more");
    } else {
        text_append(&text, "any number");
    }
    if (field->unit[0] != '\0')
        text_append_format(&text, " %s", field->unit);
    html_text(html, text.bytes);
    text_free(&text);
}

/* As a person reads a name of the file. */
static void write_words(struct html *html, const char *name)
{
    char words[FIELD_NAME_SIZE];
    snprintf(words, sizeof words, "%s", name);
    for (char *c = words; *c != '\0'; c++)
        *c = *c == '_' || *c == '-' ? ' ' : *c;
    html_text(html, words);
}

static void write_field(struct html *html, const struct draft *draft,
                        const struct setup_field *field)
{
    char name[FIELD_NAME_SIZE + 3];
    char spaced[FIELD_NAME_SIZE + 3];
    struct text value;
    text_init(&value);
    setup_field_write(field, &value);
    snprintf(name, sizeof name, "n.%s", field->name);
    snprintf(spaced, sizeof spaced, " %s ", field->name);
    bool moved = strstr(draft->moved.bytes, spaced) != NULL;
    html_open_class(html, "input", moved ? "blank no moved" : "blank no");
    html_attribute(html, "name", name);
    html_attribute(html, "id", name);
    html_attribute_integer(html, "size", value.length > 3 ? (int64_t)value.length : 3);
    html_attribute(html, "inputmode", "decimal");
    html_attribute(html, "autocomplete", "off");
    html_attribute(html, "aria-label", setup_field_says(field));
    html_attribute(html, "title", field->name);
    html_attribute(html, "value", value.bytes);
    text_free(&value);
}

/* "bars before the candle [10] bars", and so for each number of the item. */
static void write_fields(struct html *html, const struct draft *draft, enum field_part part,
                         size_t item)
{
    bool first = true;
    for (size_t i = 0; i < draft->fields.count; i++) {
        const struct setup_field *field = &draft->fields.list[i];
        if (field->part != part || field->item != item)
            continue;
        html_text(html, first ? " " : ", ");
        html_open_class(html, "label", "field");
        if (field->parameter != NULL)
            html_text(html, setup_field_says(field));
        else
            write_words(html, setup_field_says(field));
        html_text(html, " ");
        write_field(html, draft, field);
        html_text(html, field->unit[0] != '\0' ? " " : "");
        html_text(html, field->unit);
        html_close(html);
        first = false;
    }
}

static void write_ranges(struct html *html, const struct draft *draft, enum field_part part,
                         size_t item)
{
    const char *separator = "";
    for (size_t i = 0; i < draft->fields.count; i++) {
        const struct setup_field *field = &draft->fields.list[i];
        if (field->part != part || field->item != item || strcmp(field->words, "within") == 0)
            continue;
        html_text(html, separator);
        write_range(html, field);
        separator = "; ";
    }
}

/* --- one row ------------------------------------------------------------------------------ */

static const struct setup_field *limit_field(const struct draft *draft,
                                             const struct reading *reading)
{
    size_t seen = 0;
    const struct parameter *limits = draft->setup.candles[0].shape->limits;
    if (reading->parameter == 0)
        return NULL;
    for (size_t i = 0; i < draft->fields.count; i++) {
        const struct setup_field *field = &draft->fields.list[i];
        if (field->part != FIELD_CANDLE || field->item != 0)
            continue;
        seen = (size_t)(field->parameter - limits) + 1;
        if (seen == reading->parameter)
            return field;
    }
    return NULL;
}

/* "upper shadow at least [2] bodies" */
static void say_reading(struct html *html, const struct draft *draft, const struct reading *reading)
{
    char name[READING_NAME_SIZE];
    const struct setup_field *field = limit_field(draft, reading);
    html_text(html, reading_name(reading, name));
    if (field == NULL && isnan(reading->limit))
        return;
    html_text(html, " ");
    html_text(html, comparison_words(reading->comparison));
    html_text(html, " ");
    if (field != NULL) {
        write_field(html, draft, field);
    } else {
        struct text limit;
        text_init(&limit);
        text_append_format(&limit, "%.4g", reading->limit);
        html_text(html, limit.bytes);
        text_free(&limit);
    }
    html_text(html, " ");
    html_text(html, reading->unit);
    if (field != NULL) {
        html_open(html, "small");
        write_range(html, field);
        html_close(html);
    }
}

static void say_criterion(struct html *html, const struct draft *draft,
                          const struct criterion *criterion, enum field_part part, size_t item)
{
    struct text rule;
    text_init(&rule);
    setup_say_rule(&rule, criterion); /* what it says, not how the file calls it */
    html_element(html, "b", rule.bytes);
    text_free(&rule);
    html_text(html, ":");
    write_fields(html, draft, part, item);
    html_open(html, "small");
    html_text(html, criterion_name(criterion));
    html_text(html, " in the file; allowed: ");
    write_ranges(html, draft, part, item);
    html_close(html);
}

/* In per cent, and never all or none where some stay and some go. */
static void append_share(struct text *text, double share)
{
    if (share > 0.99)
        text_append(text, "over 99 % stay");
    else if (share < 0.001)
        text_append(text, "under 0.1 % stay");
    else
        text_append_format(text, "%.*f %% stay", share < 0.095 ? 1 : 0, 100 * share);
}

/* A ruled bar of the share that stays of the rows above; `alone`: the row could be
 * taken out by itself. */
static void write_share(struct html *html, size_t before, size_t now, bool alone)
{
    struct text text;
    double share = before > 0 ? (double)now / (double)before : 0;
    html_open_class(html, "td", "kp");
    html_attribute(html, "data-l", "of the rows above");
    text_init(&text);
    text_append_format(&text,
                       "<svg class=\"keeps\" width=\"96\" height=\"9\" aria-hidden=\"true\"><rect "
                       "class=\"rl-fill-main\" y=\"2\" height=\"7\" width=\"%.1f\"/></svg>",
                       96 * share);
    html_markup(html, text.bytes);
    text_clear(&text);
    if (before == 0)
        text_append(&text, "none left above");
    else if (now == before)
        text_append(&text, alone ? "all stay: it leaves none out" : "all stay");
    else if (now == 0)
        text_append(&text, "none stays");
    else
        append_share(&text, share);
    html_element(html, "small", text.bytes);
    text_free(&text);
    html_close(html);
}

static void write_count(struct html *html, const char *head, size_t count, bool bold)
{
    html_open_class(html, "td", "n");
    html_attribute(html, "data-l", head);
    if (bold)
        html_open(html, "b");
    page_count(html, (int64_t)count);
    html_close_all(html, bold ? 2 : 1);
}

static void write_group(struct html *html, const struct draft *draft, enum check_section section)
{
    static const char *const words[] = {"The candle", "Its place", "What confirms it"};
    html_open_class(html, "tr", "group");
    html_open(html, "th");
    html_attribute(html, "scope", "rowgroup");
    html_attribute_integer(html, "colspan", 4);
    html_text(html, words[section]);
    if (section == CHECK_CONFIRM) {
        html_text(html, ":");
        write_fields(html, draft, FIELD_NEEDED, 0);
    } else if (section == CHECK_CANDLE && draft->setup.candle_count == 1) {
        html_text(html, ": ");
        write_words(html, shape_name(&draft->setup.candles[0]));
    }
    html_close_all(html, 2);
}

static void say_row(struct html *html, const struct draft *draft, const struct tally_row *row)
{
    const struct setup *setup = &draft->setup;
    html_open_class(html, "td", "say");
    if (row->has_reading) {
        say_reading(html, draft, &row->reading);
    } else if (row->section == CHECK_CANDLE) {
        html_open(html, "b");
        write_words(html, shape_name(&setup->candles[row->item]));
        html_close(html);
        write_fields(html, draft, FIELD_CANDLE, row->item);
    } else {
        bool place = row->section == CHECK_PLACE;
        const struct criteria *list = place ? &setup->place : &setup->confirm;
        say_criterion(html, draft, &list->list[row->item], place ? FIELD_PLACE : FIELD_CONFIRM,
                      row->item);
    }
    html_close(html);
}

static void write_rows(struct html *html, const struct draft *draft, const struct tally *tally)
{
    size_t before = tally->bars;
    for (size_t i = 0; i < tally->count; i++) {
        const struct tally_row *row = &tally->rows[i];
        if (i == 0 || tally->rows[i - 1].section != row->section)
            write_group(html, draft, row->section);
        html_open(html, "tr");
        say_row(html, draft, row);
        write_count(html, "alone", row->alone, false);
        write_count(html, "together", row->together, true);
        /* Of several shapes each adds to those above. */
        if (row->section == CHECK_CANDLE && !row->has_reading)
            html_element_class(html, "td", "kp small",
                               i == 0 ? "the first" : "added to those above");
        else
            write_share(html, before, row->together, row->section != CHECK_CONFIRM);
        html_close(html);
        if (i + 1 < tally->count && tally->rows[i + 1].section == row->section &&
            row->section == CHECK_CONFIRM)
            continue; /* all that confirm are counted together */
        before = row->together;
    }
}

static void write_stops(struct html *html, const struct draft *draft)
{
    const struct stop_rule *rule = &draft->setup.stop;
    struct text words;
    text_init(&words);
    for (size_t i = 0; i < rule->count; i++) {
        text_clear(&words);
        setup_say_stop(&words, rule->members[i].stop);
        html_text(html, i > 0 ? ", or " : "");
        html_text(html, words.bytes);
        html_text(html, ":");
        write_fields(html, draft, FIELD_STOP, i);
    }
    text_free(&words);
}

static void write_orders(struct html *html, const struct draft *draft)
{
    static const struct {
        enum field_part part;
        const char *words;
    } parts[] = {{FIELD_ENTRY, "Entry"}, {FIELD_STOP, "Stop"}, {FIELD_EXIT, "Way out"}};
    html_open_class(html, "div", "say2");
    html_element(html, "h2", "Entry, stop and way out");
    for (size_t i = 0; i < 3; i++) {
        html_open(html, "p");
        html_element(html, "b", parts[i].words);
        html_text(html, " ");
        if (parts[i].part == FIELD_ENTRY) {
            struct text entry;
            text_init(&entry);
            setup_say_entry(&entry, &draft->setup.entry);
            html_text(html, entry.bytes);
            html_text(html, ":");
            text_free(&entry);
        }
        if (parts[i].part == FIELD_STOP)
            write_stops(html, draft);
        else
            write_fields(html, draft, parts[i].part, 0);
        html_close(html);
    }
    html_close(html);
}

static void write_said(void *context, const struct setup_said *said)
{
    struct html *html = context;
    html_open(html, "li");
    html_element(html, "b", said->part);
    html_text(html, ": ");
    html_text(html, said->says);
    html_close(html);
}

void setup_said_write(struct html *html, const struct draft *draft)
{
    html_open(html, "section");
    html_attribute(html, "id", "said");
    if (draft->has_setup) {
        html_element(html, "h2", "The same in words");
        html_open(html, "ul");
        setup_say(&draft->setup, write_said, html);
        html_close(html);
    }
    html_close(html);
}

/* The book may have more: a list leaves some out, and so may the bars. */
static void write_read_on(struct html *html, const struct sieve *sieve)
{
    const struct held *held = sieve->held;
    html_text(html, "The rule, read on ");
    page_count(html, (int64_t)sieve->tally->bars);
    html_text(html, count_word(sieve->tally->bars, " bar of ", " bars of "));
    page_count(html, (int64_t)held->count);
    html_text(html, count_word(held->count, " instrument", " instruments"));
    if (sieve->list != NULL) {
        html_text(html, " of the list ");
        html_text(html, sieve->list);
    }
    html_text(html, ". ");
    if (held->set_aside > 0) {
        struct error why = held->why;
        page_advise(&why);
        html_text(html, "Set aside: ");
        page_count(html, (int64_t)held->set_aside);
        html_text(html, "; ");
        html_text(html, why.text);
        html_text(html, ". ");
    }
}

void setup_rows_write(struct html *html, const struct draft *draft, const struct sieve *sieve)
{
    html_open_class(html, "table", "rule-rows");
    html_open(html, "caption");
    write_read_on(html, sieve);
    html_element(html, "b", "Alone");
    html_text(html, ": bars that meet this row. ");
    html_element(html, "b", "Together");
    html_text(html, ": bars that meet it and all rows above; in the rows of what confirms, "
                    "the signals that come of them.");
    html_close(html);
    html_markup(html, "<thead><tr><th scope=\"col\">what a bar must meet</th><th scope=\"col\" "
                      "class=\"n\">alone</th><th scope=\"col\" class=\"n\">together</th><th "
                      "scope=\"col\">of the rows above</th></tr></thead>");
    html_open(html, "tbody");
    write_rows(html, draft, sieve->tally);
    html_close_all(html, 2);
    write_orders(html, draft);
}
