#include "setup/leavings.h"

#include <math.h>

static const char common[] = "common practice, no source";

/* One row a line or two, like a table. */
/* clang-format off */
#define NUMBER(title, value, bottom, top, in, text)                                                \
    {.name = title, .missing = value, .least = bottom, .most = top, .unit = in, .help = text}
#define WHOLE(title, value, top, text)                                                             \
    {.name = title, .kind = PARAMETER_WHOLE, .missing = value, .least = 1, .most = top,            \
     .unit = "bars", .help = text}

#define WHOLE_OFF(title, top, in, text)                                                            \
    {.name = title, .kind = PARAMETER_WHOLE, .missing = NAN, .least = 1, .most = top, .unit = in,  \
     .help = text}

const struct leaving leavings[] = {
    {"targets",
     {NUMBER("r", NAN, 0, 1000, "R", "distance from the fill, in multiples of the risk"),
      NUMBER("level", NAN, 0, 10, "of the fall", "a retracement level instead"),
      NUMBER("extension", NAN, 0, 10, "of the fall", "an extension instead"),
      WHOLE_OFF("swing_high", 2000, "bars on each side",
                "the newest swing high (swing_low) known at the signal instead"),
      WHOLE_OFF("own_level", 100, "counted from the fill",
                "a level of one's own instead: the first beyond the fill is 1"),
      NUMBER("share", 1, 1e-6, 1, "", "of the position that leaves there")},
     "a list of prices at which shares of the position leave, nearest first", common},
    {"time_stop", {WHOLE("bars", NAN, 100000, "bars after the entry bar")},
     "out at the close of that bar", common},
    {"break_even_at_r", {NUMBER("r", NAN, 0, 1000, "R", "how far the trade must have gone")},
     "from the next bar on the stop is the fill", common},
    {"trail",
     {WHOLE("swing", 3, 2000, "swing_low (swing_high): {swing}: under the newest swing"),
      NUMBER("times", 3, 0, 1000, "ATR", "atr: {times}: from the best close since the entry"),
      WHOLE("bars", 10, 2000,
            "lowest_low (highest_high): {bars}: under the extreme of the last bars"),
      WHOLE("bars", 20, 2000, "average: {bars}: at the average of the last closes")},
     "the stop follows, never back", common},
    {"when", {{0}}, "a list of conditions; where all hold at a close, out at the next open", common},
    {.name = NULL},
};
/* clang-format on */
