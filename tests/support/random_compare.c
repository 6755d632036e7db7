/* Random rules of the condition `compare`. */
#include "random_market.h"
#include "random_setup.h"
#include "setup/comparing.h"

#include <string.h>

struct drawing {
    struct text *text;
    struct random_stream *stream;
    struct interval bars;
    enum comparable_kind kind;
    bool of_other;
};

static void write_number(struct drawing *drawing, const struct parameter *parameter)
{
    struct random_stream *stream = drawing->stream;
    text_append_format(drawing->text, "%s: ", parameter->name);
    if (strcmp(parameter->name, "width") == 0)
        text_append_number(drawing->text, 0.25 * (double)random_between(stream, 0, 8));
    else if (strcmp(parameter->name, "slow") == 0)
        text_append_integer(drawing->text, random_between(stream, 7, 14));
    else if (strcmp(parameter->name, "fast") == 0 || strcmp(parameter->name, "smooth") == 0)
        text_append_integer(drawing->text, random_between(stream, 1, 5));
    else
        text_append_integer(drawing->text, random_between(stream, 2, 12));
}

/* A value of the kind wanted. The t of a slope has no tolerance and is computed
 * in another order by the other side of the comparison: it is left out. */
static const struct comparable *draw_value(struct random_stream *stream, enum comparable_kind kind)
{
    const struct comparable *of_kind[64];
    size_t count = 0;
    for (const struct comparable *row = comparables; comparable_name(row) != NULL; row++)
        if (row->kind == kind)
            of_kind[count++] = row;
    return of_kind[random_below(stream, count)];
}

static const char *longer_than(struct interval bars, struct random_stream *stream)
{
    if (bars.unit == INTERVAL_DAY)
        return random_percent(stream, 50) ? "1w" : "1month";
    return bars.unit == INTERVAL_HOUR ? "1d" : NULL;
}

/* Two values of one kind with `ago` of their own are never the same one. */
static void write_value(struct drawing *drawing, int64_t ago)
{
    struct random_stream *stream = drawing->stream;
    const struct comparable *value = draw_value(stream, drawing->kind);
    const char *longer = !drawing->of_other && random_percent(stream, 10)
                             ? longer_than(drawing->bars, stream)
                             : NULL;
    text_append_format(drawing->text, "{%s: {", comparable_name(value));
    for (const struct parameter *p = comparable_parameters(value); p->name != NULL; p++) {
        write_number(drawing, p);
        text_append(drawing->text, ", ");
    }
    text_append_format(drawing->text, "bars_ago: %d", (int)ago);
    if (drawing->of_other)
        text_append(drawing->text, ", of: " RANDOM_OTHER);
    if (longer != NULL)
        text_append_format(drawing->text, ", interval: %s", longer);
    text_append(drawing->text, "}}");
}

static void write_by(struct drawing *drawing)
{
    struct random_stream *stream = drawing->stream;
    bool in_prices = drawing->kind == COMPARABLE_PRICE || drawing->kind == COMPARABLE_LENGTH;
    if (drawing->kind == COMPARABLE_HUNDRED || drawing->kind == COMPARABLE_SHARE)
        text_append_format(drawing->text, ", by: %d", (int)random_between(stream, 1, 20));
    else if (drawing->kind == COMPARABLE_VOLUME || (in_prices && random_percent(stream, 30)))
        text_append_format(drawing->text, ", by_percent: %d", (int)random_between(stream, 1, 60));
    else if (in_prices && !drawing->of_other && random_percent(stream, 50))
        text_append_format(drawing->text, ", by_ticks: %d", (int)random_between(stream, 1, 4));
    else if (in_prices || drawing->kind == COMPARABLE_DIFFERENCE)
        text_append_format(drawing->text, ", by_atr: %g",
                           0.25 * (double)random_between(stream, 1, 4));
}

/* Numbers that mean the same at every scale of prices; false where the kind has
 * none. */
static bool write_limit(struct drawing *drawing)
{
    switch (drawing->kind) {
    case COMPARABLE_HUNDRED:
    case COMPARABLE_SHARE:
        text_append_integer(drawing->text, 5 * random_between(drawing->stream, 2, 18));
        return true;
    case COMPARABLE_DIFFERENCE: text_append(drawing->text, "0"); return true;
    case COMPARABLE_VOLUME: text_append(drawing->text, "450"); return true;
    default: return false;
    }
}

void random_compare(struct text *text, struct random_stream *stream, struct interval bars,
                    bool with_interval)
{
    static const enum comparable_kind kinds[] = {COMPARABLE_PRICE,      COMPARABLE_PRICE,
                                                 COMPARABLE_LENGTH,     COMPARABLE_HUNDRED,
                                                 COMPARABLE_DIFFERENCE, COMPARABLE_SLOPE,
                                                 COMPARABLE_SHARE,      COMPARABLE_VOLUME};
    struct drawing drawing = {.text = text, .stream = stream};
    drawing.kind = kinds[random_below(stream, sizeof kinds / sizeof *kinds)];
    /* Where the condition has an interval its values have none. */
    drawing.bars = with_interval ? (struct interval){.unit = INTERVAL_NONE} : bars;
    drawing.of_other = !with_interval && random_percent(stream, 25);
    enum compare_way way = (enum compare_way)random_below(stream, 6);
    text_append(text, "value: ");
    write_value(&drawing, random_percent(stream, 80) ? 0 : 2);
    text_append_format(text, ", %s: ", compare_way_words[way]);
    if (way == WAY_RISES_FOR || way == WAY_FALLS_FOR) {
        text_append_integer(text, random_between(stream, 1, 3));
        return;
    }
    if (!random_percent(stream, 40) || !write_limit(&drawing))
        write_value(&drawing, random_percent(stream, 60) ? 1 : 5);
    else if (drawing.kind == COMPARABLE_DIFFERENCE || drawing.kind == COMPARABLE_VOLUME)
        return;
    if (random_percent(stream, 40))
        write_by(&drawing);
}
