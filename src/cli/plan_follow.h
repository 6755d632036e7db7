/* `plan follow` and a person's word on a plan: parts of the command plan. */
#ifndef RUSHLIGHT_CLI_PLAN_FOLLOW_H
#define RUSHLIGHT_CLI_PLAN_FOLLOW_H

#include "cli/command.h"
#include "work/work.h"

/* All that are open, or the one that the call names. */
int plan_follow_call(struct call *call, struct work *work, struct error *error);
/* Keeps what the call says of a plan, and shows what that makes of it. */
int plan_say_call(struct call *call, struct work *work, struct error *error);

#endif
