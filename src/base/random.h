/* Random numbers that a seed repeats on any machine and any number of threads.
 *
 * A stream belongs to a task (an instrument, a replicate), never to a thread:
 * its start is computed from the seed and the task's number. The generator is
 * xoshiro256++ 1.0 seeded by splitmix64 (Blackman & Vigna 2019, ACM Trans.
 * Math. Softw. 47, 36; reference code in the public domain). */
#ifndef RUSHLIGHT_BASE_RANDOM_H
#define RUSHLIGHT_BASE_RANDOM_H

#include <stddef.h>
#include <stdint.h>

struct random_stream {
    uint64_t state[4];
};

/* The stream number `task` of `seed`; different pairs give unrelated streams. */
void random_start(struct random_stream *stream, uint64_t seed, uint64_t task);
/* 64 random bits. */
uint64_t random_bits(struct random_stream *stream);
/* Uniform on 0 .. below-1 without bias (Lemire 2019); below > 0. */
uint64_t random_below(struct random_stream *stream, uint64_t below);
/* Uniform on [0, 1), 53 bits. */
double random_unit(struct random_stream *stream);
/* Standard normal (Box & Muller 1958, one of the pair). */
double random_normal(struct random_stream *stream);

#endif
