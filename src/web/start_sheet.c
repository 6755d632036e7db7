/* Where a person comes in, and the sheet of keys. */
#include "web/market_job.h"
#include "web/sheets.h"

#include "book/place_store.h"

static int count_instruments(const struct page *page, int64_t *count, struct error *error)
{
    struct book *book = NULL;
    struct place place = {0};
    int code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = place_store_read(book, NULL, "", &place, error);
    *count = place.count;
    return book_done(book, code, error);
}

int sheet_start(struct page *page, struct exchange *exchange, struct error *error)
{
    int64_t count = 0;
    struct html html;
    int code = count_instruments(page, &count, error);
    if (code != ERROR_NONE)
        return code;
    if (count > 0) {
        struct text address;
        address_begin(&address, "/today");
        address_keep_as_of(&address, exchange);
        code = exchange_go(exchange, address.bytes, error);
        text_free(&address);
        return code;
    }
    html_init(&html, &exchange->body);
    frame_begin(&html, page, exchange,
                &(struct sheet_head){SHEET_COUNT, "Nothing there yet",
                                     "This book is empty. Bring in a file of prices, or look "
                                     "around the invented market first.",
                                     "data.js"});
    market_offer(&html, page, exchange);
    frame_end(&html, exchange);
    return ERROR_NONE;
}

/* One key and what it does. */
static const struct key_row {
    const char *key;
    const char *does;
} key_rows[] = {
    {"/", "go to an instrument by its name"},
    {"?", "this list of keys"},
    {". and ,", "on Charts: the next and the previous instrument of the list, all else as it is"},
    {"1, 2 and 3",
     "on Charts: mark the instrument watch, later or no, and take the mark off again"},
    {"d", "on Charts: go to a date"},
    {"n and p", "on Charts: the next and the previous case of the setup, over the whole list"},
    {"h", "on Charts: hold back what follows the bar asked about, and show all again"},
    {"f and b", "on Charts, where it is held back: one bar on and one bar back"},
    {"+ and \xE2\x88\x92", "on Charts: fewer and more bars in view"},
    {"w", "on Charts: give the figure the whole window, and back; Escape too goes back"},
    {"left and right", "in the figure: the bar before and the bar after; with Shift ten of them"},
    {"Page Up, Page Down", "in the figure: back and forward by most of what is in view"},
    {"Home and End", "in the figure: the first bars and the newest"},
    {"Enter", "in the figure: ask the bar"},
    {"l, t, r, c, o and m", "on Charts: draw a level, a trend line, a retracement, a channel, a "
                            "note, a ruler: then press its points, or go to each with the arrow "
                            "keys and set it with Enter; Escape leaves it"},
    {"up and down, while drawing", "in the figure: the price of the cross; with Shift to the next "
                                   "high, close or low of the bar"},
    {"u", "on Charts: undo the last change of a line"},
    {"arrow keys", "on the ring of a line: the bar and the price of that end; Enter keeps it, "
                   "Escape puts it back"},
    {"up and down", "on the line of an order: one tick, with Shift ten; Delete puts it back"},
};

int sheet_keys(struct page *page, struct exchange *exchange, struct error *error)
{
    struct html html;
    (void)error;
    html_init(&html, &exchange->body);
    frame_begin(&html, page, exchange,
                &(struct sheet_head){SHEET_COUNT, "Keys", "Everything here can be done by key.",
                                     NULL});
    html_open_class(&html, "table", "narrow gap2");
    html_open(&html, "tbody");
    for (size_t i = 0; i < sizeof key_rows / sizeof key_rows[0]; i++) {
        html_open(&html, "tr");
        html_open(&html, "th");
        html_attribute(&html, "scope", "row");
        html_element(&html, "kbd", key_rows[i].key);
        html_close(&html);
        html_element(&html, "td", key_rows[i].does);
        html_close(&html);
    }
    html_close_all(&html, 2);
    frame_end(&html, exchange);
    return ERROR_NONE;
}
