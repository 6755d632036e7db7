/* One option of a command as a row: what kind of value it takes, its default
 * and its limits. Help, checks, messages, manual pages and completion are made
 * from the row, so that each is said once. */
#ifndef RUSHLIGHT_CLI_OPTION_H
#define RUSHLIGHT_CLI_OPTION_H

#include "base/error.h"
#include "base/text.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum option_kind {
    OPTION_FLAG,     /* takes no value */
    OPTION_NUMBER,   /* a number from least to most */
    OPTION_WHOLE,    /* a whole number from least to most */
    OPTION_TIME,     /* a date YYYY-MM-DD or a time YYYY-MM-DDTHH:MM:SSZ */
    OPTION_DATE,     /* a date YYYY-MM-DD */
    OPTION_INTERVAL, /* a length of bars such as 1d, 4h, 30m */
    OPTION_CHOICE,   /* one of the choices */
    OPTION_TEXT,     /* anything; what reads it says what is allowed */
    OPTION_SETUP,    /* a setup file, or the name of a shipped setup */
    OPTION_FILE,     /* a file */
    OPTION_FOLDER    /* a folder */
};

struct option_row {
    const char *name; /* long name without the dashes; NULL ends a list */
    enum option_kind kind;
    const char *value; /* stands for the value in help; a choice needs none */
    /* What it is for, without what the rest of the row says. */
    const char *help;
    double missing; /* default of a number; NAN: none, see missing_words */
    double least;   /* limits of a number, both allowed; most INFINITY: no limit */
    double most;
    const char *unit;           /* of a number: "%", "bars"; NULL: none */
    const char *const *choices; /* words allowed, ended by NULL */
    const char *explained;      /* what the choices mean, for the message; NULL: plain */
    /* What is taken without it, in words, or the choice that is. */
    const char *missing_words;
    /* Together with the option `beside` the default of a number is another. */
    const char *beside;
    double missing_beside;
    /* Where it has to be given: the end of the message that it is missing, and
     * an option that makes up for it (NULL: none does). */
    const char *needed;
    const char *instead;
};

/* Options that belong together under a heading of their own. */
struct option_group {
    const char *heading; /* "Bars" */
    const struct option_row *rows;
};

enum { OPTION_LIMIT = 32, OPTION_GROUPS = 4 };

/* What every command takes. */
enum { GLOBAL_BOOK, GLOBAL_FORMAT, GLOBAL_THREADS, GLOBAL_SEED, GLOBAL_QUIET, GLOBAL_COUNT };
extern const struct option_group option_globals;

/* The option that has a letter, too: -o. */
bool option_has_letter(const struct option_row *row);

/* The row at `index` of several groups one after another (ended by NULL, or
 * OPTION_GROUPS of them); NULL past the last. */
const struct option_row *option_at(const struct option_group *const *groups, size_t index);
/* The index of the row of this name, or SIZE_MAX. */
size_t option_find(const struct option_group *const *groups, const char *name);

/* Whether the text is a value that the row allows; ERROR_USAGE names the
 * option, what was found and what is allowed. */
int option_check(const struct option_row *row, const char *text, struct error *error);
/* The place of the text, or of the default where it is NULL, among the choices. */
size_t option_choice(const struct option_row *row, const char *text);

/* What stands for the value: "N", "none|splits|all"; "" for a flag. The text is
 * the caller's. */
void option_value_words(const struct option_row *row, struct text *text);
/* The whole help: what it is for, then default, limits and unit in brackets. */
void option_help_words(const struct option_row *row, struct text *text);

#endif
