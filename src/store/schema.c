#include "store/schema.h"

/* Each step goes from the version of its index to the next. A step that has
 * been released is never changed: a new table or column is a new step. */
/* Triggers that keep a table of records as it was written. */
#define STAYS(table, what)                                                                         \
    "CREATE TRIGGER " table "_stays BEFORE DELETE ON " table " BEGIN SELECT raise(ABORT, '" what   \
    " is never removed'); END;"                                                                    \
    "CREATE TRIGGER " table "_as_it_was BEFORE UPDATE ON " table                                   \
    " BEGIN SELECT raise(ABORT, '" what " is never changed'); END;"

/* Moves a moment kept by the beginning of a bar to the last second of the longest bar of
 * the instrument's series that may hold it (days by UTC, more months than one from its
 * own); it stays where bars have no length, or there are none. */
#define TO_END_OF_BAR(table, begins, instrument, where)                                            \
    "UPDATE " table " SET " begins " = coalesce((SELECT max(CASE"                                  \
    " WHEN s.interval LIKE '%mo%' THEN CAST(strftime('%s', " begins                                \
    ", 'unixepoch', 'start of month', CAST(s.interval AS INTEGER) || ' months') AS INTEGER)"       \
    " WHEN s.interval LIKE '%w' THEN " begins " - (" begins                                        \
    " - 345600) % (604800 * CAST(s.interval AS INTEGER)) + 604800 * CAST(s.interval AS INTEGER)"   \
    " WHEN s.interval LIKE '%d' THEN " begins " - " begins                                         \
    " % (86400 * CAST(s.interval AS INTEGER)) + 86400 * CAST(s.interval AS INTEGER)"               \
    " WHEN s.interval LIKE '%h' THEN " begins " + 3600 * CAST(s.interval AS INTEGER)"              \
    " ELSE " begins " + 60 * CAST(s.interval AS INTEGER) END) - 1 FROM series s"                   \
    " WHERE s.instrument = " instrument " AND s.interval <> ''), " begins ")"                      \
    " WHERE (" begins " + 1) % 60 <> 0 AND " where ";"
#define LINES_TO_ENDS                                                                              \
    TO_END_OF_BAR("own_line", "since", "own_line.instrument", "dated_back = 0 AND since <> made")
#define WITHDRAWN_TO_ENDS                                                                          \
    TO_END_OF_BAR("own_line_withdrawn", "newest",                                                  \
                  "(SELECT l.instrument FROM own_line l WHERE l.id = own_line_withdrawn.line)",    \
                  "newest > -9223372036854775807")

const char *const schema_steps[] = {
    /* 0 to 1: instruments, bars, where they came from, lists, events. */
    "CREATE TABLE instrument("
    " id INTEGER PRIMARY KEY,"
    " name TEXT NOT NULL UNIQUE,"
    " kind TEXT NOT NULL DEFAULT 'unknown',"
    " point_value REAL NOT NULL DEFAULT 1,"
    " currency TEXT NOT NULL DEFAULT '',"
    " lot_step REAL NOT NULL DEFAULT 1,"
    " interval TEXT NOT NULL DEFAULT '',"
    " zone TEXT NOT NULL DEFAULT 'UTC',"
    " session_start INTEGER NOT NULL DEFAULT 0," /* minutes after midnight, < 0: the evening before */
    " session_days INTEGER NOT NULL DEFAULT 0," /* bit 0 is Monday; 0: not known */
    " first_date INTEGER,"                      /* seconds, midnight UTC of the date */
    " last_date INTEGER,"
    " ended_why TEXT"
    ") STRICT;"
    "CREATE TABLE tick("
    " instrument INTEGER NOT NULL REFERENCES instrument ON DELETE CASCADE,"
    " since INTEGER," /* date from which it holds; null: always */
    " step REAL NOT NULL CHECK(step > 0),"
    " UNIQUE(instrument, since)"
    ") STRICT;"
    "CREATE TABLE series("
    " id INTEGER PRIMARY KEY,"
    " instrument INTEGER NOT NULL REFERENCES instrument ON DELETE CASCADE,"
    " interval TEXT NOT NULL,"
    " partial INTEGER NOT NULL DEFAULT 0," /* the last bar is partial */
    " observed INTEGER,"                   /* time of the last observation in a partial bar */
    " UNIQUE(instrument, interval)"
    ") STRICT;"
    /* Columns of up to 1024 bars, packed as book/bars_pack.h says. */
    "CREATE TABLE chunk("
    " id INTEGER PRIMARY KEY,"
    " series INTEGER NOT NULL REFERENCES series ON DELETE CASCADE,"
    " first INTEGER NOT NULL,"
    " last INTEGER NOT NULL,"
    " count INTEGER NOT NULL,"
    " data BLOB NOT NULL,"
    " UNIQUE(series, first)"
    ") STRICT;"
    "CREATE TABLE source("
    " id INTEGER PRIMARY KEY,"
    " series INTEGER NOT NULL REFERENCES series ON DELETE CASCADE,"
    " file TEXT NOT NULL,"
    " hash TEXT NOT NULL," /* XXH128 of the bytes, hexadecimal */
    " size INTEGER NOT NULL,"
    " options TEXT NOT NULL," /* how it was read */
    " imported INTEGER NOT NULL,"
    " lines INTEGER NOT NULL,"
    " added INTEGER NOT NULL,"
    " known INTEGER NOT NULL,"
    " replaced INTEGER NOT NULL,"
    " kept_out INTEGER NOT NULL"
    ") STRICT;"
    "CREATE INDEX source_by_hash ON source(hash);"
    "CREATE INDEX source_by_series ON source(series);"
    "CREATE TABLE set_aside("
    " source INTEGER NOT NULL REFERENCES source ON DELETE CASCADE,"
    " line INTEGER NOT NULL,"
    " text TEXT NOT NULL,"
    " reason TEXT NOT NULL,"
    " PRIMARY KEY(source, line)"
    ") STRICT, WITHOUT ROWID;"
    /* Bars that contradicted a stored one: those that were replaced, and
     * those that were kept out. */
    "CREATE TABLE revision("
    " id INTEGER PRIMARY KEY,"
    " series INTEGER NOT NULL REFERENCES series ON DELETE CASCADE,"
    " source INTEGER NOT NULL REFERENCES source ON DELETE CASCADE,"
    " replaced INTEGER NOT NULL," /* 1: was stored before; 0: was kept out */
    " time INTEGER NOT NULL,"
    " open REAL NOT NULL, high REAL NOT NULL, low REAL NOT NULL, close REAL NOT NULL,"
    " volume REAL"
    ") STRICT;"
    "CREATE INDEX revision_by_series ON revision(series, time);"
    "CREATE INDEX revision_by_source ON revision(source);"
    /* Splits, dividends, rolls. */
    "CREATE TABLE action("
    " instrument INTEGER NOT NULL REFERENCES instrument ON DELETE CASCADE,"
    " date INTEGER NOT NULL,"
    " kind TEXT NOT NULL CHECK(kind IN ('split', 'dividend', 'roll')),"
    " value REAL NOT NULL,"
    " PRIMARY KEY(instrument, date, kind)"
    ") STRICT, WITHOUT ROWID;"
    "CREATE TABLE list("
    " id INTEGER PRIMARY KEY,"
    " name TEXT NOT NULL UNIQUE"
    ") STRICT;"
    "CREATE TABLE list_member("
    " list INTEGER NOT NULL REFERENCES list ON DELETE CASCADE,"
    " position INTEGER NOT NULL,"
    " instrument INTEGER NOT NULL REFERENCES instrument ON DELETE CASCADE,"
    " PRIMARY KEY(list, instrument)"
    ") STRICT, WITHOUT ROWID;"
    "CREATE INDEX list_member_by_instrument ON list_member(instrument);"
    "CREATE TABLE event("
    " id INTEGER PRIMARY KEY,"
    " time INTEGER NOT NULL,"
    " dated INTEGER NOT NULL," /* 1: known to the day only */
    " kind TEXT NOT NULL,"
    " instrument INTEGER REFERENCES instrument ON DELETE CASCADE," /* null: all */
    " note TEXT NOT NULL DEFAULT ''"
    ") STRICT;"
    "CREATE UNIQUE INDEX event_once ON event(time, kind, coalesce(instrument, 0), note);",
    /* 1 to 2: the ledger of tries, the seal, setups frozen for the time to
     * come. A try is entered before its outcome is shown and never removed. */
    "CREATE TABLE try("
    " id INTEGER PRIMARY KEY,"
    " at INTEGER NOT NULL,"
    " command TEXT NOT NULL,"
    " setup TEXT NOT NULL,"
    " text TEXT NOT NULL," /* the setup file, written out */
    " hash TEXT NOT NULL," /* XXH128 of it */
    " family TEXT NOT NULL,"
    " instruments TEXT NOT NULL," /* one a line */
    " data_hash TEXT NOT NULL,"   /* XXH128 of names and bars */
    " first INTEGER NOT NULL,"
    " last INTEGER NOT NULL,"
    " seed INTEGER NOT NULL,"
    " finished INTEGER NOT NULL DEFAULT 0,"
    " closed INTEGER NOT NULL DEFAULT 0,"
    " mean_r REAL, low REAL, high REAL, p REAL"
    ") STRICT;"
    "CREATE INDEX try_by_family ON try(family);"
    "CREATE TRIGGER try_stays BEFORE DELETE ON try"
    " BEGIN SELECT raise(ABORT, 'the ledger forgets no try'); END;"
    "CREATE TABLE try_date("
    " try INTEGER NOT NULL REFERENCES try,"
    " day INTEGER NOT NULL," /* days since 1970-01-01 */
    " sum_r REAL NOT NULL,"
    " trades INTEGER NOT NULL,"
    " PRIMARY KEY(try, day)"
    ") STRICT, WITHOUT ROWID;"
    "CREATE TABLE seal("
    " day INTEGER NOT NULL,"
    " closed INTEGER NOT NULL,"
    " opened INTEGER"
    ") STRICT;"
    "CREATE TABLE frozen("
    " name TEXT PRIMARY KEY,"
    " text TEXT NOT NULL,"
    " since INTEGER NOT NULL"
    ") STRICT;",
    /* 2 to 3: what the prices of an instrument are. */
    "ALTER TABLE instrument ADD COLUMN prices TEXT NOT NULL DEFAULT 'trade'"
    " CHECK(prices IN ('trade', 'mid', 'bid'));",
    /* 3 to 4: the members of lists with the key's columns first; in any other
     * order the integrity check of SQLite 3.40 takes one for null. */
    "CREATE TABLE list_member_in_order("
    " list INTEGER NOT NULL REFERENCES list ON DELETE CASCADE,"
    " instrument INTEGER NOT NULL REFERENCES instrument ON DELETE CASCADE,"
    " position INTEGER NOT NULL,"
    " PRIMARY KEY(list, instrument)"
    ") STRICT, WITHOUT ROWID;"
    "INSERT INTO list_member_in_order SELECT list, instrument, position FROM list_member;"
    "DROP TABLE list_member;"
    "ALTER TABLE list_member_in_order RENAME TO list_member;"
    "CREATE INDEX list_member_by_instrument ON list_member(instrument);",
    /* 4 to 5: the newest bars, unpacked, for other programs. */
    "CREATE TABLE newest_bars("
    " instrument TEXT NOT NULL REFERENCES instrument(name) ON UPDATE CASCADE ON DELETE CASCADE,"
    " interval TEXT NOT NULL,"
    " time TEXT NOT NULL,"
    " open REAL NOT NULL, high REAL NOT NULL, low REAL NOT NULL, close REAL NOT NULL,"
    " volume REAL,"
    " PRIMARY KEY(instrument, interval, time)"
    ") STRICT, WITHOUT ROWID;",
    /* 5 to 6: which columns of price files are what, by the names of the files. */
    "CREATE TABLE file_columns("
    " pattern TEXT PRIMARY KEY,"
    " columns TEXT NOT NULL"
    ") STRICT, WITHOUT ROWID;",
    /* 6 to 7: setups, every version for good. */
    "CREATE TABLE setup_version("
    " name TEXT NOT NULL,"
    " version INTEGER NOT NULL CHECK(version >= 1),"
    " made INTEGER NOT NULL,"
    " text TEXT NOT NULL," /* the setup file, as it was written */
    " PRIMARY KEY(name, version)"
    ") STRICT, WITHOUT ROWID;"
    "CREATE TRIGGER setup_version_stays BEFORE DELETE ON setup_version"
    " BEGIN SELECT raise(ABORT, 'no version of a setup is removed'); END;"
    "CREATE TRIGGER setup_version_as_it_was BEFORE UPDATE ON setup_version"
    " BEGIN SELECT raise(ABORT, 'a version of a setup is never changed'); END;",
    /* 7 to 8: what the figure shows, for each length of bars. */
    "CREATE TABLE chart_choice("
    " interval TEXT PRIMARY KEY,"
    " panes TEXT NOT NULL,"
    " averages TEXT NOT NULL,"
    " logarithmic INTEGER NOT NULL CHECK(logarithmic IN (0, 1))"
    ") STRICT, WITHOUT ROWID;",
    /* 8 to 9: better words. Setups kept as text stay in the words they were
     * written in (base/former.h). */
    "ALTER TABLE instrument RENAME COLUMN lot_step TO size_step;"
    "UPDATE instrument SET kind = 'cryptocurrency' WHERE kind = 'coin';"
    "DROP TRIGGER try_stays;"
    "DROP INDEX try_by_family;"
    "ALTER TABLE try RENAME TO trial;"
    "ALTER TABLE try_date RENAME TO trial_date;"
    "ALTER TABLE trial_date RENAME COLUMN try TO trial;"
    "CREATE INDEX trial_by_family ON trial(family);"
    "CREATE TRIGGER trial_stays BEFORE DELETE ON trial"
    " BEGIN SELECT raise(ABORT, 'the ledger forgets no trial'); END;"
    "DROP INDEX list_member_by_instrument;"
    "ALTER TABLE list RENAME TO watchlist;"
    "ALTER TABLE list_member RENAME TO watchlist_member;"
    "ALTER TABLE watchlist_member RENAME COLUMN list TO watchlist;"
    "CREATE INDEX watchlist_member_by_instrument ON watchlist_member(instrument);",
    /* 9 to 10: finished answers, with the setup and the data that they are of. */
    "CREATE TABLE answer("
    " id INTEGER PRIMARY KEY,"
    " made INTEGER NOT NULL,"
    " kind TEXT NOT NULL CHECK(kind IN ('study', 'comparison', 'sensitivity', 'forward')),"
    " setup TEXT NOT NULL,"
    " against TEXT NOT NULL,"
    " list TEXT NOT NULL," /* '': all instruments */
    " setup_hash TEXT NOT NULL,"
    " against_hash TEXT NOT NULL,"
    " data_hash TEXT NOT NULL,"
    " until INTEGER," /* last second of what was known; null: all of it */
    " seed INTEGER NOT NULL,"
    " resamples INTEGER NOT NULL,"
    " trades INTEGER NOT NULL,"
    " mean_r REAL,"
    " low REAL,"
    " high REAL,"
    " opening TEXT NOT NULL,"
    " body TEXT NOT NULL"
    ") STRICT;"
    "CREATE TRIGGER answer_as_it_was BEFORE UPDATE ON answer"
    " BEGIN SELECT raise(ABORT, 'an answer is never changed'); END;",
    /* 10 to 11: levels and lines of a person's own; one is withdrawn, never removed. */
    "CREATE TABLE own_line("
    " id INTEGER PRIMARY KEY,"
    " instrument INTEGER NOT NULL REFERENCES instrument,"
    " kind TEXT NOT NULL,"
    " time INTEGER NOT NULL,"       /* of the bar of its first point */
    " price REAL NOT NULL,"         /* as traded on that bar */
    " other_time INTEGER NOT NULL," /* of its second point */
    " other_price REAL NOT NULL,"
    " width REAL NOT NULL,"
    " note TEXT NOT NULL,"
    " made INTEGER NOT NULL,"  /* the moment of entry */
    " since INTEGER NOT NULL," /* counts for candles that begin after this */
    " dated_back INTEGER NOT NULL CHECK(dated_back IN (0, 1))"
    ") STRICT;"
    "CREATE INDEX own_line_by_instrument ON own_line(instrument);"
    "CREATE TRIGGER own_line_stays BEFORE DELETE ON own_line"
    " BEGIN SELECT raise(ABORT, 'no level or line is removed; it is withdrawn'); END;"
    "CREATE TRIGGER own_line_as_it_was BEFORE UPDATE ON own_line"
    " BEGIN SELECT raise(ABORT, 'a level or line is never changed'); END;"
    "CREATE TABLE own_line_withdrawn("
    " line INTEGER PRIMARY KEY REFERENCES own_line,"
    " at INTEGER NOT NULL,"
    " newest INTEGER NOT NULL" /* the newest bar then in the book */
    ") STRICT;"
    "CREATE TRIGGER own_line_withdrawn_stays BEFORE DELETE ON own_line_withdrawn"
    " BEGIN SELECT raise(ABORT, 'what was withdrawn stays so'); END;"
    "CREATE TRIGGER own_line_withdrawn_as_it_was BEFORE UPDATE ON own_line_withdrawn"
    " BEGIN SELECT raise(ABORT, 'what was withdrawn stays so'); END;",
    /* 11 to 12: what the data of a trial hash to without the length of the bars and
     * their volume, by which earlier trials know them; null: not noted. */
    "ALTER TABLE trial ADD COLUMN former_hash TEXT;",
    /* 12 to 13: what else a finished answer was asked with, so that it can be asked again. */
    "ALTER TABLE answer ADD COLUMN numbers TEXT NOT NULL DEFAULT '';"
    "ALTER TABLE answer ADD COLUMN markets INTEGER NOT NULL DEFAULT 0;"
    "ALTER TABLE answer ADD COLUMN next INTEGER NOT NULL DEFAULT 100;",
    /* 13 to 14: how a person has a line of their own shown; without a row as its kind
     * usually is. */
    "CREATE TABLE own_line_shown("
    " line INTEGER PRIMARY KEY REFERENCES own_line,"
    " hidden INTEGER NOT NULL CHECK(hidden IN (0, 1)),"
    " reach TEXT NOT NULL CHECK(reach IN ('no', 'right', 'left', 'both'))"
    ") STRICT;",
    /* 14 to 15: what sizes need to know of an instrument; 0: none. */
    "ALTER TABLE instrument ADD COLUMN smallest_size REAL NOT NULL DEFAULT 0;"
    "ALTER TABLE instrument ADD COLUMN leverage REAL NOT NULL DEFAULT 0;"
    "ALTER TABLE instrument ADD COLUMN spread REAL NOT NULL DEFAULT 0;"
    "ALTER TABLE instrument ADD COLUMN slippage REAL NOT NULL DEFAULT 0;"
    "ALTER TABLE instrument ADD COLUMN commission_per_unit REAL NOT NULL DEFAULT 0;"
    "ALTER TABLE instrument ADD COLUMN commission_percent REAL NOT NULL DEFAULT 0;"
    "ALTER TABLE instrument ADD COLUMN commission_per_trade REAL NOT NULL DEFAULT 0;"
    "ALTER TABLE instrument ADD COLUMN financing_percent_year REAL NOT NULL DEFAULT 0;",
    /* 15 to 16: accounts. Whatever was entered stays as it was. */
    "CREATE TABLE account("
    " id INTEGER PRIMARY KEY,"
    " name TEXT NOT NULL UNIQUE,"
    " currency TEXT NOT NULL,"
    " made INTEGER NOT NULL"
    ") STRICT;" STAYS(
        "account",
        "an account") "CREATE TABLE account_entry("
                      " id INTEGER PRIMARY KEY,"
                      " account INTEGER NOT NULL REFERENCES account,"
                      " kind TEXT NOT NULL,"
                      " units INTEGER NOT NULL," /* of the currency's smallest unit; below 0: went out */
                      " at INTEGER NOT NULL,"   /* the moment from which it counts */
                      " made INTEGER NOT NULL," /* that of its entry */
                      " corrects INTEGER REFERENCES account_entry,"
                      " note TEXT NOT NULL"
                      ") STRICT;"
                      "CREATE INDEX account_entry_by_account ON account_entry(account, at);" STAYS(
                          "account_entry",
                          "an entry") "CREATE TABLE account_term("
                                      " id INTEGER PRIMARY KEY,"
                                      " account INTEGER NOT NULL REFERENCES account,"
                                      " made INTEGER NOT NULL,"
                                      " term TEXT NOT NULL,"
                                      " value TEXT NOT NULL" /* a decimal; '': none any more */
                                      ") STRICT;" STAYS(
                                          "account_term",
                                          "what was set") "CREATE TABLE rate_source("
                                                          " id INTEGER PRIMARY KEY,"
                                                          " base TEXT NOT NULL,"
                                                          " quote TEXT NOT NULL,"
                                                          " instrument INTEGER NOT NULL REFERENCES instrument,"
                                                          " made INTEGER NOT NULL"
                                                          ") STRICT;" STAYS("rate_source",
                                                                            "what was set"),
    /* 16 to 17: plans and what became of them. */
    "CREATE TABLE plan("
    " id INTEGER PRIMARY KEY,"
    " made INTEGER NOT NULL,"
    " known INTEGER NOT NULL," /* the newest bar then known */
    " account INTEGER NOT NULL REFERENCES account,"
    " instrument INTEGER NOT NULL REFERENCES instrument,"
    " currency TEXT NOT NULL,"
    " setup TEXT NOT NULL," /* '': by hand */
    " short INTEGER NOT NULL CHECK(short IN (0, 1)),"
    " entry TEXT NOT NULL," /* decimals, as are the next */
    " stop TEXT NOT NULL,"
    " target TEXT NOT NULL,"
    " size TEXT NOT NULL,"
    " at_risk INTEGER NOT NULL," /* of the smallest unit of the account's currency */
    " notional INTEGER NOT NULL,"
    " taken INTEGER NOT NULL CHECK(taken IN (0, 1)),"
    " reason TEXT NOT NULL,"
    " breach TEXT NOT NULL,"
    " lines TEXT NOT NULL"
    ") STRICT;" STAYS("plan", "a plan") "CREATE TABLE plan_step("
                                        " id INTEGER PRIMARY KEY,"
                                        " plan INTEGER NOT NULL REFERENCES plan,"
                                        " kind TEXT NOT NULL,"
                                        " made INTEGER NOT NULL,"
                                        " result TEXT NOT NULL," /* R of one that is done */
                                        " note TEXT NOT NULL"
                                        ") STRICT;" STAYS("plan_step", "a step"),
    /* 17 to 18: since when an event was known, and when an instrument was on a list;
     * null: always. Levels count once the newest bar of their entry is over, which was
     * kept by its beginning; some books keep its end already, which is the last second
     * of a minute. What was made or withdrawn without bars has no bar to wait for: it
     * was kept by its own moment, or by the least number. */
    "ALTER TABLE event ADD COLUMN known INTEGER;"
    "ALTER TABLE event ADD COLUMN known_dated INTEGER NOT NULL DEFAULT 0;" /* to the day only */
    "ALTER TABLE watchlist_member ADD COLUMN added INTEGER;"
    "CREATE TABLE watchlist_past("
    " id INTEGER PRIMARY KEY,"
    " watchlist TEXT NOT NULL," /* a name: the list itself may be gone */
    " instrument INTEGER NOT NULL REFERENCES instrument ON DELETE CASCADE,"
    " position INTEGER NOT NULL,"
    " added INTEGER,"
    " removed INTEGER NOT NULL"
    ") STRICT;"
    "CREATE INDEX watchlist_past_by_instrument ON watchlist_past(instrument);"
    "CREATE INDEX watchlist_past_by_name ON watchlist_past(watchlist);"
    "DROP TRIGGER own_line_as_it_was;" LINES_TO_ENDS
    "CREATE TRIGGER own_line_as_it_was BEFORE UPDATE ON own_line"
    " BEGIN SELECT raise(ABORT, 'a level or line is never changed'); END;"
    "DROP TRIGGER own_line_withdrawn_as_it_was;" WITHDRAWN_TO_ENDS
    "CREATE TRIGGER own_line_withdrawn_as_it_was BEFORE UPDATE ON own_line_withdrawn"
    " BEGIN SELECT raise(ABORT, 'what was withdrawn stays so'); END;",
    /* 18 to 19: what a plan is followed by, and the bar and the price that a step is
     * about. */
    "CREATE TABLE plan_rule("
    " plan INTEGER PRIMARY KEY REFERENCES plan,"
    " interval TEXT NOT NULL,"  /* of the bars that were asked for; '': their usual */
    " signal INTEGER NOT NULL," /* start of the newest bar */
    " candle INTEGER NOT NULL," /* start of the candle's last bar */
    " choice INTEGER NOT NULL," /* which of the setup's shapes */
    " orders TEXT NOT NULL,"    /* by hand: 'stop' or 'limit'; '': not known */
    " text TEXT NOT NULL"       /* of the setup; '': by hand */
    ") STRICT;" STAYS(
        "plan_rule",
        "what a plan is followed by") "ALTER TABLE plan_step ADD COLUMN at INTEGER;" /* start of a bar; null: none */
                                      "ALTER TABLE plan_step ADD COLUMN price TEXT NOT NULL DEFAULT '';",
};

const int schema_version = sizeof schema_steps / sizeof schema_steps[0];
