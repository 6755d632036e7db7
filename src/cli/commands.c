/* The table of commands: a new command is one row here and one file beside. */
#include "cli/commands.h"

#include "cli/options.h"
#include "work/case.h"

const struct command commands[] = {
    {.name = "demo",
     .arguments = "",
     .help = "Makes an invented market to try everything on.",
     .options = {&demo_options},
     .run = command_demo},
    {.name = "import",
     .arguments = "FILE…",
     .help =
         "Reads files of prices, and those in folders, into the book.\n"
         "Bars, or times and prices that are made into bars of --interval. A file is imported\n"
         "whole or not at all; a line that breaks a rule is set aside and kept with its reason.",
     .least_arguments = 1,
     .most_arguments = SIZE_MAX,
     .options = {&import_options},
     .run = command_import},
    {.name = "bars",
     .arguments = "INSTRUMENT",
     .help = "Writes the bars of an instrument or a price file out again.",
     .least_arguments = 1,
     .most_arguments = 1,
     .options = {&bars_options, &as_of_options, &bars_listing_options},
     .run = command_bars},
    {.name = "actions",
     .arguments = "[import FILE…|remove INSTRUMENT DATE KIND]",
     .help =
         "Lists splits, dividends and contract rolls, or imports them from CSV.\n"
         "Columns instrument,date,kind,value: kind is split (new units for each old one),\n"
         "dividend (money a unit) or roll (the new contract's price less the old one's); date\n"
         "is the first day that trades with it. All lines of a file are imported or none. Bars\n"
         "are stored as traded; see --adjust.",
     .most_arguments = SIZE_MAX,
     .options = {&actions_options},
     .run = command_actions},
    {.name = "measure",
     .arguments = "INSTRUMENT",
     .help = "Prints measures of every bar.\nSuch as --of 'rsi,length=14 rsi_average atr'; empty "
             "where a measure has no value yet.",
     .least_arguments = 1,
     .most_arguments = 1,
     .options = {&measure_options, &bars_options},
     .run = command_measure},
    {.name = "catalogue",
     .arguments = "[shapes|conditions|entries|stops|exits|measures|words|WORD]",
     .help = "Lists what setups are made of, with every named number and its source, and the words "
             "that answers use; or explains one word.",
     .most_arguments = 1,
     .run = command_catalogue},
    {.name = "setup",
     .arguments = "check|mirror|write|diff|schema|keep|kept [FILE…]",
     .help =
         "Checks setup files and reads them back in words, mirrors one, writes one in full, says how two differ, or prints "
         "their JSON Schema.\n'setup keep FILE…' keeps each in the book as the next version of "
         "its name, for --setup NAME and the page; no version is changed or lost. 'setup kept' "
         "lists the newest of each, 'setup kept NAME' every version of one.",
     .least_arguments = 1,
     .most_arguments = SIZE_MAX,
     .run = command_setup},
    {.name = "check",
     .arguments = "[INSTRUMENT…]",
     .help = "Says what is odd about the bars, and what that does to candles.\nGaps, doubles, "
             "ranges and jumps out of the ordinary, likely splits, stale stretches, bars without "
             "volume, copied opens, prices between the ticks, instruments that ended. Without a "
             "name it checks every instrument of the book.",
     .most_arguments = SIZE_MAX,
     .options = {&bars_options, &as_of_options},
     .run = command_check},
    {.name = "query",
     .arguments = "SQL",
     .help = "Answers a question to the book in SQL, reading only.\nBars are the table "
             "bars(instrument, interval, time, open, high, low, close, volume); the times are text "
             "such as 2024-02-01, or 2024-02-01T14:30:00Z of bars shorter than a day.",
     .least_arguments = 1,
     .most_arguments = 1,
     .options = {&query_options},
     .run = command_query},
    {.name = "backup",
     .arguments = "FILE",
     .help = "Copies the book to a new file, also while others use it, and checks the copy.",
     .least_arguments = 1,
     .most_arguments = 1,
     .run = command_backup},
    {.name = "instrument",
     .arguments = "[INSTRUMENT]",
     .help = "Shows what is known of an instrument, or of all, and edits it.\nAn empty value makes "
             "a field unknown again.",
     .most_arguments = 1,
     .options = {&instrument_options},
     .run = command_instrument},
    {.name = "watchlists",
     .arguments = "[show|make|add|remove] [NAME] [INSTRUMENT…]",
     .help =
         "Shows and changes watchlists, named lists of instruments for --watchlist.\n'watchlists make NAME "
         "INSTRUMENT…' makes one, 'watchlists add' and 'watchlists remove' change its members, which "
         "keep their order; 'watchlists remove NAME' drops it.",
     .most_arguments = SIZE_MAX,
     .run = command_watchlists},
    {.name = "columns",
     .arguments = "[show|keep PATTERN ROLE=COLUMN,…|remove PATTERN]",
     .help = "Shows and keeps which columns of price files are what, by the names of the files.\n"
             "'columns keep \"quay-*.csv\" time=1,close=4' reads all files of such a name so, as "
             "--columns would. Of several patterns that fit, the longest is taken.",
     .most_arguments = 3,
     .run = command_columns},
    {.name = "events",
     .arguments = "[show|import FILE|remove]",
     .help =
         "Keeps a calendar of events, from a CSV file of yours.\nIts columns: kind, time (a date "
         "or a UTC time), and if wanted instrument (none, or all: for every one), note and known, "
         "the date or time since which it was known (none: always). All "
         "lines are read or none; what is known already changes nothing.",
     .most_arguments = 2,
     .options = {&events_options},
     .run = command_events},
    {.name = "levels",
     .arguments = "[show] [INSTRUMENT]|add INSTRUMENT KIND [DATE] PRICE [DATE PRICE]|import "
                  "FILE|remove INSTRUMENT NUMBER",
     .help =
         "Keeps levels and lines of your own, each with the moment it was drawn.\nKIND: level, "
         "trend, retracement, channel, note, ruler; a level, note: one point, without DATE on "
         "the newest bar. Each counts for candles that begin once the bar that was the newest "
         "of the book at its entry is over; one that is given an older date is flagged in every study. remove "
         "withdraws one: for the candles before it still counts. A file has the columns "
         "instrument, price and if wanted kind, time, other_time, other_price, width, note, "
         "from; what stands already is not read twice, a row without time being any of its "
         "price.",
     .most_arguments = 7,
     .options = {&levels_options},
     .run = command_levels},
    {.name = "scan",
     .arguments = "INSTRUMENT…",
     .help =
         "Shows the signals of a setup, each criterion with its measured value and limit.\nSeveral "
         "setups, or lists, go into one answer with commas between: --setup A,B --watchlist C,D.",
     .most_arguments = SIZE_MAX,
     .options = {&scan_options, &setup_options, &bars_options, &as_of_options},
     .run = command_scan},
    {.name = "agree",
     .arguments = "FILE [INSTRUMENT…]",
     .help = "Holds dates that you marked by hand against the rule: who sees what, and why.\nFILE "
             "is a CSV with a column date (of the candle) and, for several instruments, a column "
             "instrument.",
     .least_arguments = 1,
     .most_arguments = SIZE_MAX,
     .options = {&setup_options, &bars_options},
     .run = command_agree},
    {.name = "trades",
     .arguments = "INSTRUMENT…",
     .help = "Lists every trade that a setup would have made.",
     .most_arguments = SIZE_MAX,
     .options = {&trades_options, &setup_options, &bars_options},
     .run = command_trades},
    {.name = "case",
     .arguments = "INSTRUMENT DATE…",
     .help = "Draws one signal on a sheet: candles, checklist, plan and what followed.\nDATE is "
             "that of the candle or of its signal; several dates, up to twelve, share a sheet.",
     .least_arguments = 2,
     .most_arguments = 1 + CASE_LIMIT,
     .options = {&case_options, &setup_options, &bars_options, &as_of_options},
     .run = command_case},
    {.name = "cases",
     .arguments = "INSTRUMENT…",
     .help = "Draws every case of a setup on one sheet of small figures.\nCandle under candle, on "
             "one scale in ATR, so that one lucky chart is one of many. What followed is held back "
             "unless --outcome asks for it.",
     .most_arguments = SIZE_MAX,
     .options = {&cases_options, &setup_options, &bars_options, &as_of_options},
     .run = command_cases},
    {.name = "explain",
     .arguments = "INSTRUMENT DATE",
     .help = "Says what one bar is, and at which price each answer would be another.\n"
             "Its parts, every shape that it is and nearly is and, with --setup, each criterion "
             "with its measured value, its limit and the price of this bar at which it turns. "
             "Nothing after the bar is looked at.",
     .least_arguments = 2,
     .most_arguments = 2,
     .options = {&explain_options, &bars_options, &as_of_options},
     .run = command_explain},
    {.name = "study",
     .arguments = "INSTRUMENT…",
     .help = "Says what followed a setup, and what of it may be luck.\nEvery signal of history is "
             "compared with the other bars of its place; intervals rest on dates, not on single "
             "trades. It opens with what can and what cannot be said.",
     .most_arguments = SIZE_MAX,
     .options = {&study_options, &forecast_options, &setup_options, &bars_options},
     .run = command_study},
    {.name = "account",
     .arguments = "[show [NAME]|make NAME CURRENCY|in|out|gain|loss NAME MONEY|correct NAME NUMBER "
                  "MONEY|limits NAME|rates [PAIR INSTRUMENT]]",
     .help = "Keeps accounts: their money, what a trade may risk, limits, and rates of exchange.\n"
             "in and out are cash, gain and loss are of trading. Nothing is changed or removed: "
             "correct says what an entry should have been, as one more entry. limits sets what its "
             "options say; an empty value takes it back. rates names the series that a pair such "
             "as EUR/USD is read from.",
     .most_arguments = 4,
     .options = {&account_options, &as_of_options},
     .run = command_account},
    {.name = "size",
     .arguments = "[INSTRUMENT]",
     .help = "Says how much to hold so that the stop loses no more than you allow.\nWith the whole "
             "reckoning, what one step more would lose, and what a jump over the stop would cost "
             "by the instrument's own bars; or no, and which limit says so, with exit status 1.",
     .most_arguments = 1,
     .options = {&size_options, &size_instrument_options, &size_costs_options, &as_of_options},
     .run = command_size},
    {.name = "plan",
     .arguments = "[show|look INSTRUMENT|take INSTRUMENT|pass INSTRUMENT|placed|filled|done|lapsed|"
                  "withdrawn NUMBER]",
     .help = "Makes plans: the orders to type, their size, and the reason before the outcome.\n"
             "look works one out, from the signal of the newest bar or by hand; take and pass keep "
             "it. It is refused against a limit of the account, unless --breach says why. No order "
             "is sent: placed says that a person did. follow says what the bars made of it by its "
             "own rules, and what to do next. filled, moved, closed, done with --r, lapsed and "
             "withdrawn are your own word, which counts; what the rules would have done stands "
             "beside it. Nothing is changed or removed.",
     .most_arguments = 2,
     .options = {&plan_options, &plan_setup_options, &as_of_options},
     .run = command_plan},
    {.name = "ledger",
     .arguments = "[TRIAL TRIAL]",
     .help =
         "Lists every trial ever made, or shows how the setups of two differ.\nA trial is a setup "
         "whose outcomes were shown; it is entered before that and never removed.",
     .most_arguments = 2,
     .options = {&ledger_options},
     .run = command_ledger},
    {.name = "seal",
     .arguments = "",
     .help = "Keeps bars back from study until they are opened once, or freezes a setup.",
     .options = {&seal_options},
     .run = command_seal},
    {.name = "serve",
     .arguments = "",
     .help =
         "Shows the page: today, charts, setups, evidence and data, in a browser of this machine.\n"
         "It listens on the loopback address alone, prints an address that opens it once, and "
         "runs until it is stopped with Ctrl-C. Nothing leaves the machine.",
     .options = {&serve_options},
     .run = command_serve},
    {.name = NULL},
};
