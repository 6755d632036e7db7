#include "evidence/swept.h"

#include "evidence/study_summing.h"

#include <stdlib.h>

int swept_init(struct swept *swept, const struct study_series *series, size_t count,
               struct error *error)
{
    *swept = (struct swept){.list = calloc(count + 1, sizeof *swept->list), .count = count};
    bool whole = swept->list != NULL;
    for (size_t i = 0; whole && i < count; i++) {
        swept->list[i].memory = criterion_memory_new(series[i].bars->count, SWEPT_BYTES / count);
        whole = swept->list[i].memory != NULL;
    }
    return whole ? study_grid(&swept->grid, series, count, error) : error_memory(error);
}

void swept_free(struct swept *swept)
{
    for (size_t i = 0; swept->list != NULL && i < swept->count; i++) {
        sheet_free(swept->list[i].sheet);
        criterion_memory_free(swept->list[i].memory);
    }
    free(swept->list);
    criterion_texts_free(&swept->texts);
    date_grid_free(&swept->grid);
    *swept = (struct swept){0};
}

int swept_view(struct swept *swept, size_t index, const struct study_series *series,
               const struct setup *setup, struct setup_view *view, struct error *error)
{
    struct swept_series *one = &swept->list[index];
    if (one->sheet == NULL)
        one->sheet = sheet_of_instrument(series->bars, series->instrument);
    if (one->sheet == NULL)
        return error_memory(error);
    int code = setup_view_init(view, setup, one->sheet, series->around, error);
    view->memory = one->memory;
    return code;
}

void swept_trim(struct swept *swept)
{
    size_t bytes = 0;
    for (size_t i = 0; i < swept->count; i++)
        bytes += swept->list[i].sheet != NULL ? sheet_bytes(swept->list[i].sheet) : 0;
    for (size_t i = 0; bytes > SWEPT_BYTES && i < swept->count; i++) {
        sheet_free(swept->list[i].sheet);
        swept->list[i].sheet = NULL;
    }
}
