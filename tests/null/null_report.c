/* The null test as a report with figures. */
#include "null_tally.h"

#include "document/cautions.h"
#include "draw/chart.h"
#include "report/report.h"

#include <math.h>
#include <stdio.h>

enum { CASES = 8, ROWS = 24, FIGURES = 24, BINS = 10, LABEL = 64 };

/* One interval figure: rows gathered beforehand. */
struct rows_figure {
    struct chart_row row[ROWS];
    char label[ROWS][LABEL];
    size_t count;
    double reference;
    const char *x_name;
    int decimals;
};

struct reliability_figure {
    struct chart_bin bin[BINS];
    char caption[160];
};

static void draw_rows(const struct chart *chart, const void *data)
{
    const struct rows_figure *figure = data;
    struct chart here = *chart;
    here.x_name = figure->x_name;
    chart_intervals(&here, figure->row, figure->count, figure->reference, figure->decimals);
}

static void draw_reliability(const struct chart *chart, const void *data)
{
    const struct reliability_figure *figure = data;
    struct chart here = *chart;
    here.x_name = "p of the control is at most";
    here.y_name = "in so many of the studies";
    chart_reliability(&here, figure->bin, BINS);
}

static void add_share(struct rows_figure *figure, const char *name, double share, size_t count)
{
    struct limits limits = wilson_limits(share, (double)count, NORMAL_975);
    char *label = figure->label[figure->count];
    snprintf(label, LABEL, "%s", name);
    if (count > 0)
        figure->row[figure->count++] = (struct chart_row){label, share, limits.low, limits.high,
                                                          count < 100};
}

static void add_mean(struct rows_figure *figure, const char *name, const char *assumed,
                     const double *values, size_t count)
{
    double half = NORMAL_975 * deviation_of(values, count) / sqrt((double)count);
    double mean = mean_of(values, count);
    char *label = figure->label[figure->count];
    snprintf(label, LABEL, "%s: %s", name, assumed);
    figure->row[figure->count++] = (struct chart_row){label, mean, mean - half, mean + half, false};
}

static struct document_figure rows(const struct rows_figure *figure, const char *title,
                                   const char *caption)
{
    return (struct document_figure){title,     "Dots with 95% intervals, a row for each case.",
                                    caption,   22 * (double)figure->count + 46,
                                    draw_rows, figure};
}

static void small_p(struct rows_figure *figure, struct tally *tallies, size_t count, int way)
{
    *figure = (struct rows_figure){.reference = 0.05,
                                   .x_name = "share of the studies with p below 0.05",
                                   .decimals = 3};
    for (size_t c = 0; c < count; c++) {
        const struct tally *tally = &tallies[c];
        size_t with_p = way < 0 ? tally->with_p : tally->with_way[way];
        add_share(figure, tally->name,
                  share_below(way < 0 ? tally->p : tally->way_p[way], with_p, 0.05), with_p);
    }
}

static void coverage(struct rows_figure *figure, const struct tally *tallies, size_t count,
                     bool alone)
{
    *figure = (struct rows_figure){.reference = 0.95,
                                   .x_name = "share of the intervals that hold the true mean",
                                   .decimals = 3};
    for (size_t c = 0; c < count; c++) {
        const struct tally *tally = &tallies[c];
        size_t of = alone ? tally->alone : tally->with_mean;
        add_share(figure, tally->name,
                  (double)(alone ? tally->covered_alone : tally->covered) / (double)of, of);
    }
}

static void inside(struct rows_figure *figure, const struct tally *tallies, size_t count)
{
    *figure = (struct rows_figure){.x_name = "mean R over all seeds, where the truth is 0",
                                   .decimals = 3};
    for (size_t c = 0; c < count; c++) {
        const struct tally *tally = &tallies[c];
        if (!tally->finer)
            continue;
        add_mean(figure, tally->name, "the steps", tally->mean, tally->alone);
        for (size_t i = 0; i < SAME_BAR_COUNT; i++)
            add_mean(figure, tally->name, same_bar_name((enum same_bar_rule)i), tally->assumed[i],
                     tally->alone);
    }
}

static void reliability(struct reliability_figure *figure, const struct tally *tally)
{
    for (size_t b = 0; b < BINS; b++) {
        double level = (double)(b + 1) / BINS;
        double share = share_below(tally->p, tally->with_p, level + 1e-12);
        struct limits limits = wilson_limits(share, (double)tally->with_p, NORMAL_975);
        figure->bin[b] = (struct chart_bin){level, share, limits.low, limits.high,
                                            (size_t)lround(share * (double)tally->with_p)};
    }
    snprintf(figure->caption, sizeof figure->caption,
             "%s: how often the control's p came out so small. On the diagonal it means what it "
             "says.",
             tally->name);
}

static void kept_table(struct document *document, const struct tally *tallies, size_t count)
{
    static const char *const columns[] = {"case",   "seeds",        "trades",
                                          "KS p",   "p below 0.05", "interval holds 0",
                                          "single", "promise"};
    struct table *table = document_results(
        document, "promises", "What was promised, and kept",
        "KS: the p of Kolmogorov and Smirnov's test that the control's p is uniform; "
        "at least 0.01. p below 0.05: at most 9%, and at least 2% where there are 200 "
        "trades. The interval of the mean holds 0 in 91 to 99%; single: how often "
        "that of independent trades would.",
        columns, 8);
    for (size_t c = 0; c < count; c++) {
        const struct tally *tally = &tallies[c];
        struct promise promise = tally_promise(tally);
        table_text(table, tally->name);
        table_count(table, tally->seeds);
        table_decimals(table, 0, promise.trades);
        table_decimals(table, 3, promise.ks);
        table_format(table, "%.1f%%", 100 * promise.small);
        table_format(table, "%.1f%%", 100 * promise.covered);
        table_format(table, "%.1f%%", 100 * promise.covered_alone);
        table_text(table, promise.words);
    }
}

static void ways_table(struct document *document, struct tally *tallies, size_t count)
{
    const char *columns[1 + 2 * WAY_COUNT] = {"case"};
    for (size_t w = 0; w < WAY_COUNT; w++) {
        columns[1 + 2 * w] = wrong_way_names[w];
        columns[2 + 2 * w] = "KS p";
    }
    struct table *table = document_results(
        document, "ways", "Ways that fail",
        "Share of p below 0.05 where 5% are right, and whether the p are uniform. Random draws: as "
        "many trades drawn from the other bars of the place. Shifted labels: the candles moved "
        "along the bars of the place. Single trades: two means, each trade by itself.",
        columns, 1 + 2 * WAY_COUNT);
    for (size_t c = 0; c < count; c++) {
        table_text(table, tallies[c].name);
        for (size_t w = 0; w < WAY_COUNT; w++) {
            size_t with = tallies[c].with_way[w];
            table_format(table, "%.1f%%", 100 * share_below(tallies[c].way_p[w], with, 0.05));
            table_decimals(table, 3, uniform_p(tallies[c].way_p[w], with));
        }
    }
}

static bool write_file(const char *path, const struct text *text)
{
    FILE *file = fopen(path, "wb");
    bool whole = file != NULL && fwrite(text->bytes, 1, text->length, file) == text->length;
    return (file == NULL || fclose(file) == 0) && whole;
}

bool null_report(const char *path, struct tally *tallies, size_t count)
{
    static struct rows_figure figure[WAY_COUNT + 4];
    static struct reliability_figure each[CASES];
    struct document_figure figures[FIGURES];
    struct document document;
    struct text file;
    struct text opening;
    struct error error = {0};
    size_t shown = 0;
    struct report_target target = {.file = &file,
                                   .facts = {"null test", "./dev null", NULL, NULL, 1, 1000}};
    small_p(&figure[0], tallies, count, -1);
    figures[shown++] = rows(&figure[0], "Small p of the control",
                            "The control that is used: p below 0.05 in about one of 20 studies in "
                            "which there is nothing.");
    for (int w = 0; w < WAY_COUNT; w++)
        small_p(&figure[1 + w], tallies, count, w);
    figures[shown++] = rows(&figure[1], "Small p by random draws",
                            "As many trades drawn at random from the other bars of the place: "
                            "wrong, since trades of one date rise and fall together.");
    figures[shown++] = rows(&figure[2], "Small p by shifted labels",
                            "The candles moved along the bars of the place.");
    figures[shown++] = rows(&figure[3], "Small p by single trades",
                            "Two means, each trade taken by itself.");
    coverage(&figure[4], tallies, count, false);
    figures[shown++] = rows(&figure[4], "Coverage by dates",
                            "The interval of the mean that is used, by blocks of dates.");
    coverage(&figure[5], tallies, count, true);
    figures[shown++] = rows(&figure[5], "Coverage by single trades",
                            "The common interval, two standard deviations over the root of the "
                            "number of trades.");
    inside(&figure[6], tallies, count);
    if (figure[6].count > 0)
        figures[shown++] = rows(&figure[6], "Inside the bar",
                                "What one assumption about the inside of a bar does by itself, "
                                "against the steps that made the bars.");
    for (size_t c = 0; c < count; c++) {
        reliability(&each[c], &tallies[c]);
        figures[shown++] = (struct document_figure){tallies[c].name,
                                                    "Points near a diagonal, with intervals.",
                                                    each[c].caption,
                                                    282,
                                                    draw_reliability,
                                                    &each[c]};
    }
    text_init(&opening);
    text_append_format(&opening,
                       "Bars were made from fair steps, so that nothing can be known in them, and "
                       "studied like any others: %zu cases, %zu markets each. What a study says of "
                       "them is luck, and should look like it.\n",
                       count, tallies[0].seeds);
    document_init(&document);
    document_title(&document, "Studies of nothing");
    document_lines(&document, BLOCK_OPENING, &opening);
    document_words(&document, BLOCK_CAUTION, caution_results);
    for (size_t i = 0; i < shown; i++)
        document_figure(&document, &figures[i]);
    kept_table(&document, tallies, count);
    ways_table(&document, tallies, count);
    text_init(&file);
    int code = typesetter_new(&target.typesetter, &error);
    if (code == ERROR_NONE)
        code = report_write(&target, &document, &error);
    bool written = code == ERROR_NONE && write_file(path, &file);
    if (!written)
        fprintf(stderr, "null: %s: %s\n", path,
                code == ERROR_NONE ? "cannot be written" : error.text);
    typesetter_free(target.typesetter);
    document_clear(&document);
    text_free(&file);
    return written;
}
