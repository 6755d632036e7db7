#include "book/bars_pack.h"

#include "base/lanes.h"

#include <math.h>
#include <string.h>

_Static_assert(__BYTE_ORDER__ == __ORDER_LITTLE_ENDIAN__, "packed columns are copied as they are");

enum { VERSION = 1, HEADER = 12, MOST_DIGITS = 9 };
enum { HOW_RAW, HOW_WHOLE, HOW_NAN };

static const double powers[MOST_DIGITS + 1] = {1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9};
static const int64_t time_units[] = {1, 60, 86400};

struct header {
    unsigned char how;
    unsigned char digits;
    unsigned char width;
    int64_t base;
};

static unsigned char *put_header(unsigned char *at, struct header header)
{
    at[0] = header.how;
    at[1] = header.digits;
    at[2] = header.width;
    at[3] = 0;
    memcpy(at + 4, &header.base, sizeof header.base);
    return at + HEADER;
}

static unsigned char width_of(uint64_t largest)
{
    return largest == 0            ? 0
           : largest < 256         ? 1
           : largest < 65536       ? 2
           : largest <= UINT32_MAX ? 4
                                   : 8;
}

static unsigned char *put_whole(unsigned char *at, const int64_t *whole, size_t count, int digits)
{
    int64_t least = whole[0];
    int64_t most = whole[0];
    for (size_t i = 1; i < count; i++) {
        least = whole[i] < least ? whole[i] : least;
        most = whole[i] > most ? whole[i] : most;
    }
    unsigned char width = width_of((uint64_t)most - (uint64_t)least);
    at = put_header(at, (struct header){HOW_WHOLE, (unsigned char)digits, width, least});
    for (size_t i = 0; i < count && width == 1; i++)
        at[i] = (unsigned char)(whole[i] - least);
    for (size_t i = 0; i < count && width == 2; i++) {
        uint16_t value = (uint16_t)(whole[i] - least);
        memcpy(at + 2 * i, &value, sizeof value);
    }
    for (size_t i = 0; i < count && width == 4; i++) {
        uint32_t value = (uint32_t)(whole[i] - least);
        memcpy(at + 4 * i, &value, sizeof value);
    }
    for (size_t i = 0; i < count && width == 8; i++) {
        uint64_t value = (uint64_t)whole[i] - (uint64_t)least;
        memcpy(at + 8 * i, &value, sizeof value);
    }
    return at + (size_t)width * count;
}

/* All values as whole numbers of 10^-digits; false unless each comes back. */
static bool scale(const double *values, size_t count, int digits, int64_t *whole)
{
    double power = powers[digits];
    int wrong = 0;
    for (size_t i = 0; i < count; i++) {
        double scaled = values[i] * power;
        bool small = fabs(scaled) < 4e15;
        whole[i] = small ? (int64_t)(scaled + copysign(0.5, scaled)) : 0;
        wrong |= !small || (double)whole[i] / power != values[i];
    }
    return !wrong;
}

static unsigned char *put_numbers(unsigned char *at, const double *values, size_t count,
                                  int *digits)
{
    int64_t whole[PACK_MOST];
    size_t nans = 0;
    for (size_t i = 0; i < count; i++)
        nans += isnan(values[i]) ? 1 : 0;
    if (nans == count)
        return put_header(at, (struct header){HOW_NAN, 0, 0, 0});
    /* Starts from the digits of the column before: they are mostly the same. */
    for (int d = nans > 0 ? MOST_DIGITS + 1 : *digits; d <= MOST_DIGITS; d++) {
        if (!scale(values, count, d, whole))
            continue;
        *digits = d;
        return put_whole(at, whole, count, d);
    }
    at = put_header(at, (struct header){HOW_RAW, 0, 8, 0});
    memcpy(at, values, count * sizeof *values);
    return at + count * sizeof *values;
}

static unsigned char *put_times(unsigned char *at, const int64_t *times, size_t count)
{
    int64_t whole[PACK_MOST];
    int unit = 2;
    for (size_t i = 0; i < count; i++)
        while (unit > 0 && times[i] % time_units[unit] != 0)
            unit--;
    for (size_t i = 0; i < count; i++)
        whole[i] = times[i] / time_units[unit];
    return put_whole(at, whole, count, unit);
}

size_t bars_pack(const struct bars *bars, size_t first, size_t count,
                 unsigned char bytes[PACK_ROOM])
{
    const double *columns[] = {bars->open, bars->high, bars->low, bars->close};
    unsigned char *at = bytes;
    int digits = 0;
    int volume_digits = 0;
    *at++ = VERSION;
    at = put_times(at, bars->time + first, count);
    for (int c = 0; c < 4; c++)
        at = put_numbers(at, columns[c] + first, count, &digits);
    at = put_numbers(at, bars->volume + first, count, &volume_digits);
    return (size_t)(at - bytes);
}

static inline uint64_t whole_at(const unsigned char *at, size_t i, unsigned char width)
{
    uint64_t value = 0;
    memcpy(&value, at + i * width, width);
    return value;
}

/* Takes a column's header and the room of its values off the bytes. */
static const unsigned char *take_column(const unsigned char **bytes, size_t *length, size_t count,
                                        struct header *header)
{
    if (*length < HEADER)
        return NULL;
    const unsigned char *at = *bytes;
    *header = (struct header){.how = at[0], .digits = at[1], .width = at[2]};
    memcpy(&header->base, at + 4, sizeof header->base);
    bool fits = header->width <= 8 && (header->width & (header->width - 1)) == 0;
    if (!fits || header->how > HOW_NAN || header->digits > MOST_DIGITS ||
        (header->how == HOW_RAW && header->width != 8) || *length - HEADER < header->width * count)
        return NULL;
    *bytes += HEADER + header->width * count;
    *length -= HEADER + header->width * count;
    return at + HEADER;
}

/* The whole numbers of a column, one loop a width. A base and a value that are
 * both below 2^52 add up as doubles without a digit lost, which vectors do; the
 * rest goes through whole numbers. */
#define WHOLE_LOOP(type)                                                                           \
    for (size_t i = 0; i < count; i++) {                                                           \
        type value;                                                                                \
        memcpy(&value, at + i * sizeof value, sizeof value);                                       \
        values[i] = (base + (double)value) / power;                                                \
    }

LANES static void get_bytes(double *restrict values, const unsigned char *restrict at, size_t count,
                            double base, double power){WHOLE_LOOP(uint8_t)}

LANES static void get_halves(double *restrict values, const unsigned char *restrict at,
                             size_t count, double base, double power){WHOLE_LOOP(uint16_t)}

LANES static void get_words(double *restrict values, const unsigned char *restrict at, size_t count,
                            double base, double power)
{
    WHOLE_LOOP(uint32_t)
}

static void get_wide(double *values, const unsigned char *at, size_t count, struct header header)
{
    double power = powers[header.digits];
    for (size_t i = 0; i < count; i++)
        values[i] = (double)(int64_t)((uint64_t)header.base + whole_at(at, i, header.width)) /
                    power;
}

static void get_numbers(double *values, const unsigned char *at, size_t count, struct header header)
{
    static const int64_t exact = INT64_C(1) << 52;
    double power = powers[header.digits];
    double base = (double)header.base;
    bool small = header.base < exact && header.base > -exact;
    if (header.how == HOW_RAW) {
        memcpy(values, at, count * sizeof *values);
    } else if (header.how == HOW_NAN || (small && header.width == 0)) {
        for (size_t i = 0; i < count; i++)
            values[i] = header.how == HOW_NAN ? NAN : base / power;
    } else if (small && header.width == 1) {
        get_bytes(values, at, count, base, power);
    } else if (small && header.width == 2) {
        get_halves(values, at, count, base, power);
    } else if (small && header.width == 4) {
        get_words(values, at, count, base, power);
    } else {
        get_wide(values, at, count, header);
    }
}

/* Times count from the base in their unit. */
static void get_times(int64_t *times, const unsigned char *at, size_t count, struct header header)
{
    uint64_t base = (uint64_t)header.base;
    uint64_t unit = (uint64_t)time_units[header.digits];
    if (header.width == 2)
        for (size_t i = 0; i < count; i++)
            times[i] = (int64_t)((base + whole_at(at, i, 2)) * unit);
    else if (header.width == 4)
        for (size_t i = 0; i < count; i++)
            times[i] = (int64_t)((base + whole_at(at, i, 4)) * unit);
    else
        for (size_t i = 0; i < count; i++)
            times[i] = (int64_t)((base + whole_at(at, i, header.width)) * unit);
}

int bars_unpack(struct bars *bars, const unsigned char *bytes, size_t length, size_t count,
                struct error *error)
{
    struct header header;
    size_t start = bars->count;
    int code = bars_reserve(bars, start + count, error);
    if (code != ERROR_NONE)
        return code;
    if (length < 1 || bytes[0] != VERSION || count == 0 || count > PACK_MOST)
        return error_set(error, ERROR_INPUT, "stored bars are damaged");
    bytes++;
    length--;
    const unsigned char *at = take_column(&bytes, &length, count, &header);
    if (at == NULL || header.how != HOW_WHOLE || header.digits > 2)
        return error_set(error, ERROR_INPUT, "stored bars are damaged");
    get_times(bars->time + start, at, count, header);
    double *columns[] = {bars->open, bars->high, bars->low, bars->close, bars->volume};
    for (int c = 0; c < 5; c++) {
        at = take_column(&bytes, &length, count, &header);
        if (at == NULL)
            return error_set(error, ERROR_INPUT, "stored bars are damaged");
        get_numbers(columns[c] + start, at, count, header);
    }
    bars->count += count;
    return ERROR_NONE;
}
