#include "answer/book_rows.h"

#include "base/calendar.h"
#include "market/wall_clock.h"

#define COUNT_OF(array) (sizeof(array) / sizeof(array)[0])

static void put_time(struct table *table, int64_t time, bool dated)
{
    char text[CALENDAR_TEXT_SIZE];
    time_format(text, time, dated);
    table_text(table, text);
}

/* --- bars ------------------------------------------------------------------------- */

static const struct column bar_columns[] = {
    {"time", "time", COLUMN_TEXT, 0, ""},
    {"open", "open", COLUMN_NUMBER, -1, "price"},
    {"high", "high", COLUMN_NUMBER, -1, "price"},
    {"low", "low", COLUMN_NUMBER, -1, "price"},
    {"close", "close", COLUMN_NUMBER, -1, "price"},
    {"volume", "volume", COLUMN_NUMBER, -1, "units"},
};

const struct listing bars_listing = {"bars", bar_columns, COUNT_OF(bar_columns), NULL};

static void put_prices(struct table *table, const struct bar *bar)
{
    table_number(table, bar->open);
    table_number(table, bar->high);
    table_number(table, bar->low);
    table_number(table, bar->close);
    table_number(table, bar->volume);
}

void bar_put(struct table *table, const struct bars *bars, size_t i)
{
    const struct bar bar = bars_at(bars, i);
    put_time(table, bar.time, interval_is_dated(bars->interval));
    put_prices(table, &bar);
}

/* --- what there is of each instrument ------------------------------------------------- */

static const struct column stored_columns[] = {
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"kind", "kind", COLUMN_TEXT, 0, ""},
    {"interval", "bars of", COLUMN_TEXT, 0, ""},
    {"bars", "bars", COLUMN_INTEGER, 0, "bars"},
    {"first", "first", COLUMN_TEXT, 0, ""},
    {"last", "last", COLUMN_TEXT, 0, ""},
    {"zone", "zone", COLUMN_TEXT, 0, ""},
};

const struct listing stored_listing = {"instruments", stored_columns, COUNT_OF(stored_columns),
                                       NULL};

int stored_days_of(struct stored_days *days, const struct instrument *instrument,
                   const struct stored_series *series, struct error *error)
{
    struct wall_clock clock;
    *days = (struct stored_days){series->count > 0, series->first, series->last};
    if (!days->there || interval_is_dated(series->interval))
        return ERROR_NONE;
    int code = wall_clock_open(&clock, instrument->zone, error);
    if (code == ERROR_NONE) {
        days->first += wall_clock_offset(&clock, days->first);
        days->last += wall_clock_offset(&clock, days->last);
    }
    wall_clock_close(&clock);
    return code;
}

/* --- what became of files ----------------------------------------------------------- */

static const struct column aside_columns[] = {
    {"file", "file", COLUMN_TEXT, 0, ""},    {"hash", "hash", COLUMN_TEXT, 0, ""},
    {"line", "line", COLUMN_INTEGER, 0, ""}, {"reason", "reason", COLUMN_TEXT, 0, ""},
    {"text", "text", COLUMN_TEXT, 0, ""},
};

const struct listing aside_listing = {"set_aside", aside_columns, COUNT_OF(aside_columns), "none"};

void aside_put(struct table *table, const struct aside_row *row)
{
    table_text(table, row->file);
    table_text(table, row->hash);
    table_integer(table, row->line);
    table_text(table, row->reason);
    table_text(table, row->text);
}

static const struct column revision_columns[] = {
    {"interval", "bars of", COLUMN_TEXT, 0, ""},
    {"time", "time", COLUMN_TEXT, 0, ""},
    {"open", "open", COLUMN_NUMBER, -1, "price"},
    {"high", "high", COLUMN_NUMBER, -1, "price"},
    {"low", "low", COLUMN_NUMBER, -1, "price"},
    {"close", "close", COLUMN_NUMBER, -1, "price"},
    {"volume", "volume", COLUMN_NUMBER, -1, "units"},
    {"what", "what became of it", COLUMN_TEXT, 0, ""},
    {"file", "file", COLUMN_TEXT, 0, ""},
};

const struct listing revisions_listing = {"revisions", revision_columns, COUNT_OF(revision_columns),
                                          "none"};

void revision_put(struct table *table, const struct revision_row *row)
{
    struct interval interval = {INTERVAL_NONE, 0};
    char length[INTERVAL_TEXT_SIZE];
    if (row->interval != NULL)
        interval_parse_kept(row->interval, &interval);
    interval_format(length, interval);
    table_text(table, length[0] != '\0' ? length : row->interval);
    put_time(table, row->bar.time, interval_is_dated(interval));
    put_prices(table, &row->bar);
    table_text(table, row->replaced ? "replaced" : "kept out");
    table_text(table, row->file);
}

/* --- events and actions -------------------------------------------------------------- */

static const struct column event_columns[] = {
    {"kind", "kind", COLUMN_TEXT, 0, ""},
    {"time", "time", COLUMN_TEXT, 0, ""},
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"note", "note", COLUMN_TEXT, 0, ""},
    {"known", "known since", COLUMN_TEXT, 0, ""},
};

const struct listing events_listing = {"events", event_columns, COUNT_OF(event_columns),
                                       "No such event is in the book."};

void event_put(struct table *table, const struct event *event)
{
    table_text(table, event->kind);
    put_time(table, event->time, event->dated);
    table_text(table, event->instrument[0] != '\0' ? event->instrument : "all");
    table_text(table, event->note);
    if (event->known_later)
        put_time(table, event->known, event->known_dated);
    else
        table_blank(table, 1);
}

/* What the value counts hangs on the kind, so that the column has no unit. */
static const struct column action_columns[] = {
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"date", "date", COLUMN_TEXT, 0, ""},
    {"kind", "kind", COLUMN_TEXT, 0, ""},
    {"value", "value", COLUMN_NUMBER, -1, ""},
};

const struct listing actions_listing = {"actions", action_columns, COUNT_OF(action_columns),
                                        "none"};

void action_put(struct table *table, const char *instrument, const struct action *action)
{
    table_text(table, instrument);
    put_time(table, action->date, true);
    table_text(table, action_kind_name(action->kind));
    table_number(table, action->value);
}

/* --- lists ---------------------------------------------------------------------------- */

static const struct column list_columns[] = {
    {"watchlist", "watchlist", COLUMN_TEXT, 0, ""},
    {"members", "instruments", COLUMN_INTEGER, 0, "instruments"},
};

const struct listing lists_listing = {"watchlists", list_columns, COUNT_OF(list_columns),
                                      "There are no watchlists yet"};

void list_put(struct table *table, const struct list_row *list)
{
    table_text(table, list->name);
    table_integer(table, list->members);
}

static const struct column member_columns[] = {
    {"position", "", COLUMN_INTEGER, 0, ""},
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
};

const struct listing members_listing = {"members", member_columns, COUNT_OF(member_columns), NULL};

void member_put(struct table *table, size_t place, const char *instrument)
{
    table_count(table, place);
    table_text(table, instrument);
}
