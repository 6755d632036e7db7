/* Typed values out of a document's nodes, with errors that name the place, the
 * key, what was found and what is allowed. Private to the setup layer. */
#ifndef RUSHLIGHT_SETUP_VALUES_H
#define RUSHLIGHT_SETUP_VALUES_H

#include "base/error.h"
#include "base/parameter.h"
#include "market/interval.h"
#include "setup/faults.h"
#include "setup/yaml_tree.h"

#include <stdbool.h>
#include <stddef.h>

/* Where values come from and errors go to. */
struct source {
    const char *name; /* of the file */
    struct error *error;
    struct setup_faults *faults; /* each fault is noted here too; NULL: nobody asks */
    bool kept;                   /* out of a book: former words, and what had no effect, are read */
    bool side_guessed;           /* the file does not say it: no row is of the wrong side */
};

/* `FILE:LINE:COLUMN: KEY: …`; returns ERROR_INPUT. Who met a fault may go on and
 * look for others. */
int value_fail(const struct source *source, const struct node *node, const char *key,
               const char *format, ...) __attribute__((format(printf, 4, 5)));
/* The same, with the reason. */
int value_fail_because(const struct source *source, enum error_reason reason,
                       const struct node *node, const char *key, const char *format, ...)
    __attribute__((format(printf, 5, 6)));
/* The code of two steps, both of which were gone: the machine's failure goes before
 * a fault. */
int worse_code(int first, int second);

/* What stands at a node, for messages: the text in quotes, "a list", … */
const char *node_shown(const struct node *node, char *text, size_t size);

/* The node must be a map (or nothing) with no key but the known ones; each other
 * is a fault. */
int value_keys(const struct source *source, const struct node *node, const char *key,
               const char *const *known, size_t count);

int value_string(const struct source *source, const struct node *node, const char *key,
                 const char **text);
/* One of the words; *index is its place among them. */
int value_word(const struct source *source, const struct node *node, const char *key,
               const char *const *words, size_t count, size_t *index);
int value_number(const struct source *source, const struct node *node, const char *key,
                 double least, double most, double *value);
int value_whole(const struct source *source, const struct node *node, const char *key, double least,
                double most, size_t *value);
int value_interval(const struct source *source, const struct node *node, const char *key,
                   struct interval *interval);

/* The parameters of a table row from a map, as far as they can be read. Keys that are none of them, nor
 * among `others`, are errors. `values` (with the defaults in) is in the row's
 * own orientation; `words` may be NULL where the row has none. */
int value_parameters(const struct source *source, const struct node *map, const char *key,
                     const struct parameter *parameters, bool mirrored, const char *const *others,
                     size_t other_count, double *values, char **word);

/* Weekdays mon … sun, in this order. */
extern const char *const weekday_words[7];

#endif
