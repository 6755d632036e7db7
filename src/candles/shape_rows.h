/* The functions behind the table of shapes. Private to the candles layer. */
#ifndef RUSHLIGHT_CANDLES_SHAPE_ROWS_H
#define RUSHLIGHT_CANDLES_SHAPE_ROWS_H

#include "candles/shape_view.h"

void read_any(const struct shape_view *view, struct readings *readings);
void read_inverted_hammer(const struct shape_view *view, struct readings *readings);
void read_hammer(const struct shape_view *view, struct readings *readings);
void read_doji(const struct shape_view *view, struct readings *readings);
void read_gravestone(const struct shape_view *view, struct readings *readings);
void read_long_legged(const struct shape_view *view, struct readings *readings);
void read_spinning_top(const struct shape_view *view, struct readings *readings);
void read_marubozu(const struct shape_view *view, struct readings *readings);
void read_belt_hold(const struct shape_view *view, struct readings *readings);
void read_engulfing(const struct shape_view *view, struct readings *readings);
void read_harami(const struct shape_view *view, struct readings *readings);
void read_harami_cross(const struct shape_view *view, struct readings *readings);
void read_piercing_line(const struct shape_view *view, struct readings *readings);
void read_morning_star(const struct shape_view *view, struct readings *readings);
void read_three_inside_up(const struct shape_view *view, struct readings *readings);
void read_three_outside_up(const struct shape_view *view, struct readings *readings);
void read_three_white_soldiers(const struct shape_view *view, struct readings *readings);
void read_tweezer_bottom(const struct shape_view *view, struct readings *readings);
void read_inside_bar(const struct shape_view *view, struct readings *readings);
void read_outside_bar(const struct shape_view *view, struct readings *readings);

#endif
