#include "setup/targets.h"

#include "structure/swings.h"

#include <math.h>

static double times_risk(const struct target_view *view)
{
    return view->fill + view->value * view->risk;
}

static double of_fall(const struct target_view *view)
{
    struct fall fall;
    return fall_before(view->sheet, view->fall_bars, view->candle, &fall)
               ? fall_level(&fall, view->value)
               : NAN;
}

static double at_swing(const struct target_view *view)
{
    size_t swing = newest_swing_high(view->sheet, (size_t)view->value, view->signal);
    return swing != SIZE_MAX ? sheet_bars(view->sheet)->high[swing] : NAN;
}

/* Where a mark lies at the signal, on the side looked at; NaN where it is withdrawn. */
static double mark_at(const struct target_view *view, const struct own_mark *mark)
{
    double bar = (double)(view->around->begins + view->signal);
    double price = mark->price + mark->slope * (bar - mark->bar);
    if (mark->withdrawn && sheet_bars(view->sheet)->time[view->signal] > mark->until)
        return NAN;
    return view->sheet_is_mirror ? -price : price;
}

/* The lowest of one's own levels above a price. One that was brought in with an
 * older date is none: nobody could have aimed at it. */
static double next_own_level(const struct target_view *view, double above_price)
{
    int64_t begins = sheet_bars(view->sheet)->time[view->first];
    double next = NAN;
    for (size_t i = 0; i < view->around->mark_count; i++) {
        const struct own_mark *mark = &view->around->marks[i];
        double price = mark_at(view, mark);
        if (mark->made < begins && !mark->dated_back && price > above_price && !(price >= next))
            next = price;
    }
    return next;
}

static double at_own_level(const struct target_view *view)
{
    double price = view->fill;
    for (size_t i = 0; view->around != NULL && i < (size_t)view->value; i++)
        price = next_own_level(view, price);
    return view->around != NULL ? price : NAN;
}

/* One row a line or two, like a table. */
/* clang-format off */
/* The help is for a list that R begins. */
#define INSTEAD(text, more) .help = text " instead" more, .said = text more
const struct target_kind target_kinds[] = {
    {"r", NULL,
     {.name = "r", .missing = NAN, .most = 1000, .unit = "R",
      .help = "distance from the fill, in multiples of the risk"}, times_risk},
    {"level", NULL,
     {.name = "level", .missing = NAN, .most = 10, .unit = "of the fall",
      INSTEAD("a retracement level", "")}, of_fall},
    {"extension", NULL,
     {.name = "extension", .missing = NAN, .most = 10, .unit = "of the fall",
      INSTEAD("an extension", "")}, of_fall},
    {"swing_high", "swing_low",
     {.name = "swing_high", .mirror_name = "swing_low", .kind = PARAMETER_WHOLE, .missing = NAN,
      .least = 1, .most = 2000, .unit = "bars on each side",
      INSTEAD("the newest swing of that strength known at the signal", "")}, at_swing},
    {"own_level", NULL,
     {.name = "own_level", .kind = PARAMETER_WHOLE, .missing = NAN, .least = 1, .most = 100,
      .unit = "counted from the fill",
      INSTEAD("a level of one's own", ": the first beyond the fill is 1")}, at_own_level},
    {.name = NULL},
};
/* clang-format on */

bool target_is_r(const struct target_kind *kind)
{
    return kind->price == times_risk;
}

bool target_is_of_fall(const struct target_kind *kind)
{
    return kind->price == of_fall;
}

bool target_is_own_level(const struct target_kind *kind)
{
    return kind->price == at_own_level;
}

bool target_is_at_swing(const struct target_kind *kind)
{
    return kind->price == at_swing;
}
