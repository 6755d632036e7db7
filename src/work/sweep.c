/* The numbers of a setup moved. */
#include "base/text.h"
#include "base/words.h"
#include "work/study_parts.h"

#include <string.h>

/* The error lists the numbers there are. */
static int no_number(const struct named_number *numbers, size_t count, const char *name,
                     struct error *error)
{
    const char *names[NUMBER_LIMIT];
    char hint[WORD_HINT_SIZE];
    struct text all;
    text_init(&all);
    for (size_t i = 0; i < count; i++) {
        names[i] = numbers[i].name;
        text_append_format(&all, "%s%s", i > 0 ? ", " : "", names[i]);
    }
    int code = text_failed(&all) ? error_memory(error)
                                 : error_because(error, ERROR_USAGE, ERROR_REASON_NO_NUMBER,
                                                 "this setup has no number '%s'%s; it has %s", name,
                                                 word_hint(hint, name, names, count), all.bytes);
    text_free(&all);
    return code;
}

static int choose(const struct named_number *numbers, size_t count, const struct sweep_wish *wish,
                  const struct named_number *chosen[2], struct error *error)
{
    for (size_t w = 0; w < wish->count; w++) {
        chosen[w] = NULL;
        for (size_t i = 0; i < count && chosen[w] == NULL; i++)
            if (strcmp(numbers[i].name, wish->names[w]) == 0)
                chosen[w] = &numbers[i];
        if (chosen[w] == NULL)
            return no_number(numbers, count, wish->names[w], error);
    }
    if (wish->count == 2 && chosen[0] == chosen[1])
        return error_because(error, ERROR_USAGE, ERROR_REASON_NUMBER_TWICE,
                             "'%s' is named twice; two numbers differ", chosen[0]->name);
    return ERROR_NONE;
}

/* Where the cells of a sweep are entered. */
struct entering {
    struct work *work;
    struct trial *trial;
    const struct market *market;
};

static int enter_cell(void *context, const struct setup *setup, struct error *error)
{
    struct entering *entering = context;
    return trial_enter(entering->work, entering->trial, TRIAL_SENSITIVITY, setup,
                       entering->market->series, NULL, entering->market->count, error);
}

static int finish_cell(void *context, const struct estimate *mean, const struct date_grid *grid,
                       const struct closed_trades *closed, struct error *error)
{
    struct entering *entering = context;
    return trial_finish(entering->trial, mean, grid, closed, error);
}

int sweep_on_market(struct work *work, struct trial *trial, const struct setup *setup,
                    const struct market *market, const struct sweep_wish *wish,
                    const struct study_options *options, struct sensitivity *list, size_t *done,
                    struct error *error)
{
    struct named_number numbers[NUMBER_LIMIT];
    const struct named_number *chosen[2];
    struct entering entering = {work, trial, market};
    const struct sweep_watch watch = {enter_cell, finish_cell, &entering};
    size_t count = setup_numbers(setup, numbers);
    struct stretch stretch = {work, 0, wish->count == 0 ? count : 1};
    const struct study_options own = options_of_work(options, &stretch);
    struct swept swept = {0};
    int code = choose(numbers, count, wish, chosen, error);
    if (code == ERROR_NONE)
        code = swept_init(&swept, market->series, market->count, error);
    if (code == ERROR_NONE)
        code = trial_keep_data(trial, market->series, market->count, error);
    *done = 0;
    for (; stretch.index < stretch.count && code == ERROR_NONE; stretch.index++) {
        if (wish->count == 0)
            chosen[0] = &numbers[stretch.index];
        *done = stretch.index + 1;
        code = sensitivity_run(&list[stretch.index], setup, chosen, wish->count == 2 ? 2 : 1,
                               market->series, &swept, &own, &watch, error);
    }
    trial_drop_data(trial);
    swept_free(&swept);
    return code;
}
