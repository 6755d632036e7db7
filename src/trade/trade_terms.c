#include "trade/trade_terms.h"

static const char *const reason_names[] = {
    [TRADE_STOP] = "stop",
    [TRADE_TARGET] = "target",
    [TRADE_TIME] = "time",
    [TRADE_TRAIL] = "trail",
    [TRADE_BREAK_EVEN] = "break_even",
    [TRADE_WHEN] = "condition",
    [TRADE_ENDED] = "ended",
    [TRADE_BY_HAND] = "by_hand",
    [TRADE_OPEN] = "open",
    [TRADE_UNFILLED] = "unfilled",
    [TRADE_LATE] = "late",
    [TRADE_BROKEN] = "broken",
    [TRADE_PASSED] = "passed",
    [TRADE_WAITING] = "waiting",
};

const char *trade_reason_name(enum trade_reason reason)
{
    return reason_names[reason];
}

bool trade_filled(enum trade_reason reason)
{
    return reason <= TRADE_OPEN;
}

bool trade_closed(enum trade_reason reason)
{
    return reason < TRADE_OPEN;
}

const struct tick *terms_tick(const struct trade_terms *terms, int64_t time)
{
    const struct tick *tick = &terms->tick;
    for (size_t i = 0; i < terms->tick_count && terms->ticks[i].since <= time; i++)
        tick = &terms->ticks[i].tick;
    return tick;
}
