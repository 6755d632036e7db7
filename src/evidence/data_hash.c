#include "evidence/evidence_store.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <xxhash.h>

static void hash_digest(char hash[HASH_TEXT_SIZE], XXH128_hash_t digest)
{
    snprintf(hash, HASH_TEXT_SIZE, "%016llx%016llx", (unsigned long long)digest.high64,
             (unsigned long long)digest.low64);
}

void hash_text(char hash[HASH_TEXT_SIZE], const char *bytes, size_t length)
{
    hash_digest(hash, XXH3_128bits(bytes, length));
}

/* Unknown volume is one and the same, whatever the bits of its NaN. */
static void hash_volume(XXH3_state_t *state, const struct bars *bars)
{
    for (size_t i = 0; i < bars->count; i++) {
        double volume = isnan(bars->volume[i]) ? -1 : bars->volume[i];
        XXH3_128bits_update(state, &volume, sizeof volume);
    }
}

static void hash_interval(XXH3_state_t *state, struct interval interval)
{
    char text[INTERVAL_TEXT_SIZE];
    interval_format_kept(text, interval);
    XXH3_128bits_update(state, text, strlen(text) + 1);
}

static void hash_one(XXH3_state_t *state, const struct study_series *series, bool former)
{
    const struct bars *bars = series->bars;
    size_t bytes = bars->count * sizeof(double);
    XXH3_128bits_update(state, series->instrument->name, strlen(series->instrument->name) + 1);
    XXH3_128bits_update(state, &series->first, sizeof series->first);
    /* Outcomes hang on them; without any the hash is what it always was. */
    if (instrument_has_costs(series->instrument))
        XXH3_128bits_update(state, &series->instrument->costs, sizeof series->instrument->costs);
    if (!former)
        hash_interval(state, bars->interval);
    if (bars->count == 0)
        return;
    XXH3_128bits_update(state, bars->time, bars->count * sizeof *bars->time);
    XXH3_128bits_update(state, bars->open, bytes);
    XXH3_128bits_update(state, bars->high, bytes);
    XXH3_128bits_update(state, bars->low, bytes);
    XXH3_128bits_update(state, bars->close, bytes);
    if (!former)
        hash_volume(state, bars);
}

static int hash_all(char hash[HASH_TEXT_SIZE], const struct study_series *series, size_t count,
                    bool former, struct error *error)
{
    XXH3_state_t *state = XXH3_createState();
    if (state == NULL)
        return error_memory(error);
    XXH3_128bits_reset(state);
    for (size_t i = 0; i < count; i++)
        hash_one(state, &series[i], former);
    hash_digest(hash, XXH3_128bits_digest(state));
    XXH3_freeState(state);
    return ERROR_NONE;
}

int hash_series(char hash[HASH_TEXT_SIZE], const struct study_series *series, size_t count,
                struct error *error)
{
    return hash_all(hash, series, count, false, error);
}

int data_hash_make(struct data_hash *data, const struct study_series *series, size_t count,
                   struct error *error)
{
    int code = hash_all(data->present, series, count, false, error);
    return code == ERROR_NONE ? hash_all(data->former, series, count, true, error) : code;
}

bool ledger_same_setup(const struct ledger_line *line, const char *hash)
{
    return strcmp(line->hash, hash) == 0;
}

bool ledger_same_data(const struct ledger_line *a, const struct ledger_line *b)
{
    if (strcmp(a->data_hash, b->data_hash) == 0)
        return true;
    return (a->former_hash[0] != '\0' && strcmp(a->former_hash, b->data_hash) == 0) ||
           (b->former_hash[0] != '\0' && strcmp(b->former_hash, a->data_hash) == 0);
}

bool ledger_same_trial(const struct ledger_line *a, const struct ledger_line *b)
{
    /* One that is known by its names alone has no hash of its bars. */
    return ledger_same_setup(a, b->hash) && ledger_same_data(a, b) &&
           strcmp(a->instruments, b->instruments) == 0;
}
