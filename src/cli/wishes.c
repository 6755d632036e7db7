#include "cli/wishes.h"

#include "base/calendar.h"
#include "cli/columns_option.h"

#include <string.h>
#include <time.h>

int64_t clock_now(void)
{
    return (int64_t)time(NULL);
}

/* --- the voice ------------------------------------------------------------------- */

/* What an option can do about what a notice says. */
static const char *notice_advice(enum notice_kind kind)
{
    if (kind == NOTICE_NO_TICK)
        return "; say it with --tick";
    return kind == NOTICE_TICK_ASSUMED ? " (--tick says another)" : "";
}

static void say_notice(void *context, enum notice_kind kind, const char *sentence)
{
    struct call_work *opened = context;
    if (kind == NOTICE_SET_ASIDE || kind == NOTICE_NO_BAR)
        opened->call->incomplete = true;
    progress_end(&opened->progress);
    call_say(opened->call, "%s%s", sentence, notice_advice(kind));
}

/* What the options can do about it stands behind the reason, as behind an error. */
static void say_aside(void *context, const struct error *reason)
{
    struct call_work *opened = context;
    struct error advised = *reason;
    opened->call->incomplete = true;
    progress_end(&opened->progress);
    call_advise(opened->call, &advised);
    call_say(opened->call, "set aside: %s", advised.text);
}

static void show_progress(void *context, double done)
{
    struct call_work *opened = context;
    progress_show(&opened->progress, done);
    if (done >= 1)
        progress_end(&opened->progress);
}

/* --- the wishes ------------------------------------------------------------------ */

/* The text of an option, NULL also where the command has none of the name. */
static const char *wished(const struct call *call, const char *name)
{
    return call_offers(call, name) ? call_option(call, name) : NULL;
}

static int read_tick(const struct call *call, struct tick *tick, struct error *error)
{
    double step = call_number(call, "tick");
    if (step > 0 && !tick_from_number(tick, step))
        return error_set(error, ERROR_USAGE,
                         "--tick: found '%s'; a decimal of at most 15 places is allowed",
                         call_option(call, "tick"));
    return ERROR_NONE;
}

static int read_series_wishes(const struct call *call, struct wishes *wishes, struct error *error)
{
    wishes->interval = call_interval(call, "interval");
    wishes->adjustment = (enum adjustment)call_choice(call, "adjust");
    wishes->from = call_time(call, "from", INT64_MIN);
    wishes->to = call_time_end(call, "to", INT64_MAX);
    return read_tick(call, &wishes->tick, error);
}

static int read_wishes(struct call *call, struct wishes *wishes, struct csv_wishes *columns,
                       struct error *error)
{
    bool given = false;
    wishes_init(wishes);
    wishes->book = call->book;
    wishes->words = (const char *const *)call->arguments;
    wishes->word_count = call->argument_count;
    wishes->threads = call->threads;
    wishes->seed = call->seed;
    wishes->now = clock_now();
    wishes->zone = wished(call, "zone");
    wishes->list = wished(call, "watchlist");
    wishes->finer = wished(call, "finer");
    wishes->events = wished(call, "events");
    wishes->levels = wished(call, "levels");
    wishes->provisional = wished(call, "provisional") != NULL;
    if (call_offers(call, "as-of"))
        wishes->as_of = call_time(call, "as-of", INT64_MAX);
    if (!call_offers(call, "columns"))
        return ERROR_NONE;
    int code = columns_of_call(call, columns, &given, error);
    wishes->columns = given ? columns : NULL;
    if (code != ERROR_NONE)
        return code;
    return call_offers(call, "adjust") ? read_series_wishes(call, wishes, error) : ERROR_NONE;
}

int call_work_open(struct call_work *opened, struct call *call, struct error *error)
{
    struct wishes wishes;
    *opened = (struct call_work){.call = call};
    const struct voice voice = {say_notice, show_progress, say_aside, opened, NULL};
    progress_begin(&opened->progress, call);
    int code = read_wishes(call, &wishes, &opened->columns, error);
    return code == ERROR_NONE ? work_open(&opened->work, &wishes, &voice, error) : code;
}

int call_work_close(struct call_work *opened, int code, struct error *error)
{
    progress_end(&opened->progress);
    return work_close(opened->work, code, error);
}

/* --- advice ---------------------------------------------------------------------- */

static const char *const advice[] = {
    [ERROR_REASON_NO_BOOK] = "; --book FILE names one",
    [ERROR_REASON_NO_INSTRUMENT] = " with --watchlist",
    [ERROR_REASON_NO_LIST] = "; 'watchlists' shows all",
    [ERROR_REASON_LIST_THERE] = "; 'watchlists add' adds to it",
    [ERROR_REASON_NO_ACTION] = "; 'actions' lists them",
    [ERROR_REASON_ACTION_DIFFERS] = "; with --replace it takes its place",
    [ERROR_REASON_NO_NUMBER] = ", or all",
    [ERROR_REASON_NO_TICK] = "; say it with --tick",
    [ERROR_REASON_LENGTH_NOT_MADE] =
        "; say the file's own with --interval, or take another instrument",
    [ERROR_REASON_OTHER_FINER] = "; give a folder with a file for each instrument",
    [ERROR_REASON_NOT_FINER] = "; give shorter bars, or leave --finer out",
    [ERROR_REASON_TOO_LONG] = "; --seconds allows more",
    [ERROR_REASON_TOO_LARGE] = "; --rows or --memory allows more",
    [ERROR_REASON_OTHER_INTERVAL] =
        "; leave --interval and what is behind the @ out, or change the setup's interval",
    [ERROR_REASON_DATES_OF_NONE] = "; name it after the file",
    [ERROR_REASON_NO_CASE] = "; 'rushlight scan --nearly 5 --all' shows what was close",
    [ERROR_REASON_NO_BOOK_YET] = "; 'rushlight import FILE' makes one",
    [ERROR_REASON_EMPTY_BOOK] = "; 'rushlight import' fills one",
    [ERROR_REASON_OLD_BOOK] =
        "; any command that writes, such as 'rushlight import FILE', brings it up to date",
    [ERROR_REASON_BOOK_IS_FOLDER] = ", name it with --book",
    [ERROR_REASON_OTHER_ZONE] =
        "; leave --zone out; 'instrument NAME --zone' says that of a session",
    [ERROR_REASON_NO_COLUMN] = ", or --columns that says which they are, such as time=1,close=4",
    [ERROR_REASON_TWO_COLUMNS] = ", with --columns",
    [ERROR_REASON_UNCLEAR_DATES] = "; import it with --date-format dmy or mdy",
    [ERROR_REASON_NO_BAR_LENGTH] = "; say it with --interval, such as 1h or 1d",
    [ERROR_REASON_NO_NAME] = "; --instrument gives another",
    [ERROR_REASON_NO_LENGTH] = "; say it with --interval, such as 1d or 1h",
    [ERROR_REASON_OBSERVATIONS] = "; --adjust is for bars",
    [ERROR_REASON_NO_ACTIONS] =
        "; import them with 'rushlight actions import FILE' first, or leave --adjust out",
    [ERROR_REASON_NO_MEASURE] = "; 'rushlight catalogue measures' lists those",
    [ERROR_REASON_NO_SHAPE] = "; 'rushlight catalogue shapes' lists them",
    [ERROR_REASON_NO_CONDITION] = "; 'rushlight catalogue conditions' lists them",
    [ERROR_REASON_SEALED] = "; 'seal --open' opens them for good",
    [ERROR_REASON_NO_ACCOUNT] = "; 'account' lists them, 'account make NAME CURRENCY' makes one",
    [ERROR_REASON_NO_RISK] = "; say it with --risk, or for good with 'account limits'",
    [ERROR_REASON_LIMIT] = "; pass it by, or say with --breach why it does not hold this time",
    [ERROR_REASON_SAID] = "; with --correct it is put right by one more entry",
    [ERROR_REASON_NO_BALANCE] = "; 'account in' enters money",
    [ERROR_REASON_NO_RATE] = "; give one with --rate, such as EUR/USD=1.08",
    [ERROR_REASON_NOT_FROZEN] = "; 'seal --freeze' freezes one",
};

void call_advise(const struct call *call, struct error *error)
{
    if (error->reason == ERROR_REASON_NO_INSTRUMENT)
        error_context(error, "%s", call->command->name);
    if (error->reason == ERROR_REASON_NO_LIST && call_offers(call, "watchlist"))
        error_context(error, "--watchlist");
    if (error->reason == ERROR_REASON_NO_NUMBER || error->reason == ERROR_REASON_NUMBER_TWICE)
        error_context(error, "--vary");
    if (error->reason == ERROR_REASON_OTHER_FINER || error->reason == ERROR_REASON_NOT_FINER)
        error_context(error, "--finer");
    if (error->reason < sizeof advice / sizeof advice[0] && advice[error->reason] != NULL)
        error_advise(error, advice[error->reason]);
}
