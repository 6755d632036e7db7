/* A command is one row of the table in commands.c: name, words, help, options
 * and one function. Listing, --help and the reading of options are made from
 * the row. */
#ifndef RUSHLIGHT_CLI_COMMAND_H
#define RUSHLIGHT_CLI_COMMAND_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

struct option_row {
    const char *name;  /* long name without the dashes; NULL ends a list */
    const char *value; /* what stands for the value in the help; NULL for a flag */
    const char *help;
};

enum output_format { FORMAT_TEXT, FORMAT_CSV, FORMAT_JSON };

enum { OPTION_LIMIT = 32 };

/* One run of a command: what was asked, and where the answer goes. */
struct call {
    const struct command *command;
    char **arguments; /* argument_count words that are no options */
    size_t argument_count;
    const char *values[OPTION_LIMIT]; /* by index in the command's options */
    FILE *out;
    FILE *messages;
    const char *book; /* --book, or the default path; may be NULL: no home known */
    bool book_given;
    enum output_format format;
    int threads; /* >= 1 */
    uint64_t seed;
    bool seed_given;
    bool quiet;
    /* Set by a command that did its work but set something aside, or found
     * nothing where --expect was given: exit status 1. */
    bool incomplete;
};

struct command {
    const char *name;
    const char *arguments; /* for the usage line, such as "INSTRUMENT…" */
    const char *help;      /* one sentence; a second paragraph after "\n" */
    size_t least_arguments;
    size_t most_arguments; /* SIZE_MAX: any number */
    const struct option_row *options;
    /* Returns an error code with `error` filled, or ERROR_NONE. */
    int (*run)(struct call *call, struct error *error);
};

/* All commands, ended by a row whose name is NULL (commands.c). */
extern const struct command commands[];

/* The value of an option of this command: its text (a flag has its own name),
 * or NULL where it was not given. Asking for an option that the command does
 * not have is a mistake of the program. */
const char *call_option(const struct call *call, const char *name);
bool call_has(const struct call *call, const char *name);
/* Whether the command's row lists such an option at all. */
bool call_offers(const struct call *call, const char *name);

/* A number, whole number or date given as an option; `missing` is what to
 * take where it was not. The error names the option and what it allows. */
int call_number(const struct call *call, const char *name, double least, double most,
                double missing, double *value, struct error *error);
int call_integer(const struct call *call, const char *name, int64_t least, int64_t most,
                 int64_t missing, int64_t *value, struct error *error);
int call_time(const struct call *call, const char *name, int64_t missing, int64_t *time,
              struct error *error);

/* One line to the messages: `rushlight: …`. Silent with --quiet. */
void call_say(const struct call *call, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Runs the command line; the process exits with the result. */
int command_line(int argc, char **argv, FILE *out, FILE *messages);

#endif
