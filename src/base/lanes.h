/* Vector code chosen at run time.
 *
 * A function marked LANES is compiled for wide vectors too, and the right
 * version is picked when the program starts. Every lane does what the scalar
 * code does, in its order, and nothing is contracted: the bytes are the same.
 * The build leaves it out under sanitizers, whose start-up comes too late for
 * that choice, and for compilers that do not know it. */
#ifndef RUSHLIGHT_BASE_LANES_H
#define RUSHLIGHT_BASE_LANES_H

#ifdef RUSHLIGHT_LANES
#define LANES __attribute__((target_clones("avx2", "default"), optimize("O3", "no-predictive-commoning")))
#else
#define LANES
#endif

#endif
