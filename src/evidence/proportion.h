/* Shares and their limits. */
#ifndef RUSHLIGHT_EVIDENCE_PROPORTION_H
#define RUSHLIGHT_EVIDENCE_PROPORTION_H

/* The two-sided 95% limits of the normal law. */
#define NORMAL_975 1.959963984540054

struct limits {
    double low;
    double high;
};

/* Score interval of a share (0 to 1) seen in `count` trials (Wilson 1927, J.
 * Am. Stat. Assoc. 22, 209). `count` may be an effective number, so it need
 * not be whole; both limits are NaN where it is not above 0. */
struct limits wilson_limits(double share, double count, double z);

/* Trades needed to find a true mean of `mean` R in 80 of 100 cases with a
 * two-sided test at 5%: ((1.960 + 0.842) deviation / mean)^2 design_effect, the usual
 * formula for the normal law, and design_effect the design effect. NaN where an input
 * is, or for a mean of 0. */
double trades_needed(double mean, double deviation, double design_effect);

#endif
