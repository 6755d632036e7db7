/* A person's own lines as a chart window draws them: black, with the open rings by
 * which they are taken hold of. */
#ifndef RUSHLIGHT_ANSWER_DRAWN_LINES_H
#define RUSHLIGHT_ANSWER_DRAWN_LINES_H

#include "figures/window_request.h"
#include "work/lines_seen.h"

struct drawn_lines {
    struct window_line *lines;
    size_t line_count;
    struct window_rule *rules;
    size_t rule_count;
    struct window_note *notes;
    size_t note_count;
    struct text *words; /* that those name; each owned */
    size_t word_count;
};

/* Of all lines but the hidden ones. `tick` is the step of prices; `risk` what 1 R is
 * in price, NaN where none is known. Borrows the notes of `seen`. Free with
 * drawn_lines_free, also after an error; only ERROR_MACHINE. */
int drawn_lines_make(struct drawn_lines *drawn, const struct lines_seen *seen, struct sheet *shown,
                     double tick, double risk, struct error *error);
void drawn_lines_free(struct drawn_lines *drawn);

/* What a kind is called: "level", "trend line" "channel"… */
const char *line_kind_name(enum line_kind kind);
/* What a ruler measures from its first point to its second: "12 bars, +3.40, +2.1 %,
 * +1.8 ATR, +0.9 R"; the ATR is that of 14 bars at its second point. */
void ruler_words(struct text *words, const struct laid_line *laid, struct sheet *shown, double tick,
                 double risk);

#endif
