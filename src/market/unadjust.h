/* Bars of a file that is adjusted already, as of its last bar, back to what was
 * traded. The file is looked through once, then its bars are taken back. */
#ifndef RUSHLIGHT_MARKET_UNADJUST_H
#define RUSHLIGHT_MARKET_UNADJUST_H

#include "base/number.h"
#include "market/adjust.h"

struct unadjust {
    enum adjustment adjustment;
    const struct tick *tick; /* of the traded prices; NULL: not known */
    struct action *actions;  /* that change prices, in order as for bars_adjust; owned */
    size_t count;
    struct last_close *closes;  /* before each action, as the file has it; owned */
    struct price_scale *scales; /* of each action; owned */
    size_t scale_count;         /* of the actions that the file's bars have seen */
    int64_t last;               /* time of the file's last bar */
    int places;                 /* decimals of its prices */
    int traded_places;          /* of those traded: the same, and those of rolls */
};

/* Keeps the actions that count. Only ERROR_MACHINE. Free also after an error. */
int unadjust_begin(struct unadjust *unadjust, const struct action *actions, size_t count,
                   enum adjustment adjustment, struct error *error);
/* The next bars of the file, blocks in any order; and after the last of them. */
void unadjust_look(struct unadjust *unadjust, const struct bars *block);
void unadjust_settle(struct unadjust *unadjust);

/* Takes bars of the file back, volume too. A price that is, within what the
 * file's decimals leave open, one of the tick's, or else one of as many decimals
 * as the file's, is that one. */
void unadjust_bars(const struct unadjust *unadjust, struct bars *block);
/* What the file's decimals leave open of a traded price of scale `index`, to
 * either side; taken back and rounded it may be off by twice as much. */
double unadjust_room(const struct unadjust *unadjust, size_t index);
void unadjust_free(struct unadjust *unadjust);

#endif
