/* The table of commands: a new command is one row here and one file beside. */
#include "cli/commands.h"

#include "cli/case.h"
#include "cli/rules.h"

static const struct option_row demo_options[] = {
    {"dir", "DIR", "the folder to make (default: rushlight-demo)"},
    {NULL, NULL, NULL},
};

static const struct option_row import_options[] = {
    {"instrument", "NAME", "the instrument the bars are of (default: the file's name)"},
    {"interval", "INTERVAL", "length of the bars (default: seen from the file)"},
    {"tick", "STEP", "price step of the instrument"},
    {"zone", "ZONE", "time zone of the times in the file (default: UTC)"},
    {"date-format", "dmy|mdy|ymd", "order of day, month and year (default: seen from the file)"},
    {"adjust", "none|splits|all",
     "its prices are adjusted for the book's splits and rolls, or dividends too; taken back (default: none)"},
    {"replace", NULL, "a bar that differs from the stored one replaces it"},
    {"whole", NULL, "the last bar is whole, though its session is not over yet"},
    {NULL, NULL, NULL},
};

static const struct option_row bars_options[] = {
    SERIES_OPTIONS,
    {"set-aside", NULL, "instead the lines of imported files that broke a rule"},
    {"revisions", NULL, "instead the bars that were replaced, or kept out, by others"},
    {NULL, NULL, NULL},
};

static const struct option_row measure_options[] = {
    {"of", "NAME[,key=value…]", "the measure, several separated by spaces; needed"},
    SERIES_OPTIONS,
    {NULL, NULL, NULL},
};

#define EXPECT_OPTION                                                                              \
    {                                                                                              \
        "expect", NULL, "exit with 1 where nothing is found"                                       \
    }

static const struct option_row scan_options[] = {
    {"all", NULL, "the whole history, not the newest bar only"},
    {"nearly", "N", "instead the N bars of each instrument that fail one criterion by least"},
    {"provisional", NULL, "look at a partial last bar too, as it stands"},
    EXPECT_OPTION,
    RULES_OPTIONS,
    {NULL, NULL, NULL},
};

static const struct option_row agree_options[] = {
    RULES_OPTIONS,
    {NULL, NULL, NULL},
};

static const struct option_row case_options[] = {
    {"output", "FILE", "the sheet to write: .svg, .png, .pdf or .html; needed"},
    {"no-outcome", NULL, "show nothing after the signal"},
    {"theme", "light|dark|print", "colours (default: light; print: greys)"},
    {"paper", "SIZE", "of a PDF: a4, a4-landscape (default), letter, letter-landscape or slide"},
    {"scale", "NUMBER", "pixels of a PNG for each unit of the sheet (default: 2)"},
    RULES_OPTIONS,
    {NULL, NULL, NULL},
};

static const struct option_row trades_options[] = {
    {"all", NULL, "also signals that never became a trade, with the reason"},
    EXPECT_OPTION,
    RULES_OPTIONS,
    {NULL, NULL, NULL},
};

static const struct option_row study_options[] = {
    {"output", "FILE", "also write a report with figures to this .html or .pdf file"},
    {"forward", "NAME", "judge a frozen setup on the bars since, instead of --setup"},
    {"against", "S", "compare with this second setup, instead of studying the first"},
    {"vary", "all|NAME[,NAME]", "instead move numbers of the setup, one at a time or two together"},
    {"draws", "N", "resampled markets to compare with (default: 0)"},
    {"resamples", "N", "resamples of dates behind every interval (default: 10000)"},
    {"next", "N",
     "also what the next N trades may look like (default: 100; 0: not; at most 10000)"},
    {"risk", "PERCENT", "of the account at risk on each of them (default: 1)"},
    {"daily-limit", "PERCENT", "loss in one day that ends the account (default: none)"},
    {"total-limit", "PERCENT", "loss from the start that ends it (default: none)"},
    {"trailing-limit", "PERCENT", "fall from the highest balance that ends it (default: none)"},
    {"same-bar", "nearest|worst|best|finer", "what to assume of a bar that reached both sides"},
    RULES_OPTIONS,
    {NULL, NULL, NULL},
};

static const struct option_row actions_options[] = {
    {"replace", NULL, "a value takes the place of another of that date and kind"},
    {NULL, NULL, NULL},
};

static const struct option_row ledger_options[] = {
    {"output", "FILE", "also write a report with figures to this .html or .pdf file"},
    {"family", "NAME", "tries of this family only"},
    {NULL, NULL, NULL},
};

static const struct option_row seal_options[] = {
    {"from", "DATE", "hide bars from this date on from every outcome"},
    {"open", NULL, "show them again, for good"},
    {"freeze", "S", "keep this setup as it is now, for study --forward"},
    {"as", "NAME", "the name to freeze it under (default: the setup's own)"},
    {NULL, NULL, NULL},
};

/* After --new and --read the rows of record_fields (market/instrument_record.h). */
static const struct option_row instrument_options[] = {
    {"new", NULL, "make one that is not in the book yet"},
    {"read", "FILE", "records from a CSV as --format csv writes it, all lines or none"},
    {"kind", "KIND", "share, index, future, currency, commodity, coin or unknown"},
    {"prices", "trade|mid|bid", "what its prices are: of trades, half-way, or bids"},
    {"tick", "STEP[@DATE]…", "price step, later ones with their date: '0.05 0.01@2001-04-09'"},
    {"point-value", "MONEY", "money for a move of 1 in price, a unit held"},
    {"currency", "CODE", "of the price, such as EUR"},
    {"lot-step", "SIZE", "sizes are whole multiples of it"},
    {"interval", "INTERVAL", "the bars it is usually read on: 1d, 4h …"},
    {"zone", "ZONE", "time zone of its session, such as Europe/Paris"},
    {"session-start", "HH:MM", "when its day begins; 17:00- is the evening before"},
    {"session-days", "DAYS", "days of its week: 'mon tue wed thu fri'"},
    {"first-date", "DATE", "the first day it was traded"},
    {"last-date", "DATE", "the last day, where it has ended"},
    {"ended-why", "TEXT", "why it ended"},
    {NULL, NULL, NULL},
};

static const struct option_row events_options[] = {
    {"kind", "KIND", "events of this kind only"},
    {"instrument", "NAME", "events of this instrument (shown: and those of all)"},
    {"from", "DATE", "events from this date on"},
    {"to", "DATE", "events up to this date"},
    {NULL, NULL, NULL},
};

const struct command commands[] = {
    {.name = "demo",
     .arguments = "",
     .help = "Makes an invented market to try everything on.",
     .options = demo_options,
     .run = command_demo},
    {.name = "import",
     .arguments = "FILE…",
     .help =
         "Reads files of prices, and those in folders, into the book.\n"
         "Bars, or times and prices that are made into bars of --interval. A file is imported\n"
         "whole or not at all; a line that breaks a rule is set aside and kept with its reason.",
     .least_arguments = 1,
     .most_arguments = SIZE_MAX,
     .options = import_options,
     .run = command_import},
    {.name = "bars",
     .arguments = "INSTRUMENT",
     .help = "Writes the bars of an instrument or a price file out again.",
     .least_arguments = 1,
     .most_arguments = 1,
     .options = bars_options,
     .run = command_bars},
    {.name = "actions",
     .arguments = "[FILE…|remove INSTRUMENT DATE KIND]",
     .help = "Lists splits, dividends and contract rolls, or reads them from CSV.\n"
             "Columns instrument,date,kind,value: kind is split (new units for each old one),\n"
             "dividend (money a unit) or roll (the new contract's price less the old one's); date\n"
             "is the first day that trades with it. All lines of a file are read or none. Bars\n"
             "are stored as traded; see --adjust.",
     .most_arguments = SIZE_MAX,
     .options = actions_options,
     .run = command_actions},
    {.name = "measure",
     .arguments = "INSTRUMENT",
     .help = "Prints measures of every bar.\nSuch as --of 'rsi,length=14 rsi_average atr'; empty "
             "where a measure has no value yet.",
     .least_arguments = 1,
     .most_arguments = 1,
     .options = measure_options,
     .run = command_measure},
    {.name = "catalogue",
     .arguments = "[shapes|conditions|entries|stops|exits|measures]",
     .help = "Lists what setups are made of, with every named number and its source.",
     .most_arguments = 1,
     .run = command_catalogue},
    {.name = "setup",
     .arguments = "check|mirror|write|diff|schema [FILE…]",
     .help = "Checks setup files, mirrors one, writes one in full, says how two differ, or prints "
             "their JSON Schema.",
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
     .options = bars_options,
     .run = command_check},
    {.name = "query",
     .arguments = "SQL",
     .help = "Answers a question to the book in SQL, reading only.\nBars are the table "
             "bars(instrument, interval, time, open, high, low, close, volume); the times are text "
             "such as 2024-02-01, or 2024-02-01T14:30:00Z of bars shorter than a day.",
     .least_arguments = 1,
     .most_arguments = 1,
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
     .options = instrument_options,
     .run = command_instrument},
    {.name = "lists",
     .arguments = "[show|make|add|remove] [NAME] [INSTRUMENT…]",
     .help = "Shows and changes named lists of instruments, for --list.\n'lists make NAME "
             "INSTRUMENT…' makes one, 'lists add' and 'lists remove' change its members, which "
             "keep their order; 'lists remove NAME' drops it.",
     .most_arguments = SIZE_MAX,
     .run = command_lists},
    {.name = "events",
     .arguments = "[show|read FILE|remove]",
     .help =
         "Keeps a calendar of events, from a CSV file of yours.\nIts columns: kind, time (a date "
         "or a UTC time), and if wanted instrument (none, or all: for every one) and note. All "
         "lines are read or none; what is known already changes nothing.",
     .most_arguments = 2,
     .options = events_options,
     .run = command_events},
    {.name = "scan",
     .arguments = "INSTRUMENT…",
     .help = "Shows the signals of a setup, each criterion with its measured value and limit.",
     .most_arguments = SIZE_MAX,
     .options = scan_options,
     .run = command_scan},
    {.name = "agree",
     .arguments = "FILE [INSTRUMENT…]",
     .help = "Holds dates that you marked by hand against the rule: who sees what, and why.\nFILE "
             "is a CSV with a column date (of the candle) and, for several instruments, a column "
             "instrument.",
     .least_arguments = 1,
     .most_arguments = SIZE_MAX,
     .options = agree_options,
     .run = command_agree},
    {.name = "trades",
     .arguments = "INSTRUMENT…",
     .help = "Lists every trade that a setup would have made.",
     .most_arguments = SIZE_MAX,
     .options = trades_options,
     .run = command_trades},
    {.name = "case",
     .arguments = "INSTRUMENT DATE…",
     .help = "Draws one signal on a sheet: candles, checklist, plan and what followed.\nDATE is "
             "that of the candle or of its signal; several dates, up to twelve, share a sheet.",
     .least_arguments = 2,
     .most_arguments = 1 + CASE_LIMIT,
     .options = case_options,
     .run = command_case},
    {.name = "study",
     .arguments = "INSTRUMENT…",
     .help = "Says what followed a setup, and what of it may be luck.\nEvery signal of history is "
             "compared with the other bars of its place; intervals rest on dates, not on single "
             "trades. It opens with what can and what cannot be said.",
     .most_arguments = SIZE_MAX,
     .options = study_options,
     .run = command_study},
    {.name = "ledger",
     .arguments = "[TRY TRY]",
     .help = "Lists every try ever made, or shows how the setups of two differ.\nA try is a setup "
             "whose outcomes were shown; it is entered before that and never removed.",
     .most_arguments = 2,
     .options = ledger_options,
     .run = command_ledger},
    {.name = "seal",
     .arguments = "",
     .help = "Keeps bars back from study until they are opened once, or freezes a setup.",
     .options = seal_options,
     .run = command_seal},
    {.name = NULL},
};
