#include "work/as_of.h"

#include "base/array.h"
#include "base/calendar.h"
#include "base/text.h"
#include "book/instrument_store.h"
#include "market/session.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

bool as_of_wished(const struct wishes *wishes)
{
    return wishes->as_of < INT64_MAX;
}

int as_of_end(const struct wishes *wishes, const struct instrument *instrument, int64_t *end,
              struct error *error)
{
    struct session session;
    *end = INT64_MAX;
    if (!as_of_wished(wishes))
        return ERROR_NONE;
    int code = session_open(&session, instrument, error);
    if (code == ERROR_NONE)
        *end = session_begins(&session, day_of_time(wishes->as_of) + 1);
    session_close(&session);
    return code;
}

bool as_of_dated(const struct wishes *wishes, int64_t date)
{
    return !as_of_wished(wishes) || date < wishes->as_of + SECONDS_PER_DAY;
}

/* The last moment of the day, unless the bar that holds it goes on beyond. */
static int64_t last_of(struct session *session, struct interval interval, int64_t as_of)
{
    bool dated = interval_is_dated(interval);
    int64_t end = session_begins(session, day_of_time(as_of) + 1);
    int64_t moment = dated ? as_of : end - 1;
    if (interval.unit == INTERVAL_NONE)
        return moment;
    struct bucket bucket = session_bucket(session, interval, moment, dated);
    return bucket.end <= end ? moment : bucket.start - 1;
}

int as_of_last(const struct wishes *wishes, const struct instrument *instrument,
               struct interval interval, int64_t *last, struct error *error)
{
    struct session session;
    *last = INT64_MAX;
    if (!as_of_wished(wishes))
        return ERROR_NONE;
    int code = session_open(&session, instrument, error);
    if (code == ERROR_NONE)
        *last = last_of(&session, interval, wishes->as_of);
    session_close(&session);
    return code;
}

int as_of_cut(const struct wishes *wishes, const struct instrument *instrument, struct bars *bars,
              struct error *error)
{
    struct bars part;
    int64_t last = INT64_MAX;
    int code = as_of_last(wishes, instrument, bars->interval, &last, error);
    size_t end = last < INT64_MAX ? bars_find(bars, last + 1) : bars->count;
    if (code != ERROR_NONE || end == bars->count)
        return code;
    code = bars_slice(&part, bars, 0, end, error);
    if (code != ERROR_NONE)
        return code;
    bars_free(bars);
    *bars = part;
    return ERROR_NONE;
}

int as_of_stored(const struct wishes *wishes, struct book *book,
                 const struct instrument *instrument, struct stored_series *series, size_t *count,
                 struct error *error)
{
    size_t kept = 0;
    int code = ERROR_NONE;
    if (!as_of_wished(wishes))
        return ERROR_NONE;
    for (size_t i = 0; code == ERROR_NONE && i < *count; i++) {
        int64_t last = INT64_MAX;
        code = as_of_last(wishes, instrument, series[i].interval, &last, error);
        if (code == ERROR_NONE)
            code = bars_store_up_to(book, &series[i], last, error);
        if (code == ERROR_NONE && series[i].count > 0)
            series[kept++] = series[i];
    }
    *count = kept;
    return code;
}

void as_of_instrument(const struct wishes *wishes, struct instrument *instrument)
{
    if (!instrument->last_known || as_of_dated(wishes, instrument->last_date))
        return;
    instrument->last_known = false;
    instrument->last_date = 0;
    instrument->ended_why[0] = '\0';
}

/* --- lists --------------------------------------------------------------------------- */

/* Days that an end of a day can lie apart from that of UTC, and more. */
enum { APART = 3 * SECONDS_PER_DAY };

/* Whether an instrument was on a list at the end of its day. Its zone is looked up only
 * where that tells. */
static int was_member(const struct wishes *wishes, struct book *book, const struct membership *one,
                      bool *was, struct error *error)
{
    struct instrument instrument;
    int64_t first = wishes->as_of - APART;
    int64_t last = wishes->as_of + APART;
    int64_t end = last;
    int code = ERROR_NONE;
    if ((one->added >= first && one->added <= last) ||
        (one->removed >= first && one->removed <= last)) {
        code = instrument_store_need(book, one->instrument, &instrument, error);
        if (code == ERROR_NONE)
            code = as_of_end(wishes, &instrument, &end, error);
    }
    *was = one->added < end && one->removed >= end;
    return code;
}

int as_of_members(const struct wishes *wishes, struct book *book, const char *list, char ***names,
                  size_t *count, bool *found, struct error *error)
{
    struct membership *memberships = NULL;
    size_t all = 0;
    size_t room = 0;
    if (!as_of_wished(wishes))
        return list_store_members(book, list, names, count, found, error);
    *names = NULL;
    *count = 0;
    int code = list_store_history(book, list, &memberships, &all, error);
    for (size_t i = 0; i < all && code == ERROR_NONE; i++) {
        bool was = false;
        code = was_member(wishes, book, &memberships[i], &was, error);
        if (code == ERROR_NONE && was &&
            !strings_add(names, count, &room, memberships[i].instrument))
            code = error_memory(error);
    }
    free(memberships);
    *found = *count > 0;
    return code;
}

static void find_place(char *const *names, size_t count, const char *name, struct place *place)
{
    *place = (struct place){.at = -1, .count = (int64_t)count};
    for (size_t i = 0; i < count; i++)
        if (strcmp(names[i], name) == 0)
            place->at = (int64_t)i;
    if (place->at > 0)
        snprintf(place->before, sizeof place->before, "%s", names[place->at - 1]);
    if (place->at + 1 < place->count)
        snprintf(place->after, sizeof place->after, "%s", names[place->at + 1]);
}

int as_of_place(const struct wishes *wishes, struct book *book, const char *list, const char *name,
                struct place *place, struct error *error)
{
    char **names = NULL;
    size_t count = 0;
    bool found = false;
    if (!as_of_wished(wishes) || list == NULL)
        return place_store_read(book, list, name, place, error);
    int code = as_of_members(wishes, book, list, &names, &count, &found, error);
    find_place(names, count, name, place);
    for (size_t i = 0; i < count; i++)
        free(names[i]);
    free(names);
    return code;
}

int as_of_is_on(const struct wishes *wishes, struct book *book, const char *list, const char *name,
                bool *on, struct error *error)
{
    struct place place;
    if (!as_of_wished(wishes))
        return place_store_is_on(book, list, name, on, error);
    int code = as_of_place(wishes, book, list, name, &place, error);
    *on = place.at >= 0;
    return code;
}

static int count_member(struct list_row **lists, size_t *count, size_t *room, const char *list,
                        struct error *error)
{
    if (*count == 0 || strcmp((*lists)[*count - 1].name, list) != 0) {
        struct list_row *grown = array_reserve(*lists, room, *count + 1, sizeof *grown);
        if (grown == NULL)
            return error_memory(error);
        *lists = grown;
        grown[*count] = (struct list_row){.members = 0};
        snprintf(grown[*count].name, sizeof grown->name, "%s", list);
        ++*count;
    }
    (*lists)[*count - 1].members++;
    return ERROR_NONE;
}

int as_of_lists(const struct wishes *wishes, struct book *book, struct list_row **lists,
                size_t *count, struct error *error)
{
    struct membership *memberships = NULL;
    size_t all = 0;
    size_t room = 0;
    if (!as_of_wished(wishes))
        return list_store_all(book, lists, count, error);
    *lists = NULL;
    *count = 0;
    int code = list_store_history(book, NULL, &memberships, &all, error);
    for (size_t i = 0; i < all && code == ERROR_NONE; i++) {
        bool was = false;
        code = was_member(wishes, book, &memberships[i], &was, error);
        if (code == ERROR_NONE && was)
            code = count_member(lists, count, &room, memberships[i].list, error);
    }
    free(memberships);
    return code;
}
