/* The functions behind the rows of commands.c. */
#ifndef RUSHLIGHT_CLI_COMMANDS_H
#define RUSHLIGHT_CLI_COMMANDS_H

#include "cli/command.h"

int command_agree(struct call *call, struct error *error);
int command_import(struct call *call, struct error *error);
int command_account(struct call *call, struct error *error);
int command_actions(struct call *call, struct error *error);
int command_backup(struct call *call, struct error *error);
int command_bars(struct call *call, struct error *error);
int command_cases(struct call *call, struct error *error);
int command_case(struct call *call, struct error *error);
int command_catalogue(struct call *call, struct error *error);
int command_check(struct call *call, struct error *error);
int command_columns(struct call *call, struct error *error);
int command_demo(struct call *call, struct error *error);
int command_events(struct call *call, struct error *error);
int command_explain(struct call *call, struct error *error);
int command_instrument(struct call *call, struct error *error);
int command_ledger(struct call *call, struct error *error);
int command_watchlists(struct call *call, struct error *error);
int command_levels(struct call *call, struct error *error);
int command_measure(struct call *call, struct error *error);
int command_plan(struct call *call, struct error *error);
int command_query(struct call *call, struct error *error);
int command_scan(struct call *call, struct error *error);
int command_seal(struct call *call, struct error *error);
int command_setup(struct call *call, struct error *error);
int command_serve(struct call *call, struct error *error);
int command_size(struct call *call, struct error *error);
int command_study(struct call *call, struct error *error);
int command_trades(struct call *call, struct error *error);

#endif
