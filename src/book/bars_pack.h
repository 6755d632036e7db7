/* Bars as bytes, small and exact, for the chunks of the book.
 *
 * A version byte, then the six columns: time, open, high, low, close, volume.
 * Each has a header of 12 bytes: how (0 raw doubles, 1 whole numbers, 2 all
 * NaN), decimal digits, bytes a value, a zero, then the base (int64). Whole
 * numbers are unsigned, `bytes` wide (0, 1, 2, 4 or 8), counted from the base
 * in units of 10^-digits; for the time `digits` says the unit: 0 a second, 1 a
 * minute, 2 a day. All little-endian. A column is packed only where every value
 * comes back bit for bit (a negative zero as zero). */
#ifndef RUSHLIGHT_BOOK_BARS_PACK_H
#define RUSHLIGHT_BOOK_BARS_PACK_H

#include "market/bars.h"

/* Bars of a chunk at most, and room for as many packed. */
enum { PACK_MOST = 1024, PACK_ROOM = 1 + 6 * (12 + 8 * PACK_MOST) };

/* Packs bars first .. first+count-1 (1 <= count <= PACK_MOST) into `bytes`;
 * returns the length. */
size_t bars_pack(const struct bars *bars, size_t first, size_t count,
                 unsigned char bytes[PACK_ROOM]);

/* Appends the `count` packed bars. ERROR_INPUT where the bytes are no such
 * thing (a damaged book). */
int bars_unpack(struct bars *bars, const unsigned char *bytes, size_t length, size_t count,
                struct error *error);

#endif
