/* A person's own marks against the rule: where they differ, on which limit,
 * and which limits would agree best. */
#ifndef RUSHLIGHT_SETUP_AGREEMENT_H
#define RUSHLIGHT_SETUP_AGREEMENT_H

#include "setup/checklist.h"

enum verdict {
    VERDICT_NEITHER,
    VERDICT_BOTH,
    VERDICT_PERSON, /* marked, and the rule does not give it */
    VERDICT_RULE    /* given by the rule, and not marked */
};

/* A limit of the setup that can be moved by itself. */
struct movable_limit {
    const char *rule; /* the shape's or condition's name */
    const char *name; /* of the number, as in the file */
    enum comparison comparison;
    double limit; /* as the setup has it */
    double best;  /* that would agree best with the marks */
};

enum { MOVABLE_LIMITS = 24 };

/* One bar that is marked or within reach of the rule. */
struct agreement_bar {
    size_t instrument;
    size_t bar;
    bool marked;
    bool rest; /* all that no movable limit decides holds, confirmation included */
    enum verdict verdict;
    double values[MOVABLE_LIMITS];
};

struct agreement {
    struct movable_limit limits[MOVABLE_LIMITS];
    size_t limit_count;
    struct agreement_bar *bars;
    size_t count;
    size_t room;
    size_t both;
    size_t person;
    size_t rule;
    size_t best_both; /* the same with the best limits */
    size_t best_person;
    size_t best_rule;
};

/* Finds the movable limits of a setup: those of its shape, where it has one
 * only, and of the conditions of its place that look at one bar; of a comparison
 * the number that a value has to be above or below. */
void agreement_init(struct agreement *agreement, const struct setup *setup);
void agreement_free(struct agreement *agreement);

/* Adds the bars of one instrument from bar `first` on; marked[i] says whether
 * bar i is marked. */
int agreement_add(struct agreement *agreement, const struct setup_view *view, size_t instrument,
                  size_t first, const bool *marked, struct error *error);

/* Moves one limit at a time to where the differences (only the person, only
 * the rule) are fewest, as long as that helps; among equals the limit nearest
 * to the setup's own, and the shortest decimal between the bars it separates. */
int agreement_search(struct agreement *agreement, struct error *error);

#endif
