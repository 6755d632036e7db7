/* The figure of a chart drawn, for the sheet and for its module. Private to the layer. */
#ifndef RUSHLIGHT_WEB_CHART_FRAMES_H
#define RUSHLIGHT_WEB_CHART_FRAMES_H

#include "web/chart.h"

/* Pixels of a figure where nobody says how large, and how small and large it may be. */
enum { FIGURE_WIDTH = 860, FIGURE_HEIGHT = 600, LEAST_SIZE = 240, MOST_SIZE = 4000 };

/* Draws it, appending: `whole`, as one picture, to `still`; else what moves and what
 * stands still apart. Where its panes stand goes to `facts`, as JSON. */
int chart_draw(const struct page *page, const struct window_request *request, bool whole,
               struct text *moving, struct text *still, struct text *facts, struct error *error);

#endif
