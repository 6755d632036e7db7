#include "prices/csv_names.h"

#include "market/wall_clock.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

/* Words as dictionaries of the five languages and handbooks of the trade have
 * them, as csv_name_fold writes them. An umlaut may be spelled with an e. */
static const struct {
    enum csv_role role;
    const char *words; /* with spaces between */
} names[] = {
    {CSV_TIME, "date datetime dateandtime timestamp day tradedate tradingday unixtime epoch"},
    {CSV_TIME, "datum datumuhrzeit datumundzeit datumunduhrzeit tag handelstag zeitpunkt"},
    {CSV_TIME, "dateheure dateetheure jour jourdebourse horodatage"},
    {CSV_TIME, "fecha fechahora fechayhora dia"},
    {CSV_TIME, "data dataora dataeora giorno"},
    {CSV_CLOCK, "time clock timeofday hour zeit uhrzeit heure hora ora orario"},
    {CSV_ZONE, "zone timezone tz zeitzone fuseau fuseauhoraire zonahoraria husohorario"},
    {CSV_ZONE, "fuso fusoorario"},
    {CSV_OPEN, "open opening openprice openingprice first o"},
    {CSV_OPEN, "eroffnung eroeffnung eroffnungskurs eroeffnungskurs"},
    {CSV_OPEN, "ouverture coursdouverture apertura preciodeapertura prezzodiapertura"},
    {CSV_HIGH, "high highest highprice max maximum h"},
    {CSV_HIGH, "hoch hochst hoechst hochster hoechster hochstkurs hoechstkurs tageshoch"},
    {CSV_HIGH, "haut plushaut coursleplushaut maximo alto massimo"},
    {CSV_LOW, "low lowest lowprice min minimum l"},
    {CSV_LOW, "tief tiefst tiefster tiefstkurs tagestief"},
    {CSV_LOW, "bas plusbas coursleplusbas minimo bajo basso"},
    {CSV_CLOSE, "close closing closeprice closingprice last lastprice settle settlement c"},
    {CSV_CLOSE, "schluss schlusskurs letzter cloture coursdecloture dernier derniercours"},
    {CSV_CLOSE, "cierre preciodecierre chiusura prezzodichiusura ultimo"},
    {CSV_VOLUME, "volume vol v tickvolume shares size quantity"},
    {CSV_VOLUME, "volumen umsatz menge quantite cantidad volumi quantita"},
    {CSV_PRICE, "price rate value trade mid bid kurs preis prix cours precio prezzo"},
};

static const char *const role_words[CSV_ROLE_COUNT] =
    {[CSV_TIME] = "time",   [CSV_CLOCK] = "clock",   [CSV_ZONE] = "zone",
     [CSV_OPEN] = "open",   [CSV_HIGH] = "high",     [CSV_LOW] = "low",
     [CSV_CLOSE] = "close", [CSV_VOLUME] = "volume", [CSV_PRICE] = "price"};

const char *csv_role_word(enum csv_role role)
{
    return role_words[role];
}

enum csv_role csv_role_find(const char *word, size_t length)
{
    for (int role = CSV_TIME; role < CSV_ROLE_COUNT; role++)
        if (strlen(role_words[role]) == length && memcmp(word, role_words[role], length) == 0)
            return (enum csv_role)role;
    return CSV_OTHER;
}

/* The letters of U+00C0 to U+00FF without what stands on them (Unicode's table
 * Latin-1 Supplement); ß, æ, ø, þ as they are written where they are missing. */
static const char *const plain_letters[64] = {
    "a", "a", "a", "a", "a", "a", "ae", "c", "e", "e", "e", "e", "i", "i", "i",  "i",
    "d", "n", "o", "o", "o", "o", "o",  "",  "o", "u", "u", "u", "u", "y", "th", "ss",
    "a", "a", "a", "a", "a", "a", "ae", "c", "e", "e", "e", "e", "i", "i", "i",  "i",
    "d", "n", "o", "o", "o", "o", "o",  "",  "o", "u", "u", "u", "u", "y", "th", "y",
};

/* The character at bytes[*at], which is moved behind it. What is no UTF-8 of two
 * bytes stands for itself, as in Latin-1. */
static unsigned next_character(struct csv_field field, size_t *at)
{
    unsigned first = (unsigned char)field.bytes[(*at)++];
    if (first < 0xc2 || first > 0xdf || *at == field.length)
        return first;
    unsigned second = (unsigned char)field.bytes[*at];
    if ((second & 0xc0) != 0x80)
        return first;
    ++*at;
    return (first & 0x1f) << 6 | (second & 0x3f);
}

size_t csv_name_fold(struct csv_field field, char folded[CSV_NAME_SIZE])
{
    size_t used = 0;
    for (size_t at = 0; at < field.length;) {
        unsigned c = next_character(field, &at);
        char single[2] = {0};
        const char *letters = single;
        if (c >= 'A' && c <= 'Z')
            single[0] = (char)(c | 0x20);
        else if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9'))
            single[0] = (char)c;
        else if (c >= 0xc0 && c <= 0xff)
            letters = plain_letters[c - 0xc0];
        for (; *letters != '\0' && used < CSV_NAME_SIZE - 1; letters++)
            folded[used++] = *letters;
    }
    folded[used] = '\0';
    return used;
}

static enum csv_role role_of_name(const char *folded)
{
    size_t length = strlen(folded);
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
        for (const char *word = names[i].words; *word != '\0';) {
            size_t size = strcspn(word, " ");
            if (size == length && memcmp(word, folded, size) == 0)
                return names[i].role;
            word += size + strspn(word + size, " ");
        }
    return CSV_OTHER;
}

static bool stands_in_zone(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
           (c != '\0' && strchr("/_+-:", c) != NULL);
}

/* UTC and GMT, an offset with or without them in front, an IANA name with its
 * stroke. Short names such as EST mean several zones and are none here. */
static bool read_zone(const char *word, size_t length, char zone[CSV_ZONE_SIZE])
{
    struct wall_clock clock;
    struct error ignored;
    char text[CSV_ZONE_SIZE];
    if (length >= sizeof text)
        return false;
    memcpy(text, word, length);
    text[length] = '\0';
    bool universal = strncasecmp(text, "utc", 3) == 0 || strncasecmp(text, "gmt", 3) == 0;
    const char *rest = universal ? text + 3 : text;
    bool offset = rest[0] == '+' || rest[0] == '-';
    bool named = !universal && strchr(text, '/') != NULL;
    if (!offset && !named && !(universal && rest[0] == '\0'))
        return false;
    int code = wall_clock_open(&clock, rest, &ignored);
    wall_clock_close(&clock);
    if (code != ERROR_NONE)
        return false;
    snprintf(zone, CSV_ZONE_SIZE, "%s", rest[0] != '\0' ? rest : "UTC");
    return true;
}

/* Takes the words that are a zone out of the cell; false where there is none. */
static bool take_zone(struct csv_field field, char rest[CSV_NAME_SIZE], char zone[CSV_ZONE_SIZE])
{
    char left[4 * CSV_NAME_SIZE];
    size_t used = 0;
    bool found = false;
    for (size_t at = 0; at < field.length && used < sizeof left;) {
        size_t end = at;
        while (end < field.length && stands_in_zone(field.bytes[end]))
            end++;
        if (end > at && !found && read_zone(field.bytes + at, end - at, zone)) {
            found = true;
        } else {
            end += end == at;
            for (; at < end && used < sizeof left; at++)
                left[used++] = field.bytes[at];
        }
        at = end;
    }
    csv_name_fold((struct csv_field){left, used}, rest);
    return found;
}

enum csv_role csv_name_role(struct csv_field field, char zone[CSV_ZONE_SIZE])
{
    char folded[CSV_NAME_SIZE];
    zone[0] = '\0';
    if (csv_name_fold(field, folded) == 0)
        return CSV_OTHER;
    enum csv_role role = role_of_name(folded);
    if (role != CSV_OTHER)
        return role;
    if (take_zone(field, folded, zone)) {
        role = folded[0] == '\0' ? CSV_TIME : role_of_name(folded);
        if (role == CSV_TIME || role == CSV_CLOCK)
            return role;
    }
    zone[0] = '\0';
    return CSV_OTHER;
}

void csv_name_zone(struct csv_field field, char zone[CSV_ZONE_SIZE])
{
    char rest[CSV_NAME_SIZE];
    zone[0] = '\0';
    take_zone(field, rest, zone);
}
