#include "answer/untold.h"

void text_append_untold(struct text *text, size_t candles)
{
    if (candles > 0)
        text_append_format(text,
                           "\n%zu candle%s more cannot be told: nothing that is known fails, but "
                           "events, levels of your own or\nvolume are missing there.",
                           candles, candles == 1 ? "" : "s");
}

void text_append_dated_back(struct text *text, size_t count, const char *what)
{
    if (count > 0)
        text_append_format(text,
                           "\n%zu %s%s rest%s on a level that was brought in with an older date: "
                           "who drew it may have known\nwhat followed.",
                           count, what, count == 1 ? "" : "s", count == 1 ? "s" : "");
}

void table_set_untold(struct table *table, size_t untold, size_t dated_back)
{
    table_set_member(table, "untold", (int64_t)untold);
    table_set_member(table, "dated_back", (int64_t)dated_back);
}
