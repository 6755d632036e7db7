/* Asking a bar as a document, as JSON and as CSV. */
#include "answer/explain_parts.h"

#include "base/calendar.h"
#include "document/cautions.h"
#include "document/table_write.h"

#include <math.h>
#include <string.h>

static void bar_time(const struct rules_case *opened, size_t bar, char text[CALENDAR_TEXT_SIZE])
{
    const struct bars *bars = &opened->series.bars;
    time_format(text, bars->time[bar], interval_is_dated(bars->interval));
}

struct part {
    const char *name;
    const char *key;
    double value;
    bool is_length; /* has a share of the range, and so many ATR */
};

enum { PART_COUNT = 9 };

static void list_parts(const struct explanation *explanation, struct part parts[PART_COUNT])
{
    const struct anatomy *of = &explanation->parts;
    const struct part all[PART_COUNT] = {
        {"open", "open", of->open, false},
        {"high", "high", of->high, false},
        {"low", "low", of->low, false},
        {"close", "close", of->close, false},
        {"range", "range", of->range, true},
        {"body", "body", of->body, true},
        {"upper shadow", "upper_shadow", of->upper, true},
        {"lower shadow", "lower_shadow", of->lower, true},
        {"ATR", "atr", explanation->atr, false},
    };
    memcpy(parts, all, sizeof all);
}

static const char *shape_words(const struct shape_choice *choice)
{
    const char *mirrored = choice->mirrored ? choice->shape->mirror_help : NULL;
    return mirrored != NULL ? mirrored : choice->shape->help;
}

/* --- the document ------------------------------------------------------------------------ */

static void put_taken(struct table *table, struct text *text)
{
    table_text(table, text->bytes);
    table->failed = table->failed || text_failed(text);
    text_free(text);
    text_init(text);
}

static void parts_table(struct document *document, const struct rules_case *opened,
                        const struct explanation *explanation)
{
    static const char *const headings[] = {"part", "price", "of the range", "ATR"};
    struct part parts[PART_COUNT];
    struct table *table = document_results(document, "parts", "Its parts", NULL, headings, 4);
    int digits = explain_decimals(opened);
    list_parts(explanation, parts);
    for (size_t i = 0; i < PART_COUNT; i++) {
        bool length = parts[i].is_length;
        table_text(table, parts[i].name);
        table_decimals(table, digits, parts[i].value);
        table_decimals(table, 3, length ? parts[i].value / explanation->parts.range : NAN);
        table_decimals(table, 2, length ? parts[i].value / explanation->atr : NAN);
    }
}

static const char turn_note[] =
    "Turns at: the price from which on the answer would be the other one, all else of this bar as "
    "it is; on the tick where that is known. Not by this bar: no price of it bears on it.";

static void criteria_table(struct document *document, const struct rules_case *opened,
                           const struct setup *setup, const struct explanation *explanation)
{
    static const struct column columns[] = {
        {"criterion", "criterion", COLUMN_TEXT, 0, ""},
        {"measured", "measured", COLUMN_FIGURE, 0, ""},
        {"limit", "limit", COLUMN_TEXT, 0, ""},
        {"answer", "so it is", COLUMN_TEXT, 0, ""},
        {"turns", "turns at", COLUMN_TEXT, 0, ""},
    };
    static const char *const names[] = {"candle", "place", "confirm"};
    for (int section = CHECK_CANDLE; section <= CHECK_CONFIRM; section++) {
        struct text words;
        struct table *table = NULL;
        text_init(&words);
        explain_section_words(&words, setup, explanation, (enum check_section)section);
        for (size_t i = 0; i < explanation->count; i++) {
            const struct explained *explained = &explanation->criteria[i];
            if ((int)explained->check.section != section)
                continue;
            if (table == NULL)
                table = document_table(document, names[section], words.bytes,
                                       section == CHECK_CANDLE ? turn_note : NULL, columns, 5);
            text_clear(&words);
            explain_name_words(&words, explained);
            put_taken(table, &words);
            explain_measured_words(&words, opened, explained);
            put_taken(table, &words);
            explain_limit_words(&words, opened, explained);
            put_taken(table, &words);
            table_text(table, explain_answer_words(explained));
            explain_turn_words(&words, opened, explanation, explained, 2);
            put_taken(table, &words);
        }
        text_free(&words);
    }
}

static void put_word(struct text *lines, const char *word, const char *meaning, const char *source)
{
    size_t length = strlen(source);
    text_append_format(lines, "%s: %s (%.*s).\n", word, meaning,
                       (int)(length - (source[length - 1] == '.')), source);
}

/* Whether words of a rule stand there already: the criteria of a shape share them,
 * and so do shapes that differ by what went before. */
static bool said_before(const struct explanation *explanation, size_t shapes_shown,
                        size_t criteria_shown, const char *words)
{
    for (size_t i = 0; i < shapes_shown; i++)
        if (shape_words(&explanation->shapes[i]) == words)
            return true;
    for (size_t i = 0; i < criteria_shown; i++)
        if (explanation->criteria[i].words == words)
            return true;
    return false;
}

static void say_words(struct document *document, const struct explanation *explanation)
{
    struct text lines;
    text_init(&lines);
    document_words(document, BLOCK_HEADING, "The words");
    for (size_t i = 0; i < explanation->shape_count; i++) {
        const struct shape_choice *choice = &explanation->shapes[i];
        if (!said_before(explanation, i, 0, shape_words(choice)))
            put_word(&lines, shape_name(choice), shape_words(choice), choice->shape->source);
    }
    for (size_t i = 0; i < explanation->count; i++) {
        const struct explained *explained = &explanation->criteria[i];
        if (explained->words != NULL &&
            !said_before(explanation, explanation->shape_count, i, explained->words))
            put_word(&lines, explained->check.rule, explained->words, explained->source);
    }
    put_word(&lines, "ATR", measures[MEASURE_ATR].help, measures[MEASURE_ATR].source);
    document_lines(document, BLOCK_PARAGRAPH, &lines);
}

void answer_explain(struct document *document, const struct rules_case *opened,
                    const struct setup *setup, const struct explanation *explanation)
{
    char date[CALENDAR_TEXT_SIZE];
    char candle[CALENDAR_TEXT_SIZE] = "";
    struct text words;
    text_init(&words);
    bar_time(opened, explanation->bar, date);
    text_append_format(&words, "%s, the bar of %s", opened->series.instrument.name, date);
    document_title(document, words.bytes);
    text_append(&words, ". ");
    if (explanation->candle_of != SIZE_MAX)
        bar_time(opened, explanation->candle_of, candle);
    if (explanation->over)
        explain_shapes_words(&words, opened, explanation);
    else
        text_append(&words, "It is not over yet: no signal comes from it.");
    text_append_char(&words, '\n');
    explain_verdict_words(&words, setup, explanation, candle);
    document_lines(document, BLOCK_OPENING, &words);
    parts_table(document, opened, explanation);
    if (!explanation->over)
        return;
    if (setup != NULL)
        criteria_table(document, opened, setup, explanation);
    say_words(document, explanation);
    if (setup != NULL)
        document_words(document, BLOCK_CAUTION, caution_plan);
}

/* --- JSON ---------------------------------------------------------------------------------- */

static const char *what(const struct explained *explained, char name[READING_NAME_SIZE])
{
    const struct reading *reading = &explained->check.reading;
    return reading->name != NULL ? reading_name(reading, name) : NULL;
}

static void json_reading(struct json *json, const struct reading *reading)
{
    json_member_number(json, "measured", reading->value);
    json_member_string(json, "comparison", comparison_words(reading->comparison));
    json_member_number(json, "limit", reading->limit);
    json_member_string(json, "unit", reading->unit);
    if (reading->dated_back)
        json_member_boolean(json, "dated_back", true);
}

static void json_turns(struct json *json, const struct explained *explained)
{
    json_member_array(json, "turns");
    for (size_t i = 0; i < explained->turn_count; i++) {
        const struct turn *turn = &explained->turns[i];
        json_begin_object(json);
        json_member_string(json, "price", bar_price_words[turn->price]);
        json_member_string(json, "towards", turn->up ? "up" : "down");
        json_member_number(json, "at", turn->at);
        json_member_number(json, "first", turn->first);
        json_member_boolean(json, "beyond_the_bar", turn->stretches);
        json_end_object(json);
    }
    json_end_array(json);
}

static void json_criterion(struct json *json, const struct explained *explained)
{
    char name[READING_NAME_SIZE];
    const struct check *check = &explained->check;
    json_begin_object(json);
    json_member_string(json, "section", check_section_name(check->section));
    json_member_string(json, "rule", check->rule);
    json_member_boolean(json, "negated", check->negated);
    json_member_string(json, "what", what(explained, name));
    json_reading(json, &check->reading);
    json_put_key(json, "met");
    if (check->holds == TRUTH_UNDEFINED)
        json_put_null(json);
    else
        json_put_boolean(json, check->holds == TRUTH_YES);
    json_member_boolean(json, "hangs_on_this_bar", explained->hangs);
    json_turns(json, explained);
    json_member_string(json, "words", explained->words);
    json_member_string(json, "limit_words", explained->limit_words);
    json_member_string(json, "source", explained->source);
    json_end_object(json);
}

static void json_shapes(struct json *json, const struct explanation *explanation)
{
    char name[READING_NAME_SIZE];
    json_member_array(json, "shapes");
    for (size_t i = 0; i < explanation->shape_count; i++)
        json_put_string(json, shape_name(&explanation->shapes[i]));
    json_end_array(json);
    json_member_array(json, "nearly");
    for (size_t i = 0; i < EXPLAIN_NEARLY && explanation->nearly[i].found; i++) {
        const struct nearly *nearly = &explanation->nearly[i];
        json_begin_object(json);
        json_member_string(json, "shape", shape_name(&nearly->choice));
        json_member_string(json, "what", reading_name(&nearly->missed, name));
        json_reading(json, &nearly->missed);
        json_member_number(json, "missed_by", nearly->missed_by);
        json_end_object(json);
    }
    json_end_array(json);
}

void explain_json(struct json *json, const struct rules_case *opened, const struct setup *setup,
                  const struct explanation *explanation)
{
    char date[CALENDAR_TEXT_SIZE];
    struct part parts[PART_COUNT];
    list_parts(explanation, parts);
    bar_time(opened, explanation->bar, date);
    json_member_string(json, "instrument", opened->series.instrument.name);
    json_member_string(json, "time", date);
    json_member_boolean(json, "over", explanation->over);
    for (size_t i = 0; i < PART_COUNT; i++)
        json_member_number(json, parts[i].key, parts[i].value);
    json_shapes(json, explanation);
    json_member_string(json, "setup", setup != NULL ? setup->name : NULL);
    if (setup == NULL || !explanation->over)
        return;
    json_member_boolean(json, "met", explanation->checklist.met);
    json_put_key(json, "signal_of");
    if (explanation->candle_of == SIZE_MAX) {
        json_put_null(json);
    } else {
        bar_time(opened, explanation->candle_of, date);
        json_put_string(json, date);
    }
    json_member_array(json, "criteria");
    for (size_t i = 0; i < explanation->count; i++)
        json_criterion(json, &explanation->criteria[i]);
    json_end_array(json);
}

/* --- CSV ----------------------------------------------------------------------------------- */

static void csv_reading(struct table *table, const struct reading *reading)
{
    table_number(table, reading->value);
    table_text(table, comparison_words(reading->comparison));
    table_number(table, reading->limit);
    table_text(table, reading->unit);
}

static void csv_criterion(struct table *table, const struct explained *explained)
{
    char name[READING_NAME_SIZE];
    const struct turn *turn = explained->turn_count > 0 ? &explained->turns[0] : NULL;
    table_text(table, check_section_name(explained->check.section));
    table_text(table, explained->check.rule);
    table_text(table, what(explained, name));
    csv_reading(table, &explained->check.reading);
    table_text(table, explain_answer_words(explained));
    table_text(table, turn != NULL ? bar_price_words[turn->price] : NULL);
    table_number(table, turn != NULL ? turn->at : NAN);
    table_number(table, turn != NULL ? turn->first : NAN);
}

void explain_csv(struct text *text, const struct rules_case *opened, const struct setup *setup,
                 const struct explanation *explanation)
{
    static const struct column columns[] = {
        {"section", "section", COLUMN_TEXT, 0, ""},
        {"rule", "rule", COLUMN_TEXT, 0, ""},
        {"what", "what", COLUMN_TEXT, 0, ""},
        {"measured", "measured", COLUMN_NUMBER, -1, ""},
        {"comparison", "comparison", COLUMN_TEXT, 0, ""},
        {"limit", "limit", COLUMN_NUMBER, -1, ""},
        {"unit", "unit", COLUMN_TEXT, 0, ""},
        {"answer", "answer", COLUMN_TEXT, 0, ""},
        {"turns_price", "turns", COLUMN_TEXT, 0, ""},
        {"turns_at", "at", COLUMN_NUMBER, -1, ""},
        {"turns_first", "first", COLUMN_NUMBER, -1, ""},
    };
    enum { COLUMN_COUNT = sizeof columns / sizeof columns[0] };
    char name[READING_NAME_SIZE];
    struct part parts[PART_COUNT];
    struct table table;
    struct outlet outlet = {.text = *text};
    (void)opened;
    table_init(&table, "explained", columns, COLUMN_COUNT);
    list_parts(explanation, parts);
    for (size_t i = 0; i < PART_COUNT; i++) {
        table_text(&table, "bar");
        table_text(&table, NULL);
        table_text(&table, parts[i].name);
        table_number(&table, parts[i].value);
        table_blank(&table, COLUMN_COUNT - 4);
    }
    for (size_t i = 0; i < explanation->shape_count; i++) {
        table_text(&table, "shape");
        table_text(&table, shape_name(&explanation->shapes[i]));
        table_blank(&table, 5);
        table_text(&table, "met");
        table_blank(&table, 3);
    }
    for (size_t i = 0; i < EXPLAIN_NEARLY && explanation->nearly[i].found; i++) {
        const struct nearly *nearly = &explanation->nearly[i];
        table_text(&table, "nearly");
        table_text(&table, shape_name(&nearly->choice));
        table_text(&table, reading_name(&nearly->missed, name));
        csv_reading(&table, &nearly->missed);
        table_text(&table, "not met");
        table_blank(&table, 3);
    }
    for (size_t i = 0; setup != NULL && i < explanation->count; i++)
        csv_criterion(&table, &explanation->criteria[i]);
    table_write_csv_head(&outlet, &table, false);
    table_write_csv_rows(&outlet, &table, false);
    *text = outlet.text;
    text->failed = text->failed || table_failed(&table);
    table_free(&table);
}
