#include "evidence/blocks.h"

#include <math.h>

void blocks_start(struct block_draw *draw, uint64_t seed, size_t replicate, size_t date_count,
                  double mean_length)
{
    random_start(&draw->stream, seed, replicate);
    draw->date_count = date_count;
    draw->left = date_count;
    draw->log_keep = log1p(-1 / mean_length);
}

bool blocks_next(struct block_draw *draw, struct block *block)
{
    if (draw->left == 0)
        return false;
    block->start = random_below(&draw->stream, draw->date_count);
    block->length = 1;
    if (isfinite(draw->log_keep)) {
        double length = 1 + floor(log1p(-random_unit(&draw->stream)) / draw->log_keep);
        block->length = length < (double)draw->left ? (size_t)length : draw->left;
    }
    draw->left -= block->length;
    return true;
}

double block_sum(const double *running, size_t date_count, struct block block)
{
    size_t end = block.start + block.length;
    if (end <= date_count)
        return running[end] - running[block.start];
    return running[date_count] - running[block.start] + running[end - date_count];
}

void running_sums(double *running, const double *values, size_t count)
{
    running[0] = 0;
    for (size_t d = 0; d < count; d++)
        running[d + 1] = running[d] + values[d];
}
