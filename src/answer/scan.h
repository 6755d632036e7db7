/* What a scan says: signals, near misses and signals that wait, as rows of a
 * typed table (document/table.h) and the words below it, once for every door. */
#ifndef RUSHLIGHT_ANSWER_SCAN_H
#define RUSHLIGHT_ANSWER_SCAN_H

#include "base/json.h"
#include "document/table.h"
#include "work/evening.h"
#include "work/scan.h"

enum scan_answer { SCAN_SIGNALS, SCAN_NEARLY, SCAN_WAITING };

/* The rows of an answer; `columns` are constant. */
struct scan_table {
    const char *name; /* the key that they stand under in JSON */
    const struct column *columns;
    size_t column_count;  /* without those that may be left out */
    size_t with_state;    /* and with `bar`, which says what the bar is */
    size_t with_criteria; /* and with each criterion, as JSON; 0: it has none */
};

const struct scan_table *scan_table(enum scan_answer answer);

/* Put one row; whatever columns the table has. */
void scan_put_signal(struct table *table, const struct scan_row *row);
void scan_put_nearly(struct table *table, const struct evening_row *row, enum bar_state state);
void scan_put_waiting(struct table *table, const struct evening_row *row, enum bar_state state);

/* "open", "touch", "close", "break", "return"; empty for nothing. */
const char *scan_awaits_name(enum trade_awaits what);
/* What must happen next, such as "a price at or above 560.00, on one of the 3
 * coming bars"; appended, nothing where nothing is awaited. */
void scan_awaited_words(struct text *text, const struct evening_row *row);

/* A signal for people: a line, and below it each criterion measured against its
 * limit. */
void scan_signal_words(struct text *text, const struct scan_row *row);
/* The criteria as an array. */
void checklist_json(struct json *json, const struct checklist *checklist);

/* What the words below the rows rest on. */
struct scan_facts {
    const struct setup *setups;
    size_t setup_count;
    bool history;
    size_t shown;  /* near misses: of all that were found */
    bool to_clock; /* nothing hides what came lately, so that the clock may judge */
    int64_t now;   /* the clock, UTC seconds */
    /* How the asker's door finds more, a sentence where the newest bars have nothing. */
    const char *advice;
};

/* Which newest bars are older than those of others, or all of them than the clock;
 * each sentence behind the end of a line. Nothing of history. */
void scan_age_words(struct text *text, const struct newest_bars *bars,
                    const struct scan_facts *facts);

/* What was found, which instruments are behind their sessions, cautions. Lines,
 * the last without its end. */
void scan_signals_closing(struct text *text, const struct scan_sum *sum,
                          const struct scan_facts *facts);
void scan_nearly_closing(struct text *text, const struct evening *evening,
                         const struct scan_facts *facts);
void scan_waiting_closing(struct text *text, const struct evening *evening,
                          const struct scan_facts *facts);

#endif
