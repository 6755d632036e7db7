/* A file system for SQLite that lives in memory and can lose its power.
 *
 * What was written and not yet synced may, after a power cut, be there, be
 * missing, or be there in part (whole sectors of 512 bytes), write by write and
 * in any order. What a write does not touch stays as it is, which SQLite takes
 * for granted of ordinary disks, too (https://www.sqlite.org/psow.html). Making
 * and deleting files is taken to be lasting at once. */
#ifndef RUSHLIGHT_TESTS_POWER_VFS_H
#define RUSHLIGHT_TESTS_POWER_VFS_H

#include <stdbool.h>
#include <stdint.h>

enum power_trouble {
    POWER_GOOD,
    POWER_CUT,       /* from the n-th write or sync on nothing works any more */
    POWER_FULL_ONCE, /* the n-th write or sync fails, and none after it */
    POWER_FULL       /* every write and sync from the n-th on fails */
};

/* Makes it the file system of every book opened from now on. */
void power_vfs_begin(void);
/* Forgets all files. */
void power_vfs_clear(void);
/* What is to happen; counts writes, truncations and syncs from 1. */
void power_vfs_arm(enum power_trouble trouble, long nth);
/* Writes, truncations and syncs since it was armed. */
long power_vfs_count(void);
/* After a cut: what lasts is drawn by the seed, and everything works again. All
 * books have to be closed. */
void power_vfs_restore(uint64_t seed);

#endif
