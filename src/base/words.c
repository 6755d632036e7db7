#include "base/words.h"

#include <stdio.h>
#include <string.h>

enum { LONGEST_WORD = 63 };

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* Edit distance with swaps of neighbours (optimal string alignment; Damerau
 * 1964). Both words are at most LONGEST_WORD letters. */
static size_t distance(const char *a, size_t m, const char *b, size_t n)
{
    size_t rows[3][LONGEST_WORD + 1];
    size_t *before = rows[0];
    size_t *above = rows[1];
    size_t *row = rows[2];
    for (size_t j = 0; j <= n; j++)
        above[j] = j;
    for (size_t i = 1; i <= m; i++) {
        row[0] = i;
        for (size_t j = 1; j <= n; j++) {
            row[j] = least(least(above[j], row[j - 1]) + 1, above[j - 1] + (a[i - 1] != b[j - 1]));
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                row[j] = least(row[j], before[j - 2] + 1);
        }
        size_t *spare = before;
        before = above;
        above = row;
        row = spare;
    }
    return above[n];
}

const char *nearest_word(const char *word, const char *const *known, size_t count)
{
    const char *nearest = NULL;
    size_t length = strlen(word);
    size_t best = 0;
    for (size_t i = 0; i < count && length <= LONGEST_WORD; i++) {
        size_t known_length = strlen(known[i]);
        if (known_length > LONGEST_WORD)
            continue;
        size_t edits = distance(word, length, known[i], known_length);
        size_t longer = length > known_length ? length : known_length;
        if (edits * 3 <= longer && (nearest == NULL || edits < best)) {
            nearest = known[i];
            best = edits;
        }
    }
    return nearest;
}

const char *word_hint(char hint[WORD_HINT_SIZE], const char *word, const char *const *known,
                      size_t count)
{
    const char *near = nearest_word(word, known, count);
    hint[0] = '\0';
    if (near != NULL)
        snprintf(hint, WORD_HINT_SIZE, " (did you mean %s?)", near);
    return hint;
}

const char *count_word(uint64_t count, const char *one, const char *many)
{
    return count == 1 ? one : many;
}
