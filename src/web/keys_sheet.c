/* The sheet of keys: by where they are pressed, the key first. */
#include "web/sheets.h"

#include <string.h>

enum { KEYS = 6 };

/* Keys of one line and what they do. */
struct key_row {
    const char *keys[KEYS]; /* NULL behind the last of fewer */
    const char *does;
};

static const struct key_row anywhere[] = {
    {{"/"}, "go to an instrument by its name"},
    {{"?"}, "this list of keys"},
    {{"Escape"}, "close what explains a word"},
};

static const struct key_row on_charts[] = {
    {{".", ","}, "the next and the previous instrument of the list, all else as it is"},
    {{"1", "2", "3"}, "mark the instrument watch, later or no, and take the mark off again"},
    {{"n", "p"}, "the next and the previous case of the setup, over the whole list"},
    {{"h"}, "hold back what follows the bar asked about, and show all again"},
    {{"f", "b"}, "where it is held back: one bar on and one bar back"},
    {{"d"}, "go to a date"},
    {{"+", "\xE2\x88\x92"}, "fewer and more bars in view"},
    {{"w"}, "give the figure the whole window, and back; Escape too goes back"},
    {{"u"}, "undo the last change of a line"},
};

static const struct key_row in_figure[] = {
    {{"\xE2\x86\x90", "\xE2\x86\x92"}, "the bar before and the bar after; with Shift ten of them"},
    {{"Page Up", "Page Down"}, "back and forward by most of what is in view"},
    {{"Home", "End"}, "the first bars and the newest"},
    {{"Enter"}, "ask the bar"},
};

static const struct key_row drawing[] = {
    {{"l"}, "a level"},
    {{"t"}, "a trend line"},
    {{"r"}, "a retracement"},
    {{"c"}, "a channel"},
    {{"o"}, "a note"},
    {{"m"}, "a ruler"},
    {{"\xE2\x86\x90", "\xE2\x86\x92"}, "then: the bar of the cross"},
    {{"\xE2\x86\x91", "\xE2\x86\x93"},
     "its price; with Shift the next high, close or low of the bar"},
    {{"Enter"}, "set the point"},
    {{"Escape"}, "leave it"},
};

static const struct key_row on_ring[] = {
    {{"\xE2\x86\x90", "\xE2\x86\x92", "\xE2\x86\x91", "\xE2\x86\x93"},
     "the bar and the price of that end"},
    {{"Enter"}, "keep it"},
    {{"Escape"}, "put it back"},
};

static const struct key_row on_order[] = {
    {{"\xE2\x86\x91", "\xE2\x86\x93"}, "one tick, with Shift ten"},
    {{"Delete"}, "put it back"},
};

static const struct key_group {
    const char *where;
    const struct key_row *rows;
    size_t count;
} groups[] = {
#define GROUP(where, rows)                                                                         \
    {                                                                                              \
        where, rows, sizeof(rows) / sizeof(rows)[0]                                                \
    }
    GROUP("On every sheet", anywhere),
    GROUP("On Charts", on_charts),
    GROUP("In the figure of Charts", in_figure),
    GROUP("Drawing on it", drawing),
    GROUP("On the ring at the end of a line", on_ring),
    GROUP("On the line of an order", on_order),
#undef GROUP
};

/* What a key's sign is called, for those who listen. */
static const char *name_of(const char *key)
{
    static const struct {
        const char *sign, *name;
    } names[] = {
        {"\xE2\x86\x90", "left"}, {"\xE2\x86\x92", "right"}, {"\xE2\x86\x91", "up"},
        {"\xE2\x86\x93", "down"}, {"\xE2\x88\x92", "minus"}, {".", "full stop"},
        {",", "comma"},
    };
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
        if (strcmp(names[i].sign, key) == 0)
            return names[i].name;
    return NULL;
}

static void write_key(struct html *html, const char *key)
{
    const char *name = name_of(key);
    html_open(html, "kbd");
    if (name == NULL) {
        html_text(html, key);
    } else {
        html_open(html, "span");
        html_attribute(html, "aria-hidden", "true");
        html_text(html, key);
        html_close(html);
        html_element_class(html, "span", "unseen", name);
    }
    html_close(html);
}

static void write_group(struct html *html, const struct key_group *group)
{
    html_open_class(html, "section", "block ruled");
    html_element(html, "h2", group->where);
    html_open_class(html, "table", "narrow keys");
    html_open(html, "tbody");
    for (size_t i = 0; i < group->count; i++) {
        const struct key_row *row = &group->rows[i];
        html_open(html, "tr");
        html_open(html, "th");
        html_attribute(html, "scope", "row");
        for (size_t k = 0; k < KEYS && row->keys[k] != NULL; k++) {
            html_text(html, k > 0 ? " " : "");
            write_key(html, row->keys[k]);
        }
        html_close(html);
        html_element(html, "td", row->does);
        html_close(html);
    }
    html_close_all(html, 3);
}

int sheet_keys(struct page *page, struct exchange *exchange, struct error *error)
{
    struct html html;
    (void)error;
    html_init(&html, &exchange->body);
    frame_begin(&html, page, exchange,
                &(struct sheet_head){SHEET_COUNT, "Keys",
                                     "Everything here can be done by key: Tab goes on, Enter "
                                     "presses. The chart has keys of its own; the other sheets "
                                     "have none.",
                                     NULL});
    for (size_t i = 0; i < sizeof groups / sizeof groups[0]; i++)
        write_group(&html, &groups[i]);
    frame_end(&html, exchange);
    return ERROR_NONE;
}
