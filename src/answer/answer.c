#include "answer/answer.h"

#include "answer/answer_parts.h"
#include "document/cautions.h"

static void set_title(struct document *document, struct text *title)
{
    document_title(document, title->bytes);
    document->failed = document->failed || text_failed(title);
    text_free(title);
}

/* The opening, and the caution below it. */
static void open_with(struct document *document, struct text *opening)
{
    document_lines(document, BLOCK_OPENING, opening);
    document_words(document, BLOCK_CAUTION, caution_results);
}

void answer_study(struct document *document, const struct study *study, const struct setup *setup,
                  const struct study_trials *trials)
{
    const char *name = setup->title != NULL ? setup->title : setup->name;
    struct text title;
    struct text headline;
    struct text answer;
    struct text opening;
    text_init(&title);
    text_init(&headline);
    text_init(&answer);
    text_init(&opening);
    text_append_format(&title, "%s: the evidence", name);
    set_title(document, &title);
    study_headline(&headline, study, trials);
    document_lines(document, BLOCK_HEADLINE, &headline);
    study_answer(&answer, name, study, trials);
    document_lines(document, BLOCK_ANSWER, &answer);
    study_beside(&opening, study);
    study_opening(&opening, study, trials);
    open_with(document, &opening);
    if (study->closed > 0 && !study->costs_matter)
        document_words(document, BLOCK_CAUTION, caution_costs);
    study_figures(document, study);
    study_tables(document, study);
}

void answer_comparison(struct document *document, const struct setup_comparison *comparison)
{
    struct text title;
    struct text headline;
    struct text opening;
    text_init(&title);
    text_init(&headline);
    text_init(&opening);
    text_append_format(&title, "%s against %s", comparison->name[0], comparison->name[1]);
    set_title(document, &title);
    comparison_headline(&headline, comparison);
    document_lines(document, BLOCK_HEADLINE, &headline);
    comparison_opening(&opening, comparison);
    open_with(document, &opening);
    comparison_figures(document, comparison);
    comparison_tables(document, comparison);
}

void answer_sensitivity(struct document *document, const char *setup,
                        const struct sensitivity *found, size_t count)
{
    struct text title;
    struct text headline;
    struct text opening;
    text_init(&title);
    text_init(&headline);
    text_init(&opening);
    text_append_format(&title, "%s: how much hangs on its numbers", setup);
    set_title(document, &title);
    sensitivity_headline(&headline, found, count);
    document_lines(document, BLOCK_HEADLINE, &headline);
    sensitivity_opening(&opening, found, count);
    open_with(document, &opening);
    sensitivity_figures(document, found, count);
    for (size_t i = 0; i < count; i++)
        sensitivity_table(document, &found[i]);
}
