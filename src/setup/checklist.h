/* Every criterion of a setup read on one candle: the checklist beside a case,
 * under a signal, and of the bars that nearly were one. */
#ifndef RUSHLIGHT_SETUP_CHECKLIST_H
#define RUSHLIGHT_SETUP_CHECKLIST_H

#include "setup/signals.h"

enum check_section { CHECK_CANDLE, CHECK_PLACE, CHECK_CONFIRM };

struct check {
    enum check_section section;
    const char *rule; /* the shape's or condition's name as in the file */
    /* What is read, of a group the part that decides; NULL: a limit of the shape.
     * The setup's own. */
    const struct criterion *part;
    bool negated;           /* it stands under `not` */
    struct reading reading; /* of the part that decides, where it is a group */
    enum truth holds;       /* of the whole criterion */
    bool untold;            /* undefined for want of events, own levels or volume */
};

enum { CHECK_LIMIT = 64 };

struct checklist {
    struct check list[CHECK_LIMIT];
    size_t count;
    size_t confirmed; /* confirming conditions that hold */
    size_t at_least;  /* how many have to */
    bool met;         /* all of candle and place, and enough confirmation */
    double atr;       /* ATR(14) at the candle, NaN where undefined */
};

/* Reads every criterion for the candle, confirmation at bar `at`. */
void checklist_read(const struct setup_view *view, const struct candle *candle, size_t at,
                    struct checklist *checklist);

/* "candle", "place", "confirm". */
const char *check_section_name(enum check_section section);

/* Whether nothing that can be told fails, and something cannot be told for want of
 * events, levels of one's own or volume. */
bool checklist_untold(const struct checklist *checklist);

/* Whether exactly one criterion fails (too little confirmation counts as one),
 * which, and by how much: the distance from the limit in ATR where it is a
 * price, else as a share of the limit (of 1 where that is 0); infinite where
 * there is no number to it. */
bool checklist_nearly(const struct checklist *checklist, const struct check **failed,
                      double *missed_by);

#endif
