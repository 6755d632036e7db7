/* What the threads of one piece of work say of it. Each piece has a lock of its
 * own, so that two of them never wait for one another. Private to the layer. */
#ifndef RUSHLIGHT_EVIDENCE_JOINT_H
#define RUSHLIGHT_EVIDENCE_JOINT_H

#include "base/error.h"

#include <omp.h>

struct joint {
    omp_lock_t lock;
    int code;            /* ERROR_NONE, or the first code that was noted */
    struct error *error; /* the caller's, filled with it */
};

void joint_init(struct joint *joint, struct error *error);
/* Between the two a thread is alone. */
void joint_enter(struct joint *joint);
void joint_leave(struct joint *joint);
/* How a part ended, by a thread that is alone: the first error stays. */
void joint_note(struct joint *joint, int code, const struct error *own);
/* The same for one that only has its end to say. */
void joint_tell(struct joint *joint, int code, const struct error *own);
/* Lets go of the lock; returns the code. */
int joint_end(struct joint *joint);

#endif
