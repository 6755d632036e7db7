#include "evidence/joint.h"

void joint_init(struct joint *joint, struct error *error)
{
    *joint = (struct joint){.code = ERROR_NONE, .error = error};
    omp_init_lock(&joint->lock);
}

void joint_enter(struct joint *joint)
{
    omp_set_lock(&joint->lock);
}

void joint_leave(struct joint *joint)
{
    omp_unset_lock(&joint->lock);
}

void joint_note(struct joint *joint, int code, const struct error *own)
{
    if (code == ERROR_NONE || joint->code != ERROR_NONE)
        return;
    joint->code = code;
    *joint->error = *own;
}

void joint_tell(struct joint *joint, int code, const struct error *own)
{
    if (code == ERROR_NONE)
        return;
    joint_enter(joint);
    joint_note(joint, code, own);
    joint_leave(joint);
}

int joint_end(struct joint *joint)
{
    omp_destroy_lock(&joint->lock);
    return joint->code;
}
