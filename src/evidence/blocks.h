/* Blocks of dates drawn with replacement: the stationary bootstrap (Politis &
 * Romano 1994). Block starts are uniform on the circle of dates, lengths are
 * geometric with the given mean, and the last block is cut so that every
 * replicate has as many dates as there are. Replicate r of a seed is drawn
 * from a stream of its own, so the result does not depend on threads. */
#ifndef RUSHLIGHT_EVIDENCE_BLOCKS_H
#define RUSHLIGHT_EVIDENCE_BLOCKS_H

#include "base/random.h"

#include <stdbool.h>
#include <stddef.h>

struct block {
    size_t start;
    size_t length; /* may go round the end of the circle */
};

/* The law of the lengths, made once for all replicates. */
enum { LAW_LENGTHS = 512, LAW_GUIDES = 256 };
struct block_law {
    double log_keep;            /* log(1 - 1/L) */
    double up_to[LAW_LENGTHS];  /* chance of a length of at most k + 1 */
    uint16_t guide[LAW_GUIDES]; /* the first k to look at for each 256th of the chances */
};

/* For a mean length >= 1. */
void block_law_init(struct block_law *law, double mean_length);

struct block_draw {
    struct random_stream stream;
    size_t date_count;
    size_t left; /* dates still to fill */
    const struct block_law *law;
};

/* Starts replicate number `replicate` for `date_count` > 0 dates; the law is
 * borrowed. */
void blocks_start(struct block_draw *draw, uint64_t seed, size_t replicate, size_t date_count,
                  const struct block_law *law);
/* The next block; false when the replicate is full. */
bool blocks_next(struct block_draw *draw, struct block *block);

/* Sum over a block, from running sums with running[0] = 0 and
 * running[d + 1] = sum of the first d + 1 dates. */
double block_sum(const double *running, size_t date_count, struct block block);
/* Fills running (count + 1 places) from values. */
void running_sums(double *running, const double *values, size_t count);

#endif
