/* The part of `scan` that tells what waits. Private to the command. */
#ifndef RUSHLIGHT_CLI_SCAN_WAITING_H
#define RUSHLIGHT_CLI_SCAN_WAITING_H

#include "cli/command.h"
#include "setup/setup.h"

/* Every signal whose entry is still possible, nearest in ATR first. */
int scan_waiting(struct call *call, const struct setup *setup, struct error *error);

#endif
