/*
 * The condition `compare`: a value against a number, another value, or its own bars before.
 * "below, crosses_below and falls_for are above, crosses_above and rises_for on negated prices",
 * but for lengths, shares and volumes, which negating leaves as they are.
 */
#include "naive_internal.h"

#include <stdlib.h>
#include <string.h>

/* What a value is called, on negated prices too, and what it can be compared with. */
struct name {
    const char *word;
    const char *opposite;   /* NULL: the same */
    char kind;              /* p price, l length, d difference, s slope, t, h hundred, a share, v */
    bool given;             /* a price of a bar */
    const char *measured;   /* as naive_measure calls it; NULL: worked out here */
    const char *parameters; /* in that order */
};

static const struct name names[] = {
    {"open", NULL, 'p', true, NULL, ""},
    {"high", "low", 'p', true, NULL, ""},
    {"low", "high", 'p', true, NULL, ""},
    {"close", NULL, 'p', true, NULL, ""},
    {"volume", NULL, 'v', false, NULL, ""},
    {"range", NULL, 'l', false, NULL, ""},
    {"body", NULL, 'l', false, NULL, ""},
    {"upper_shadow", "lower_shadow", 'l', false, NULL, ""},
    {"lower_shadow", "upper_shadow", 'l', false, NULL, ""},
    {"average", NULL, 'p', false, "average", "bars"},
    {"exponential_average", NULL, 'p', false, "exponential_average", "bars"},
    {"wilder_average", NULL, 'p', false, "wilder_average", "bars"},
    {"true_range", NULL, 'l', false, "true_range", ""},
    {"atr", NULL, 'l', false, "atr", "length"},
    {"rsi", NULL, 'h', false, "rsi", "length"},
    {"rsi_average", NULL, 'h', false, "rsi_average", "length average"},
    {"macd", NULL, 'd', false, "macd", "fast slow"},
    {"macd_signal", NULL, 'd', false, "macd_signal", "fast slow signal"},
    {"macd_histogram", NULL, 'd', false, "macd_histogram", "fast slow signal"},
    {"stochastic_raw", NULL, 'h', false, "stochastic_raw", "length"},
    {"stochastic_smooth", NULL, 'h', false, "stochastic_smooth", "length smooth"},
    {"stochastic", NULL, 'h', false, "stochastic", "length smooth average"},
    {"deviation", NULL, 'l', false, NULL, "bars"},
    {"upper_band", "lower_band", 'p', false, "band_upper", "bars width"},
    {"lower_band", "upper_band", 'p', false, "band_lower", "bars width"},
    {"directional_up", "directional_down", 'a', false, "plus_direction", "length"},
    {"directional_down", "directional_up", 'a', false, "minus_direction", "length"},
    {"adx", NULL, 'a', false, "adx", "length"},
    {"slope", NULL, 's', false, "slope", "bars"},
    {"slope_t", NULL, 't', false, "slope_t", "bars"},
    {"highest", "lowest", 'p', true, "highest", "bars"},
    {"lowest", "highest", 'p', true, "lowest", "bars"},
    {"average_volume", NULL, 'v', false, "average_volume", "bars"},
};

static const struct name *name_of(const char *word)
{
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        if (strcmp(names[i].word, word) == 0) {
            return &names[i];
        }
    }
    return NULL;
}

bool naive_comparison_knows(const char *word)
{
    return name_of(word) != NULL;
}

static bool is_turned_by_negating(char kind)
{
    return strchr("pdsth", kind) != NULL;
}

static bool looks_down(const struct comparison *comparison)
{
    return strstr(comparison->way, "below") != NULL || strstr(comparison->way, "falls") != NULL;
}

bool naive_comparison_is_negated(const struct comparison *comparison)
{
    const struct name *name = name_of(comparison->value.word);
    return name != NULL && is_turned_by_negating(name->kind) && looks_down(comparison);
}

/* --- a value at a bar ------------------------------------------------------------------------*/

static double parameter_named(const struct compared_value *value, const char *name, size_t length)
{
    for (size_t i = 0; i < value->parameter_count; i++) {
        if (strlen(value->parameters[i].name) == length &&
            strncmp(value->parameters[i].name, name, length) == 0) {
            return value->parameters[i].number;
        }
    }
    return NAN;
}

static double measured(const struct compared_value *value, const struct name *name,
                       const struct naive_bars *bars, size_t t)
{
    double numbers[3] = {NAN, NAN, NAN};
    size_t count = 0;
    for (const char *at = name->parameters; *at != '\0' && count < 3;) {
        size_t length = strcspn(at, " ");
        numbers[count++] = parameter_named(value, at, length);
        at += length + (at[length] == ' ');
    }
    if (strcmp(name->word, "macd") == 0) {
        numbers[count++] = 1.0; /* the line itself has no signal */
    }
    if (name->measured != NULL) {
        return naive_measure(bars, name->measured, numbers, count, t);
    }
    size_t n = (size_t)numbers[0]; /* deviation: population, of the last n closes */
    if (t + 1 < n) {
        return NAN;
    }
    double mean = naive_mean_of_closes(bars, n, t);
    double squares = 0.0;
    for (size_t i = t + 1 - n; i <= t; i++) {
        squares += (bars->close[i] - mean) * (bars->close[i] - mean);
    }
    return sqrt(squares / (double)n);
}

static double value_on_bar(const struct compared_value *value, const struct name *name,
                           const struct naive_bars *bars, size_t t)
{
    double open = bars->open[t];
    double close = bars->close[t];
    if (strcmp(name->word, "open") == 0) {
        return open;
    }
    if (strcmp(name->word, "high") == 0) {
        return bars->high[t];
    }
    if (strcmp(name->word, "low") == 0) {
        return bars->low[t];
    }
    if (strcmp(name->word, "close") == 0) {
        return close;
    }
    if (strcmp(name->word, "volume") == 0) {
        return bars->volume == NULL ? NAN : bars->volume[t];
    }
    if (strcmp(name->word, "range") == 0) {
        return bars->high[t] - bars->low[t];
    }
    if (strcmp(name->word, "body") == 0) {
        return fabs(close - open);
    }
    if (strcmp(name->word, "upper_shadow") == 0) {
        return bars->high[t] - fmax(open, close);
    }
    if (strcmp(name->word, "lower_shadow") == 0) {
        return fmin(open, close) - bars->low[t];
    }
    return measured(value, name, bars, t);
}

/* A value as it is read when bar `bar` of the condition's own bars has closed. */
struct read_value {
    double value, tolerance, atr;
    double close_share; /* 1e-10 of the close */
    int64_t begins;
};

static struct owned_bars *bars_of_other(const struct chart *chart,
                                        const struct compared_value *value, bool negated,
                                        int64_t known_at, size_t *index)
{
    const struct naive_market *market = chart->market;
    *index = NAIVE_NONE;
    for (size_t i = 0; i < market->other_count; i++) {
        const struct naive_bars *bars = &market->others[i].bars;
        const char *interval = value->interval[0] != '\0' ? value->interval
                                                          : chart->bars[AS_SEEN]->view.interval;
        if (strcmp(market->others[i].name, value->of) != 0 ||
            strcmp(bars->interval, interval) != 0) {
            continue;
        }
        for (size_t t = 0; t < bars->count; t++) {
            if (naive_bucket_end(bars->time[t], bars->interval) <= known_at) {
                *index = t;
            }
        }
        return negated ? naive_bars_negated(bars) : naive_bars_copied(bars);
    }
    return NULL;
}

static struct read_value read_value(const struct chart *chart, const struct compared_value *value,
                                    const struct naive_bars *own, bool negated, size_t bar,
                                    size_t back)
{
    struct read_value read = {NAN, 0.0, NAN, 0.0, INT64_MIN};
    struct owned_bars *made = NULL;
    const struct naive_bars *bars = own;
    size_t index = bar;
    int64_t known_at = naive_bucket_end(own->time[bar], own->interval);
    const struct name *name = name_of(value->word);
    if (name == NULL) {
        read.value = value->number;
        return read;
    }
    if (value->of[0] != '\0') {
        made = bars_of_other(chart, value, negated, known_at, &index);
    } else if (value->interval[0] != '\0' && strcmp(value->interval, own->interval) != 0) {
        made = naive_longer_bars(&chart->base[negated ? NEGATED : AS_SEEN]->view, value->interval,
                                 known_at);
        index = made->view.count > 0 ? made->view.count - 1 : NAIVE_NONE;
    }
    if (made != NULL) {
        bars = &made->view;
    } else if (value->of[0] != '\0') {
        index = NAIVE_NONE;
    }
    if (index != NAIVE_NONE && index >= value->bars_ago + back) {
        size_t t = index - value->bars_ago - back;
        read.value = value_on_bar(value, name, bars, t);
        read.tolerance = naive_tolerance_of_bar(bars, t);
        read.close_share = 1e-10 * fabs(bars->close[t]);
        read.begins = bars->time[t];
        read.atr = naive_atr14(bars, t);
    }
    if (made != NULL) {
        naive_bars_free(made);
    }
    return read;
}

/* --- the comparison --------------------------------------------------------------------------*/

/* A rule as it is read: on negated prices the words and numbers are turned round. */
struct seen {
    const struct chart *chart;
    const struct naive_bars *bars;
    struct comparison rule;
    bool negated;
    bool up;
};

static void turn_value(struct compared_value *value, char kind)
{
    const struct name *name = name_of(value->word);
    if (name != NULL && name->opposite != NULL) {
        strcpy(value->word, name->opposite);
    } else if (name == NULL) {
        value->number = kind == 'h' ? 100.0 - value->number : -value->number;
    }
}

/* "Prices as given (without by) are compared as they are, as are volumes and the t of a slope;
 * 0-to-100 values and MACD with the tolerances of 2.3 (of two bars that begin together the larger
 * close's), anything else with that of the bars read." */
static double tolerance_between(const struct seen *seen, const struct read_value *a,
                                const struct read_value *b, bool with_other)
{
    const struct name *value = name_of(seen->rule.value.word);
    const struct name *other = with_other ? name_of(seen->rule.other.word) : value;
    bool given = value->given && (other == NULL || other->given) && seen->rule.by_unit[0] == '\0';
    if (value->kind == 'h' || value->kind == 'a') {
        return 1e-9;
    }
    if (given || value->kind == 'v' || value->kind == 't') {
        return 0.0;
    }
    if (value->kind == 'd') {
        return a->begins == b->begins  ? fmax(a->close_share, b->close_share)
               : a->begins > b->begins ? a->close_share
                                       : b->close_share;
    }
    return fmax(a->tolerance, b->tolerance);
}

static double beyond(const struct seen *seen, const struct read_value *value,
                     const struct read_value *other)
{
    const char *unit = seen->rule.by_unit;
    double by = seen->rule.by;
    if (unit[0] == '\0') {
        return 0.0;
    }
    if (strcmp(unit, "by_atr") == 0) {
        return by * value->atr;
    }
    if (strcmp(unit, "by_percent") == 0) {
        return by / 100.0 * fabs(other->value);
    }
    if (strcmp(unit, "by_ticks") == 0) {
        return by * seen->chart->market->tick;
    }
    return by;
}

/* Whether the value lies beyond the other at a bar (`strictly`), or has not got beyond it. */
static enum verdict lies_beyond(const struct seen *seen, size_t bar, bool strictly)
{
    struct read_value value = read_value(seen->chart, &seen->rule.value, seen->bars, seen->negated,
                                         bar, 0);
    struct read_value other = read_value(seen->chart, &seen->rule.other, seen->bars, seen->negated,
                                         bar, 0);
    double by = beyond(seen, &value, &other);
    double line = seen->up ? other.value + by : other.value - by;
    double tolerance = tolerance_between(seen, &value, &other, true);
    if (isnan(value.value) || isnan(line)) {
        return UNDEFINED;
    }
    bool yes = seen->up ? exceeds(value.value, line, tolerance)
                        : falls_short(value.value, line, tolerance);
    return yes == strictly ? YES : NO;
}

static enum verdict runs(const struct seen *seen, size_t bar)
{
    for (size_t back = 0; back < seen->rule.run; back++) {
        struct read_value now = read_value(seen->chart, &seen->rule.value, seen->bars,
                                           seen->negated, bar, back);
        struct read_value before = read_value(seen->chart, &seen->rule.value, seen->bars,
                                              seen->negated, bar, back + 1);
        double tolerance = tolerance_between(seen, &now, &before, false);
        if (isnan(now.value) || isnan(before.value)) {
            return UNDEFINED;
        }
        if (!(seen->up ? exceeds(now.value, before.value, tolerance)
                       : falls_short(now.value, before.value, tolerance))) {
            return NO;
        }
    }
    return YES;
}

enum verdict naive_comparison_at(const struct chart *chart, const struct comparison *comparison,
                                 const struct naive_bars *bars, size_t bar)
{
    struct seen seen = {.chart = chart,
                        .bars = bars,
                        .rule = *comparison,
                        .negated = naive_comparison_is_negated(comparison),
                        .up = !looks_down(comparison)};
    if (seen.negated) {
        char kind = name_of(comparison->value.word)->kind;
        turn_value(&seen.rule.value, kind);
        turn_value(&seen.rule.other, kind);
        seen.up = true;
    }
    if (comparison->run > 0) {
        return runs(&seen, bar);
    }
    if (strstr(comparison->way, "crosses") == NULL) {
        return lies_beyond(&seen, bar, true);
    }
    if (bar == 0) {
        return UNDEFINED;
    }
    enum verdict now = lies_beyond(&seen, bar, true);
    enum verdict before = lies_beyond(&seen, bar - 1, false);
    if (now == UNDEFINED || before == UNDEFINED) {
        return UNDEFINED;
    }
    return now == YES && before == YES ? YES : NO;
}
