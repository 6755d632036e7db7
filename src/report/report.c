#include "report/report_parts.h"

#include <inttypes.h>

const struct report_definition report_definitions[] = {
    {"R", "A trade's result over the risk taken, the distance from fill to first stop. -1 R is a "
          "trade that lost what it risked."},
    {"95% interval",
     "Made from blocks of dates drawn again with replacement, studentised, since trades of one "
     "date and of overlapping days rise and fall together; Student's t where dates are few."},
    {"p, one-sided", "How often chance alone would show at least so much if there were nothing."},
    {"design effect of dates",
     "How much larger the variance of the mean is than that of as many independent trades."},
    {"the candle, less its place",
     "The setup's trades less those of the other bars of the same place, by the same rules, at "
     "like risk and on the same instruments."},
    {"reach", "How far a trade went before its first stop, in R."},
    {"ATR", "Wilder's mean of the true range over 14 bars (Wilder 1978)."},
    {"try",
     "A setup whose outcomes were shown. The more tries, the better the best looks by luck."},
    {0},
};

void report_making(struct text *text, const struct report_facts *facts)
{
    text_append_format(text, "rushlight %s", facts->version);
    if (facts->resamples > 0)
        text_append_format(text, ", seed %" PRIu64 ", %zu resamples of dates", facts->seed,
                           facts->resamples);
    text_append_char(text, '.');
    if (facts->data_hash != NULL)
        text_append_format(text, " Bars of %s; data (XXH128 of names and bars) %s.", facts->range,
                           facts->data_hash);
    text_append(text, " The same again:");
}

void report_init(struct report *report)
{
    *report = (struct report){0};
    text_init(&report->title);
    text_init(&report->opening);
}

void report_free(struct report *report)
{
    text_free(&report->title);
    text_free(&report->opening);
    sections_free(&report->tables);
}

int report_write(const struct report_target *target, const struct report *report,
                 struct error *error)
{
    if (text_failed(&report->title) || text_failed(&report->opening))
        return error_memory(error);
    int code = sections_check(&report->tables, error);
    if (code != ERROR_NONE)
        return code;
    return target->form == REPORT_PDF ? report_pages(target, report, error)
                                      : report_html(target, report, error);
}

double report_rows_height(size_t count)
{
    return (double)count * 22 + 46;
}

double report_plain_height(void)
{
    return 222;
}
