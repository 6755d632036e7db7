#include "work/measured.h"

static int compute(struct measured *measured, struct error *error)
{
    measured->sheet = sheet_of_instrument(&measured->series.bars, &measured->series.instrument);
    if (measured->sheet == NULL)
        return error_memory(error);
    for (size_t i = 0; i < measured->count; i++) {
        const struct measured_wish *wish = &measured->wishes[i];
        measured->columns[i] = sheet_measure(measured->sheet, wish->measure, wish->values);
        if (measured->columns[i] == NULL)
            return error_memory(error);
    }
    return ERROR_NONE;
}

int measured_open(struct work *work, const char *word, const struct measured_wish *wishes,
                  size_t count, struct measured *measured, struct error *error)
{
    struct notices notices = {0};
    *measured = (struct measured){.wishes = wishes, .count = count};
    int code = series_open(work, &notices, word, &measured->series, error);
    notices_say(&notices, work);
    return code == ERROR_NONE ? compute(measured, error) : code;
}

void measured_free(struct measured *measured)
{
    sheet_free(measured->sheet);
    series_free(&measured->series);
    *measured = (struct measured){0};
}
