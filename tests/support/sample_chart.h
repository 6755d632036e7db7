/* Figures of every kind with invented data, for tests and for the eye. */
#ifndef RUSHLIGHT_TESTS_SAMPLE_CHART_H
#define RUSHLIGHT_TESTS_SAMPLE_CHART_H

#include "base/random.h"
#include "draw/chart.h"

struct sample_chart {
    const char *name;
    /* Draws the kind over the whole picture with about `size` values of the
     * order of `scale`, drawn from the stream. */
    void (*draw)(const struct chart *chart, struct random_stream *stream, size_t size,
                 double scale);
    const char *x_name;
    const char *y_name;
};

/* Ended by a row without a name. */
extern const struct sample_chart sample_charts[];

/* Names of several scripts and lengths; after sample_names_latin only those
 * whose letters are all in the figures' own font, which is the same on every
 * machine. */
const char *sample_name(struct random_stream *stream);
void sample_names_latin(void);

#endif
