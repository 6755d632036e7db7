#include "answer/ledger_trials.h"

#include "setup/difference.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* How much the entry says of its trial: what is drawn more often, and of all signals that are
 * traded, is a study. */
static int weight(const struct ledger_line *line)
{
    return isnan(line->mean_r) ? 0 : line->kind == TRIAL_STUDY ? 2 : 1;
}

static int by_number(const void *a, const void *b)
{
    int64_t x = ((const struct ledger_trial *)a)->line->id;
    int64_t y = ((const struct ledger_trial *)b)->line->id;
    return (x > y) - (x < y);
}

size_t ledger_trials_of(const struct ledger *ledger, struct ledger_trial *trials)
{
    size_t count = 0;
    for (size_t i = 0; i < ledger->count; i++) {
        const struct ledger_line *line = &ledger->lines[i];
        size_t k = 0;
        while (k < count && !ledger_same_trial(trials[k].line, line))
            k++;
        if (k == count)
            trials[count++] = (struct ledger_trial){line, 0};
        else if (weight(line) >= weight(trials[k].line))
            trials[k].line = line;
        trials[k].entries++;
    }
    if (count > 0)
        qsort(trials, count, sizeof *trials, by_number);
    return count;
}

/* --- what was moved --------------------------------------------------------------------- */

struct moved {
    struct text words;
    size_t parts;
};

static int take_part(void *context, const char *part, const char *first, const char *second,
                     struct error *error)
{
    struct moved *moved = context;
    (void)first;
    (void)error;
    text_append_format(&moved->words, "%s%s %s", moved->parts++ > 0 ? ", " : "", part,
                       second != NULL ? second : "without");
    return ERROR_NONE;
}

/* The setup as it was when its numbers were moved: the entry nearest before of the same name
 * that is none of a sensitivity; NULL: there is none. */
static const struct ledger_line *unmoved(const struct ledger *ledger,
                                         const struct ledger_line *line)
{
    for (const struct ledger_line *at = line; at-- > ledger->lines;)
        if (at->kind != TRIAL_SENSITIVITY && strcmp(at->setup, line->setup) == 0)
            return at;
    return NULL;
}

void ledger_say(struct text *text, const struct ledger *ledger, const struct ledger_line *line)
{
    enum { MOVED_AT_MOST = 2 }; /* at once: more is another setup than that one */
    struct moved moved = {.parts = 0};
    struct error ignored;
    const struct ledger_line *own = line->kind == TRIAL_SENSITIVITY ? unmoved(ledger, line) : NULL;
    text_init(&moved.words);
    int code = own == NULL ? ERROR_NONE
                           : setup_differences(own->text, line->text, take_part, &moved, &ignored);
    bool told = code == ERROR_NONE && moved.parts > 0 && moved.parts <= MOVED_AT_MOST;
    text_append_format(text, "%s of %s", told ? moved.words.bytes : line->command, line->setup);
    text->failed = text->failed || text_failed(&moved.words);
    text_free(&moved.words);
}
