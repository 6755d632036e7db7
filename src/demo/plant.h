/* The planted effect: after a low inverted hammer the planted instruments of
 * the demo market rise for some days more than chance would have it.
 *
 * This reads the situation by itself, from the definitions of docs/method.md,
 * and not with the engine, so that the engine finding the effect again is no
 * circle. */
#ifndef RUSHLIGHT_DEMO_PLANT_H
#define RUSHLIGHT_DEMO_PLANT_H

#include "market/bars.h"

#include <stdbool.h>

/* Days for which the effect lasts, and its size in standard deviations of a
 * day's move, for each day. */
enum { PLANT_DAYS = 10 };
#define PLANT_DRIFT 0.50

/* True where the last bar is an inverted hammer (upper shadow >= 2 bodies,
 * lower <= 0.10 and body <= 0.34 of the range, range >= 0.5 ATR before) at the
 * lowest low of 10 bars after a fall (slope of the 10 closes before times 9
 * <= -1 ATR before). `atr_before` is the ATR(14) of the bar before the last. */
bool plant_situation(const struct bars *bars, double atr_before);

/* The next value of ATR(14) by Wilder's mean, given the one before (NaN until
 * there are 14 bars); call it for every bar in turn. */
double plant_atr_next(const struct bars *bars, double atr_before);

#endif
