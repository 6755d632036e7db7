/* A mean, or a difference of means, with its interval and p: the heart of
 * docs/method.md 10. */
#ifndef RUSHLIGHT_EVIDENCE_ESTIMATE_H
#define RUSHLIGHT_EVIDENCE_ESTIMATE_H

#include "base/error.h"
#include "evidence/dates.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* How an interval was made; which of them the number of dates allows. */
enum estimate_method {
    ESTIMATE_NONE,     /* too little: no interval, no p */
    ESTIMATE_WINS,     /* limits of the win rate carried over to R, no p */
    ESTIMATE_STUDENT,  /* 20 to 49 dates: Student's t over blocks of dates */
    ESTIMATE_BOOTSTRAP /* 50 dates or more: studentised block bootstrap */
};

enum { BOOTSTRAP_DATES = 50, STUDENT_DATES = 20, STUDENT_EACH = 5, RESAMPLES = 10000 };

struct estimate_plan {
    double held_dates; /* mean number of dates from signal to exit, >= 0 */
    size_t resamples;  /* > 0 */
    uint64_t seed;
    int threads; /* > 0; the result does not depend on it */
};

struct estimate {
    enum estimate_method method;
    double value; /* the mean or the difference; NaN for an empty arm */
    double low;   /* 95%, two-sided; NaN without a method */
    double high;
    double p;             /* one-sided, that the true value is not above 0; NaN without */
    double variance;      /* V, of the value */
    double design_effect; /* V / (sd^2 / n) of the first arm; NaN where sd is 0 or not known */
    double block_length;  /* L, dates */
    double freedom;       /* nu of Student's t; NaN with another method */
    size_t count;         /* results in the first arm */
    size_t dates;         /* dates with such a result */
    size_t left_out;      /* replicates with an empty arm or without spread */
};

/* The mean of one arm over `date_count` dates. */
int estimate_mean(struct estimate *estimate, size_t date_count, const struct arm *arm,
                  const struct estimate_plan *plan, struct error *error);

/* Mean of `a` less mean of `b`, by common dates; the weights of `b` are not
 * made anew in replicates. No ESTIMATE_WINS. */
int estimate_difference(struct estimate *estimate, size_t date_count, const struct arm *a,
                        const struct arm *b, const struct estimate_plan *plan, struct error *error);

/* True for methods that give an interval and a p. */
bool estimate_has_p(const struct estimate *estimate);

#endif
