/* The figures of a study. Private to the layer. */
#ifndef RUSHLIGHT_REPORT_STUDY_FIGURES_H
#define RUSHLIGHT_REPORT_STUDY_FIGURES_H

#include "evidence/study.h"
#include "report/report.h"

enum { STUDY_FIGURE_LIMIT = 16 };

struct study_figures {
    const struct study *study;
    /* Of the closed trades, in order of exit. */
    double *r;
    double *mae_r;
    double *mfe_r;
    bool *won;
    struct report_figure list[STUDY_FIGURE_LIMIT];
    size_t count;
};

/* Those that there is something to show in; the study is borrowed. Filled in
 * place, since the figures point to it; the caller's to free, also after an
 * error (only ERROR_MACHINE). */
int study_figures_init(struct study_figures *figures, const struct study *study,
                       struct error *error);
void study_figures_free(struct study_figures *figures);

/* A row of an interval chart; too little behind it shows faint. */
struct chart_row estimate_row(const char *label, const struct estimate *estimate);

#endif
