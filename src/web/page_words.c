/* Dates, counts and answers as the page writes them. */
#include "web/page_parts.h"

#include <stdio.h>

static const char *const months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                     "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
static const char *const days[] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};

void page_date(char text[CALENDAR_TEXT_SIZE], int64_t time, bool date_only)
{
    struct civil_time civil;
    civil_from_time(&civil, time);
    const char *month = months[(civil.month - 1) % 12];
    if (date_only)
        snprintf(text, CALENDAR_TEXT_SIZE, "%d %s %d", civil.day, month, civil.year);
    else
        snprintf(text, CALENDAR_TEXT_SIZE, "%d %s %d, %02d:%02d", civil.day, month, civil.year,
                 civil.hour % 24, civil.minute % 60);
}

void page_day(char text[CALENDAR_TEXT_SIZE], int64_t time)
{
    char date[CALENDAR_TEXT_SIZE];
    page_date(date, time, true);
    snprintf(text, CALENDAR_TEXT_SIZE, "%.3s %.24s", days[weekday_of_day(day_of_time(time)) % 7],
             date);
}

void page_long_day(char text[CALENDAR_TEXT_SIZE], int64_t time)
{
    static const char *const long_months[] = {"January",   "February", "March",    "April",
                                              "May",       "June",     "July",     "August",
                                              "September", "October",  "November", "December"};
    static const char *const long_days[] = {"Monday", "Tuesday",  "Wednesday", "Thursday",
                                            "Friday", "Saturday", "Sunday"};
    struct civil_time civil;
    civil_from_time(&civil, time);
    snprintf(text, CALENDAR_TEXT_SIZE, "%s %d %s %d",
             long_days[weekday_of_day(day_of_time(time)) % 7], civil.day,
             long_months[(civil.month - 1) % 12], civil.year);
}

void page_count(struct html *html, int64_t count)
{
    char digits[32];
    struct text text;
    int length = snprintf(digits, sizeof digits, "%lld", (long long)(count < 0 ? -count : count));
    text_init(&text);
    if (count < 0)
        text_append(&text, "\xE2\x88\x92"); /* a minus */
    for (int i = 0; i < length; i++) {
        if (i > 0 && (length - i) % 3 == 0)
            text_append(&text, "\xE2\x80\xAF"); /* a narrow space */
        text_append_char(&text, digits[i]);
    }
    html_text(html, text.bytes);
    text_free(&text);
}

/* For who does not see it a word stands beside it. */
void page_write_truth(struct html *html, enum truth truth)
{
    static const char *const paths[] = {
        [TRUTH_NO] = "M2 2l8 8M10 2l-8 8",
        [TRUTH_YES] = "M1 6.5l3.5 3.5L11 2",
        [TRUTH_UNDEFINED] = "M2 6h8",
    };
    struct text svg;
    text_init(&svg);
    text_append_format(&svg,
                       "<svg class=\"tick\" viewBox=\"0 0 12 12\" aria-hidden=\"true\">"
                       "<path d=\"%s\"/></svg>",
                       paths[truth]);
    html_markup(html, svg.bytes);
    text_free(&svg);
}
