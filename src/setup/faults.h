/* The faults of a setup file: all that a reader could find in one go. */
#ifndef RUSHLIGHT_SETUP_FAULTS_H
#define RUSHLIGHT_SETUP_FAULTS_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>

struct setup;

enum {
    SETUP_FAULTS = 50,        /* that are handed out */
    SETUP_FAULTS_FOUND = 1000 /* that are looked at for that; more are only counted */
};

struct setup_fault {
    size_t line; /* 0: of the file as a whole */
    size_t column;
    struct error error; /* one line, with file, line, column and key */
};

/* By line and column. */
struct setup_faults {
    struct setup_fault *list;
    size_t count;
    size_t room;
    size_t beyond; /* found, but more than SETUP_FAULTS */
    bool failed;   /* no memory for one of them */
};

void setup_faults_free(struct setup_faults *faults);

/* Notes a fault. */
void setup_faults_add(struct setup_faults *faults, size_t line, size_t column,
                      const struct error *error);
/* Puts them in order; of more than SETUP_FAULTS the last are only counted. */
void setup_faults_settle(struct setup_faults *faults);

/* setup_read_file, setup_read (setup.h), and all faults found beside the error,
 * which is the first of them; none where the error is another (no memory). The
 * caller frees the faults in any case. */
int setup_check_file(struct setup *setup, const char *path, struct setup_faults *faults,
                     struct error *error);
int setup_check(struct setup *setup, const char *name, const char *bytes, size_t length,
                struct setup_faults *faults, struct error *error);

#endif
