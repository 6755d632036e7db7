/* The ledger in words: what was tried, and how much of the best is luck. */
#include "answer/answer_parts.h"
#include "answer/ledger_rows.h"
#include "answer/ledger_trials.h"
#include "base/array.h"
#include "base/calendar.h"
#include "base/words.h"
#include "document/cautions.h"
#include "evidence/summary.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { SHOWN_TRIALS = 40, LABEL_SIZE = 160 };

struct ledger_figures {
    struct chart_row row[SHOWN_TRIALS];
    char label[SHOWN_TRIALS][LABEL_SIZE];
    size_t rows;
    struct text caption;
    struct ledger_trial *trials;
    size_t count;
    double *p; /* ascending */
    double *none;
    double *allowed; /* 5% times rank over number */
    size_t with_p;
};

static void draw_means(const struct chart *chart, const void *data)
{
    const struct ledger_figures *figures = data;
    struct chart here = *chart;
    here.x_name = "mean, R, with its 95% interval";
    chart_intervals(&here, figures->row, figures->rows, 0, 2);
}

static void draw_chances(const struct chart *chart, const void *data)
{
    const struct ledger_figures *figures = data;
    struct chart here = *chart;
    here.x_name = "trials, by their p";
    here.y_name = "p, one-sided";
    chart_cumulated(&here,
                    &(struct chart_line){.y = figures->p,
                                         .count = figures->with_p,
                                         .low = figures->none,
                                         .high = figures->allowed,
                                         .band_words = "what many trials allow at 5%"},
                    NULL, 0);
}

static void label_trial(char label[LABEL_SIZE], const struct ledger *ledger,
                        const struct ledger_trial *trial)
{
    const struct ledger_line *line = trial->line;
    char date[CALENDAR_TEXT_SIZE];
    char again[32] = "";
    struct text what;
    text_init(&what);
    ledger_say(&what, ledger, line);
    time_format(date, line->at, true);
    if (trial->entries > 1)
        snprintf(again, sizeof again, ", %zu times", trial->entries);
    snprintf(label, LABEL_SIZE, "%lld, %.10s%s, %s (%lld)", (long long)line->id, date, again,
             what.bytes, (long long)line->closed);
    text_free(&what);
}

/* The newest trials with a mean. */
static void gather_means(struct ledger_figures *figures, const struct ledger *ledger)
{
    size_t with_mean = 0;
    for (size_t i = 0; i < figures->count; i++)
        with_mean += isnan(figures->trials[i].line->mean_r) ? 0 : 1;
    size_t without = figures->count - with_mean;
    for (size_t i = 0; i < figures->count; i++) {
        const struct ledger_line *line = figures->trials[i].line;
        if (isnan(line->mean_r) || with_mean-- > SHOWN_TRIALS)
            continue;
        char *label = figures->label[figures->rows];
        label_trial(label, ledger, &figures->trials[i]);
        figures->row[figures->rows++] = (struct chart_row){label, line->mean_r, line->low,
                                                           line->high, isnan(line->p)};
    }
    text_append(&figures->caption,
                "What was tried, oldest first (the newest 40, where there are more): number and "
                "date in the ledger, what was done, and the number of trades. A trial that was "
                "entered again stands once, by its newest study. ");
    if (without > 0)
        text_append_format(&figures->caption,
                           "%zu more, without a mean, %s not drawn: stopped, or no trade was "
                           "closed. ",
                           without, count_word(without, "is", "are"));
    text_append(&figures->caption, "The best of them is the best of many. Hollow: no p.");
}

static bool gather_chances(struct ledger_figures *figures)
{
    figures->p = array_new(figures->count, sizeof(double));
    figures->none = array_new(figures->count, sizeof(double));
    figures->allowed = array_new(figures->count, sizeof(double));
    if (figures->p == NULL || figures->none == NULL || figures->allowed == NULL)
        return false;
    for (size_t i = 0; i < figures->count; i++)
        if (!isnan(figures->trials[i].line->p))
            figures->p[figures->with_p++] = figures->trials[i].line->p;
    sort_numbers(figures->p, figures->with_p);
    for (size_t i = 0; i < figures->with_p; i++) {
        figures->none[i] = 0;
        figures->allowed[i] = 0.05 * (double)(i + 1) / (double)figures->count;
    }
    return true;
}

static void let_go(void *kept)
{
    struct ledger_figures *figures = kept;
    text_free(&figures->caption);
    free(figures->trials);
    free(figures->p);
    free(figures->none);
    free(figures->allowed);
    free(figures);
}

static void add_figures(struct document *document, const struct ledger_figures *figures)
{
    if (figures->rows > 0)
        document_figure(document, &(struct document_figure){
                                      "Every trial",
                                      "Dots with intervals: the mean of each trial, oldest first.",
                                      figures->caption.bytes, figure_rows_height(figures->rows),
                                      draw_means, figures});
    if (figures->with_p > 1)
        document_figure(
            document,
            &(struct document_figure){
                "The p of many trials",
                "A line of the p of all trials in order of size, over a band.",
                "The p of the trials in order of size. Those up to the last one that lies in the band "
                "would still be found at a false discovery rate of 5% (Benjamini & Hochberg 1995), "
                "counting those without p too; a single p below 0.05 is what one trial in 20 gives for "
                "nothing.",
                figure_plain_height(), draw_chances, figures});
}

static double least_of(const struct ledger *ledger, const double *adjusted)
{
    double least = 1;
    for (size_t i = 0; i < ledger->count; i++)
        if (!isnan(ledger->lines[i].p))
            least = fmin(least, adjusted[i]);
    return least;
}

static void say_chances(struct text *opening, const struct ledger_figures *figures, double least)
{
    size_t with_p = 0;
    size_t small = 0;
    size_t above = 0;
    for (size_t i = 0; i < figures->count; i++) {
        const struct ledger_line *line = figures->trials[i].line;
        with_p += isnan(line->p) ? 0 : 1;
        small += line->p < 0.05;
        above += line->p < 0.05 && line->low > 0;
    }
    text_append_format(opening,
                       "%zu of the trials %s a p. The more trials, the better the best of them "
                       "looks by luck alone.",
                       with_p, count_word(with_p, "has", "have"));
    if (with_p == 0)
        return;
    text_append_format(opening,
                       " %zu %s a p below 0.05, where %.1f would if there were nothing in any of "
                       "them",
                       small, count_word(small, "has", "have"), 0.05 * (double)with_p);
    if (small > 0)
        text_append_format(opening,
                           "; of %zu of these the 95%% interval lies above 0 too: it is two-sided "
                           "and asks for more than the p, which is one-sided",
                           above);
    text_append_format(opening, ". Counting all entries, the smallest p becomes %.3f.", least);
}

static void say_ledger(struct text *opening, const struct ledger *ledger,
                       const struct ledger_figures *figures, const double *adjusted)
{
    size_t unfinished = 0;
    for (size_t i = 0; i < ledger->count; i++)
        unfinished += ledger->lines[i].finished ? 0 : 1;
    text_append_format(opening, "%zu %s, of %zu different %s", ledger->count,
                       count_word(ledger->count, "entry", "entries"), figures->count,
                       count_word(figures->count, "trial", "trials"));
    if (figures->count < ledger->count)
        text_append(opening, ": the same rule tried again on the same bars is the same trial");
    text_append(opening, ".");
    if (unfinished > 0)
        text_append_format(opening, " %zu %s stopped, or %s still under way.", unfinished,
                           count_word(unfinished, "was", "were"),
                           count_word(unfinished, "is", "are"));
    text_append_char(opening, '\n');
    say_chances(opening, figures, least_of(ledger, adjusted));
    text_append(opening,
                "\nTries that share their data, as the cells of a sensitivity map do, are "
                "nearly one trial repeated: that many of them agree is no more evidence.\n");
}

void answer_ledger(struct document *document, const struct ledger *ledger, const double *adjusted)
{
    struct text opening;
    struct ledger_figures *figures = calloc(1, sizeof *figures);
    struct ledger_trial *trials = array_new(ledger->count, sizeof *trials);
    document_title(document, "The ledger: everything that was tried");
    if (figures == NULL || trials == NULL) {
        free(figures);
        free(trials);
        document->failed = true;
        return;
    }
    text_init(&figures->caption);
    figures->trials = trials;
    figures->count = ledger_trials_of(ledger, trials);
    document_keep(document, figures, let_go);
    text_init(&opening);
    say_ledger(&opening, ledger, figures, adjusted);
    document_lines(document, BLOCK_OPENING, &opening);
    document_words(document, BLOCK_CAUTION, caution_results);
    gather_means(figures, ledger);
    if (gather_chances(figures) && !text_failed(&figures->caption))
        add_figures(document, figures);
    else
        document->failed = true;
    ledger_table(document, ledger, adjusted);
}
