/* The program as one call while allocations fail, for the tests that are linked
 * with allocation.c. */
#ifndef RUSHLIGHT_TESTS_COMMAND_RUN_H
#define RUSHLIGHT_TESTS_COMMAND_RUN_H

#include "allocation.h"

enum { PRINTED_ROOM = 4 << 20, MOST_WORDS = 16 };

/* What one run printed, in memory that is there from the start. */
struct printed {
    char out[PRINTED_ROOM];
    char messages[PRINTED_ROOM];
    int status;
};

/* Runs `rushlight` with up to MOST_WORDS words, ended by NULL, on one thread;
 * the nth allocation fails, none for 0. */
struct allocation_report run_command(struct printed *printed, const char *const *words, long nth,
                                     enum allocation_failure how);

/* Sets up an empty data folder, where the book is, and removes it again: for
 * cmocka, 0 where all is well. */
int own_folder(void **state);
int remove_folder(void **state);

#endif
