/* What the ways to study a market share. Private to the layer. */
#ifndef RUSHLIGHT_WORK_STUDY_PARTS_H
#define RUSHLIGHT_WORK_STUDY_PARTS_H

#include "work/study.h"

/* A stretch of the work's progress: piece `index` of `count`. */
struct stretch {
    const struct work *work;
    size_t index;
    size_t count;
};

/* The options with what the work knows better; `stretch` must stay. */
struct study_options options_of_work(const struct study_options *options, struct stretch *stretch);

#endif
