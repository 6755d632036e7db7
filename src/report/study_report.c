#include "report/study_report.h"

#include "report/study_figures.h"

int study_report(const struct report_target *target, const struct study *study,
                 const struct setup *setup, const struct study_tries *tries, struct error *error)
{
    struct study_figures figures;
    struct report report;
    report_init(&report);
    text_append_format(&report.title, "%s: the evidence",
                       setup->title != NULL ? setup->title : setup->name);
    study_opening(&report.opening, study, setup, tries);
    int code = study_figures_init(&figures, study, error);
    report.figures = figures.list;
    report.figure_count = figures.count;
    if (code == ERROR_NONE)
        code = study_sections(&report.tables, study, error);
    if (code == ERROR_NONE)
        code = report_write(target, &report, error);
    study_figures_free(&figures);
    report_free(&report);
    return code;
}
