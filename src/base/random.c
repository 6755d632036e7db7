#define _DEFAULT_SOURCE /* M_PI */
#include "base/random.h"

#include <math.h>

__extension__ typedef unsigned __int128 uint128;

static uint64_t splitmix(uint64_t *state)
{
    uint64_t z = (*state += 0x9e3779b97f4a7c15U);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9U;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebU;
    return z ^ (z >> 31);
}

void random_start(struct random_stream *stream, uint64_t seed, uint64_t task)
{
    uint64_t state = seed;
    uint64_t mixed = splitmix(&state) ^ task;
    mixed = splitmix(&mixed);
    for (int i = 0; i < 4; i++)
        stream->state[i] = splitmix(&mixed);
}

static uint64_t rotate(uint64_t x, int k)
{
    return (x << k) | (x >> (64 - k));
}

uint64_t random_bits(struct random_stream *stream)
{
    uint64_t *s = stream->state;
    uint64_t result = rotate(s[0] + s[3], 23) + s[0];
    uint64_t t = s[1] << 17;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= t;
    s[3] = rotate(s[3], 45);
    return result;
}

uint64_t random_below(struct random_stream *stream, uint64_t below)
{
    uint128 product = (uint128)random_bits(stream) * below;
    if ((uint64_t)product < below) {
        uint64_t least = -below % below;
        while ((uint64_t)product < least)
            product = (uint128)random_bits(stream) * below;
    }
    return (uint64_t)(product >> 64);
}

double random_unit(struct random_stream *stream)
{
    return (double)(random_bits(stream) >> 11) * 0x1p-53;
}

double random_normal(struct random_stream *stream)
{
    double radius = sqrt(-2 * log(1 - random_unit(stream)));
    return radius * cos(2 * M_PI * random_unit(stream));
}
