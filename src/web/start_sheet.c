/* Where a person comes in. */
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
