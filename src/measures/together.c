/* Measures of several sheets at once (series.h tells why). */
#include "measures/measure_rows.h"
#include "measures/series.h"

/* Lanes over the closes of sheets. */
static void close_lanes(struct sheet *const *sheets, struct filling *const *columns,
                        struct lane *lanes)
{
    for (int l = 0; l < LANE_COUNT; l++)
        lanes[l] = (struct lane){sheet_bars(sheets[l])->close, columns[l]->values,
                                 columns[l]->first, sheet_count(sheets[l])};
}

/* Lanes over another measure of sheets, made first where it is missing. */
static bool measure_lanes(struct sheet *const *sheets, enum measure_id id, const double *values,
                          struct filling *const *columns, struct lane *lanes)
{
    sheets_measure(sheets, LANE_COUNT, &measures[id], values);
    for (int l = 0; l < LANE_COUNT; l++) {
        const double *column = sheet_measure(sheets[l], &measures[id], values);
        if (column == NULL)
            return false;
        lanes[l] = (struct lane){column, columns[l]->values, columns[l]->first,
                                 sheet_count(sheets[l])};
    }
    return true;
}

bool atr_together(struct sheet *const *sheets, const double *values, struct filling *const *columns)
{
    static const double none[PARAMETER_LIMIT] = {0};
    struct lane lanes[LANE_COUNT];
    if (!measure_lanes(sheets, MEASURE_TRUE_RANGE, none, columns, lanes))
        return false;
    series_wilder_mean_lanes(lanes, length_of(values[0]));
    return true;
}

bool rsi_together(struct sheet *const *sheets, const double *values, struct filling *const *columns)
{
    struct lane lanes[LANE_COUNT];
    struct rsi_state states[LANE_COUNT];
    struct rsi_state *each[LANE_COUNT];
    close_lanes(sheets, columns, lanes);
    for (int l = 0; l < LANE_COUNT; l++) {
        states[l] = (struct rsi_state){columns[l]->state[0], columns[l]->state[1]};
        each[l] = &states[l];
    }
    series_rsi_lanes(lanes, length_of(values[0]), each);
    for (int l = 0; l < LANE_COUNT; l++) {
        columns[l]->state[0] = states[l].up;
        columns[l]->state[1] = states[l].down;
    }
    return true;
}

bool rsi_average_together(struct sheet *const *sheets, const double *values,
                          struct filling *const *columns)
{
    struct lane lanes[LANE_COUNT];
    if (!measure_lanes(sheets, MEASURE_RSI, values, columns, lanes))
        return false;
    for (int l = 0; l < LANE_COUNT; l++)
        series_mean(lanes[l].x, lanes[l].first, lanes[l].count, length_of(values[1]), lanes[l].out);
    return true;
}

bool exponential_mean_together(struct sheet *const *sheets, const double *values,
                               struct filling *const *columns)
{
    struct lane lanes[LANE_COUNT];
    close_lanes(sheets, columns, lanes);
    series_exponential_mean_lanes(lanes, length_of(values[0]));
    return true;
}

bool macd_together(struct sheet *const *sheets, const double *values,
                   struct filling *const *columns)
{
    struct lane fast[LANE_COUNT];
    struct lane slow[LANE_COUNT];
    if (!measure_lanes(sheets, MEASURE_EXPONENTIAL_AVERAGE, values, columns, fast) ||
        !measure_lanes(sheets, MEASURE_EXPONENTIAL_AVERAGE, values + 1, columns, slow))
        return false;
    for (int l = 0; l < LANE_COUNT; l++)
        subtract(fast[l].x, slow[l].x, fast[l].first, fast[l].count, fast[l].out);
    return true;
}

bool macd_signal_together(struct sheet *const *sheets, const double *values,
                          struct filling *const *columns)
{
    struct lane lanes[LANE_COUNT];
    if (!measure_lanes(sheets, MEASURE_MACD, values, columns, lanes))
        return false;
    series_exponential_mean_lanes(lanes, length_of(values[2]));
    return true;
}

bool macd_histogram_together(struct sheet *const *sheets, const double *values,
                             struct filling *const *columns)
{
    struct lane lanes[LANE_COUNT];
    if (!measure_lanes(sheets, MEASURE_MACD_SIGNAL, values, columns, lanes))
        return false;
    for (int l = 0; l < LANE_COUNT; l++)
        if (!compute_macd_histogram(sheets[l], values, columns[l]))
            return false;
    return true;
}
