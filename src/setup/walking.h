/* The signals of a series that is too long to be held: its bars are read a block
 * at a time and looked at in a window that moves along, with what signals_find
 * finds in all of them at once. */
#ifndef RUSHLIGHT_SETUP_WALKING_H
#define RUSHLIGHT_SETUP_WALKING_H

#include "setup/signals.h"

/* Whether the setup can be told from the bars that a window keeps: no condition
 * reads longer bars, another instrument, or swings however long ago. */
bool setup_walks(const struct setup *setup);
/* Bars that a setup that walks reads behind the one looked at, at most, those of
 * its waits included; what recurrences still hold of bars before is not counted. */
size_t setup_back(const struct setup *setup);

/* Where the bars come from, in order. */
struct bars_source {
    void *context;
    /* Appends up to `most` bars and sets their interval; *more tells whether others
     * follow. Behind the last, last_is_partial is set as well. */
    int (*read)(void *context, size_t most, struct bars *bars, bool *more, struct error *error);
    /* Begins again with the first bar. */
    int (*again)(void *context, struct error *error);
};

/* Bars read at a time: few enough to stay near the processor with their columns. */
enum { WALK_BLOCK = 4096 };

/* One walk. Filled by signals_walk_begin. */
struct signals_walk {
    struct setup_view view;  /* of the window */
    struct signals signals;  /* of the window, in the order of signals_find; bars of the window */
    const struct bars *bars; /* the window */
    bool more;               /* other windows follow */
    /* Its own. */
    struct bars_source source;
    size_t block;
    int64_t from;
    struct bars windows[2];
    size_t moves;       /* windows so far */
    size_t begin;       /* the first bar of the window not looked at yet */
    struct signals all; /* found, and not handed out before */
};

/* Begins with a walking sheet (sheet_walking) that has not moved, which stays the
 * caller's as do setup and surroundings, and bars of the source, `block` at a
 * time (at least 1). Candles before the time `from` are left out. Only for setups
 * that walk. Nothing to free after an error. */
int signals_walk_begin(struct signals_walk *walk, const struct setup *setup, struct sheet *sheet,
                       const struct surroundings *around, const struct bars_source *source,
                       size_t block, int64_t from, struct error *error);
/* Moves to the next window and finds the signals given by what stands in it, in
 * the order of their bars over all windows; to be called while `more`. The
 * window holds every bar that reading their criteria asks for. */
int signals_walk_next(struct signals_walk *walk, struct error *error);
void signals_walk_end(struct signals_walk *walk);

#endif
