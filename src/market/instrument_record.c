#include "market/instrument_record.h"

#include "base/calendar.h"
#include "base/former.h"
#include "market/wall_clock.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static bool read_kind(struct instrument_record *record, const char *text)
{
    return market_kind_parse(text[0] != '\0' ? text : "unknown", &record->instrument.kind);
}

static void write_kind(const struct instrument_record *record, struct text *text)
{
    text_append(text, market_kind_name(record->instrument.kind));
}

static bool read_prices(struct instrument_record *record, const char *text)
{
    return price_basis_parse(text[0] != '\0' ? text : "trade", &record->instrument.basis);
}

static void write_prices(const struct instrument_record *record, struct text *text)
{
    text_append(text, price_basis_name(record->instrument.basis));
}

/* The next word of a list with spaces between; *text is moved behind it. */
static size_t next_word(const char **text, const char **word)
{
    *word = *text + strspn(*text, " ");
    size_t length = strcspn(*word, " ");
    *text = *word + length;
    return length;
}

/* 0.01 or 0.01@2001-04-09 */
static bool read_step(struct dated_tick *tick, const char *word, size_t length)
{
    const char *at = memchr(word, '@', length);
    double step = 0;
    bool date_only = false;
    tick->since = INT64_MIN;
    size_t head = at != NULL ? (size_t)(at - word) : length;
    if (at != NULL &&
        (!time_parse(at + 1, length - head - 1, &tick->since, &date_only) || !date_only))
        return false;
    return number_parse(word, head, &step) && tick_from_number(&tick->tick, step);
}

static bool read_ticks(struct instrument_record *record, const char *text)
{
    struct dated_tick ticks[RECORD_TICKS];
    const char *word;
    size_t count = 0;
    size_t length;
    while ((length = next_word(&text, &word)) > 0) {
        if (count == RECORD_TICKS || !read_step(&ticks[count], word, length))
            return false;
        if (count > 0 && ticks[count].since <= ticks[count - 1].since)
            return false;
        count++;
    }
    record->tick_count = count;
    record->instrument.tick_known = count > 0;
    if (count > 0) {
        memcpy(record->ticks, ticks, count * sizeof ticks[0]);
        record->instrument.tick = ticks[count - 1].tick;
    }
    return true;
}

static void write_ticks(const struct instrument_record *record, struct text *text)
{
    for (size_t i = 0; i < record->tick_count; i++) {
        char date[CALENDAR_TEXT_SIZE];
        text_append(text, i > 0 ? " " : "");
        text_append_number(text, record->ticks[i].tick.value);
        if (record->ticks[i].since == INT64_MIN)
            continue;
        time_format(date, record->ticks[i].since, true);
        text_append_format(text, "@%s", date);
    }
}

static bool read_positive(double *value, const char *text)
{
    double read = 1;
    if (text[0] != '\0' && !number_parse(text, strlen(text), &read))
        return false;
    if (!(read > 0) || !isfinite(read))
        return false;
    *value = read;
    return true;
}

/* A number from 0 on, where 0 and nothing are the same: none. */
static bool read_amount(double *value, const char *text)
{
    double read = 0;
    if (text[0] != '\0' && !number_parse(text, strlen(text), &read))
        return false;
    if (!(read >= 0) || !isfinite(read))
        return false;
    *value = read;
    return true;
}

static void write_amount(double value, struct text *text)
{
    if (value > 0)
        text_append_number(text, value);
}

static bool read_point_value(struct instrument_record *record, const char *text)
{
    return read_positive(&record->instrument.point_value, text);
}

static void write_point_value(const struct instrument_record *record, struct text *text)
{
    text_append_number(text, record->instrument.point_value);
}

static bool read_currency(struct instrument_record *record, const char *text)
{
    size_t length = strlen(text);
    if (length != 0 && (length != 3 || strspn(text, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != 3))
        return false;
    memcpy(record->instrument.currency, text, length + 1);
    return true;
}

static void write_currency(const struct instrument_record *record, struct text *text)
{
    text_append(text, record->instrument.currency);
}

static bool read_size_step(struct instrument_record *record, const char *text)
{
    return read_positive(&record->instrument.size_step, text);
}

static void write_size_step(const struct instrument_record *record, struct text *text)
{
    text_append_number(text, record->instrument.size_step);
}

static bool read_smallest_size(struct instrument_record *record, const char *text)
{
    return read_amount(&record->instrument.smallest_size, text);
}

static void write_smallest_size(const struct instrument_record *record, struct text *text)
{
    write_amount(record->instrument.smallest_size, text);
}

static bool read_leverage(struct instrument_record *record, const char *text)
{
    return read_amount(&record->instrument.leverage, text);
}

static void write_leverage(const struct instrument_record *record, struct text *text)
{
    write_amount(record->instrument.leverage, text);
}

static bool read_interval(struct instrument_record *record, const char *text)
{
    struct interval interval = {INTERVAL_NONE, 0};
    if (text[0] != '\0' && !interval_parse(text, &interval))
        return false;
    record->instrument.interval = interval;
    return true;
}

static void write_interval(const struct instrument_record *record, struct text *text)
{
    char interval[INTERVAL_TEXT_SIZE];
    interval_format(interval, record->instrument.interval);
    text_append(text, interval);
}

static bool read_zone(struct instrument_record *record, const char *text)
{
    struct wall_clock clock;
    struct error ignored;
    const char *name = text[0] != '\0' ? text : "UTC";
    if (strlen(name) >= sizeof record->instrument.zone)
        return false;
    int code = wall_clock_open(&clock, name, &ignored);
    wall_clock_close(&clock);
    if (code != ERROR_NONE)
        return false;
    memcpy(record->instrument.zone, name, strlen(name) + 1);
    return true;
}

static void write_zone(const struct instrument_record *record, struct text *text)
{
    text_append(text, record->instrument.zone);
}

/* hh:mm, or hh:mm- for the evening before. */
static bool read_session_start(struct instrument_record *record, const char *text)
{
    size_t length = strlen(text);
    bool before = length == 6 && text[5] == '-';
    int64_t hour = 0;
    int64_t minute = 0;
    if (length == 0) {
        record->instrument.session_start = 0;
        return true;
    }
    if ((length != 5 && !before) || text[2] != ':' || strspn(text, "0123456789:") != 5 ||
        !number_parse_integer(text, 2, &hour) || !number_parse_integer(text + 3, 2, &minute) ||
        hour > 23 || minute > 59)
        return false;
    int start = (int)(hour * 60 + minute);
    if (before && start == 0)
        return false;
    record->instrument.session_start = before ? start - 24 * 60 : start;
    return true;
}

static void write_session_start(const struct instrument_record *record, struct text *text)
{
    int start = record->instrument.session_start;
    int minutes = start < 0 ? start + 24 * 60 : start;
    text_append_format(text, "%02d:%02d%s", minutes / 60, minutes % 60, start < 0 ? "-" : "");
}

static const char *const weekdays[] = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};

static int find_weekday(const char *word, size_t length)
{
    for (int i = 0; i < 7; i++)
        if (length == 3 && strncmp(word, weekdays[i], 3) == 0)
            return i;
    return -1;
}

static bool read_session_days(struct instrument_record *record, const char *text)
{
    const char *word;
    size_t length;
    unsigned days = 0;
    while ((length = next_word(&text, &word)) > 0) {
        int day = find_weekday(word, length);
        if (day < 0)
            return false;
        days |= 1u << day;
    }
    record->instrument.session_days = days;
    return true;
}

static void write_session_days(const struct instrument_record *record, struct text *text)
{
    bool any = false;
    for (int i = 0; i < 7; i++) {
        if ((record->instrument.session_days & 1u << i) == 0)
            continue;
        text_append_format(text, "%s%s", any ? " " : "", weekdays[i]);
        any = true;
    }
}

static bool read_date(bool *known, int64_t *date, const char *text)
{
    bool date_only = true;
    int64_t time = 0;
    if (text[0] != '\0' && (!time_parse(text, strlen(text), &time, &date_only) || !date_only))
        return false;
    *known = text[0] != '\0';
    *date = time;
    return true;
}

static void write_date(bool known, int64_t date, struct text *text)
{
    char written[CALENDAR_TEXT_SIZE];
    if (!known)
        return;
    time_format(written, date, true);
    text_append(text, written);
}

static bool read_first_date(struct instrument_record *record, const char *text)
{
    return read_date(&record->instrument.first_known, &record->instrument.first_date, text);
}

static void write_first_date(const struct instrument_record *record, struct text *text)
{
    write_date(record->instrument.first_known, record->instrument.first_date, text);
}

static bool read_last_date(struct instrument_record *record, const char *text)
{
    return read_date(&record->instrument.last_known, &record->instrument.last_date, text);
}

static void write_last_date(const struct instrument_record *record, struct text *text)
{
    write_date(record->instrument.last_known, record->instrument.last_date, text);
}

static bool read_ended(struct instrument_record *record, const char *text)
{
    size_t length = strlen(text);
    if (length >= sizeof record->instrument.ended_why || !text_is_shown(text))
        return false;
    memcpy(record->instrument.ended_why, text, length + 1);
    return true;
}

static void write_ended(const struct instrument_record *record, struct text *text)
{
    text_append(text, record->instrument.ended_why);
}

#define COST_FIELD(name)                                                                           \
    static bool read_##name(struct instrument_record *record, const char *text)                    \
    {                                                                                              \
        return read_amount(&record->instrument.costs.name, text);                                  \
    }                                                                                              \
    static void write_##name(const struct instrument_record *record, struct text *text)            \
    {                                                                                              \
        write_amount(record->instrument.costs.name, text);                                         \
    }
COST_FIELD(spread)
COST_FIELD(slippage)
COST_FIELD(commission_per_unit)
COST_FIELD(commission_percent)
COST_FIELD(commission_per_trade)
COST_FIELD(financing_percent_year)

#define A_NUMBER "a number of at least 0"

const struct record_field record_fields[] = {
    {"kind", false, "", "unknown, share, index, future, currency, commodity or cryptocurrency",
     read_kind, write_kind},
    {"prices", false, "", "trade, mid or bid", read_prices, write_prices},
    {"tick", false, "",
     "a decimal of at most 15 places, then any with @YYYY-MM-DD in order of date", read_ticks,
     write_ticks},
    {"point_value", true, "money a point", "a number above 0", read_point_value, write_point_value},
    {"currency", false, "", "three capital letters", read_currency, write_currency},
    {"size_step", true, "units", "a number above 0", read_size_step, write_size_step},
    {"smallest_size", true, "units", A_NUMBER, read_smallest_size, write_smallest_size},
    {"leverage", true, "times the balance", A_NUMBER, read_leverage, write_leverage},
    {"interval", false, "", "a length such as 1d, 1w, 1month, 4h or 30m", read_interval,
     write_interval},
    {"zone", false, "", "a name such as Europe/Paris, or UTC", read_zone, write_zone},
    {"session_start", false, "", "hh:mm, or hh:mm- for the evening before", read_session_start,
     write_session_start},
    {"session_days", false, "", "mon, tue, wed, thu, fri, sat, sun with spaces between",
     read_session_days, write_session_days},
    {"first_date", false, "", "a date YYYY-MM-DD", read_first_date, write_first_date},
    {"last_date", false, "", "a date YYYY-MM-DD", read_last_date, write_last_date},
    {"ended_why", false, "", "one line of up to 79 bytes", read_ended, write_ended},
    {"spread", true, "price", A_NUMBER, read_spread, write_spread},
    {"slippage", true, "price", A_NUMBER, read_slippage, write_slippage},
    {"commission_per_unit", true, "money", A_NUMBER, read_commission_per_unit,
     write_commission_per_unit},
    {"commission_percent", true, "%", A_NUMBER, read_commission_percent, write_commission_percent},
    {"commission_per_trade", true, "money", A_NUMBER, read_commission_per_trade,
     write_commission_per_trade},
    {"financing_percent_year", true, "%", A_NUMBER, read_financing_percent_year,
     write_financing_percent_year},
    {NULL, false, NULL, NULL, NULL, NULL},
};

int record_field_read(const struct record_field *field, const char *label,
                      struct instrument_record *record, const char *text, struct error *error)
{
    if (field->read(record, text))
        return ERROR_NONE;
    const char *now = former_word(FORMER_INSTRUMENT, text);
    if (now != NULL)
        return error_set(error, ERROR_INPUT, "%s: %s is a former word; write %s instead", label,
                         text, now);
    return error_set(error, ERROR_INPUT, "%s: found '%.60s'; %s is allowed", label, text,
                     field->allowed);
}

int instrument_record_check(const struct instrument_record *record, struct error *error)
{
    const struct instrument *instrument = &record->instrument;
    if (instrument->first_known && instrument->last_known &&
        instrument->last_date < instrument->first_date)
        return error_set(error, ERROR_INPUT, "%s: its last date is before its first",
                         instrument->name);
    return ERROR_NONE;
}
