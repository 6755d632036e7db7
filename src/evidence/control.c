#include "evidence/control.h"

#include "base/array.h"
#include "evidence/summary.h"

#include <math.h>
#include <stdlib.h>

/* One instrument and band. */
struct cell {
    size_t setup;
    size_t others;
    double others_sum;
};

/* Arrays of one arm for estimate_difference. */
struct arm_room {
    size_t *date;
    double *value;
    double *weight;
    size_t count;
};

static int room_init(struct arm_room *room, size_t count, struct error *error)
{
    room->count = 0;
    room->date = array_new(count, sizeof *room->date);
    room->value = array_new(count, sizeof *room->value);
    room->weight = array_new(count, sizeof *room->weight);
    return room->date == NULL || room->value == NULL || room->weight == NULL ? error_memory(error)
                                                                             : ERROR_NONE;
}

static void room_free(struct arm_room *room)
{
    free(room->date);
    free(room->value);
    free(room->weight);
}

static void room_add(struct arm_room *room, size_t date, double value, double weight)
{
    room->date[room->count] = date;
    room->value[room->count] = value;
    room->weight[room->count++] = weight;
}

static int find_bands(struct control *control, const struct control_trade *setup, size_t count,
                      struct error *error)
{
    double *risk = array_new(count, sizeof *risk);
    size_t found = 0;
    if (risk == NULL)
        return error_memory(error);
    for (size_t i = 0; i < count; i++)
        if (!isnan(setup[i].risk_atr))
            risk[found++] = setup[i].risk_atr;
    sort_numbers(risk, found);
    for (size_t e = 0; e + 1 < CONTROL_BANDS; e++)
        control->edges[e] = quantile_sorted(risk, found, (double)(e + 1) / CONTROL_BANDS);
    double spread = control->edges[CONTROL_BANDS - 2] - control->edges[0];
    bool alike = !(spread >= 0.01 * quantile_sorted(risk, found, 0.5));
    control->bands = alike ? 1 : CONTROL_BANDS;
    free(risk);
    return ERROR_NONE;
}

static struct cell *cell_of(const struct control *control, struct cell *cells,
                            const struct control_trade *trade)
{
    size_t band = 0;
    while (band + 1 < control->bands && trade->risk_atr > control->edges[band])
        band++;
    return &cells[trade->instrument * CONTROL_BANDS + band];
}

static bool counts(const struct control_trade *trade)
{
    return !isnan(trade->r) && !isnan(trade->risk_atr);
}

static double others_mean(const struct cell *cell)
{
    return cell->others > 0 ? cell->others_sum / (double)cell->others : NAN;
}

static void fill_setup(struct control *control, struct arm_room *room, struct cell *cells,
                       const struct control_trade *setup, size_t count, double *cell_others)
{
    for (size_t i = 0; i < count; i++) {
        if (cell_others != NULL)
            cell_others[i] = NAN;
        if (!counts(&setup[i]))
            continue;
        double mean = others_mean(cell_of(control, cells, &setup[i]));
        if (cell_others != NULL)
            cell_others[i] = mean;
        if (isnan(mean))
            control->without_others++;
        else
            room_add(room, setup[i].date, setup[i].r - mean, 1);
    }
    control->setup = room->count;
}

static void fill_others(struct control *control, struct arm_room *room, struct cell *cells,
                        const struct control_trade *others, size_t count)
{
    double sum = 0;
    double weights = 0;
    for (size_t i = 0; i < count; i++) {
        if (!counts(&others[i]))
            continue;
        const struct cell *cell = cell_of(control, cells, &others[i]);
        if (cell->setup == 0)
            continue;
        double weight = (double)cell->setup / (double)cell->others;
        room_add(room, others[i].date, others[i].r - others_mean(cell), weight);
        sum += weight * others[i].r;
        weights += weight;
    }
    control->others = room->count;
    control->others_mean = weights > 0 ? sum / weights : NAN;
}

static void count_cells(const struct control *control, struct cell *cells,
                        const struct control_trade *setup, size_t setup_count,
                        const struct control_trade *others, size_t other_count)
{
    for (size_t i = 0; i < setup_count; i++)
        if (counts(&setup[i]))
            cell_of(control, cells, &setup[i])->setup++;
    for (size_t i = 0; i < other_count; i++) {
        if (!counts(&others[i]))
            continue;
        struct cell *cell = cell_of(control, cells, &others[i]);
        cell->others++;
        cell->others_sum += others[i].r;
    }
}

int control_estimate(struct control *control, const struct control_trade *setup, size_t setup_count,
                     const struct control_trade *others, size_t other_count,
                     size_t instrument_count, size_t date_count, const struct estimate_plan *plan,
                     double *setup_cell_others, struct error *error)
{
    struct arm_room rooms[2] = {{0}, {0}};
    *control = (struct control){.others_mean = NAN};
    struct cell *cells = calloc(instrument_count * CONTROL_BANDS + 1, sizeof *cells);
    int code = cells == NULL ? error_memory(error) : find_bands(control, setup, setup_count, error);
    if (code == ERROR_NONE)
        code = room_init(&rooms[0], setup_count, error);
    if (code == ERROR_NONE)
        code = room_init(&rooms[1], other_count, error);
    if (code == ERROR_NONE) {
        count_cells(control, cells, setup, setup_count, others, other_count);
        fill_setup(control, &rooms[0], cells, setup, setup_count, setup_cell_others);
        fill_others(control, &rooms[1], cells, others, other_count);
        const struct arm a = {rooms[0].count, rooms[0].date, rooms[0].value, NULL};
        const struct arm b = {rooms[1].count, rooms[1].date, rooms[1].value, rooms[1].weight};
        code = estimate_difference(&control->difference, date_count, &a, &b, plan, error);
    }
    room_free(&rooms[0]);
    room_free(&rooms[1]);
    free(cells);
    return code;
}
