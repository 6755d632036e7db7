/* Words that somebody mistyped, and words that are counted. */
#ifndef RUSHLIGHT_BASE_WORDS_H
#define RUSHLIGHT_BASE_WORDS_H

#include <stddef.h>
#include <stdint.h>

/* The known word nearest to `word` by edits (insert, delete, change, swap of
 * neighbours), or NULL if none is near enough to be meant: at most a third of
 * the longer word's letters may differ. Ties go to the first. */
const char *nearest_word(const char *word, const char *const *known, size_t count);

enum { WORD_HINT_SIZE = 96 };

/* " (did you mean amber?)" for a message about the word, or nothing where no
 * known word is near enough. Returns `hint`. */
const char *word_hint(char hint[WORD_HINT_SIZE], const char *word, const char *const *known,
                      size_t count);

/* The word behind a number: `one` where it is 1, else `many`, also for 0. */
const char *count_word(uint64_t count, const char *one, const char *many);

#endif
