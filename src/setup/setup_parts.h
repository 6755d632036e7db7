/* What the files of the setup layer share. Private to it. */
#ifndef RUSHLIGHT_SETUP_PARTS_H
#define RUSHLIGHT_SETUP_PARTS_H

#include "setup/setup.h"
#include "setup/values.h"

int read_names(const struct source *source, const struct node *root, struct setup *setup);
/* A setup that is no mirror of another. */
int read_plain(const struct source *source, const struct node *root, struct setup *setup);

/* Criteria that cannot hold together, and a candle's limits, are faults
 * (docs/setup-file.md says which are looked for). */
int find_contradictions(const struct source *source, const struct node *root,
                        const struct setup *setup);

/* Former words (base/former.h) in a document become the present ones where the
 * setup was kept in a book; else the first of them is an error that names the
 * present one. */
int bring_up_words(const struct source *source, struct node *node, bool kept);

void criteria_free(struct criteria *criteria);
int read_criterion(const struct source *source, const struct node *node, const char *key,
                   struct criterion *criterion);
/* A list of conditions; on an error the caller still frees what was read. */
int read_criteria(const struct source *source, const struct node *node, const char *key,
                  struct criteria *criteria);
int read_compare(const struct source *source, const struct node *node, struct criterion *criterion);

int read_entry_rule(const struct source *source, const struct node *node, struct setup *setup);
int read_stop_rule(const struct source *source, const struct node *node, struct setup *setup);
int read_exit_rule(const struct source *source, const struct node *node, struct setup *setup);
int read_buffer(const struct source *source, const struct node *map, const char *key,
                struct buffer *buffer);
/* A buffer above 0 where none counts: a fault that says why. In a setup kept in a
 * book it once was allowed, and is read as none. */
int refuse_buffer(const struct source *source, const struct node *map, const char *key,
                  const char *why, struct buffer *buffer);

/* The error for a row of the other side: names the row probably meant. */
int wrong_side(const struct source *source, const struct node *node, const char *key,
               enum setup_side side, const char *found, const char *meant);

/* A row's word for a setup of this side. */
const char *sided_word(const char *name, const char *mirror_name, enum setup_side side);

/* `name: {…}` of a criterion and `shape: NAME, limits: {…}`, as setup_write writes
 * them. */
void criterion_write(struct text *out, const struct criterion *criterion);
void shape_write(struct text *out, const struct shape_choice *choice);

/* Words of the two sides; index 0 long, 1 short. */
extern const char *const lower_of_words[2];
extern const char *const swing_of_words[2]; /* retest of, in entry */
extern const char *const side_words[2];
extern const char *const late_words[2];
extern const char *const at_words[2];
extern const char *const overlap_words[2];
extern const char *const cost_words[6];

#endif
