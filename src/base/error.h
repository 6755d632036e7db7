/* Errors are values: an integer code and one line of text with its context.
 *
 * A function that can fail returns 0 or one of the codes below, and fills the
 * `struct error` it was given; its caller adds context or passes it up. Only
 * the doors (command line, page) print. The codes are the exit codes of the
 * command line, so nothing is translated on the way. */
#ifndef RUSHLIGHT_BASE_ERROR_H
#define RUSHLIGHT_BASE_ERROR_H

#include <stdarg.h>
#include <stdbool.h>

enum error_code {
    ERROR_NONE = 0,
    ERROR_USAGE = 2,   /* the words of the command were wrong */
    ERROR_INPUT = 3,   /* a file or a value is not what it should be */
    ERROR_MACHINE = 4, /* memory, disk or a library failed us */
    ERROR_STOPPED = 5  /* whoever asked for it wanted it no more */
};

/* Why, where a door can say what to do about it in its own words (an option to
 * give, a field to fill in). The text stands without such advice. */
enum error_reason {
    ERROR_REASON_NONE,
    ERROR_REASON_NO_BOOK,         /* no book is known */
    ERROR_REASON_NO_INSTRUMENT,   /* neither an instrument nor a list was named */
    ERROR_REASON_NO_LIST,         /* the book has no such list */
    ERROR_REASON_LIST_THERE,      /* the book has such a list already */
    ERROR_REASON_NO_ACTION,       /* the book has no such split, dividend or roll */
    ERROR_REASON_ACTION_DIFFERS,  /* the book has another value for it */
    ERROR_REASON_NO_TICK,         /* the price step is not known and cannot be seen */
    ERROR_REASON_LENGTH_NOT_MADE, /* these bars cannot make those of the setup */
    ERROR_REASON_NO_NUMBER,       /* the setup has no number of that name */
    ERROR_REASON_NUMBER_TWICE,    /* the same number was named twice */
    ERROR_REASON_OTHER_FINER,     /* the finer bars are of another instrument */
    ERROR_REASON_NOT_FINER,       /* the finer bars are no finer */
    ERROR_REASON_OTHER_INTERVAL,  /* other bars are asked for than the setup is read on */
    ERROR_REASON_DATES_OF_NONE,   /* dates of a person's own name no instrument */
    ERROR_REASON_NO_CASE,         /* the setup has no signal there at all */
    ERROR_REASON_NO_OUTPUT,       /* the answer could not be written */
    ERROR_REASON_TOO_LONG,        /* it takes longer than it may */
    ERROR_REASON_TOO_LARGE,       /* it takes more memory or more rows than it may */
    ERROR_REASON_NO_BOOK_YET,     /* there is no file where the book would be */
    ERROR_REASON_EMPTY_BOOK,      /* there is one that nothing was ever put into */
    ERROR_REASON_OLD_BOOK,        /* whatever writes brings it up to date */
    ERROR_REASON_BOOK_IS_FOLDER,  /* a book is one file */
    ERROR_REASON_OTHER_ZONE,      /* the file's header says another zone */
    ERROR_REASON_NO_COLUMN,       /* the header names no column that is needed */
    ERROR_REASON_TWO_COLUMNS,     /* it names two columns that are the same */
    ERROR_REASON_UNCLEAR_DATES,   /* day/month or month/day: no line of the file tells */
    ERROR_REASON_NO_BAR_LENGTH,   /* times and prices are to be made into bars of some length */
    ERROR_REASON_NO_NAME,         /* the file's name, or the one given, is none for an instrument */
    ERROR_REASON_NO_LENGTH,       /* the length of the bars of a file cannot be seen */
    ERROR_REASON_OBSERVATIONS,    /* observations are not adjusted */
    ERROR_REASON_NO_ACTIONS,      /* nothing to adjust for is in the book */
    ERROR_REASON_NO_MEASURE,      /* a setup names a value that there is not */
    ERROR_REASON_NO_SHAPE,        /* likewise a shape */
    ERROR_REASON_NO_CONDITION,    /* likewise a condition */
    ERROR_REASON_CONTRADICTION,   /* its rules can never hold together */
    ERROR_REASON_SEALED,          /* bars are sealed already */
    ERROR_REASON_NO_RISK,         /* an account says no risk of a trade */
    ERROR_REASON_LIMIT,           /* a plan breaks a limit of its account */
    ERROR_REASON_SAID,            /* it was said of the plan already; another word corrects it */
    ERROR_REASON_NO_ACCOUNT,      /* the book has no such account */
    ERROR_REASON_NO_BALANCE,      /* an account has nothing that could be put at risk */
    ERROR_REASON_NO_RATE,         /* no rate of exchange leads from one currency to the other */
    ERROR_REASON_NOT_FROZEN       /* no setup is frozen under that name */
};

enum { ERROR_TEXT_SIZE = 1024 };

struct error {
    int code;
    enum error_reason reason;
    char text[ERROR_TEXT_SIZE]; /* one line, no newline, UTF-8 */
};

/* Sets code and text and returns code, so that `return error_set(...)` reads
 * well. A longer text is cut at a character boundary; control characters in
 * it are shown as spaces, so that the message stays one line. */
int error_set(struct error *error, int code, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* The same, with the reason. */
int error_because(struct error *error, int code, enum error_reason reason, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* Makes the text what an error's is: one line, cut at a character, without what
 * a terminal must not meet. */
void error_make_line(char text[ERROR_TEXT_SIZE]);

/* Out of memory: no allocation is made to say so. Returns ERROR_MACHINE. */
int error_memory(struct error *error);

/* The static analyser reads one file at a time; this tells it what they return. */
#ifdef __clang_analyzer__
#define error_set(error, code, ...) (error_set(error, code, __VA_ARGS__), (code))
#define error_because(error, code, ...) (error_because(error, code, __VA_ARGS__), (code))
#define error_memory(error) (error_memory(error), (int)ERROR_MACHINE)
#endif

/* Puts "context: " before the text that is there and returns its code. */
int error_context(struct error *error, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Puts a door's advice behind the text that is there, which is cut where both
 * are too long. */
void error_advise(struct error *error, const char *advice);

/* The code for a file that could not be opened or read, by errno: ERROR_MACHINE
 * where the machine has run out of something, else ERROR_INPUT. */
int error_code_of(int number);

/* No error: code ERROR_NONE and an empty text. */
void error_clear(struct error *error);

#endif
