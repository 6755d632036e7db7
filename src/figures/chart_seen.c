/* Where and when of a chart window, for all that is drawn or said of it. */
#include "base/calendar.h"
#include "figures/chart_parts.h"

#include <stdio.h>

struct box window_clip(const struct draft *draft, const struct pane *pane)
{
    return (struct box){pane->box.left - draft->window->over, pane->box.top - 1,
                        pane->box.right + draft->window->over, pane->box.bottom + 1};
}

const int64_t *window_times(const struct window_request *request)
{
    return request->clock != NULL ? request->clock : sheet_bars(request->sheet)->time;
}

void window_time(const struct window_request *request, size_t bar, char text[TICK_TEXT_SIZE])
{
    static const char *const months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                         "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    struct civil_time civil;
    civil_from_time(&civil, window_times(request)[bar]);
    int used = snprintf(text, TICK_TEXT_SIZE, "%d %s %d", civil.day, months[civil.month - 1],
                        civil.year);
    if (!interval_is_dated(sheet_bars(request->sheet)->interval))
        snprintf(text + used, TICK_TEXT_SIZE - (size_t)used, " %02d:%02d", civil.hour,
                 civil.minute);
}
