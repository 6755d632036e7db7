#include "prices/csv_sniff.h"

#include "base/calendar.h"
#include "market/longer.h"
#include "prices/csv_cells.h"

#include <stdlib.h>
#include <string.h>

/* Lines looked at before the reading; only the order of day and month may
 * need more. */
enum { SAMPLE = 400 };

struct sample {
    int64_t seconds[SAMPLE];
    size_t count;
    bool has_clock; /* some time of day was not midnight */
    struct csv_style_votes votes;
};

static int read_header(struct csv_reader *reader, struct error *error)
{
    struct csv_line line;
    int code = csv_next_line(reader, &line, error);
    if (code != ERROR_NONE)
        return code;
    if (line.bytes == NULL)
        return error_set(error, ERROR_INPUT,
                         "has only blank lines; a header and lines of prices are needed");
    if (line.whole > line.length)
        return error_set(error, ERROR_INPUT, "the first line has %zu bytes; a header is needed",
                         line.whole);
    code = csv_columns_read(&reader->columns, line.bytes, line.length, reader->options->columns,
                            error);
    for (int role = CSV_TIME; code == ERROR_NONE && role < CSV_ROLE_COUNT; role++)
        if (reader->columns.where[role] >= 0)
            reader->roles[reader->columns.where[role]] = role;
    return code;
}

/* Day before month or behind? Looks through the file until a number beyond 12
 * tells; if none does, the order in which the times run one way. */
static int find_order(struct csv_reader *reader, struct error *error)
{
    struct csv_line line;
    char reason[CSV_REASON_SIZE];
    int proof[2] = {0};                             /* first number beyond 12; second */
    bool runs[2][2] = {{true, true}, {true, true}}; /* dmy, mdy: rising, falling */
    int64_t before[2] = {0};
    uint64_t seen = 0;
    int code = ERROR_NONE;
    while ((code = csv_next_line(reader, &line, error)) == ERROR_NONE && line.bytes != NULL &&
           proof[0] + proof[1] < SAMPLE) {
        struct csv_field fields[CSV_MOST_COLUMNS + 1];
        struct csv_moment moment;
        if (!csv_line_fields(reader, &line, fields, reason) ||
            !csv_line_moment(reader, fields, &moment, reason) || moment.first_number == 0)
            continue;
        proof[0] += moment.first_number > 12;
        proof[1] += moment.second_number > 12;
        for (int order = 0; order < 2 && proof[0] + proof[1] == 0; order++) {
            struct csv_moment read;
            struct csv_field none = {NULL, 0};
            csv_moment_read(fields[reader->columns.where[CSV_TIME]], none,
                            order == 0 ? CSV_DATES_DMY : CSV_DATES_MDY, &read);
            runs[order][0] &= seen == 0 || read.seconds >= before[order];
            runs[order][1] &= seen == 0 || read.seconds <= before[order];
            before[order] = read.seconds;
        }
        seen++;
    }
    if (code != ERROR_NONE)
        return code;
    bool day_first = runs[0][0] || runs[0][1];
    bool month_first = runs[1][0] || runs[1][1];
    if (proof[0] != proof[1])
        reader->facts.dates = proof[0] > proof[1] ? CSV_DATES_DMY : CSV_DATES_MDY;
    else if (proof[0] == 0 && seen > 2 && day_first != month_first)
        reader->facts.dates = day_first ? CSV_DATES_DMY : CSV_DATES_MDY;
    else
        return error_because(error, ERROR_INPUT, ERROR_REASON_UNCLEAR_DATES,
                             "its dates could be day/month or month/day, and no line tells");
    return ERROR_NONE;
}

/* Collects the moments and the look of the numbers of the first lines. */
static int take_sample(struct csv_reader *reader, struct sample *sample, bool *ambiguous,
                       struct error *error)
{
    struct csv_line line;
    char reason[CSV_REASON_SIZE];
    int code = ERROR_NONE;
    size_t numbers = 0;
    sample->count = 0;
    for (size_t i = 0; i < SAMPLE; i++) {
        struct csv_field fields[CSV_MOST_COLUMNS + 1];
        struct csv_moment moment;
        code = csv_next_line(reader, &line, error);
        if (code != ERROR_NONE || line.bytes == NULL)
            break;
        if (!csv_line_fields(reader, &line, fields, reason))
            continue;
        for (int role = CSV_OPEN; role <= CSV_PRICE; role++)
            if (reader->columns.where[role] >= 0 && role != CSV_VOLUME)
                csv_style_look(&sample->votes, fields[reader->columns.where[role]]);
        if (!csv_line_moment(reader, fields, &moment, reason))
            continue;
        numbers += moment.first_number > 0;
        sample->has_clock = sample->has_clock || (moment.has_clock && moment.seconds % 86400 != 0);
        sample->seconds[sample->count++] = moment.seconds;
    }
    /* A stray line of that kind in another file is set aside by itself. */
    *ambiguous = numbers * 2 > sample->count;
    return code;
}

static bool runs_backwards(const struct sample *sample)
{
    size_t falling = 0;
    size_t rising = 0;
    for (size_t i = 1; i < sample->count; i++) {
        falling += sample->seconds[i] < sample->seconds[i - 1];
        rising += sample->seconds[i] > sample->seconds[i - 1];
    }
    return falling > rising;
}

static int64_t greatest_common_divisor(int64_t a, int64_t b)
{
    while (b != 0) {
        int64_t rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

/* The steps between the times of the first lines, oldest first. */
struct steps {
    size_t count;
    int64_t shortest;
    int64_t common; /* their greatest common divisor */
};

static struct steps look_at_steps(const struct sample *sample)
{
    struct steps steps = {.shortest = INT64_MAX};
    for (size_t i = 1; i < sample->count; i++) {
        int64_t step = sample->seconds[i] - sample->seconds[i - 1];
        if (step <= 0)
            continue;
        steps.count++;
        steps.shortest = step < steps.shortest ? step : steps.shortest;
        steps.common = greatest_common_divisor(step, steps.common);
    }
    return steps;
}

/* Whether the bars are longer than asked for. Shorter ones of which many are
 * missing would all fall on the longer steps once in a hundred times. */
static bool are_longer(const struct sample *sample, const struct steps *steps,
                       struct interval asked)
{
    if (!sample->has_clock && !interval_is_dated(asked))
        return sample->count > 0;
    int64_t length = interval_seconds(asked);
    int64_t least = 5 * SECONDS_PER_DAY;
    if (asked.unit == INTERVAL_DAY && steps->shortest >= least * asked.count && steps->count >= 3)
        return true; /* weeks, months */
    double chance = 1;
    for (size_t i = 0; i < steps->count && steps->common > length && chance > 0.01; i++)
        chance *= (double)length / (double)steps->common;
    return chance <= 0.01;
}

static int check_interval(const struct csv_reader *reader, const struct sample *sample,
                          struct error *error)
{
    char text[INTERVAL_TEXT_SIZE];
    struct interval asked = reader->options->interval;
    struct steps steps = look_at_steps(sample);
    if (steps.count > 1 && steps.common < 60 &&
        interval_guess_step(sample->seconds, sample->count) < 60)
        return error_set(error, ERROR_INPUT,
                         "its bars are %lld seconds apart; bars of a minute and longer are read, "
                         "and shorter ones as times and prices, from which bars are made",
                         (long long)steps.shortest);
    if (asked.unit == INTERVAL_NONE || !are_longer(sample, &steps, asked))
        return ERROR_NONE;
    interval_format(text, asked);
    if (!sample->has_clock && !interval_is_dated(asked))
        return error_set(error, ERROR_INPUT,
                         "its times are dates, and bars of %s were asked for; leave that out, or "
                         "say a length of days",
                         text);
    bool days = steps.shortest >= SECONDS_PER_DAY;
    return error_set(
        error, ERROR_INPUT,
        "its bars are at least %lld %s apart, and bars of %s were asked for; leave that out, or say "
        "the length they have",
        (long long)(days ? steps.shortest / SECONDS_PER_DAY : steps.shortest / 60),
        days ? "days" : "minutes", text);
}

static int settle_interval(struct csv_reader *reader, struct sample *sample, struct error *error)
{
    struct csv_facts *facts = &reader->facts;
    struct interval asked = reader->options->interval;
    facts->interval = asked;
    if (facts->observations && facts->interval.unit == INTERVAL_NONE)
        return error_because(error, ERROR_INPUT, ERROR_REASON_NO_BAR_LENGTH,
                             "holds times and prices, and the length of the bars to make of them "
                             "is not said");
    if (facts->newest_first)
        for (size_t i = 0; i < sample->count / 2; i++) {
            int64_t swap = sample->seconds[i];
            sample->seconds[i] = sample->seconds[sample->count - 1 - i];
            sample->seconds[sample->count - 1 - i] = swap;
        }
    int code = facts->observations ? ERROR_NONE : check_interval(reader, sample, error);
    if (code != ERROR_NONE)
        return code;
    /* Shorter bars than were asked for are taken as they are: longer ones can
     * be made of them. */
    struct interval seen = interval_guess(sample->seconds, sample->count);
    if (asked.unit == INTERVAL_NONE ||
        (!facts->observations && interval_seconds(seen) < interval_seconds(asked) &&
         longer_possible(seen, asked)))
        facts->interval = seen;
    if (facts->interval.unit == INTERVAL_NONE && !sample->has_clock && sample->count > 0)
        facts->interval = (struct interval){INTERVAL_DAY, 1};
    facts->dated = interval_is_dated(facts->interval);
    return ERROR_NONE;
}

/* Back to the first line of prices. */
static int back_to_prices(struct csv_reader *reader, struct error *error)
{
    struct csv_line header;
    int code = csv_lines_rewind(&reader->lines, error);
    return code == ERROR_NONE && !reader->columns.headless ? csv_next_line(reader, &header, error)
                                                           : code;
}

int csv_sniff(struct csv_reader *reader, struct error *error)
{
    struct sample *sample = calloc(1, sizeof *sample);
    bool ambiguous = false;
    if (sample == NULL)
        return error_memory(error);
    int code = read_header(reader, error);
    reader->facts.dates = reader->options->dates;
    reader->facts.size = reader->lines.size;
    if (code == ERROR_NONE)
        code = back_to_prices(reader, error);
    if (code == ERROR_NONE)
        code = take_sample(reader, sample, &ambiguous, error);
    if (code == ERROR_NONE && ambiguous && reader->facts.dates == CSV_DATES_ANY) {
        code = back_to_prices(reader, error);
        if (code == ERROR_NONE)
            code = find_order(reader, error);
        if (code == ERROR_NONE)
            code = back_to_prices(reader, error);
        if (code == ERROR_NONE)
            code = take_sample(reader, sample, &ambiguous, error);
    }
    if (code == ERROR_NONE) {
        reader->facts.observations = reader->columns.observations;
        reader->facts.style = csv_style_settle(&sample->votes, reader->columns.separator);
        reader->facts.newest_first = runs_backwards(sample);
        code = settle_interval(reader, sample, error);
    }
    if (code == ERROR_NONE)
        code = back_to_prices(reader, error);
    free(sample);
    return code;
}
