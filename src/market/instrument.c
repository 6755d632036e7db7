#include "market/instrument.h"

#include "base/text.h"

#include <string.h>

static const char *const kind_names[] = {
    [MARKET_UNKNOWN] = "unknown",
    [MARKET_SHARE] = "share",
    [MARKET_INDEX] = "index",
    [MARKET_FUTURE] = "future",
    [MARKET_CURRENCY] = "currency",
    [MARKET_COMMODITY] = "commodity",
    [MARKET_CRYPTOCURRENCY] = "cryptocurrency",
};

static const char *const basis_names[] =
    {[PRICES_TRADE] = "trade", [PRICES_MID] = "mid", [PRICES_BID] = "bid"};

enum { BASIS_COUNT = sizeof basis_names / sizeof basis_names[0] };
enum { KIND_COUNT = sizeof kind_names / sizeof kind_names[0] };

bool instrument_init(struct instrument *instrument, const char *name)
{
    size_t length = strlen(name);
    *instrument = (struct instrument){.point_value = 1, .size_step = 1, .zone = "UTC"};
    if (length == 0 || length >= sizeof instrument->name || !text_is_shown(name))
        return false;
    memcpy(instrument->name, name, length + 1);
    return true;
}

const char instrument_name_rule[] =
    "1 to 63 bytes of text are allowed, without @, controls and marks that are not seen, without -, /, ./ or ../ "
    "in front and blanks at the ends; . and .. are none";

/* What leads out of a folder of names, or is one. */
static bool is_path(const char *name)
{
    return name[0] == '/' || strcmp(name, ".") == 0 || strcmp(name, "..") == 0 ||
           strncmp(name, "./", 2) == 0 || strncmp(name, "../", 3) == 0;
}

bool instrument_name_allowed(const char *name)
{
    struct instrument instrument;
    size_t length = strlen(name);
    return instrument_init(&instrument, name) && strchr(name, '@') == NULL && name[0] != '-' &&
           !is_path(name) && name[0] != ' ' && name[length - 1] != ' ';
}

const char *market_kind_name(enum market_kind kind)
{
    return kind_names[kind];
}

bool market_kind_parse(const char *name, enum market_kind *kind)
{
    for (int i = 0; i < KIND_COUNT; i++) {
        if (strcmp(name, kind_names[i]) == 0) {
            *kind = (enum market_kind)i;
            return true;
        }
    }
    return false;
}

const char *price_basis_name(enum price_basis basis)
{
    return basis_names[basis];
}

bool price_basis_parse(const char *name, enum price_basis *basis)
{
    for (int i = 0; i < BASIS_COUNT; i++) {
        if (strcmp(name, basis_names[i]) == 0) {
            *basis = (enum price_basis)i;
            return true;
        }
    }
    return false;
}

bool instrument_has_costs(const struct instrument *instrument)
{
    const struct costs *costs = &instrument->costs;
    return costs->spread > 0 || costs->slippage > 0 || costs->commission_per_unit > 0 ||
           costs->commission_percent > 0 || costs->financing_percent_year > 0;
}
