/* From signals to trades (docs/method.md 7 and 8). */
#ifndef RUSHLIGHT_TRADE_TRADE_H
#define RUSHLIGHT_TRADE_TRADE_H

#include "base/error.h"
#include "trade/trade_words.h"

/* What became of one signal, on its own. `path` may be NULL. */
struct trade trade_of_signal(const struct setup_view *view, const struct trade_terms *terms,
                             const struct signal *signal, struct trade_path *path);

/* As trade_of_signal, with the person's words (NULL: none) and what stands at the end of
 * the data (NULL: not wanted). A stop or target that a word moved stands until the rules
 * raise the stop above it, or another word; a person who closes it holds what is left until
 * then. A fill at or beyond the stop is TRADE_UNFILLED, with a note. */
struct trade trade_follow(const struct setup_view *view, const struct trade_terms *terms,
                          const struct signal *signal, const struct trade_words *words,
                          struct trade_path *path, struct trade_standing *standing);

/* Every trade of bars first..last-1 (candles in that range), by signal and then
 * candle. With `all`, also what never became a trade. `overlap: one` passes
 * over signals while the setup is busy, also with a trade of an earlier candle,
 * so that a row does not depend on `first`. The list is the caller's to free. */
int trades_find(const struct setup_view *view, const struct trade_terms *terms, size_t first,
                size_t last, bool all, struct trades *trades, struct error *error);
void trades_free(struct trades *trades);

#endif
