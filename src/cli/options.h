/* The options of the commands. A group that several commands take is one list;
 * a command's row names the groups it takes. */
#ifndef RUSHLIGHT_CLI_OPTIONS_H
#define RUSHLIGHT_CLI_OPTIONS_H

#include "cli/option.h"

/* What a price step may be. */
#define OPTION_TICK_LEAST 1e-15
#define OPTION_TICK_MOST 1e15

/* Which bars: tick, interval, zone, columns, from, to, adjust, watchlist. */
extern const struct option_group bars_options;
extern const struct option_group as_of_options;
/* Which setup, and what goes with it: setup, finer, events, levels. */
extern const struct option_group setup_options;

/* Of one command. */
extern const struct option_group account_options;
extern const struct option_group actions_options;
extern const struct option_group bars_listing_options;
extern const struct option_group case_options;
extern const struct option_group cases_options;
extern const struct option_group demo_options;
extern const struct option_group events_options;
extern const struct option_group levels_options;
extern const struct option_group explain_options;
extern const struct option_group forecast_options; /* study: what comes next */
extern const struct option_group import_options;
extern const struct option_group instrument_options;
extern const struct option_group ledger_options;
extern const struct option_group measure_options;
extern const struct option_group scan_options;
extern const struct option_group plan_options;
extern const struct option_group plan_setup_options;
extern const struct option_group query_options;
extern const struct option_group seal_options;
extern const struct option_group size_costs_options;
extern const struct option_group size_instrument_options;
extern const struct option_group size_options;
extern const struct option_group serve_options;
extern const struct option_group study_options;
extern const struct option_group trades_options;

#endif
