#include "evidence/blocks.h"

#include <math.h>

void block_law_init(struct block_law *law, double mean_length)
{
    law->log_keep = log1p(-1 / mean_length);
    size_t k = 0;
    for (size_t i = 0; i < LAW_LENGTHS; i++)
        law->up_to[i] = -expm1((double)(i + 1) * law->log_keep);
    for (size_t i = 0; i < LAW_GUIDES; i++) {
        while (k < LAW_LENGTHS && law->up_to[k] <= (double)i / LAW_GUIDES)
            k++;
        law->guide[i] = (uint16_t)k;
    }
}

/* The length at a chance: the law turned round. Most are found in the table,
 * without a logarithm for each. */
static double length_at(const struct block_law *law, double chance)
{
    size_t k = law->guide[(size_t)(chance * LAW_GUIDES)];
    while (k < LAW_LENGTHS && chance >= law->up_to[k])
        k++;
    return k < LAW_LENGTHS ? (double)(k + 1) : 1 + floor(log1p(-chance) / law->log_keep);
}

void blocks_start(struct block_draw *draw, uint64_t seed, size_t replicate, size_t date_count,
                  const struct block_law *law)
{
    random_start(&draw->stream, seed, replicate);
    draw->date_count = date_count;
    draw->left = date_count;
    draw->law = law;
}

bool blocks_next(struct block_draw *draw, struct block *block)
{
    if (draw->left == 0)
        return false;
    block->start = random_below(&draw->stream, draw->date_count);
    block->length = 1;
    if (isfinite(draw->law->log_keep)) {
        double length = length_at(draw->law, random_unit(&draw->stream));
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
