/* How two setups differ, as rows of an answer: `setup diff`, `ledger TRIAL TRIAL`. */
#ifndef RUSHLIGHT_CLI_DIFFERENCES_H
#define RUSHLIGHT_CLI_DIFFERENCES_H

#include "base/error.h"
#include "base/text.h"
#include "cli/command.h"

/* Prints the differences of two setups as setup_write writes them. `closing`, of
 * which the text is freed here, stands above what is said of them. */
int differences_print(struct call *call, const char *first, const char *second,
                      struct text *closing, struct error *error);

#endif
