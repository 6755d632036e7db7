#include "cli/options.h"

#include "evidence/estimate.h"
#include "market/adjust.h"
#include "setup/setup.h"

#include <math.h>

#define TICK_LIMITS .missing = NAN, .least = 1e-15, .most = 1e15

/* --- shared ------------------------------------------------------------------------- */

static const struct option_row bars_rows[] = {
    {.name = "tick",
     .kind = OPTION_NUMBER,
     .value = "STEP",
     .help = "price step",
     TICK_LIMITS,
     .missing_words = "the instrument's, else the step seen in the prices"},
    {.name = "interval",
     .kind = OPTION_INTERVAL,
     .value = "INTERVAL",
     .help = "length of the bars: 1d, 1w, 1month, 4h, 30m …",
     .missing_words = "the file's own"},
    {.name = "zone",
     .kind = OPTION_TEXT,
     .value = "ZONE",
     .help = "time zone of the times in a file, such as Europe/Paris",
     .missing_words = "its header's, else UTC"},
    {.name = "columns",
     .kind = OPTION_TEXT,
     .value = "ROLE=COLUMN,…",
     .help = "which column of a file is what, such as time=1,close=4 or close=Settlement",
     .missing_words = "as the words of its header say"},
    {.name = "from",
     .kind = OPTION_TIME,
     .value = "DATE",
     .help = "show and count nothing before this date; earlier bars warm up"},
    {.name = "to", .kind = OPTION_TIME, .value = "DATE", .help = "leave out bars after this date"},
    {.name = "adjust",
     .kind = OPTION_CHOICE,
     .help = "apply splits and rolls up to the last bar, or nothing, or dividends too",
     .choices = adjustment_names,
     .missing_words = "splits"},
    {.name = "watchlist",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "also the instruments of this watchlist of the book"},
    {.name = NULL},
};
const struct option_group bars_options = {"Bars", bars_rows};

static const struct option_row as_of_rows[] = {
    {.name = "as-of",
     .kind = OPTION_DATE,
     .value = "DATE",
     .help = "as it was known at the end of this date: bars that were over, actions, ticks and "
             "levels, events known and members of lists of then; with --to the earlier counts"},
    {.name = NULL},
};
const struct option_group as_of_options = {"As of", as_of_rows};

static const struct option_row setup_rows[] = {
    {.name = "setup",
     .kind = OPTION_SETUP,
     .value = "S",
     .help = "a setup file, or the name of a shipped setup",
     .needed = "a setup file, or the name of a shipped one such as low-inverted-hammer, is needed",
     .instead = "forward"},
    {.name = "finer",
     .kind = OPTION_FILE,
     .value = "FILE|FOLDER",
     .help = "finer bars of the same name, for same_bar: finer"},
    {.name = "events",
     .kind = OPTION_FILE,
     .value = "FILE",
     .help = "more events than the book's: CSV with kind, time and, if wanted, instrument, known"},
    {.name = "levels",
     .kind = OPTION_FILE,
     .value = "FILE",
     .help =
         "levels and lines of your own: CSV with price, from and, if wanted, instrument and what "
         "levels import reads; each counts as dated back"},
    {.name = NULL},
};
const struct option_group setup_options = {"Setup", setup_rows};

/* A bar is asked with a setup or without. */
static const struct option_row explain_rows[] = {
    {.name = "setup",
     .kind = OPTION_SETUP,
     .value = "S",
     .help = "also say what this setup makes of it: a setup file, or the name of a shipped setup"},
    {.name = "events",
     .kind = OPTION_FILE,
     .value = "FILE",
     .help = "more events than the book's: CSV with kind, time and, if wanted, instrument, known"},
    {.name = "levels",
     .kind = OPTION_FILE,
     .value = "FILE",
     .help =
         "levels and lines of your own: CSV with price, from and, if wanted, instrument and what "
         "levels import reads; each counts as dated back"},
    {.name = NULL},
};
const struct option_group explain_options = {"Setup", explain_rows};

#define EXPECT_ROW                                                                                 \
    {                                                                                              \
        .name = "expect", .kind = OPTION_FLAG, .help = "exit with 1 where nothing is found"        \
    }
#define REPORT_ROW                                                                                 \
    {                                                                                              \
        .name = "output", .kind = OPTION_FILE, .value = "FILE",                                    \
        .help = "also write a report with figures to this .html or .pdf file"                      \
    }

/* --- the book ----------------------------------------------------------------------- */

static const struct option_row demo_rows[] = {
    {.name = "dir",
     .kind = OPTION_FOLDER,
     .value = "DIR",
     .help = "the folder to make",
     .missing_words = "rushlight-demo"},
    {.name = NULL},
};
const struct option_group demo_options = {"Options", demo_rows};

static const char *const date_orders[] = {"dmy", "mdy", "ymd", NULL};

static const struct option_row import_rows[] = {
    {.name = "instrument",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "the instrument the bars are of",
     .missing_words = "the file's name"},
    {.name = "interval",
     .kind = OPTION_INTERVAL,
     .value = "INTERVAL",
     .help = "length of the bars",
     .missing_words = "seen from the file"},
    {.name = "tick",
     .kind = OPTION_NUMBER,
     .value = "STEP",
     .help = "price step of the instrument",
     TICK_LIMITS},
    {.name = "zone",
     .kind = OPTION_TEXT,
     .value = "ZONE",
     .help = "time zone of the times in the file",
     .missing_words = "its header's, else UTC"},
    {.name = "columns",
     .kind = OPTION_TEXT,
     .value = "ROLE=COLUMN,…",
     .help = "which column of the file is what, such as time=1,close=4 or close=Settlement",
     .missing_words = "as the words of its header say"},
    {.name = "date-format",
     .kind = OPTION_CHOICE,
     .help = "order of day, month and year",
     .choices = date_orders,
     .explained = "the order of day, month and year",
     .missing_words = "seen from the file"},
    {.name = "adjust",
     .kind = OPTION_CHOICE,
     .help =
         "its prices are adjusted for the book's splits and rolls, or dividends too; taken back",
     .choices = adjustment_names,
     .missing_words = "none"},
    {.name = "replace",
     .kind = OPTION_FLAG,
     .help = "a bar that differs from the stored one replaces it"},
    {.name = "whole",
     .kind = OPTION_FLAG,
     .help = "the last bar is whole, though its session is not over yet"},
    {.name = NULL},
};
const struct option_group import_options = {"Options", import_rows};

static const struct option_row bars_listing_rows[] = {
    {.name = "set-aside",
     .kind = OPTION_FLAG,
     .help = "instead the lines of imported files that broke a rule"},
    {.name = "revisions",
     .kind = OPTION_FLAG,
     .help = "instead the bars that were replaced, or kept out, by others"},
    {.name = NULL},
};
const struct option_group bars_listing_options = {"Instead of bars", bars_listing_rows};

static const struct option_row actions_rows[] = {
    {.name = "replace",
     .kind = OPTION_FLAG,
     .help = "a value takes the place of another of that date and kind"},
    {.name = NULL},
};
const struct option_group actions_options = {"Options", actions_rows};

/* After --new and --import the rows of record_fields (market/instrument_record.h),
 * which say what of each is allowed; an empty text is allowed of all. */
static const struct option_row instrument_rows[] = {
    {.name = "new", .kind = OPTION_FLAG, .help = "make one that is not in the book yet"},
    {.name = "import",
     .kind = OPTION_FILE,
     .value = "FILE",
     .help = "records from a CSV as --format csv writes it, all lines or none"},
    {.name = "kind",
     .kind = OPTION_TEXT,
     .value = "KIND",
     .help = "share, index, future, currency, commodity, cryptocurrency or unknown"},
    {.name = "prices",
     .kind = OPTION_TEXT,
     .value = "trade|mid|bid",
     .help = "what its prices are: of trades, half-way, or bids"},
    {.name = "tick",
     .kind = OPTION_TEXT,
     .value = "STEP[@DATE]…",
     .help = "price step, later ones with their date: '0.05 0.01@2001-04-09'"},
    {.name = "point-value",
     .kind = OPTION_TEXT,
     .value = "MONEY",
     .help = "money for a move of 1 in price, a unit held"},
    {.name = "currency", .kind = OPTION_TEXT, .value = "CODE", .help = "of the price, such as EUR"},
    {.name = "size-step",
     .kind = OPTION_TEXT,
     .value = "SIZE",
     .help = "sizes are whole multiples of it"},
    {.name = "smallest-size",
     .kind = OPTION_TEXT,
     .value = "SIZE",
     .help = "the least that can be held"},
    {.name = "leverage",
     .kind = OPTION_TEXT,
     .value = "TIMES",
     .help = "what positions may be worth, in balances"},
    {.name = "interval",
     .kind = OPTION_TEXT,
     .value = "INTERVAL",
     .help = "the bars it is usually read on: 1d, 4h …"},
    {.name = "zone",
     .kind = OPTION_TEXT,
     .value = "ZONE",
     .help = "time zone of its session, such as Europe/Paris"},
    {.name = "session-start",
     .kind = OPTION_TEXT,
     .value = "HH:MM",
     .help = "when its day begins; 17:00- is the evening before"},
    {.name = "session-days",
     .kind = OPTION_TEXT,
     .value = "DAYS",
     .help = "days of its week: 'mon tue wed thu fri'"},
    {.name = "first-date",
     .kind = OPTION_TEXT,
     .value = "DATE",
     .help = "the first day it was traded"},
    {.name = "last-date",
     .kind = OPTION_TEXT,
     .value = "DATE",
     .help = "the last day, where it has ended"},
    {.name = "ended-why", .kind = OPTION_TEXT, .value = "TEXT", .help = "why it ended"},
    {.name = "spread", .kind = OPTION_TEXT, .value = "PRICE", .help = "between bid and ask"},
    {.name = "slippage",
     .kind = OPTION_TEXT,
     .value = "PRICE",
     .help = "lost on each order but targets"},
    {.name = "commission-per-unit",
     .kind = OPTION_TEXT,
     .value = "MONEY",
     .help = "for each unit, entry and exit alike"},
    {.name = "commission-percent",
     .kind = OPTION_TEXT,
     .value = "PERCENT",
     .help = "of what is bought or sold, entry and exit alike"},
    {.name = "commission-per-trade",
     .kind = OPTION_TEXT,
     .value = "MONEY",
     .help = "once a trade, whatever its size"},
    {.name = "financing-percent-year",
     .kind = OPTION_TEXT,
     .value = "PERCENT",
     .help = "of a year, for each night that a position is held"},
    {.name = NULL},
};
const struct option_group instrument_options = {"Options", instrument_rows};

static const struct option_row events_rows[] = {
    {.name = "kind", .kind = OPTION_TEXT, .value = "KIND", .help = "events of this kind only"},
    {.name = "instrument",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "events of this instrument (shown: and those of all)"},
    {.name = "from", .kind = OPTION_TIME, .value = "DATE", .help = "events from this date on"},
    {.name = "to", .kind = OPTION_TIME, .value = "DATE", .help = "events up to this date"},
    {.name = NULL},
};
const struct option_group events_options = {"Options", events_rows};

static const struct option_row levels_rows[] = {
    {.name = "from",
     .kind = OPTION_TIME,
     .value = "DATE",
     .help = "of add: drawn on this older date, and flagged for it; it counts after its end"},
    {.name = "note", .kind = OPTION_TEXT, .value = "WORDS", .help = "of add: words beside it"},
    {.name = "width",
     .kind = OPTION_NUMBER,
     .value = "PRICE",
     .help = "of add: from a channel's line to the one beside it, below 0 for one beneath",
     .missing = NAN,
     .least = -INFINITY,
     .most = INFINITY},
    {.name = "withdrawn", .kind = OPTION_FLAG, .help = "also show those that were withdrawn"},
    {.name = NULL},
};
const struct option_group levels_options = {"Options", levels_rows};

static const struct option_row measure_rows[] = {
    {.name = "of",
     .kind = OPTION_TEXT,
     .value = "NAME[,key=value…]",
     .help = "the measure, several separated by spaces",
     .needed = "a measure such as rsi,length=14 is needed ('rushlight catalogue measures' lists "
               "them)"},
    {.name = NULL},
};
const struct option_group measure_options = {"Options", measure_rows};

static const struct option_row query_rows[] = {
    {.name = "rows",
     .kind = OPTION_WHOLE,
     .value = "N",
     .help = "print so many rows at most",
     .missing = 10000000,
     .least = 1,
     .most = 1e12},
    {.name = "seconds",
     .kind = OPTION_WHOLE,
     .value = "N",
     .help = "take so long at most",
     .missing = 300,
     .least = 1,
     .most = 1e9},
    {.name = "memory",
     .kind = OPTION_WHOLE,
     .value = "MB",
     .help = "take so much memory at most",
     .missing = 1024,
     .least = 1,
     .most = 1e6},
    {.name = NULL},
};
const struct option_group query_options = {"Options", query_rows};

/* --- setups on bars ----------------------------------------------------------------- */

static const struct option_row scan_rows[] = {
    {.name = "all", .kind = OPTION_FLAG, .help = "the whole history, not the newest bar only"},
    {.name = "nearly",
     .kind = OPTION_WHOLE,
     .value = "N",
     .help =
         "instead, of the newest bars, the N that fail one criterion by least, nearest first; with "
         "--all N of the whole history of each instrument",
     .missing = NAN,
     .least = 1,
     .most = 10000},
    {.name = "waiting",
     .kind = OPTION_FLAG,
     .help = "instead every signal whose entry is still possible, nearest in ATR first"},
    {.name = "provisional",
     .kind = OPTION_FLAG,
     .help = "look at a partial last bar too, as it stands"},
    EXPECT_ROW,
    {.name = NULL},
};
const struct option_group scan_options = {"Signals", scan_rows};

static const struct option_row trades_rows[] = {
    {.name = "all",
     .kind = OPTION_FLAG,
     .help = "also signals that never became a trade, with the reason"},
    {.name = "exits",
     .kind = OPTION_FLAG,
     .help = "a row for each exit, with its price, share and reason"},
    EXPECT_ROW,
    {.name = NULL},
};
const struct option_group trades_options = {"Trades", trades_rows};

static const char *const themes[] = {"light", "dark", "print", NULL};
static const char *const papers[] = {"a4", "a4-landscape", "letter", "letter-landscape", "slide",
                                     NULL};
static const char *const case_papers[] = {"a4",    "a4-landscape", "letter", "letter-landscape",
                                          "slide", "phone",        NULL};

static const struct option_row case_rows[] = {
    {.name = "output",
     .kind = OPTION_FILE,
     .value = "FILE",
     .help = "the sheet to write: .svg, .png, .pdf or .html",
     .needed = "the file to write, such as case.svg, is needed"},
    {.name = "no-outcome", .kind = OPTION_FLAG, .help = "show nothing after the signal"},
    {.name = "context",
     .kind = OPTION_FLAG,
     .help = "also lines, zones and swings that the setup has no rule about"},
    {.name = "theme",
     .kind = OPTION_CHOICE,
     .help = "colours; print: greys",
     .choices = themes,
     .missing_words = "light"},
    {.name = "paper",
     .kind = OPTION_CHOICE,
     .help = "what the sheet is laid out for: an upright one has two pages, one for slides "
             "five; an SVG or PNG holds the first",
     .choices = case_papers,
     .missing_words = "a4-landscape"},
    {.name = "scale",
     .kind = OPTION_NUMBER,
     .value = "NUMBER",
     .help = "pixels of a PNG for each unit of the sheet",
     .missing = 2,
     .least = 0.1,
     .most = 8},
    {.name = NULL},
};
const struct option_group case_options = {"Sheet", case_rows};

static const char *const wall_orders[] = {"date", "nearness", "followed", NULL};

static const struct option_row cases_rows[] = {
    {.name = "output",
     .kind = OPTION_FILE,
     .value = "FILE",
     .help = "the sheet to write: .svg, .pdf or .html",
     .needed = "the file to write, such as cases.html, is needed"},
    {.name = "order",
     .kind = OPTION_CHOICE,
     .help = "date: the oldest first; nearness: those first that were met by least; followed: the "
             "best result first, with --outcome",
     .choices = wall_orders,
     .missing_words = "date"},
    {.name = "outcome",
     .kind = OPTION_FLAG,
     .help = "also show what followed, and the average path after the candle; it is a trial, and "
             "the ledger notes it"},
    {.name = "most",
     .kind = OPTION_WHOLE,
     .value = "N",
     .help = "so many cases at most, the newest where there are more; 0: all",
     .missing = 240,
     .least = 0,
     .most = 12000,
     .unit = "cases"},
    {.name = "theme",
     .kind = OPTION_CHOICE,
     .help = "colours; print: greys",
     .choices = themes,
     .missing_words = "light"},
    {.name = "paper",
     .kind = OPTION_CHOICE,
     .help = "of a PDF",
     .choices = papers,
     .missing_words = "a4-landscape"},
    {.name = NULL},
};
const struct option_group cases_options = {"Sheet", cases_rows};

/* --- evidence ----------------------------------------------------------------------- */

static const struct option_row study_rows[] = {
    REPORT_ROW,
    {.name = "forward",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "judge a frozen setup on the bars since, instead of --setup"},
    {.name = "against",
     .kind = OPTION_SETUP,
     .value = "S",
     .help = "compare with this second setup, instead of studying the first"},
    {.name = "vary",
     .kind = OPTION_TEXT,
     .value = "all|NAME[,NAME]",
     .help = "instead move numbers of the setup, one at a time or two together"},
    {.name = "resampled-markets",
     .kind = OPTION_WHOLE,
     .value = "N",
     .help = "resampled markets to compare with",
     .most = 100000},
    {.name = "resamples",
     .kind = OPTION_WHOLE,
     .value = "N",
     .help = "resamples of dates behind every interval",
     .missing = RESAMPLES,
     .least = 200,
     .most = 1000000,
     .beside = "vary", /* which makes many studies */
     .missing_beside = 2000},
    {.name = "same-bar",
     .kind = OPTION_CHOICE,
     .help = "what to assume of a bar that reached both sides",
     .choices = same_bar_words,
     .missing_words = "what the setup says"},
    {.name = NULL},
};
const struct option_group study_options = {"Study", study_rows};

#define LIMIT_OF_LOSS .missing = 0, .missing_words = "none", .most = 100, .unit = "%"

static const struct option_row forecast_rows[] = {
    {.name = "next",
     .kind = OPTION_WHOLE,
     .value = "N",
     .help = "also what the next N trades may look like; 0: not",
     .missing = 100,
     .most = 10000},
    {.name = "risk",
     .kind = OPTION_NUMBER,
     .value = "PERCENT",
     .help = "of the account at risk on each of them",
     .missing = 1,
     .most = 100,
     .unit = "%"},
    {.name = "daily-limit",
     .kind = OPTION_NUMBER,
     .value = "PERCENT",
     .help = "loss in one day that ends the account",
     LIMIT_OF_LOSS},
    {.name = "total-limit",
     .kind = OPTION_NUMBER,
     .value = "PERCENT",
     .help = "loss from the start that ends it",
     LIMIT_OF_LOSS},
    {.name = "trailing-limit",
     .kind = OPTION_NUMBER,
     .value = "PERCENT",
     .help = "fall from the highest balance that ends it",
     LIMIT_OF_LOSS},
    {.name = NULL},
};
const struct option_group forecast_options = {"The next trades", forecast_rows};

static const struct option_row ledger_rows[] = {
    REPORT_ROW,
    {.name = "family", .kind = OPTION_TEXT, .value = "NAME", .help = "trials of this family only"},
    {.name = NULL},
};
const struct option_group ledger_options = {"Options", ledger_rows};

static const struct option_row seal_rows[] = {
    {.name = "from",
     .kind = OPTION_TIME,
     .value = "DATE",
     .help = "hide bars from this date on from every outcome"},
    {.name = "open", .kind = OPTION_FLAG, .help = "show them again, for good"},
    {.name = "freeze",
     .kind = OPTION_SETUP,
     .value = "S",
     .help = "keep this setup as it is now, for study --forward"},
    {.name = "as",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "the name to freeze it under",
     .missing_words = "the setup's own"},
    {.name = NULL},
};
const struct option_group seal_options = {"Options", seal_rows};

/* --- the desk ----------------------------------------------------------------------- */

/* Behind --date and --note the terms of an account (desk/account.h). */
static const struct option_row account_rows[] = {
    {.name = "date",
     .kind = OPTION_TIME,
     .value = "DATE",
     .help = "when the money moved",
     .missing_words = "now"},
    {.name = "note", .kind = OPTION_TEXT, .value = "TEXT", .help = "words beside the entry"},
    {.name = "risk",
     .kind = OPTION_TEXT,
     .value = "PERCENT%|MONEY",
     .help = "of a trade: 1% of the balance, or money"},
    {.name = "open-risk",
     .kind = OPTION_TEXT,
     .value = "PERCENT",
     .help = "most of the balance at risk in all open positions and plans"},
    {.name = "side-risk",
     .kind = OPTION_TEXT,
     .value = "PERCENT",
     .help = "likewise in those of one direction"},
    {.name = "currency-risk",
     .kind = OPTION_TEXT,
     .value = "PERCENT",
     .help = "likewise in instruments of one currency"},
    {.name = "leverage",
     .kind = OPTION_TEXT,
     .value = "TIMES",
     .help = "what positions may be worth, in balances"},
    {.name = "day-loss",
     .kind = OPTION_TEXT,
     .value = "R",
     .help = "enough for the day: no plan after so many R lost in it"},
    {.name = "week-loss", .kind = OPTION_TEXT, .value = "R", .help = "likewise for the week"},
    {.name = "day-trades",
     .kind = OPTION_TEXT,
     .value = "N",
     .help = "most trades entered in a day"},
    {.name = "pause-after",
     .kind = OPTION_TEXT,
     .value = "N",
     .help = "a pause after so many losses in a row"},
    {.name = NULL},
};
const struct option_group account_options = {"Options", account_rows};

static const struct option_row plan_rows[] = {
    {.name = "account", .kind = OPTION_TEXT, .value = "NAME", .help = "the account it is for"},
    {.name = "entry",
     .kind = OPTION_TEXT,
     .value = "PRICE",
     .help = "by hand: where it is entered"},
    {.name = "stop",
     .kind = OPTION_TEXT,
     .value = "PRICE",
     .help = "by hand: where it is given up; of moved: where the stop stands now"},
    {.name = "target",
     .kind = OPTION_TEXT,
     .value = "PRICE",
     .help = "by hand: where it is closed with a gain; of moved: where the nearest target "
             "stands now"},
    {.name = "risk",
     .kind = OPTION_TEXT,
     .value = "PERCENT%|MONEY",
     .help = "what may be lost at the stop",
     .missing_words = "the account's"},
    {.name = "rate",
     .kind = OPTION_TEXT,
     .value = "PAIR=PRICE,…",
     .help = "rates of exchange that go before those of the book"},
    {.name = "reason",
     .kind = OPTION_TEXT,
     .value = "TEXT",
     .help = "why it is taken or passed by, before anybody knows what comes of it"},
    {.name = "breach",
     .kind = OPTION_TEXT,
     .value = "TEXT",
     .help = "why it is taken against a limit; kept with it"},
    {.name = "price",
     .kind = OPTION_TEXT,
     .value = "PRICE",
     .help = "of filled and closed: at what price it was",
     .missing_words = "filled: as planned"},
    {.name = "date",
     .kind = OPTION_TIME,
     .value = "DATE",
     .help = "of filled, moved and closed: when it was",
     .missing_words = "now"},
    {.name = "correct",
     .kind = OPTION_FLAG,
     .help = "of filled and closed: puts right what was said before, by one more entry"},
    {.name = "r", .kind = OPTION_TEXT, .value = "R", .help = "done: what it came to, such as -1"},
    {.name = "note", .kind = OPTION_TEXT, .value = "TEXT", .help = "words beside a step"},
    {.name = "all", .kind = OPTION_FLAG, .help = "show also those that are at their end"},
    {.name = NULL},
};
const struct option_group plan_options = {"Options", plan_rows};

static const struct option_row plan_setup_rows[] = {
    {.name = "setup",
     .kind = OPTION_SETUP,
     .value = "S",
     .help = "the setup whose signal the newest bar gives: a setup file, or the name of one"},
    {.name = NULL},
};
const struct option_group plan_setup_options = {"Setup", plan_setup_rows};

static const struct option_row size_rows[] = {
    {.name = "entry",
     .kind = OPTION_TEXT,
     .value = "PRICE",
     .help = "where the position is entered",
     .needed = "the price of the entry is needed"},
    {.name = "stop",
     .kind = OPTION_TEXT,
     .value = "PRICE",
     .help = "where it is given up: below the entry to buy, above it to sell",
     .needed = "the price of the stop is needed"},
    {.name = "risk",
     .kind = OPTION_TEXT,
     .value = "PERCENT%|MONEY",
     .help = "what may be lost at the stop: 1% of the balance, or 250 of its currency",
     .needed = "what may be lost is needed, such as 1% or 250",
     .instead = "account"},
    {.name = "balance",
     .kind = OPTION_TEXT,
     .value = "MONEY",
     .help = "what the account holds",
     .needed = "what the account holds is needed, such as 25000",
     .instead = "account"},
    {.name = "account-currency",
     .kind = OPTION_TEXT,
     .value = "CODE",
     .help = "of the account, such as EUR",
     .needed = "the currency of the account is needed, such as EUR",
     .instead = "account"},
    {.name = "account",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "an account of the book, with its balance, currency, risk and leverage"},
    {.name = "rate",
     .kind = OPTION_TEXT,
     .value = "PAIR=PRICE,…",
     .help = "rates of exchange, such as EUR/USD=1.08, or an instrument of the book whose last "
             "close it is"},
    {.name = NULL},
};
const struct option_group size_options = {"Options", size_rows};

/* Rows of record_fields: they go before what the book says. */
static const struct option_row size_instrument_rows[] = {
    {.name = "tick", .kind = OPTION_TEXT, .value = "STEP", .help = "price step"},
    {.name = "point-value",
     .kind = OPTION_TEXT,
     .value = "MONEY",
     .help = "money for a move of 1 in price, a unit held",
     .missing_words = "1"},
    {.name = "currency",
     .kind = OPTION_TEXT,
     .value = "CODE",
     .help = "of the price",
     .missing_words = "the account's"},
    {.name = "size-step",
     .kind = OPTION_TEXT,
     .value = "SIZE",
     .help = "sizes are whole multiples of it",
     .missing_words = "1"},
    {.name = "smallest-size",
     .kind = OPTION_TEXT,
     .value = "SIZE",
     .help = "the least that can be held",
     .missing_words = "one step"},
    {.name = "leverage",
     .kind = OPTION_TEXT,
     .value = "TIMES",
     .help = "what positions may be worth, in balances",
     .missing_words = "no limit"},
    {.name = NULL},
};
const struct option_group size_instrument_options = {"Instrument, where the book does not say so",
                                                     size_instrument_rows};

static const struct option_row size_costs_rows[] = {
    {.name = "spread", .kind = OPTION_TEXT, .value = "PRICE", .help = "between bid and ask"},
    {.name = "slippage",
     .kind = OPTION_TEXT,
     .value = "PRICE",
     .help = "lost on each order but targets"},
    {.name = "commission-per-unit",
     .kind = OPTION_TEXT,
     .value = "MONEY",
     .help = "for each unit, entry and exit alike"},
    {.name = "commission-percent",
     .kind = OPTION_TEXT,
     .value = "PERCENT",
     .help = "of what is bought or sold, entry and exit alike"},
    {.name = "commission-per-trade",
     .kind = OPTION_TEXT,
     .value = "MONEY",
     .help = "once a trade, whatever its size"},
    {.name = NULL},
};
const struct option_group size_costs_options = {"Costs, likewise", size_costs_rows};

static const struct option_row serve_rows[] = {
    {.name = "port",
     .kind = OPTION_WHOLE,
     .value = "N",
     .help = "the port to listen on, at 127.0.0.1 alone; 0 is any that is free",
     .missing = 7425,
     .least = 0,
     .most = 65535},
    {.name = "open", .kind = OPTION_FLAG, .help = "open it in the browser, too"},
    {.name = "read-only", .kind = OPTION_FLAG, .help = "nothing can be changed from the page"},
    {.name = NULL},
};
const struct option_group serve_options = {"Options", serve_rows};
