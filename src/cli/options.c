#include "cli/options.h"

#include "evidence/estimate.h"
#include "market/adjust.h"
#include "setup/setup.h"

#include <math.h>

/* --- shared ------------------------------------------------------------------------- */

static const struct option_row bars_rows[] = {
    {.name = "tick",
     .kind = OPTION_NUMBER,
     .value = "STEP",
     .help = "price step",
     .missing = NAN,
     .least = OPTION_TICK_LEAST,
     .most = OPTION_TICK_MOST,
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

/* --- the page ----------------------------------------------------------------------- */

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
