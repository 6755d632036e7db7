/* Another instrument's bars beside a sheet: for each bar of the sheet the last
 * bar of the other that had closed by then. */
#ifndef RUSHLIGHT_MEASURES_BESIDE_H
#define RUSHLIGHT_MEASURES_BESIDE_H

#include "measures/sheet.h"

struct beside {
    struct sheet *sheet; /* of the other instrument, as on its chart */
    size_t *closed;      /* index of that bar, or SIZE_MAX where none had closed */
};

/* Kept with `sheet`, which is a plain one, made once. Bars and instrument are
 * the caller's and must outlive it; several sheets may share them. NULL without
 * memory, which fails the sheet. */
const struct beside *sheet_beside(struct sheet *sheet, const struct bars *bars,
                                  const struct instrument *instrument);

#endif
