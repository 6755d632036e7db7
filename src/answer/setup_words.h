/* A setup read back in plain words. They are those of the tables' own rows, so that
 * a new row is read back without more. */
#ifndef RUSHLIGHT_ANSWER_SETUP_WORDS_H
#define RUSHLIGHT_ANSWER_SETUP_WORDS_H

#include "answer/listing.h"
#include "base/text.h"
#include "setup/setup.h"

/* What a criterion says, without its numbers: "RSI is below the level". A comparison
 * has its numbers in it. */
void setup_say_rule(struct text *text, const struct criterion *criterion);
/* What an entry, a stop, a target and a trail say, without their numbers. */
void setup_say_entry(struct text *text, const struct entry_rule *entry);
void setup_say_stop(struct text *text, const struct stop *stop);
void setup_say_trail(struct text *text, const struct trail *trail);

/* One sentence of the setup with its numbers. */
struct setup_said {
    const char *part; /* "the candle", "its place" … */
    const char *says;
};

/* Appends in a few words what a setup, of another of this name, says otherwise; its name
 * and title aside. ERROR_MACHINE. */
int setup_say_unlike(struct text *text, const struct setup *setup, const struct setup *other,
                     struct error *error);

/* All of them in the order of the file. False without memory. */
bool setup_say(const struct setup *setup,
               void (*take)(void *context, const struct setup_said *said), void *context);

/* The same as rows, each with the setup's name. ERROR_MACHINE without memory. */
extern const struct listing setup_said_listing;
int setup_said_put(struct table *table, const struct setup *setup, struct error *error);

#endif
