/* The bars of a mirror follow those of the window that it mirrors. */
#include "measures/sheet_parts.h"

#include <string.h>

int mirror_move(struct sheet *mirror, const struct bars *window, size_t stay, struct error *error)
{
    struct bars *own = &mirror->own_bars;
    size_t gone = own->count - stay;
    int code = bars_reserve(own, window->count, error);
    if (code != ERROR_NONE)
        return code;
    double *columns[] = {own->open, own->high, own->low, own->close, own->volume};
    /* Without a bar there is no room that could be named. */
    for (size_t c = 0; c < 5 && stay > 0; c++)
        memmove(columns[c], columns[c] + gone, stay * sizeof(double));
    if (window->count > 0)
        memcpy(own->time, window->time, window->count * sizeof *own->time);
    if (window->count > stay)
        memcpy(own->volume + stay, window->volume + stay, (window->count - stay) * sizeof(double));
    for (size_t i = stay; i < window->count; i++) {
        own->open[i] = -window->open[i];
        own->high[i] = -window->low[i];
        own->low[i] = -window->high[i];
        own->close[i] = -window->close[i];
    }
    own->count = window->count;
    own->interval = window->interval;
    own->last_is_partial = window->last_is_partial;
    return ERROR_NONE;
}
