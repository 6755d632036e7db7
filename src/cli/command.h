/* A command is one row of the table in commands.c: name, words, help, options
 * and one function. Listing, --help and the reading of options are made from
 * the row. */
#ifndef RUSHLIGHT_CLI_COMMAND_H
#define RUSHLIGHT_CLI_COMMAND_H

#include "base/error.h"
#include "cli/option.h"
#include "market/interval.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

enum output_format { FORMAT_TEXT, FORMAT_CSV, FORMAT_JSON };

/* One run of a command: what was asked, and where the answer goes. */
struct call {
    const struct command *command;
    char **arguments; /* argument_count words that are no options */
    size_t argument_count;
    const char *values[OPTION_LIMIT]; /* by index (option_at) in the command's options */
    FILE *out;
    FILE *messages;
    const char *book; /* --book, or the default path; may be NULL: no home known */
    bool book_given;
    enum output_format format;
    bool exact;  /* of FORMAT_CSV: for programs, not for spreadsheets */
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
    size_t most_arguments;                             /* SIZE_MAX: any number */
    const struct option_group *options[OPTION_GROUPS]; /* NULL after the last */
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

/* The value of an option, checked before the command runs; the default of its
 * row where it was not given. NAN where a number has none. */
double call_number(const struct call *call, const char *name);
int64_t call_whole(const struct call *call, const char *name);
/* The place among the choices; their count where it was not given and the
 * default is none of them. */
size_t call_choice(const struct call *call, const char *name);
/* The text, or the words of the default. */
const char *call_word(const struct call *call, const char *name);
/* Seconds since 1970 at which the date or time begins; `missing` without it. */
int64_t call_time(const struct call *call, const char *name, int64_t missing);
/* Its last second: a date stands for its whole day. */
int64_t call_time_end(const struct call *call, const char *name, int64_t missing);
/* A length of bars; its unit is INTERVAL_NONE without it. */
struct interval call_interval(const struct call *call, const char *name);

/* One line to the messages: `rushlight: …`. Silent with --quiet. */
void call_say(const struct call *call, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

#endif
