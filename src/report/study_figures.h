/* The figures of a study, for a report of any form. */
#ifndef RUSHLIGHT_REPORT_STUDY_FIGURES_H
#define RUSHLIGHT_REPORT_STUDY_FIGURES_H

#include "evidence/study.h"
#include "report/plot.h"

/* What figures are made from, beside the study: its results in order of exit
 * and their running sums. */
struct figure_data {
    const struct study *study;
    double *ordered;
    double *sums; /* one more than there are results; the first is 0 */
};

struct study_figure {
    const char *title; /* for a screen reader */
    const char *description;
    const char *caption;
    double (*height)(const struct figure_data *data);
    void (*draw)(const struct figure_data *data, struct picture *picture, struct box box);
};

/* All figures, in the order they are shown, ended by a row without a title. */
extern const struct study_figure study_figures[];

/* ERROR_MACHINE without memory; the caller's to free, also then. */
int figure_data_init(struct figure_data *data, const struct study *study, struct error *error);
void figure_data_free(struct figure_data *data);

#endif
