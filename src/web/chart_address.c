#include "web/chart_address.h"

#include "web/chart.h"

#include <string.h>

/* What a field does not outlive. */
enum loss {
    LOST_ELSEWHERE = 1, /* another instrument */
    LOST_CASE = 2,      /* another case */
    LOST_SETUP = 4,
    LOST_LENGTH = 8, /* bars of another length */
    LOST_WAY = 16,   /* another way in */
    LOST_HELD = 32,  /* another last bar shown */
    LOST_MOVED = 64  /* all orders as the setup has them */
};

/* Orders put somewhere; those that follow an own line do so on bars of any length. */
enum {
    LOST_FOLLOWING = LOST_ELSEWHERE | LOST_CASE | LOST_SETUP | LOST_MOVED,
    LOST_ORDERS = LOST_FOLLOWING | LOST_LENGTH
};

/* All but the instrument, which each address has. */
static const struct chart_field {
    const char *name;
    unsigned lost;
    bool means_none; /* empty is not left out: it means none */
} fields[] = {
    {"list", 0, false},
    {"interval", 0, false},
    {"setup", 0, false},
    {"case", LOST_ELSEWHERE, false},
    /* One bar on, and the candle of a case, are the ones asked about. */
    {"bar", LOST_ELSEWHERE | LOST_CASE | LOST_HELD, false},
    /* A case is cut by itself. Another instrument is not: it is seen no further than this one. */
    {"held", LOST_CASE, false},
    {"span", 0, false},
    {"scale", 0, false},
    {"panes", 0, true},
    {"averages", 0, true},
    {"beside", 0, false},
    {"way", LOST_SETUP, false},
    /* Another way in is another entry, to the stop and target that there are. */
    {"entry", LOST_ORDERS | LOST_WAY, false},
    {"stop", LOST_ORDERS, false},
    {"target", LOST_ORDERS, false},
    {"entry-on", LOST_FOLLOWING | LOST_WAY, false},
    {"stop-on", LOST_FOLLOWING, false},
    {"target-on", LOST_FOLLOWING, false},
    {"undo", LOST_ELSEWHERE, false},
    {"as-of", 0, false},
};
enum { FIELD_COUNT = sizeof fields / sizeof fields[0] };

static unsigned loss_by(const char *name, const char *value)
{
    static const struct {
        const char *name;
        unsigned loss;
    } losses[] = {{"instrument", LOST_ELSEWHERE},
                  {"case", LOST_CASE},
                  {"setup", LOST_SETUP},
                  {"interval", LOST_LENGTH},
                  {"way", LOST_WAY}};
    for (size_t i = 0; i < sizeof losses / sizeof losses[0]; i++)
        if (strcmp(losses[i].name, name) == 0)
            return losses[i].loss | (losses[i].loss == LOST_WAY && value == NULL ? LOST_MOVED : 0);
    /* All shown again, the bar stays that which is asked about. */
    return strcmp(name, "held") == 0 && value != NULL ? LOST_HELD : 0;
}

static const char *value_of(const struct exchange *exchange, const struct chart_field *field)
{
    return field->means_none ? exchange_field(exchange, field->name)
                             : exchange_filled(exchange, field->name);
}

/* All but what the change of that one loses, and what is lost besides. */
static void add_fields(struct text *address, const struct exchange *exchange, const char *name,
                       const char *value, unsigned besides)
{
    unsigned loss = loss_by(name, value) | besides;
    for (size_t i = 0; i < FIELD_COUNT; i++) {
        if (strcmp(fields[i].name, name) == 0)
            address_add(address, name, value);
        else if ((fields[i].lost & loss) == 0)
            address_add(address, fields[i].name, value_of(exchange, &fields[i]));
    }
}

void chart_address(struct text *address, const struct chart *chart, const struct exchange *exchange,
                   const char *name, const char *value)
{
    bool elsewhere = strcmp(name, "instrument") == 0;
    address_begin(address, "/charts");
    address_add(address, "instrument", elsewhere ? value : chart->name);
    add_fields(address, exchange, name, value, 0);
}

void chart_address_of_case(struct text *address, const struct exchange *exchange,
                           const char *instrument, const char *moment)
{
    const char *here = exchange_filled(exchange, "instrument");
    bool elsewhere = here == NULL || strcmp(here, instrument) != 0;
    address_begin(address, "/charts");
    address_add(address, "instrument", instrument);
    add_fields(address, exchange, "case", moment, elsewhere ? LOST_ELSEWHERE : 0);
}

static bool is_among(const char *name, const char *const *names)
{
    for (; *names != NULL; names++)
        if (strcmp(*names, name) == 0)
            return true;
    return false;
}

void chart_write_fields(struct html *html, const struct chart *chart,
                        const struct exchange *exchange, const char *const *asked)
{
    if (!is_among("instrument", asked))
        form_hidden(html, "instrument", chart->name);
    for (size_t i = 0; i < FIELD_COUNT; i++) {
        const char *value = value_of(exchange, &fields[i]);
        if (value != NULL && !is_among(fields[i].name, asked))
            form_hidden(html, fields[i].name, value);
    }
}

void chart_address_back(struct text *address, const struct exchange *exchange,
                        const char *const *without)
{
    address_begin(address, "/charts");
    address_add(address, "instrument", exchange_filled(exchange, "instrument"));
    for (size_t i = 0; i < FIELD_COUNT; i++)
        if (!is_among(fields[i].name, without))
            address_add(address, fields[i].name, value_of(exchange, &fields[i]));
}

int chart_go_back(struct exchange *exchange, const char *const *without, struct error *error)
{
    struct text address;
    chart_address_back(&address, exchange, without);
    int code = exchange_go(exchange, address.bytes, error);
    text_free(&address);
    return code;
}
