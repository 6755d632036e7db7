#include "evidence/proportion.h"

#include <math.h>

struct limits wilson_limits(double share, double count, double z)
{
    if (!(count > 0))
        return (struct limits){NAN, NAN};
    double z2 = z * z;
    double middle = share + z2 / (2 * count);
    double half = z * sqrt(share * (1 - share) / count + z2 / (4 * count * count));
    double scale = 1 + z2 / count;
    /* At 0 and 1 the limits are exactly that, whatever rounding says. */
    return (struct limits){share <= 0 ? 0 : fmax(0, (middle - half) / scale),
                           share >= 1 ? 1 : fmin(1, (middle + half) / scale)};
}

double trades_needed(double mean, double deviation, double design_effect)
{
    if (mean == 0)
        return NAN;
    double ratio = (1.960 + 0.842) * deviation / mean;
    return ratio * ratio * design_effect;
}
