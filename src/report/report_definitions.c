#include "report/study_report.h"

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
