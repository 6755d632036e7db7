/* Bars for benchmarks, and the clock. */
#ifndef RUSHLIGHT_BENCH_RANDOM_BARS_H
#define RUSHLIGHT_BENCH_RANDOM_BARS_H

#include "market/bars.h"

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

/* Seconds of a clock that only goes forward. */
double seconds(void);
/* Prints the message and ends the process with 4. */
void die(const char *what) __attribute__((noreturn));
/* A walk with gaps, in ticks of 0.01; the caller frees it. */
void make_bars(struct bars *bars, size_t count, uint64_t task);

#endif
