#include "work/plan_study.h"

#include <math.h>

static size_t count_lines(const char *text)
{
    size_t count = text[0] != '\0';
    for (; *text != '\0'; text++)
        count += *text == '\n' && text[1] != '\0';
    return count;
}

static void take(const struct ledger *ledger, const char *hash, struct plan_study *study)
{
    for (size_t i = ledger->count; !study->found && i-- > 0;) {
        const struct ledger_line *line = &ledger->lines[i];
        if (!line->finished || isnan(line->mean_r) || line->kind != TRIAL_STUDY ||
            !ledger_same_setup(line, hash))
            continue;
        *study = (struct plan_study){.found = true,
                                     .at = line->at,
                                     .closed = line->closed,
                                     .mean_r = line->mean_r,
                                     .low = line->low,
                                     .high = line->high,
                                     .instruments = count_lines(line->instruments)};
    }
}

int plan_study_in(const struct ledger *ledger, const struct setup *setup, struct plan_study *study,
                  struct error *error)
{
    struct text written;
    char hash[HASH_TEXT_SIZE];
    text_init(&written);
    *study = (struct plan_study){0};
    setup_write(setup, &written);
    int code = text_failed(&written) ? error_memory(error) : ERROR_NONE;
    if (code == ERROR_NONE) {
        hash_text(hash, written.bytes, written.length);
        take(ledger, hash, study);
    }
    text_free(&written);
    return code;
}

int plan_study_find(struct work *work, const struct setup *setup, struct plan_study *study,
                    struct error *error)
{
    struct book *book = NULL;
    struct ledger ledger = {0};
    *study = (struct plan_study){0};
    int code = work_borrow(work, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = ledger_read(&ledger, book, NULL, error);
    work_return(work, book);
    if (code == ERROR_NONE)
        code = plan_study_in(&ledger, setup, study, error);
    ledger_free(&ledger);
    return code;
}
