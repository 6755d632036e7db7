#include "market/findings.h"

#include "base/array.h"
#include "base/calendar.h"
#include "market/scale.h"
#include "market/session.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const struct {
    const char *name;
    const char *words;
} rows[FINDING_KINDS] = {
    [FINDING_GAP] = {"gap",
                     "Bars are missing where the session's calendar has some. Candles behind "
                     "a gap have a wrong past: falls, averages and swings reach over it."},
    [FINDING_DOUBLE] = {"double",
                        "A bar repeats the one before in every number. One of the two was "
                        "not traded: it makes a candle out of nothing."},
    [FINDING_RANGE] = {"range",
                       "The range is far out of the ordinary. One wrong high or low is a long "
                       "shadow that nobody traded; look before a setup does."},
    [FINDING_JUMP] = {"jump",
                      "The open is far from the close before. It may be news, a wrong price, "
                      "or prices not adjusted for a split or a roll."},
    [FINDING_SPLIT] = {"split", "The open stands to the close before in the ratio of a split, and "
                                "nothing like it is near. Unless it is entered as one, the chart "
                                "shows a fall that never was."},
    [FINDING_STALE] = {"stale", "Bars in a row stay at one price. They are filled in, or nobody "
                                "traded; a candle without a range has no shape, and averages of "
                                "ranges sink."},
    [FINDING_ZERO_VOLUME] = {"zero_volume",
                             "Bars have a volume of nought. Their prices were quoted or "
                             "filled in, not traded."},
    [FINDING_OPENS] = {"opens",
                       "Many opens repeat the close before. Bodies are not trades: the open "
                       "was copied, so bodies, shadows and gaps of these candles are not "
                       "what the market did. Where trading never stops it can be true."},
    [FINDING_OFF_GRID] = {"off_grid",
                          "Prices lie between the ticks. They are adjusted or averaged, or "
                          "the tick is wrong; orders can only stand on the grid."},
    [FINDING_ENDED] = {"ended",
                       "The instrument has ended, or its bars have. It belongs in a study, or "
                       "only survivors are studied; it can give no new signal."},
};

const char *finding_name(enum finding_kind kind)
{
    return rows[kind].name;
}

const char *finding_words(enum finding_kind kind)
{
    return rows[kind].words;
}

static void note(struct finding *finding, int64_t time, double value)
{
    finding->count++;
    if (finding->example_count == FINDING_EXAMPLES)
        return;
    finding->examples[finding->example_count].time = time;
    finding->examples[finding->example_count++].value = value;
}

/* Keeps the largest values, largest first. */
static void note_large(struct finding *finding, int64_t time, double value)
{
    size_t at = finding->example_count;
    finding->count++;
    while (at > 0 && finding->examples[at - 1].value < value)
        at--;
    if (at == FINDING_EXAMPLES)
        return;
    if (finding->example_count < FINDING_EXAMPLES)
        finding->example_count++;
    for (size_t i = finding->example_count - 1; i > at; i--)
        finding->examples[i] = finding->examples[i - 1];
    finding->examples[at].time = time;
    finding->examples[at].value = value;
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a;
    double y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Sorts the values. */
static double median(double *values, size_t count)
{
    qsort(values, count, sizeof *values, by_size);
    return count % 2 != 0 ? values[count / 2] : (values[count / 2 - 1] + values[count / 2]) / 2;
}

void robust_z(const double *x, size_t count, double *z, double *scratch)
{
    double mean = 0;
    if (count == 0)
        return;
    memcpy(scratch, x, count * sizeof *x);
    double middle = median(scratch, count);
    for (size_t i = 0; i < count; i++) {
        scratch[i] = fabs(x[i] - middle);
        mean += scratch[i] / (double)count;
    }
    double spread = 1.4826 * median(scratch, count);
    if (spread == 0)
        spread = 1.2533 * mean;
    for (size_t i = 0; i < count; i++)
        z[i] = spread > 0 ? (x[i] - middle) / spread : 0;
}

/* Divides ranges and jumps by the median range of the block of 100 bars and the
 * 50 on either side; 0 where all of those stand still. */
static void scale_to_neighbours(double *ranges, double *jumps, size_t count, double *scratch)
{
    enum { BLOCK = 100, AROUND = 50 };
    double window[BLOCK + 2 * AROUND];
    memcpy(scratch, ranges, count * sizeof *ranges);
    for (size_t first = 0; first < count; first += BLOCK) {
        size_t last = first + BLOCK < count ? first + BLOCK : count;
        size_t from = first > AROUND ? first - AROUND : 0;
        size_t to = last + AROUND < count ? last + AROUND : count;
        memcpy(window, scratch + from, (to - from) * sizeof *window);
        double level = median(window, to - from);
        for (size_t i = first; i < last; i++) {
            ranges[i] = level > 0 ? ranges[i] / level : 0;
            jumps[i] = level > 0 ? jumps[i] / level : 0;
        }
    }
}

static int find_outliers(struct findings *findings, const struct bars *bars, struct error *error)
{
    size_t count = bars->count;
    double *ranges = array_new(count, 4 * sizeof *ranges);
    if (ranges == NULL)
        return error_memory(error);
    double *jumps = ranges + count;
    double *z = jumps + count;
    double *scratch = z + count;
    for (size_t i = 0; i < count; i++) {
        ranges[i] = bars->high[i] - bars->low[i];
        jumps[i] = i > 0 ? fabs(bars->open[i] - bars->close[i - 1]) : 0;
    }
    scale_to_neighbours(ranges, jumps, count, scratch);
    struct finding *finding = &findings->kinds[FINDING_RANGE];
    finding->of = count;
    robust_z(ranges, count, z, scratch);
    for (size_t i = 0; i < count; i++)
        if (z[i] > OUTLIER_Z && ranges[i] > OUTLIER_RANGES)
            note_large(finding, bars->time[i], z[i]);
    finding = &findings->kinds[FINDING_JUMP];
    finding->of = count - 1;
    robust_z(jumps + 1, count - 1, z, scratch);
    for (size_t i = 1; i < count; i++)
        if (z[i - 1] > OUTLIER_Z && jumps[i] > OUTLIER_RANGES)
            note_large(finding, bars->time[i], z[i - 1]);
    free(ranges);
    return ERROR_NONE;
}

/* The logarithm of the move from the close before to the open; 0 where it has
 * none. */
static double jump_of(const struct bars *bars, size_t i)
{
    if (i == 0 || !(bars->open[i] > 0) || !(bars->close[i - 1] > 0))
        return 0;
    return log(bars->open[i] / bars->close[i - 1]);
}

static bool is_alone(const struct bars *bars, size_t at, double jump)
{
    size_t from = at > SPLIT_ALONE ? at - SPLIT_ALONE : 0;
    for (size_t i = from; i <= at + SPLIT_ALONE && i < bars->count; i++)
        if (i != at && fabs(jump_of(bars, i)) > fabs(jump) / 2)
            return false;
    return true;
}

static void find_splits(struct finding *finding, const struct bars *bars)
{
    static const double ratios[] = {1.5, 2, 2.5, 3, 4, 5, 6, 7, 8, 10, 15, 20, 25, 30, 50, 100};
    finding->of = bars->count - 1;
    for (size_t i = 1; i < bars->count; i++) {
        double jump = jump_of(bars, i);
        bool near = false;
        for (size_t r = 0; r < sizeof ratios / sizeof ratios[0]; r++)
            near = near || fabs(fabs(jump) - log(ratios[r])) <= SPLIT_NEAR;
        if (near && is_alone(bars, i, jump))
            note(finding, bars->time[i], exp(jump));
    }
}

static bool same_bar(const struct bars *bars, size_t a, size_t b)
{
    return bars->open[a] == bars->open[b] && bars->high[a] == bars->high[b] &&
           bars->low[a] == bars->low[b] && bars->close[a] == bars->close[b] &&
           (bars->volume[a] == bars->volume[b] ||
            (isnan(bars->volume[a]) && isnan(bars->volume[b])));
}

static void find_repeats(struct findings *findings, const struct bars *bars)
{
    struct finding *doubles = &findings->kinds[FINDING_DOUBLE];
    struct finding *opens = &findings->kinds[FINDING_OPENS];
    struct finding *zero = &findings->kinds[FINDING_ZERO_VOLUME];
    doubles->of = opens->of = bars->count - 1;
    for (size_t i = 0; i < bars->count; i++) {
        zero->of += isnan(bars->volume[i]) ? 0 : 1;
        if (bars->volume[i] == 0)
            note(zero, bars->time[i], NAN);
        if (i == 0)
            continue;
        if (same_bar(bars, i - 1, i) && bars->high[i] > bars->low[i])
            note(doubles, bars->time[i], NAN);
        if (bars->open[i] == bars->close[i - 1])
            note(opens, bars->time[i], NAN);
    }
    if ((double)opens->count <= OPENS_SHARE * (double)opens->of)
        *opens = (struct finding){.of = opens->of};
}

static void find_stale(struct finding *finding, const struct bars *bars)
{
    size_t run = 0;
    finding->of = bars->count;
    for (size_t i = 0; i <= bars->count; i++) {
        bool flat = i < bars->count && bars->high[i] == bars->low[i];
        if (flat && (run == 0 || bars->close[i] == bars->close[i - 1])) {
            run++;
            continue;
        }
        if (run >= STALE_BARS)
            note(finding, bars->time[i - run], (double)run);
        run = flat;
    }
}

static bool is_on(const struct tick *tick, double price)
{
    return tick_round_up(tick, price) == tick_round_down(tick, price);
}

static void find_off_grid(struct finding *finding, const struct bars *bars,
                          const struct dated_tick *ticks, size_t tick_count)
{
    size_t t = 0;
    for (size_t i = 0; i < bars->count; i++) {
        while (t < tick_count && ticks[t].since <= bars->time[i])
            t++;
        if (t == 0)
            continue;
        finding->of++;
        const double prices[] = {bars->open[i], bars->high[i], bars->low[i], bars->close[i]};
        for (int p = 0; p < 4; p++) {
            double traded = bars_traded(bars, i, prices[p]);
            if (is_on(&ticks[t - 1].tick, traded))
                continue;
            note(finding, bars->time[i], traded);
            break;
        }
    }
}

/* The trading day of a bar. */
static int64_t day_of_bar(struct session *session, const struct bars *bars, size_t i)
{
    return interval_is_dated(bars->interval) ? day_of_time(bars->time[i])
                                             : session_day(session, bars->time[i]);
}

/* The days of the week on which the market trades: the instrument's, else those
 * that have at least half as many bars as the fullest. */
static unsigned trading_days(struct session *session, const struct bars *bars)
{
    size_t counts[7] = {0};
    size_t most = 0;
    unsigned days = 0;
    if (session->days != 0)
        return session->days;
    for (size_t i = 0; i < bars->count; i++) {
        size_t *day = &counts[weekday_of_day(day_of_bar(session, bars, i))];
        most = ++*day > most ? *day : most;
    }
    for (unsigned d = 0; d < 7; d++)
        if (2 * counts[d] >= most)
            days |= 1u << d;
    return days;
}

/* Trading days strictly between two days. */
static int64_t days_between(unsigned days, int64_t from, int64_t to)
{
    int64_t count = (to - from - 1) / 7 * __builtin_popcount(days);
    for (int64_t day = to - (to - from - 1) % 7; day < to; day++)
        count += (days & 1u << weekday_of_day(day)) != 0;
    return count;
}

/* Days of the session without a bar, and of shorter bars those missing inside
 * one day. */
static void find_day_gaps(struct finding *finding, const struct bars *bars, struct session *session)
{
    unsigned days = trading_days(session, bars);
    int64_t length = interval_seconds(bars->interval);
    int64_t before = day_of_bar(session, bars, 0);
    for (size_t i = 1; i < bars->count; i++) {
        int64_t day = day_of_bar(session, bars, i);
        int64_t step = bars->time[i] - bars->time[i - 1];
        int64_t missing = days_between(days, before, day);
        if (day == before && 2 * step >= 3 * length)
            note(finding, bars->time[i], round((double)step / (double)length) - 1);
        else if (day != before && missing >= GAP_DAYS)
            note(finding, bars->time[i], (double)missing);
        before = day;
    }
}

/* Weeks, months and stretches of days by their lengths. */
static void find_length_gaps(struct finding *finding, const struct bars *bars)
{
    int64_t length = interval_seconds(bars->interval);
    for (size_t i = 1; i < bars->count; i++) {
        int64_t step = bars->time[i] - bars->time[i - 1];
        if (2 * step >= 3 * length)
            note(finding, bars->time[i], round((double)step / (double)length) - 1);
    }
}

static int find_gaps(struct finding *finding, const struct bars *bars,
                     const struct instrument *instrument, struct error *error)
{
    struct session session;
    finding->of = bars->count - 1;
    if (bars->interval.unit == INTERVAL_NONE)
        return ERROR_NONE;
    int code = session_open(&session, instrument, error);
    bool days = bars->interval.unit == INTERVAL_DAY && bars->interval.count == 1;
    if (code == ERROR_NONE && (days || !interval_is_dated(bars->interval)))
        find_day_gaps(finding, bars, &session);
    else if (code == ERROR_NONE)
        find_length_gaps(finding, bars);
    session_close(&session);
    return code;
}

void findings_end(struct findings *findings, const struct instrument *instrument, int64_t last,
                  int64_t newest)
{
    struct finding *finding = &findings->kinds[FINDING_ENDED];
    *finding = (struct finding){.of = 1};
    if (instrument->last_known || newest - last > ENDED_DAYS * (int64_t)SECONDS_PER_DAY)
        note(finding, instrument->last_known ? instrument->last_date : last, NAN);
}

int findings_make(struct findings *findings, const struct bars *bars,
                  const struct instrument *instrument, const struct dated_tick *ticks,
                  size_t tick_count, int64_t newest, struct error *error)
{
    *findings = (struct findings){0};
    if (bars->count == 0)
        return ERROR_NONE;
    int code = find_gaps(&findings->kinds[FINDING_GAP], bars, instrument, error);
    if (code == ERROR_NONE)
        code = find_outliers(findings, bars, error);
    if (code != ERROR_NONE)
        return code;
    find_repeats(findings, bars);
    find_splits(&findings->kinds[FINDING_SPLIT], bars);
    find_stale(&findings->kinds[FINDING_STALE], bars);
    find_off_grid(&findings->kinds[FINDING_OFF_GRID], bars, ticks, tick_count);
    findings_end(findings, instrument, bars->time[bars->count - 1], newest);
    return ERROR_NONE;
}
